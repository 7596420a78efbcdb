//! The truth table of promises: settings down, parts across, and in each cell what the part must do then.

mod cell;
mod head;
mod mark;
mod setting;

use egui::{
    Color32, Id, Key, KeyboardShortcut, Modifiers, Pos2, Rect, ScrollArea, Sense, Stroke, Ui,
    UiBuilder, Vec2, pos2, vec2,
};
use loomwright_circuit::{Expectation, FuseWay, Moment, PromiseId};

use super::{answers, heading};
use crate::action::{Action, GridStep};
use crate::analysis::Analysis;
use crate::handle::is_of;
use crate::promises::{askable, choices};
use crate::rich::rich;
use crate::state::{Column, Grid, GridRow, State};
use crate::texts::GridWords;
use crate::theme::{Theme, plain};
use crate::words;

pub(super) use mark::{Mark, sign};

/// What the table shows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct GridView {
    /// The parts, one a column.
    pub columns: Vec<(Column, String)>,
    /// The settings, one a row.
    pub rows: Vec<RowView>,
    /// Parts that have no column yet.
    pub askable: Vec<(Column, String)>,
    /// What is typed to find one of them.
    pub search: String,
    /// The controls with their positions, and which each stands in.
    pub controls: Vec<(String, Vec<String>, String)>,
    /// The fuses.
    pub fuses: Vec<(FuseWay, String)>,
}

/// One setting.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RowView {
    /// Which row.
    pub row: GridRow,
    /// The controls that matter.
    pub when: Vec<Moment>,
    /// The fuses that it must hold without.
    pub without: Vec<FuseWay>,
    /// Both in words.
    pub says: String,
    /// How it is kept.
    pub mark: Mark,
    /// That in words.
    pub judged: String,
    /// The promise to be shown in Try, where it is broken.
    pub shown: Option<PromiseId>,
    /// What it asks of the part of each column.
    pub cells: Vec<CellView>,
}

/// What one part must do in one setting.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CellView {
    /// What it must do; with nothing, it may do anything.
    pub must: Option<Expectation>,
    /// What can be asked.
    pub choices: &'static [Expectation],
    /// How it is kept.
    pub mark: Mark,
    /// Its name for who cannot see it.
    pub name: String,
    /// What breaks it.
    pub broken: Option<String>,
}

/// Builds it.
pub(super) fn grid_view(state: &State, analysis: &Analysis, grid: &Grid) -> GridView {
    let car = state.car();
    let named = |column: &Column| (column.clone(), words::column(car, column));
    let columns: Vec<(Column, String)> = grid.columns.iter().map(named).collect();
    let rows = grid.rows(car).map(|(row, promise)| {
        let GridRow::Made(id) = row else {
            return row_view(state, analysis, &columns, (row, promise), None);
        };
        row_view(state, analysis, &columns, (row, promise), Some(id))
    });
    let rows = rows.collect();
    let other = askable(car).into_iter().filter(|column| !grid.columns.contains(column));
    let mut askable: Vec<(Column, String)> = other.map(|column| named(&column)).collect();
    askable.sort_by(|a, b| a.1.cmp(&b.1));
    let controls = analysis.trial.iter().flat_map(|trial| trial.controls());
    let controls = controls.map(|(control, stands)| {
        let positions = control.positions.iter().map(|position| position.name.clone());
        (control.name.clone(), positions.collect(), stands.name.clone())
    });
    GridView {
        rows,
        askable,
        search: grid.search.clone(),
        controls: controls.collect(),
        fuses: setting::fuses(car),
        columns,
    }
}

fn row_view(
    state: &State,
    analysis: &Analysis,
    columns: &[(Column, String)],
    (row, promise): (GridRow, &loomwright_circuit::Promise),
    id: Option<PromiseId>,
) -> RowView {
    let car = state.car();
    let kept = id.and_then(|id| analysis.checked.kept.get(&id));
    let says = words::when(car, promise);
    let (mark, judged) = mark::of_row(promise, kept);
    let cells = columns.iter().map(|(column, part)| {
        let claim = promise.then.iter().find(|claim| is_of(claim, column));
        let (mark, broken) = mark::of_cell(promise, claim, kept);
        let name = match claim {
            None => GridWords::with_anything(part, &says),
            Some(claim) => format!("{part} with {says}: {}, {}", claim.must.word(), mark.word()),
        };
        let must = claim.map(|claim| claim.must);
        CellView { must, choices: choices(car, column), mark, name, broken }
    });
    RowView {
        row,
        when: promise.when.clone(),
        without: promise.without.clone(),
        mark,
        judged,
        shown: id.filter(|_| mark == Mark::Broken),
        cells: cells.collect(),
        says,
    }
}

/// Width of the column with the settings, and of one with a part.
const LEFT: f32 = 252.0;
const CELL: f32 = 112.0;
/// Height of the headings.
const HEAD: f32 = 60.0;

/// Where things are while the table is scrolled.
struct Sheet<'a> {
    theme: &'a Theme,
    view: &'a GridView,
    /// The corner of the whole table, perhaps out of sight.
    origin: Pos2,
    /// What of it is in sight.
    seen: Rect,
    /// Top and height of each row.
    rows: Vec<(f32, f32)>,
}

impl Sheet<'_> {
    fn cell(&self, (row, column): (usize, usize)) -> Rect {
        let (top, height) = self.rows.get(row).copied().unwrap_or_default();
        let left = LEFT + CELL * column as f32;
        Rect::from_min_size(self.origin + vec2(left, HEAD + top), vec2(CELL, height))
    }

    /// Where a part of the table shows: headings stay above, settings at the left.
    fn clip(&self, place: Place) -> Rect {
        let Rect { min, max } = self.seen;
        let corner = (min + vec2(LEFT, HEAD)).min(max);
        match place {
            Place::Corner => Rect::from_min_max(min, corner),
            Place::Heads => Rect::from_min_max(pos2(corner.x, min.y), pos2(max.x, corner.y)),
            Place::Settings => Rect::from_min_max(pos2(min.x, corner.y), pos2(corner.x, max.y)),
            Place::Cells => Rect::from_min_max(corner, max),
        }
    }
}

/// A part of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Corner,
    Heads,
    Settings,
    Cells,
}

/// A piece of the table that shows only inside its part. Its id is its own, so that a list stays open while others come
/// and go.
fn piece(ui: &mut Ui, id: impl std::hash::Hash + std::fmt::Debug, rect: Rect, clip: Rect) -> Ui {
    let id = Id::unique((GridWords::truth_table_piece(), id));
    let mut piece = ui.new_child(UiBuilder::new().scope_id(id).max_rect(rect));
    piece.set_clip_rect(clip.intersect(ui.clip_rect()));
    piece
}

/// Paints it.
pub(super) fn grid_ui(ui: &mut Ui, theme: &Theme, view: &GridView, actions: &mut Vec<Action>) {
    take_back(ui, actions);
    heading(ui, theme, GridWords::what_this_car_must_do());
    let screen = ui.ctx().content_rect().height();
    let room = (screen - 214.0).max(150.0);
    let frame = egui::Frame::new()
        .fill(theme.paper)
        .stroke(Stroke::new(1.5, theme.ink))
        .inner_margin(egui::Margin::same(2));
    frame.show(ui, |ui| {
        ScrollArea::both()
            .id_salt("truth table")
            .max_height(room)
            .min_scrolled_height(room)
            .auto_shrink([false, true])
            .show_viewport(ui, |ui, viewport| table_ui(ui, theme, view, viewport, actions));
    });
    ui.horizontal_wrapped(|ui| {
        for (mark, text) in mark::LEGEND {
            mark::legend_ui(ui, theme, *mark, text);
        }
    });
    let keys = GridWords::arrows_go_from_cell_to_cell();
    ui.label(rich(keys).font(plain(13.0)).color(theme.muted));
    answers(ui, theme, &[(GridWords::close(), Action::CloseQuestion)], actions);
}

/// The keys that take a step back work in the table as on the sheet, but not while something is typed.
fn take_back(ui: &Ui, actions: &mut Vec<Action>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    // The toolkit takes a key with Shift for the key alone too, so that comes first.
    let redo = Modifiers::COMMAND | Modifiers::SHIFT;
    for (modifiers, key, step) in [
        (redo, Key::Z, GridStep::Redo),
        (Modifiers::COMMAND, Key::Y, GridStep::Redo),
        (Modifiers::COMMAND, Key::Z, GridStep::Undo),
    ] {
        let shortcut = KeyboardShortcut::new(modifiers, key);
        if ui.ctx().input_mut(|input| input.consume_shortcut(&shortcut)) {
            actions.push(Action::Grid(step));
        }
    }
}

fn table_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &GridView,
    viewport: Rect,
    actions: &mut Vec<Action>,
) {
    let mut rows = Vec::new();
    let mut top = 0.0;
    for row in &view.rows {
        let height = setting::height(ui, theme, row);
        rows.push((top, height));
        top += height;
    }
    // A column more than there are, and a row, to add one.
    let size = vec2(LEFT + CELL * (view.columns.len() + 1) as f32, HEAD + top + 40.0);
    let (rect, _) = ui.allocate_exact_size(size.max(viewport.size()), Sense::hover());
    let seen = Rect::from_min_size(rect.min + viewport.min.to_vec2(), viewport.size());
    let sheet = Sheet { theme, view, origin: rect.min, seen, rows };
    head::heads_ui(ui, &sheet, actions);
    for (row_idx, row) in view.rows.iter().enumerate() {
        setting::setting_ui(ui, &sheet, (row_idx, row), actions);
        for (column_idx, cell) in row.cells.iter().enumerate() {
            cell::cell_ui(ui, &sheet, (row_idx, column_idx), (row.row, cell), actions);
        }
    }
    setting::add_ui(ui, &sheet, top, actions);
    rule_lines(ui, &sheet);
}

/// The lines of the table, heavier around the headings.
fn rule_lines(ui: &Ui, sheet: &Sheet<'_>) {
    let Sheet { theme, seen, origin, .. } = sheet;
    let fine = Stroke::new(1.0, theme.edge);
    let heavy = Stroke::new(1.5, theme.ink);
    let below =
        ui.painter().with_clip_rect(sheet.clip(Place::Settings).union(sheet.clip(Place::Cells)));
    for (top, height) in &sheet.rows {
        below.hline(seen.x_range(), origin.y + HEAD + top + height, fine);
    }
    let bottom = sheet.rows.last().map_or(HEAD, |(top, height)| HEAD + top + height);
    let right =
        ui.painter().with_clip_rect(sheet.clip(Place::Heads).union(sheet.clip(Place::Cells)));
    for column_idx in 1..=sheet.view.columns.len() {
        let x = origin.x + LEFT + CELL * column_idx as f32;
        right.vline(x, egui::Rangef::new(seen.top(), origin.y + bottom), fine);
    }
    let all = ui.painter().with_clip_rect(*seen);
    all.hline(seen.x_range(), seen.top() + HEAD, heavy);
    all.vline(seen.left() + LEFT, seen.y_range(), heavy);
}

/// A button as small as a line of the table.
fn small_button(ui: &mut Ui, theme: &Theme, text: &str, colour: Color32) -> egui::Response {
    let text = rich(text).font(crate::theme::medium(13.0)).color(colour);
    let button = egui::Button::new(text)
        .fill(theme.field)
        .stroke(Stroke::new(1.0, theme.edge))
        .truncate()
        .min_size(Vec2::new(0.0, 20.0));
    ui.add(button)
}

/// The id of a cell by its place, so that the keyboard stays there while what stands in it changes.
fn cell_id((row, column): (usize, usize)) -> Id {
    Id::unique((GridWords::truth_table(), row, column))
}
