//! The canvas: paper, grid, the laid-out sheet, what is selected, and the tool's preview.

mod aside;
mod board;
mod frame;
mod grid;
mod input;
mod left_out;
mod marks;
mod menu;
mod overview;
mod probes;
mod spots;
mod tags;
mod tips;
mod tool_marks;
mod try_menu;

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::text::LayoutJob;
use egui::{Color32, Rect, Sense, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Sheet as Laid, Subject};

use crate::action::{Action, DeskStep};
use crate::analysis::{Analysis, FixPreview};
use crate::command::Command;
use crate::draughtsman::is_large;
use crate::handle::fits_no_more;
use crate::painter::{Layer, Screen, Under};
use crate::rich::unparted;
use crate::state::{Mode, Selection, State};
use crate::texts::{Canvas, Tries};
use crate::theme::Theme;
use crate::tool::{Scene, Target, Tool};
use crate::trial::Trial;

pub use board::Board;
use board::Grid;
pub(crate) use left_out::says as left_out_says;
pub use marks::Mark;
pub(crate) use probes::needle;
pub use probes::{ProbeMark, ProbesView};

/// What the canvas shows.
#[derive(Debug, Clone)]
pub struct CanvasView {
    /// The sheet as laid out.
    pub laid: Arc<Laid>,
    /// The sheet as it would be if the tool ended here.
    pub preview: Option<Arc<Laid>>,
    /// The sheet as a fix that is looked at would leave it.
    pub fix: Option<FixPreview>,
    /// Everything that can be found by name.
    pub marks: Arc<[Mark]>,
    /// Whether the car is being tried.
    pub is_trying: bool,
    /// Whether the sheet is empty.
    pub is_empty: bool,
    /// The move that was refused last, at the part that was worked, mm.
    pub refusal: Option<(Box2, String)>,
    /// Where every control stands, in Try.
    pub stands: BTreeMap<String, String>,
    /// The meter's probes, in Try.
    pub probes: ProbesView,
    /// What is outlined, in Try.
    pub outlined: Option<String>,
    /// Whether flashing lamps are lit at this moment, in Try.
    pub is_lit: bool,
}

/// How near the pointer must be to a small thing, in screen points.
const REACH_POINTS: f64 = 8.0;

/// What a tool sees of the sheet.
pub fn scene<'a>(state: &'a State, laid: &'a Laid) -> Scene<'a> {
    Scene {
        car: state.car(),
        laid,
        sheet: state.sheet,
        selection: &state.selection,
        pen: state.pen,
        reach: REACH_POINTS / state.camera().scale,
        just_run: state.just_run,
    }
}

/// Builds it.
pub fn canvas_view(state: &State, analysis: &mut Analysis, board: &mut Board) -> CanvasView {
    let laid = analysis.laid(state, state.sheet);
    let preview = match state.mode {
        Mode::Draw => analysis.preview(state, &scene(state, &laid)),
        _ => None,
    };
    let fix = analysis.fix_preview(state);
    let is_empty = !laid.items.iter().any(|item| !matches!(item.subject, Subject::Heading));
    let laid = board.with_whole_tags(state, laid);
    let whole = |laid: Arc<Laid>| {
        tags::kept_whole(&laid, state.camera(), state.canvas_size).map_or(laid, Arc::new)
    };
    // Of large sheets, what is being changed shows at once, and its tags when it is done.
    let is_small = !is_large(&laid);
    let preview = preview.map(|laid| if is_small { whole(laid) } else { laid });
    let fix = fix.map(|mut fix| {
        if is_small {
            fix.laid = whole(fix.laid);
        }
        fix
    });
    let marks = board.marks(state, analysis, &laid);
    let is_trying = state.mode == Mode::Try;
    let refusal =
        refusal(analysis, &laid).filter(|(_, says)| is_trying && state.says_refused(says));
    let stands = match &analysis.trial {
        Some(trial) if is_trying => {
            let stands =
                trial.controls().map(|(control, at)| (control.name.clone(), at.name.clone()));
            stands.collect()
        }
        _ => BTreeMap::new(),
    };
    let probes = match &analysis.trial {
        Some(trial) if is_trying => probes::probes_view(&trial.meter, &laid, state),
        _ => ProbesView::default(),
    };
    let outlined = analysis.trial.as_ref().filter(|_| is_trying && state.bench.outlines);
    let outlined = outlined.map(|trial| {
        let live = trial.live_wires(state.car(), analysis.is_lit);
        Tries::outlined(live.filter(|id| laid.routes.contains_key(id)).count())
    });
    CanvasView {
        laid,
        preview,
        fix,
        marks,
        is_trying,
        is_empty,
        refusal,
        stands,
        probes,
        outlined,
        is_lit: analysis.is_lit,
    }
}

/// The move that was refused last, if it was tried on a part of this sheet.
fn refusal(analysis: &Analysis, laid: &Laid) -> Option<(Box2, String)> {
    let refused = analysis.trial.as_ref()?.refused.as_ref()?;
    let pressed = Subject::Part(refused.part?);
    let area = laid.items.iter().find(|item| item.subject == pressed).map(|item| item.bounds);
    area.map(|area| (area, refused.says.clone()))
}

/// Paints it and gathers what is done on it.
pub fn canvas_ui(
    ui: &mut Ui,
    (state, board): (&State, &mut Board),
    view: &CanvasView,
    trial: Option<&Trial>,
    actions: &mut Vec<Action>,
) {
    let rect = ui.max_rect();
    let theme = state.theme();
    let size = (f64::from(rect.width()), f64::from(rect.height()));
    let is_known = state.cameras.contains_key(&state.sheet) && !state.is_fitted_to_another(size);
    if size != state.canvas_size || !is_known {
        actions.push(Action::CanvasSize(size.0, size.1));
    } else if board.is_anew() && state.is_shown_whole() {
        // Names come to stand elsewhere, and larger, once there are tags among them.
        if fits_no_more(&view.laid, state) {
            actions.push(Action::Command(Command::WholeSheet));
        }
    }
    let response = ui.interact(rect, ui.scope_id().with("sheet"), Sense::click_and_drag());
    let screen = screen_on(ui, rect, state);
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    painter.rect_filled(rect, 0.0, theme.paper);
    let wanted = Grid { screen, colour: theme.grid, laid: Arc::clone(&view.laid) };
    painter.add(board.grid(wanted, || grid::dots(&screen, &view.laid, theme.grid)));
    let hover = state.pointer.map(|at| crate::tool::pick(&scene(state, &view.laid), at));
    let under = Under { painter: &painter, screen, theme };
    drawing(under, (state, board), view, hover.as_ref());
    tool_marks::paint(&painter, &screen, state, &view.laid, hover.as_ref());
    probes::probes_ui(&painter, &screen, theme, &view.probes, (state.pointer, hover.as_ref()));
    if let Some((area, says)) = &view.refusal {
        callout(&painter, screen.screen_rect(*area), says, theme);
    }
    if let Some((at, says)) = refused(state, &view.laid) {
        let spot = Box2 { min: at, max: at }.grown(2.0);
        callout(&painter, screen.screen_rect(spot), &says, theme);
    }
    if view.is_empty && matches!(state.tool, Tool::Rest) {
        empty_sheet(&painter, rect, state);
    }
    if let Some(fix) = &view.fix {
        caption(ui, rect, &fix.says, theme);
    }
    if let Some(says) = &view.outlined {
        caption(ui, rect, says, theme);
    }
    marks::marks_ui(ui, &screen, theme, view, actions);
    if board.is_late() {
        ui.ctx().request_repaint();
    }
    let is_at_rest = matches!(state.tool, Tool::Rest) && view.probes.hand.is_none();
    if let Some(target) = hover.as_ref().filter(|_| is_at_rest)
        && let Some(says) = tips::says(&screen, (state, view), trial, target)
        && let Some(pos) = ui.input(|input| input.pointer.hover_pos())
    {
        spots::spot(&screen, &view.laid, target, pos).tip(&response, says);
    }
    note_what_is_seen(&screen, state, (view, hover.as_ref()), actions);
    let meant = hover.as_ref().map(meant).unwrap_or_default();
    overview::overview_ui(ui, &screen, (state, board), (&view.laid, &meant), actions);
    input::gather(ui, (&response, &screen), state, (view, hover.as_ref()), trial, actions);
}

/// Notes on the desk which end the pointer is on, and what of the lettering has no room.
fn note_what_is_seen(
    screen: &Screen,
    state: &State,
    (view, hover): (&CanvasView, Option<&Target>),
    actions: &mut Vec<Action>,
) {
    let is_still = state.mode == Mode::Draw && matches!(state.tool, Tool::Rest);
    let over_end = hover
        .filter(|_| is_still)
        .and_then(|target| crate::tool::end_here(&scene(state, &view.laid), target));
    if over_end != state.desk.over_end {
        actions.push(Action::Desk(DeskStep::OverEnd(over_end)));
    }
    let left_out = left_out::left_out(screen, &view.laid);
    if left_out != state.desk.left_out {
        actions.push(Action::Desk(DeskStep::LeftOut(left_out)));
    }
}

/// How the sheet lies on the canvas.
fn screen_on(ui: &Ui, rect: Rect, state: &State) -> Screen {
    let screen = Screen::new(rect, state.camera()).larger(state.larger);
    screen.on_pixels(ui.ctx().pixels_per_point())
}

/// How wide the light on a selected wire is, mm.
const AROUND_SELECTED: f64 = 6.4;

/// The sheet with the light on what is selected, pointed at and previewed.
fn drawing(
    under: Under<'_>,
    (state, board): (&State, &mut Board),
    view: &CanvasView,
    hover: Option<&Target>,
) {
    let Under { painter, ref screen, theme } = under;
    let fixed = view.fix.as_ref().map(|fix| &fix.laid);
    let shown = fixed.or(view.preview.as_ref()).unwrap_or(&view.laid);
    // Below over-ink and light, which keep their colours, and wider than both: a stripe at either side of them.
    let colour = theme.selected.gamma_multiply(0.5);
    wire_halos(painter, screen, shown, &state.selection, (AROUND_SELECTED, colour));
    board.paint(under, shown, Layer::Below);
    // A lamp that is read shines in its own light.
    if !view.is_trying {
        part_halos(painter, screen, shown, &state.selection, theme.selected.gamma_multiply(0.28));
    }
    if let (Tool::Rest, Some(target)) = (&state.tool, hover) {
        halos(painter, screen, shown, &meant(target), theme.selected.gamma_multiply(0.12));
    }
    if let Some(fix) = &view.fix {
        halos(painter, screen, shown, &fix.rows, theme.to_fit_text.gamma_multiply(0.25));
    }
    board.paint(under, shown, Layer::Above);
    frames(painter, screen, shown, &state.selection, theme);
}

/// The rows that are pointed at.
fn meant(target: &Target) -> Selection {
    match target {
        Target::Part(id) => Selection::part(*id),
        Target::Note(id) => Selection::note(*id),
        Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => Selection::wire(*id),
        _ => Selection::default(),
    }
}

/// What cannot be done, at its place: what the tool in hand meets there, or what was tried last.
fn refused(state: &State, laid: &Laid) -> Option<(Point, String)> {
    if state.mode != Mode::Draw {
        return None;
    }
    let scene = scene(state, laid);
    crate::tool::refusal(&state.tool, &scene).or_else(|| state.refused_at.clone())
}

/// What the fix that is looked at would do, or what is outlined, at the top of the sheet.
fn caption(ui: &Ui, rect: Rect, says: &str, theme: &Theme) {
    let painter = ui.painter().with_clip_rect(rect);
    let font = crate::theme::medium(13.5);
    let galley = painter.layout(unparted(says.to_owned()), font, theme.ink, rect.width() - 60.0);
    let size = galley.size() + vec2(20.0, 12.0);
    let area = Rect::from_min_size(pos2(rect.center().x - size.x / 2.0, rect.top() + 8.0), size);
    let stroke = Stroke::new(1.4, theme.to_fit_text);
    painter.rect(area, 4.0, theme.field, stroke, StrokeKind::Inside);
    painter.galley(area.min + vec2(10.0, 6.0), galley, theme.ink);
    let response = ui.interact(area, ui.scope_id().with("caption"), Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, says));
}

/// A soft light around rows: below their ink, so that colours stay true.
fn halos(painter: &egui::Painter, screen: &Screen, laid: &Laid, rows: &Selection, colour: Color32) {
    wire_halos(painter, screen, laid, rows, (4.2, colour));
    part_halos(painter, screen, laid, rows, colour);
}

/// A soft light behind parts and notes.
fn part_halos(
    painter: &egui::Painter,
    screen: &Screen,
    laid: &Laid,
    rows: &Selection,
    colour: Color32,
) {
    for area in part_areas(laid, rows) {
        // A frame tells it as well, and over-ink under it keeps its colour.
        let colour = colour.gamma_multiply(0.5);
        painter.rect_filled(screen.screen_rect(area.grown(1.2)), 4.0, colour);
    }
}

/// A soft light of some width, mm, along wires.
fn wire_halos(
    painter: &egui::Painter,
    screen: &Screen,
    laid: &Laid,
    rows: &Selection,
    (width, colour): (f64, Color32),
) {
    for id in &rows.wires {
        if let Some(route) = laid.routes.get(id) {
            let points = route.iter().map(|point| screen.screen_from_sheet(*point)).collect();
            painter.add(Shape::line(points, Stroke::new(screen.points(width).max(7.0), colour)));
        }
    }
}

/// A frame around selected parts, and rings at the ends of selected wires.
fn frames(painter: &egui::Painter, screen: &Screen, laid: &Laid, rows: &Selection, theme: &Theme) {
    let stroke = Stroke::new(1.4, theme.selected);
    let are_few = rows.parts.len() <= frame::MOST;
    for area in part_areas(laid, rows).map(|area| area.grown(1.2)) {
        let letters = if are_few { frame::letters_at(screen, laid, area) } else { Vec::new() };
        frame::frame(painter, screen.screen_rect(area), &letters, stroke);
    }
    for id in &rows.wires {
        let route = laid.routes.get(id).map_or(&[][..], |line| line);
        for end in [route.first(), route.last()].into_iter().flatten() {
            painter.circle_stroke(screen.screen_from_sheet(*end), 5.5, stroke);
        }
    }
}

fn part_areas<'a>(laid: &'a Laid, rows: &'a Selection) -> impl Iterator<Item = Box2> + 'a {
    // Most often nothing of them is looked for.
    let is_wanted = !(rows.parts.is_empty() && rows.notes.is_empty());
    let items = laid.items.iter().take(if is_wanted { laid.items.len() } else { 0 });
    items.filter_map(|item| match item.subject {
        Subject::Part(id) if rows.parts.contains(&id) => Some(item.bounds),
        Subject::Note(id) if rows.notes.contains(&id) => Some(crate::tool::body(item)),
        _ => None,
    })
}

/// A plate beside a part that says why it could not be worked; above it where there is no room below.
fn callout(painter: &egui::Painter, part: Rect, says: &str, theme: &Theme) {
    let font = crate::theme::medium(13.5);
    let galley = painter.layout(unparted(says.to_owned()), font, theme.danger, 230.0);
    let size = galley.size() + vec2(18.0, 10.0);
    let canvas = painter.clip_rect().shrink(6.0);
    let has_room = part.bottom() + 8.0 + size.y <= canvas.bottom();
    let top = if has_room { part.bottom() + 8.0 } else { part.top() - 8.0 - size.y };
    let most = (canvas.right() - size.x).max(canvas.left());
    let left = (part.center().x - size.x / 2.0).clamp(canvas.left(), most);
    let plate = Rect::from_min_size(pos2(left, top), size);
    let stroke = Stroke::new(1.2, theme.danger);
    painter.rect(plate, 4.0, theme.field, stroke, StrokeKind::Middle);
    painter.galley(plate.center() - galley.size() / 2.0, galley, theme.danger);
}

fn empty_sheet(painter: &egui::Painter, rect: Rect, state: &State) {
    let theme = state.theme();
    // What a version does not show is there all the same: nobody is asked to draw over it.
    let has_parts = state.car().parts().values().any(|part| part.sheet == state.sheet);
    let lines: &[&str] = match state.mode {
        Mode::Try if has_parts => &[Canvas::nothing_of_this_sheet_is_left()],
        Mode::Try => &[Canvas::an_empty_sheet()],
        _ if has_parts => &[Canvas::nothing_of_this_version_is_here()],
        _ => &[
            Canvas::an_empty_sheet(),
            Canvas::drag_a_part_here_from_the(),
            Canvas::then_drag_from_one_terminal_to(),
        ],
    };
    let mut y = rect.top() + rect.height() * 0.62;
    for (n, text) in lines.iter().enumerate() {
        let (font, colour) = if n == 0 {
            (crate::theme::drafting(20.0), theme.ink)
        } else {
            (crate::theme::plain(15.0), theme.muted)
        };
        let width = rect.width() - 40.0;
        let mut job = LayoutJob::simple((*text).to_owned(), font, colour, width);
        job.halign = egui::Align::Center;
        let galley = painter.layout_job(job);
        painter.galley(pos2(rect.center().x, y), Arc::clone(&galley), colour);
        y += galley.size().y + 8.0;
    }
}

#[cfg(test)]
mod tests {
    use loomwright_drawing::{Ink, Options, Prim, Subject, lay_out};

    use super::AROUND_SELECTED;

    #[test]
    fn a_selected_wire_is_told_at_both_sides_of_its_over_ink() {
        let car = crate::demo::car(0);
        let options = Options { is_for_screen: true, ..Options::default() };
        let mut widest = 0.0_f64;
        for id in car.sheets().keys() {
            let sheet = lay_out(&car, *id, &options);
            let under = sheet.items.iter().filter(|it| matches!(it.subject, Subject::UnderWire(_)));
            for prim in under.flat_map(|item| item.prims.iter()) {
                if let Prim::Line { width, ink: Ink::ToFitEdge, .. } = prim {
                    widest = widest.max(*width);
                }
            }
        }
        assert!(widest > 4.0, "nothing of it is to fit: {widest}");
        assert!(AROUND_SELECTED > widest + 0.8, "{widest}");
    }
}
