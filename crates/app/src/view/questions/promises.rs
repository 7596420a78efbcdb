//! All promises as a table: a row for each, a column for each part that one of them asks something of.

use egui::{
    Align2, Color32, Painter, Pos2, RichText, Role, ScrollArea, Sense, Stroke, Ui, WidgetInfo, vec2,
};
use loomwright_circuit::{Claim, Name, PartId, Promise, PromiseId};

use super::{answers, heading};
use crate::action::{Action, PromiseStep};
use crate::analysis::Analysis;
use crate::promises::{Verdict, verdict};
use crate::state::State;
use crate::theme::{Theme, medium, plain, semibold};
use crate::trial::Trial;
use crate::view::widgets::word_button;

/// What the table shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PromisesView {
    /// The parts, one a column.
    pub columns: Vec<String>,
    /// The promises.
    pub rows: Vec<PromiseRow>,
}

/// One promise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PromiseRow {
    /// Which one.
    pub id: PromiseId,
    /// When it asks something.
    pub when: String,
    /// Whether all of it holds.
    pub verdict: Verdict,
    /// What it asks of the part of each column, and whether that holds.
    pub cells: Vec<Option<(&'static str, Verdict)>>,
}

/// Builds it.
pub(super) fn promises_view(state: &State, analysis: &Analysis) -> PromisesView {
    let car = state.car();
    let Some(trial) = &analysis.trial else {
        return PromisesView { columns: Vec::new(), rows: Vec::new() };
    };
    let mut meant: Vec<(PartId, Option<&Name>)> = Vec::new();
    let mut columns = Vec::new();
    for claim in car.promises().values().flat_map(|promise| &promise.then) {
        let key = (claim.part, claim.terminal.as_ref());
        if !meant.contains(&key) {
            meant.push(key);
            columns.push(crate::words::claimed(car, claim));
        }
    }
    let rows = car.promises().iter().map(|(id, promise)| PromiseRow {
        id: *id,
        when: crate::words::when(car, promise),
        verdict: verdict(promise, trial),
        cells: meant.iter().map(|key| cell(promise, trial, *key)).collect(),
    });
    PromisesView { columns, rows: rows.collect() }
}

fn cell(
    promise: &Promise,
    trial: &Trial,
    (part, terminal): (PartId, Option<&Name>),
) -> Option<(&'static str, Verdict)> {
    let is_meant = |claim: &&Claim| claim.part == part && claim.terminal.as_ref() == terminal;
    let claim = promise.then.iter().find(is_meant)?;
    let verdict = match verdict(promise, trial) {
        Verdict::NotAsked => Verdict::NotAsked,
        _ if trial.settled.breach(claim).is_none() => Verdict::Holds,
        _ => Verdict::Broken,
    };
    Some((claim.must.word(), verdict))
}

/// Width of the column with the settings, and of one with a part.
const WIDTHS: (f32, f32) = (190.0, 78.0);

/// Paints it.
pub(super) fn promises_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &PromisesView,
    actions: &mut Vec<Action>,
) {
    heading(ui, theme, "Promises");
    let room = (ui.ctx().content_rect().height() - 210.0).max(120.0);
    ScrollArea::both().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        let grid = egui::Grid::new("promises").striped(true).spacing(vec2(8.0, 7.0));
        grid.show(ui, |ui| {
            ui.label(RichText::new("Whenever").font(semibold(13.0)).color(theme.muted));
            for part in &view.columns {
                head_ui(ui, theme, part);
            }
            ui.end_row();
            for row in &view.rows {
                first_ui(ui, theme, row, actions);
                for (cell, part) in row.cells.iter().zip(&view.columns) {
                    cell_ui(ui, theme, *cell, &format!("{}: {part}", row.when));
                }
                ui.end_row();
            }
        });
    });
    let note = "A tick or a cross stands where the controls are now as a promise says. The findings tell whether it \
                holds in every setting that it is about.";
    ui.label(RichText::new(note).font(plain(13.0)).color(theme.muted));
    answers(ui, theme, &[("Close", Action::CloseQuestion)], actions);
}

/// The name of a part, in three lines at most.
fn head_ui(ui: &mut Ui, theme: &Theme, part: &str) {
    let (font, colour) = (semibold(13.0), theme.ink);
    let galley = crate::painter::in_lines(ui.painter(), part, font, colour, (WIDTHS.1, 3));
    let size = vec2(WIDTHS.1, galley.size().y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    ui.painter().galley(rect.left_top(), galley, colour);
    response.on_hover_text(part);
}

/// When a promise asks something, whether it holds, and to remove it.
fn first_ui(ui: &mut Ui, theme: &Theme, row: &PromiseRow, actions: &mut Vec<Action>) {
    ui.vertical(|ui| {
        ui.set_width(WIDTHS.0);
        ui.spacing_mut().item_spacing.y = 1.0;
        let when = RichText::new(&row.when).font(medium(13.5)).color(theme.ink);
        ui.add(egui::Label::new(when).wrap());
        ui.horizontal(|ui| {
            let sign = RichText::new(row.verdict.word()).font(semibold(13.0));
            ui.label(sign.color(row.verdict.colour(theme)));
            let response = word_button(ui, "Remove", theme.muted);
            if response.clicked() {
                actions.push(Action::Promise(PromiseStep::Remove(row.id)));
            }
            response.accessible_name(format!("Remove the promise: {}", row.when));
        });
    });
}

/// A tick or a cross.
pub(super) fn sign(painter: &Painter, middle: Pos2, verdict: Verdict, colour: Color32) {
    let stroke = Stroke::new(1.8, colour);
    let strokes: &[[(f32, f32); 2]] = match verdict {
        Verdict::Holds => &[[(-4.0, 0.0), (-1.0, 3.5)], [(-1.0, 3.5), (4.0, -4.0)]],
        Verdict::Broken => &[[(-3.5, -3.5), (3.5, 3.5)], [(-3.5, 3.5), (3.5, -3.5)]],
        Verdict::NotAsked => &[],
    };
    for ends in strokes {
        painter.line_segment(ends.map(|(x, y)| middle + vec2(x, y)), stroke);
    }
}

fn cell_ui(ui: &mut Ui, theme: &Theme, cell: Option<(&'static str, Verdict)>, of: &str) {
    let (rect, response) = ui.allocate_exact_size(vec2(WIDTHS.1, 20.0), Sense::hover());
    let Some((must, verdict)) = cell else { return };
    let colour = match verdict {
        Verdict::NotAsked => theme.ink,
        _ => verdict.colour(theme),
    };
    sign(ui.painter(), rect.left_center() + vec2(5.0, 0.0), verdict, colour);
    let pos = rect.left_center() + vec2(14.0, 0.0);
    ui.painter().text(pos, Align2::LEFT_CENTER, must, medium(13.0), colour);
    let says = format!("{of} {must}, {}", verdict.word());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &says));
}
