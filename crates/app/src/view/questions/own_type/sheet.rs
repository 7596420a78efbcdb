//! The symbol as it will be drawn, with its terminals named; they and its strokes are dragged here on the grid.

use egui::{
    Align2, Id, Key, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, vec2,
};
use loomwright_circuit::part_type::Shape;
use loomwright_circuit::{Box2, Direction, PartType, Point};
use loomwright_drawing::{LivePart, symbol_alone};

use super::symbol::stroke_name;
use crate::action::{Action, PartStep};
use crate::own_type::{PITCH, Thing, place_of};
use crate::painter::{Screen, paint};
use crate::state::{Camera, PartEditor, PartPage};
use crate::texts::PartWords;
use crate::theme::{Theme, drafting};

/// The most points that a mm takes, and the room around the symbol, mm.
const LARGEST: f64 = 7.0;
const AROUND: f64 = 7.0;

/// Paints it.
pub(super) fn sheet_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    size: Vec2,
    actions: &mut Vec<Action>,
) {
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let row = &editor.doc.row;
    // What is dragged does not move the paper below it.
    let still = editor.held.as_ref().map_or(row, |held| &held.row);
    let area = extent(still).grown(AROUND);
    let scale = (f64::from(rect.width()) / area.width())
        .min(f64::from(rect.height()) / area.height())
        .min(LARGEST);
    let screen = Screen::new(rect, Camera { centre: area.centre(), scale });
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect(rect, 4.0, theme.paper, Stroke::new(1.0, theme.edge), StrokeKind::Inside);
    dots(&painter, theme, &screen);
    for prim in symbol_alone(row, Some(&live(editor))) {
        paint(&painter, &screen, &prim, theme);
    }
    for (idx, terminal) in row.terminals.iter().enumerate() {
        let at = screen.screen_from_sheet(terminal.at);
        let step = terminal.leaves.step();
        #[expect(clippy::cast_possible_truncation, reason = "a step is a unit")]
        let out = vec2(step.x as f32, step.y as f32);
        painter.line_segment([at, at + out * 9.0], Stroke::new(1.5, theme.live));
        // Beyond the ring of its handle, so that it stands clear of the outline that the terminal lies on.
        let (away, align) = match terminal.leaves {
            Direction::Left => (vec2(-6.0, -3.0), Align2::RIGHT_BOTTOM),
            Direction::Right => (vec2(6.0, -3.0), Align2::LEFT_BOTTOM),
            Direction::Up => (vec2(5.0, -5.0), Align2::LEFT_BOTTOM),
            Direction::Down => (vec2(5.0, 5.0), Align2::LEFT_TOP),
        };
        painter.text(at + away, align, &terminal.name, drafting(13.0), theme.ink);
        let name = PartWords::thing_terminal(&terminal.name);
        handle_ui(ui, theme, editor, &screen, (Thing::Terminal(idx), at, &name), actions);
    }
    if editor.page == PartPage::Symbol {
        strokes_ui(ui, theme, editor, &screen, actions);
    }
}

/// Dots of the terminals' grid.
fn dots(painter: &egui::Painter, theme: &Theme, screen: &Screen) {
    let view = screen.in_view();
    let first = |least: f64| (least / PITCH).ceil() * PITCH;
    let mut y = first(view.min.y);
    while y < view.max.y {
        let mut x = first(view.min.x);
        while x < view.max.x {
            let at = screen.screen_from_sheet(Point::new(x, y));
            painter.circle_filled(at, 0.7, theme.grid);
            x += PITCH;
        }
        y += PITCH;
    }
}

/// Strokes, the corners of the one that is taken, and lights, each to be dragged.
fn strokes_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    screen: &Screen,
    actions: &mut Vec<Action>,
) {
    let row = &editor.doc.row;
    for (idx, stroke) in row.outline.iter().enumerate() {
        let thing = Thing::Stroke(idx);
        let name = PartWords::thing_stroke(stroke_name(row, idx));
        let at = screen.screen_from_sheet(middle(&stroke.draw));
        let is_taken = matches!(editor.taken, Some(Thing::Stroke(taken) | Thing::Corner(taken, _)) if taken == idx);
        handle_ui(ui, theme, editor, screen, (thing, at, &name), actions);
        if let (Shape::Line(points) | Shape::Polygon(points), true) = (&stroke.draw, is_taken) {
            for (corner, point) in points.iter().enumerate() {
                let name = PartWords::thing_corner(stroke_name(row, idx), corner + 1);
                let at = screen.screen_from_sheet(*point);
                let thing = Thing::Corner(idx, corner);
                handle_ui(ui, theme, editor, screen, (thing, at, &name), actions);
            }
        }
    }
    for (idx, glow) in row.glows.iter().enumerate() {
        let at = screen.screen_from_sheet(glow.at);
        ui.painter().circle_stroke(at, screen.points(glow.radius), Stroke::new(1.0, theme.glow));
        let name = PartWords::thing_glow(idx + 1);
        handle_ui(ui, theme, editor, screen, (Thing::Glow(idx), at, &name), actions);
    }
}

/// A place to take a thing by: it is dragged, or moved by the arrows.
fn handle_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    screen: &Screen,
    (thing, at, name): (Thing, Pos2, &str),
    actions: &mut Vec<Action>,
) {
    let reach = if matches!(thing, Thing::Terminal(_)) { 15.0 } else { 10.0 };
    let rect = Rect::from_center_size(at, vec2(reach, reach));
    let id = Id::unique(("part handle", thing));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let is_taken = editor.taken == Some(thing);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_taken, name));
    let painter = ui.painter();
    let colour = if is_taken || response.hovered() || response.has_focus() {
        theme.selected
    } else {
        theme.muted
    };
    if let Thing::Terminal(_) = thing {
        painter.circle(at, 3.5, theme.paper, Stroke::new(1.8, colour));
    } else {
        let square = Rect::from_center_size(at, vec2(6.0, 6.0));
        painter.rect(square, 0.0, theme.paper, Stroke::new(1.2, colour), StrokeKind::Inside);
    }
    if response.has_focus() {
        painter.circle_stroke(at, 8.0, Stroke::new(1.5, theme.selected));
        nudge(ui, id, thing, actions);
    }
    drag(ui, screen, &response, (thing, place_of(&editor.doc.row, thing)), actions);
    if response.clicked() {
        actions.push(Action::OwnType(PartStep::Choose(Some(thing))));
    }
    response.on_hover_text(name);
}

fn drag(
    ui: &Ui,
    screen: &Screen,
    response: &egui::Response,
    (thing, place): (Thing, Option<Point>),
    actions: &mut Vec<Action>,
) {
    let key = response.id.with("grasp");
    let Some(pos) = response.interact_pointer_pos() else { return };
    let pointer = screen.sheet_from_screen(pos);
    if response.drag_started()
        && let Some(place) = place
    {
        ui.data_mut(|data| data.insert_temp(key, (place.x - pointer.x, place.y - pointer.y)));
    }
    if response.dragged() {
        let (x, y) = ui.data(|data| data.get_temp(key)).unwrap_or((0.0, 0.0));
        let to = pointer + Point::new(x, y);
        actions.push(Action::OwnType(PartStep::Drag(thing, to)));
    }
    if response.drag_stopped() {
        actions.push(Action::OwnType(PartStep::LetGo));
    }
}

fn nudge(ui: &Ui, id: Id, thing: Thing, actions: &mut Vec<Action>) {
    let filter = egui::EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..egui::EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let mm = if matches!(thing, Thing::Terminal(_)) { PITCH } else { PITCH / 2.0 };
    let steps = [
        (Key::ArrowLeft, Point::new(-mm, 0.0)),
        (Key::ArrowRight, Point::new(mm, 0.0)),
        (Key::ArrowUp, Point::new(0.0, -mm)),
        (Key::ArrowDown, Point::new(0.0, mm)),
    ];
    for (key, by) in steps {
        if ui.input(|input| input.modifiers.is_none() && input.key_pressed(key)) {
            actions.push(Action::OwnType(PartStep::Nudge(thing, by)));
        }
    }
}

/// The contacts as they stand on the bench.
fn live(editor: &PartEditor) -> LivePart {
    let stands = |(name, _, stands): &(String, Vec<_>, String)| (name.clone(), stands.clone());
    LivePart {
        positions: editor.tried.controls.iter().map(stands).collect(),
        relays_in: editor.tried.relays_in.clone(),
        ..LivePart::default()
    }
}

fn middle(shape: &Shape) -> Point {
    match shape {
        Shape::Line(points) | Shape::Polygon(points) => {
            let ends = [points.first(), points.get(1)].into_iter().flatten();
            Box2::around(ends.copied()).map(Box2::centre).unwrap_or_default()
        }
        Shape::Circle { centre, radius } => *centre + Point::new(*radius, 0.0),
        Shape::Arc { centre, .. } => *centre,
        Shape::Text { at, .. } => *at,
    }
}

/// All that the symbol covers, its terminals among it.
fn extent(row: &PartType) -> Box2 {
    let of = |shape: &Shape| -> Vec<Point> {
        match shape {
            Shape::Line(points) | Shape::Polygon(points) => points.clone(),
            Shape::Circle { centre, radius } | Shape::Arc { centre, radius, .. } => {
                let r = Point::new(*radius, *radius);
                vec![*centre - r, *centre + r]
            }
            Shape::Text { at, .. } => vec![*at],
        }
    };
    let strokes = row.outline.iter().flat_map(|stroke| of(&stroke.draw));
    let all = strokes.chain(row.terminals.iter().map(|it| it.at));
    let origin = Point::default();
    let none = Box2 { min: origin, max: origin };
    Box2::around(all.filter(|at| at.length() < 2000.0)).unwrap_or(none)
}
