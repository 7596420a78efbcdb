//! Names of everything in view on the canvas, for screen readers and tests.

use std::collections::BTreeMap;

use egui::accesskit;
use egui::{Key, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use loomwright_circuit::{Anchor, Box2, Point, WireId};
use loomwright_drawing::{Item, Sheet as Laid, Subject};

use crate::action::{Action, BenchStep};
use crate::analysis::Analysis;
use crate::painter::Screen;
use crate::state::{Mode, Selection, State};
use crate::texts::{Board, Marks};
use crate::theme::Theme;
use crate::tool::{Aim, Source, Target, body};
use crate::trial::{Lead, Probe};
use crate::view::canvas::CanvasView;

/// Something on the canvas that has a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Its name.
    pub name: String,
    /// Where it is, mm.
    pub area: Box2,
    /// What it is.
    pub target: Target,
    /// Whether it is selected.
    pub is_selected: bool,
}

/// A mark without its name.
struct Unnamed {
    area: Box2,
    target: Target,
    is_selected: bool,
}

/// More marks than this nobody steps through: then only parts and wires have one, and of these the nearest to the middle.
const MOST_MARKS: usize = 1_500;

/// Gathers the marks of what is in view of a sheet.
pub(super) fn marks(state: &State, analysis: &Analysis, laid: &Laid) -> Vec<Mark> {
    let in_view = state.camera().in_view(state.canvas_size).grown(2.0);
    let mut found = of_items(state, (laid, in_view));
    of_wires(state, (laid, in_view), &mut found);
    of_plugs(state, laid, &mut found);
    let terminals: Vec<_> = laid.terminals_in(in_view).collect();
    if found.len() + terminals.len() > MOST_MARKS {
        keep_nearest(&mut found, state.camera().centre);
    } else {
        found.extend(terminals.into_iter().map(|(id, name, at)| Unnamed {
            area: around(*at),
            target: Target::Terminal(*id, name.to_string()),
            is_selected: false,
        }));
    }
    let named = |Unnamed { area, target, is_selected }| {
        name(state, analysis, &target).map(|name| Mark { name, area, target, is_selected })
    };
    found.into_iter().filter_map(named).collect()
}

fn keep_nearest(found: &mut Vec<Unnamed>, middle: Point) {
    if found.len() > MOST_MARKS {
        let away = |mark: &Unnamed| {
            let by = mark.area.centre() - middle;
            if mark.is_selected { -1.0 } else { by.x * by.x + by.y * by.y }
        };
        found.select_nth_unstable_by(MOST_MARKS, |a, b| away(a).total_cmp(&away(b)));
        found.truncate(MOST_MARKS);
    }
}

/// What a mark is called; nothing for what is not there.
fn name(state: &State, analysis: &Analysis, target: &Target) -> Option<String> {
    let car = state.car();
    match target {
        Target::Nothing => None,
        Target::Part(id) => car.part(*id).map(|part| Marks::part(&part.label)),
        Target::Terminal(id, name) => car.part(*id).map(|part| Marks::terminal(name, &part.label)),
        Target::Wire(id) => car.wire(*id).map(|wire| Marks::wire(&wire.label)),
        Target::Loose(id, _) => car.wire(*id).map(|wire| Marks::loose_end_of_wire(&wire.label)),
        Target::Onward(id, _) => {
            car.wire(*id).map(|wire| Marks::wire_goes_on_on_another_sheet(&wire.label))
        }
        Target::Note(id) => car.notes().get(id).map(|note| {
            let first = note.text.lines().next().unwrap_or_default();
            let is_frame = note.frame.is_some();
            if is_frame { Board::frame_named(first) } else { Board::note_named(first) }
        }),
        Target::Tag(n) => Some(match analysis.finding(*n) {
            Some(finding) => Marks::tag(n + 1, finding.title),
            None => Marks::tag_alone(n + 1),
        }),
        Target::Plug(id, is_to) => {
            let wire = car.wire(*id)?;
            let end = if *is_to { &wire.to } else { &wire.from };
            let Anchor::Terminal { part, terminal } = &end.at else { return None };
            Some(Board::end_of_wire(&wire.label, crate::words::terminal(car, *part, terminal)))
        }
    }
}

/// Parts, tags, and places where wires go on.
fn of_items(state: &State, (laid, in_view): (&Laid, Box2)) -> Vec<Unnamed> {
    let selection = &state.selection;
    let mark = |item: &Item| {
        let (area, target, is_selected) = match item.subject {
            Subject::Part(id) => (item.bounds, Target::Part(id), selection.parts.contains(&id)),
            Subject::Note(id) => (body(item), Target::Note(id), selection.notes.contains(&id)),
            Subject::Tag(n) => (body(item), Target::Tag(n), state.finding == Some(n)),
            Subject::Continuation(id, sheet) => (item.bounds, Target::Onward(id, sheet), false),
            _ => return None,
        };
        Some(Unnamed { area, target, is_selected })
    };
    laid.items_in(in_view).filter_map(mark).collect()
}

/// Wires, by their flags, and loose ends.
fn of_wires(state: &State, (laid, in_view): (&Laid, Box2), found: &mut Vec<Unnamed>) {
    // Where the flag of each is, if it is in view.
    let mut wires: BTreeMap<WireId, Option<Box2>> = BTreeMap::new();
    for item in laid.items_in(in_view) {
        match item.subject {
            Subject::Wire(id) => drop(wires.entry(id).or_default()),
            Subject::Flag(id) => drop(wires.insert(id, Some(body(item)))),
            _ => {}
        }
    }
    for (id, flag) in wires {
        let (Some(wire), Some(route)) = (state.car().wire(id), laid.routes.get(&id)) else {
            continue;
        };
        let area = flag.or_else(|| middle_of(route));
        if let Some(area) = area.filter(|area| area.meets(in_view)) {
            let is_selected = state.selection.wires.contains(&id);
            found.push(Unnamed { area, target: Target::Wire(id), is_selected });
        }
        for (end, is_to) in wire.ends().into_iter().zip([false, true]) {
            if let Anchor::Loose { sheet, at } = &end.at
                && *sheet == state.sheet
                && in_view.contains(*at)
            {
                let target = Target::Loose(id, is_to);
                found.push(Unnamed { area: around(*at), target, is_selected: false });
            }
        }
    }
}

/// The marks on a selected wire by which its ends are plugged elsewhere.
fn of_plugs(state: &State, laid: &Laid, found: &mut Vec<Unnamed>) {
    if state.mode != Mode::Draw {
        return;
    }
    let plugs = crate::tool::plugs(&super::scene(state, laid)).into_iter();
    found.extend(plugs.map(|(id, is_to, at)| Unnamed {
        area: around(at),
        target: Target::Plug(id, is_to),
        is_selected: false,
    }));
}

fn around(at: Point) -> Box2 {
    Box2 { min: at, max: at }.grown(1.0)
}

/// The middle of the longest stretch of a route.
fn middle_of(route: &[Point]) -> Option<Box2> {
    let longest =
        route.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])))?;
    Some(around((longest[0] + longest[1]) * 0.5))
}

/// Tells the toolkit of the marks in view; keys and screen readers work them.
pub(super) fn marks_ui(
    ui: &Ui,
    screen: &Screen,
    theme: &Theme,
    view: &CanvasView,
    actions: &mut Vec<Action>,
) {
    for mark in view.marks.iter() {
        let rect = screen.screen_rect(mark.area);
        let rect = Rect::from_center_size(rect.center(), rect.size().max(vec2(8.0, 8.0)));
        let seen = rect.intersect(screen.rect);
        if !seen.is_positive() {
            continue;
        }
        let id = id_of(ui, mark);
        let response = ui.interact(seen, id, Sense::focusable_noninteractive());
        response
            .widget_info(|| WidgetInfo::selected(Role::Button, true, mark.is_selected, &mark.name));
        ui.ctx().accesskit_node_builder(id, |node| node.add_action(accesskit::Action::Click));
        if response.has_focus() {
            let stroke = Stroke::new(2.0, theme.selected);
            ui.painter().rect_stroke(rect.expand(3.0), 3.0, stroke, StrokeKind::Outside);
            // Arrows nudge what is selected; they do not move the focus.
            let filter = egui::EventFilter {
                horizontal_arrows: true,
                vertical_arrows: true,
                ..Default::default()
            };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
        }
        let is_asked =
            ui.input(|input| input.has_accesskit_action_request(id, accesskit::Action::Click));
        // Enter on a terminal runs a wire from it, or ends the wire there.
        let is_entered = response.has_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if view.is_trying && response.has_focus() && !ui.ctx().text_edit_focused() {
            actions.extend(probed(ui, &mark.target));
        }
        if is_asked || is_entered {
            let by_key = is_entered && !view.is_trying;
            actions.extend(match &mark.target {
                Target::Terminal(id, name) if by_key => {
                    vec![Action::Aim(Aim::At(*id, name.clone()))]
                }
                Target::Plug(id, is_to) | Target::Loose(id, is_to) if !view.is_trying => {
                    vec![Action::Aim(Aim::From(Source::End(*id, *is_to)))]
                }
                target => asked(view, target),
            });
        }
    }
}

/// What the toolkit knows a mark by.
fn id_of(ui: &Ui, mark: &Mark) -> egui::Id {
    // Two notes may read alike, and so may the loose ends of a wire.
    let number = match mark.target {
        Target::Note(id) => id.0,
        Target::Loose(_, is_to) | Target::Plug(_, is_to) => u32::from(is_to),
        _ => 0,
    };
    ui.scope_id().with((&mark.name, "mark", number))
}

/// What a menu asked for by key is about, and where: the mark that the keyboard is at, else what is selected.
pub(super) fn meant_by_key(
    ui: &Ui,
    marks: &[Mark],
    selection: &Selection,
) -> Option<(Target, Point)> {
    let focused = ui.memory(|memory| memory.focused());
    let at_keyboard = marks.iter().find(|mark| focused == Some(id_of(ui, mark)));
    let is_selected = |mark: &&Mark| match &mark.target {
        Target::Part(id) => selection.parts.contains(id),
        Target::Wire(id) => selection.wires.contains(id),
        Target::Note(id) => selection.notes.contains(id),
        _ => false,
    };
    let mark = at_keyboard.or_else(|| marks.iter().find(is_selected))?;
    Some((mark.target.clone(), mark.area.centre()))
}

/// R and B set the red and the black probe down on what has the focus; on a wire, on its ends in turn.
fn probed(ui: &Ui, target: &Target) -> Option<Action> {
    let keys = [(Key::R, Lead::Red), (Key::B, Lead::Black)];
    let lead = keys.into_iter().find(|(key, _)| ui.input(|input| input.key_pressed(*key)))?.1;
    let step = match target {
        Target::Terminal(part, name) => {
            BenchStep::Place(lead, Probe::Terminal(*part, name.clone()))
        }
        Target::Wire(wire) => BenchStep::PlaceOn(lead, *wire),
        Target::Loose(wire, is_to) => {
            BenchStep::Place(lead, Probe::Lug { wire: *wire, is_to: *is_to })
        }
        _ => return None,
    };
    Some(Action::Bench(step))
}

fn asked(view: &CanvasView, target: &Target) -> Vec<Action> {
    match target {
        target if let Some((lead, probe)) = view.probes.clicked(Some(target)) => {
            vec![Action::Bench(BenchStep::Place(lead, probe))]
        }
        Target::Part(id) | Target::Terminal(id, _) if view.is_trying => {
            vec![Action::Select(Selection::part(*id)), Action::Press(*id), Action::LetGo]
        }
        Target::Part(id) | Target::Terminal(id, _) => vec![Action::Select(Selection::part(*id))],
        Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => {
            vec![Action::Select(Selection::wire(*id))]
        }
        Target::Tag(n) => vec![Action::LookAt(*n)],
        Target::Note(id) => vec![Action::Select(Selection::note(*id))],
        Target::Onward(id, sheet) => {
            vec![Action::Sheet(*sheet), Action::Select(Selection::wire(*id))]
        }
        Target::Nothing => Vec::new(),
    }
}
