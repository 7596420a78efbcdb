//! A cell: what one part must do in one setting, changed by a list or by a letter.

use egui::{Align2, EventFilter, Key, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use loomwright_circuit::Expectation;

use super::{CELL, CellView, HEAD, LEFT, Mark, Place, Sheet, cell_id, piece, sign};
use crate::action::{Action, GridStep};
use crate::rich::rich;
use crate::state::GridRow;
use crate::texts::CellWords;
use crate::theme::{medium, plain};

/// Paints it.
pub(super) fn cell_ui(
    ui: &mut Ui,
    sheet: &Sheet<'_>,
    at: (usize, usize),
    (row, cell): (GridRow, &CellView),
    actions: &mut Vec<Action>,
) {
    let (theme, rect) = (sheet.theme, sheet.cell(at));
    let piece = piece(ui, ("cell", at), rect, sheet.clip(Place::Cells));
    let response = piece.interact(rect, cell_id(at), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &cell.name));
    let Some((column, _)) = sheet.view.columns.get(at.1) else { return };
    let set = |must| Action::Grid(GridStep::Cell(row, column.clone(), must));
    let is_listed = egui::Popup::is_id_open(ui.ctx(), egui::Popup::default_response_id(&response));
    let painter = piece.painter();
    let inner = rect.shrink2(vec2(1.0, 1.0));
    if cell.mark == Mark::Broken {
        painter.rect_filled(inner, 0.0, theme.danger.gamma_multiply(0.10));
    }
    if response.hovered() || is_listed {
        painter.rect_filled(inner, 0.0, theme.selected.gamma_multiply(0.14));
    }
    if response.has_focus() {
        painter.rect_stroke(inner, 1.0, Stroke::new(2.0, theme.selected), StrokeKind::Inside);
    }
    word_ui(&piece, sheet, rect, cell);
    if response.has_focus() && !is_listed {
        keys(ui, sheet, at, cell, &set, actions);
    }
    let popup = egui::Popup::menu(&response).width(132.0);
    popup.show(|ui| list_ui(ui, sheet, cell, &set, actions));
    let keys = keys_of(cell.choices);
    let tip = match &cell.broken {
        Some(broken) => format!("{broken}.\n{keys}"),
        None => keys,
    };
    response.on_hover_text(rich(tip));
}

/// The word with its mark before it; a dash where nothing is asked.
fn word_ui(ui: &Ui, sheet: &Sheet<'_>, rect: Rect, cell: &CellView) {
    let theme = sheet.theme;
    let Some(must) = cell.must else {
        let ends = [-4.0, 4.0].map(|x| rect.center() + vec2(x, 0.0));
        ui.painter().line_segment(ends, Stroke::new(1.0, theme.edge));
        return;
    };
    let colour = cell.mark.colour(theme);
    let middle = rect.left_center() + vec2(14.0, 0.0);
    sign(ui.painter(), middle, cell.mark, colour);
    let colour = if cell.mark == Mark::Broken { colour } else { theme.ink };
    let pos = middle + vec2(11.0, 0.0);
    ui.painter().text(pos, Align2::LEFT_CENTER, must.word(), medium(14.0), colour);
}

/// Which letter sets what.
fn letter(must: Expectation) -> Key {
    match must {
        Expectation::Lit => Key::L,
        Expectation::Dark => Key::D,
        Expectation::Flashing => Key::F,
        Expectation::Working => Key::W,
        Expectation::Idle | Expectation::In => Key::I,
        Expectation::Out => Key::O,
    }
}

fn keys_of(choices: &[Expectation]) -> String {
    let words = choices.iter().map(|must| format!("{} {}", letter(*must).name(), must.word()));
    let words: Vec<String> = words.collect();
    CellWords::keys_delete_anything_arrows_go_on(words.join(", "))
}

/// What the keyboard does in a cell.
fn keys(
    ui: &mut Ui,
    sheet: &Sheet<'_>,
    at: (usize, usize),
    cell: &CellView,
    set: &dyn Fn(Option<Expectation>) -> Action,
    actions: &mut Vec<Action>,
) {
    let filter =
        EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(cell_id(at), filter));
    let pressed = |key| ui.input(|input| input.modifiers.is_none() && input.key_pressed(key));
    for must in cell.choices {
        if pressed(letter(*must)) {
            actions.push(set(Some(*must)));
        }
    }
    if [Key::Delete, Key::Backspace, Key::Minus].into_iter().any(pressed) {
        actions.push(set(None));
    }
    let (n_rows, n_columns) = (sheet.rows.len(), sheet.view.columns.len());
    let steps = [
        (Key::ArrowLeft, (at.0, at.1.saturating_sub(1))),
        (Key::ArrowRight, (at.0, at.1 + 1)),
        (Key::ArrowUp, (at.0.saturating_sub(1), at.1)),
        (Key::ArrowDown, (at.0 + 1, at.1)),
    ];
    let wanted = steps.into_iter().find(|(key, _)| pressed(*key)).map(|(_, to)| to);
    let is_there = |to: &(usize, usize)| *to != at && to.0 < n_rows && to.1 < n_columns;
    if let Some(to) = wanted.filter(is_there) {
        ui.memory_mut(|memory| memory.request_focus(cell_id(to)));
        // What stays above and at the left shall not cover it.
        let mut rect = sheet.cell(to);
        rect.min -= vec2(LEFT, HEAD);
        ui.scroll_to_rect(rect, None);
    }
}

/// The words to choose from, each with its letter.
fn list_ui(
    ui: &mut Ui,
    sheet: &Sheet<'_>,
    cell: &CellView,
    set: &dyn Fn(Option<Expectation>) -> Action,
    actions: &mut Vec<Action>,
) {
    let theme = sheet.theme;
    let rows = cell.choices.iter().map(|must| (Some(*must), must.word(), letter(*must).name()));
    for (must, word, key) in rows.chain([(None, "anything", CellWords::delete())]) {
        let is_chosen = must == cell.must;
        let text = rich(word).font(medium(14.0)).color(theme.ink);
        let key = rich(key).font(plain(13.0)).color(theme.muted);
        let button = egui::Button::new(text).right_text(key).selected(is_chosen);
        let response = ui.add(button.min_size(vec2(CELL, 24.0)));
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, word));
        if response.clicked() && !is_chosen {
            actions.push(set(must));
        }
    }
}
