//! A cell of a contact table: a filled dot where its terminal is joined, a line to those that it is joined to.

use egui::{
    Align2, EventFilter, Id, Key, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2,
};

use crate::action::{Action, PartStep};
use crate::own_type::{TableRow, cycled, group_of, letter};
use crate::texts::PartWords;
use crate::theme::{Theme, medium};

/// Width of a cell, and height of a row.
pub(super) const CELL: f32 = 44.0;
pub(super) const ROW: f32 = 32.0;
/// Distance of the lines of two groups in one position.
const LANE: f32 = 8.0;

/// The height of a group's line in its row: several groups have lanes of their own.
fn lane(row: &TableRow, group: usize) -> f32 {
    let n_groups = row.groups.len().min(4) as f32;
    let group = (group % 4) as f32;
    (group - (n_groups - 1.0) / 2.0) * if n_groups > 3.0 { LANE * 0.8 } else { LANE }
}

/// The lines from dot to dot of each group of a row.
pub(super) fn lines_ui(ui: &Ui, theme: &Theme, origin: Pos2, row: &TableRow, names: &[&str]) {
    for (group, joined) in row.groups.iter().enumerate() {
        let places =
            names.iter().enumerate().filter(|(_, name)| joined.iter().any(|it| it == *name));
        let places: Vec<f32> = places.map(|(idx, _)| CELL * (idx as f32 + 0.5)).collect();
        if let ([first, .., last], y) = (&*places, ROW / 2.0 + lane(row, group)) {
            let ends = [*first, *last].map(|x| origin + vec2(x, y));
            ui.painter().line_segment(ends, Stroke::new(2.0, theme.ink));
        }
    }
}

/// Paints a cell and takes its keys.
pub(super) fn cell_ui(
    ui: &mut Ui,
    theme: &Theme,
    origin: Pos2,
    (at, terminal): ((usize, usize), usize),
    (row, names, n_rows): (&TableRow, &[&str], usize),
    actions: &mut Vec<Action>,
) {
    let rect = Rect::from_min_size(origin + vec2(CELL * terminal as f32, 0.0), vec2(CELL, ROW));
    let name = names[terminal];
    let group = group_of(row, name);
    let response = ui.interact(rect, cell_id(at, terminal), Sense::click());
    let says = match group {
        None => PartWords::cell(&row.name, name),
        Some(group) => PartWords::cell_marked(&row.name, name, letter(group)),
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, group.is_some(), &says));
    let painter = ui.painter();
    let inner = rect.shrink(1.5);
    if response.hovered() {
        painter.rect_filled(inner, 0.0, theme.selected.gamma_multiply(0.14));
    }
    if let Some(group) = group {
        let middle = rect.center() + vec2(0.0, lane(row, group));
        painter.circle_filled(middle, 4.5, theme.ink);
        if row.groups.len() > 1 {
            let at = middle + vec2(6.0, -7.0);
            painter.text(at, Align2::LEFT_CENTER, letter(group), medium(11.0), theme.ink);
        }
    }
    if response.has_focus() {
        painter.rect_stroke(inner, 1.0, Stroke::new(2.0, theme.selected), StrokeKind::Inside);
        keys(ui, (at, terminal), (names, n_rows), actions);
    }
    let is_pressed = response.clicked();
    if is_pressed {
        // Letters and arrows go on from the cell that was pressed.
        response.request_focus();
        let mark = PartStep::Mark(at, name.to_owned(), cycled(row, name));
        actions.push(Action::OwnType(mark));
    }
    response.on_hover_text(says);
}

fn cell_id((element, position): (usize, usize), terminal: usize) -> Id {
    Id::unique(("contact table", element, position, terminal))
}

/// What the keyboard does in a cell; Space and Enter press it.
fn keys(
    ui: &Ui,
    (at, terminal): ((usize, usize), usize),
    (names, n_rows): (&[&str], usize),
    actions: &mut Vec<Action>,
) {
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(cell_id(at, terminal), filter));
    let pressed = |key| ui.input(|input| input.modifiers.is_none() && input.key_pressed(key));
    let mark = |group| Action::OwnType(PartStep::Mark(at, names[terminal].to_owned(), group));
    for (group, key) in [Key::A, Key::B, Key::C, Key::D, Key::E, Key::F].into_iter().enumerate() {
        if pressed(key) {
            actions.push(mark(Some(group)));
        }
    }
    if [Key::Delete, Key::Backspace, Key::Minus].into_iter().any(pressed) {
        actions.push(mark(None));
    }
    let (element, position) = at;
    let steps = [
        (Key::ArrowLeft, (Some(position), terminal.checked_sub(1))),
        (Key::ArrowRight, (Some(position), Some(terminal + 1))),
        (Key::ArrowUp, (position.checked_sub(1), Some(terminal))),
        (Key::ArrowDown, (Some(position + 1), Some(terminal))),
    ];
    let to = steps.into_iter().find(|(key, _)| pressed(*key)).map(|(_, to)| to);
    if let Some((Some(position), Some(terminal))) = to
        && position < n_rows
        && terminal < names.len()
    {
        let to = cell_id((element, position), terminal);
        ui.memory_mut(|memory| memory.request_focus(to));
    }
}
