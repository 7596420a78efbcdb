//! What the findings tell of the setting that is tried, and of all others, while nothing was let go wrong.

use std::collections::BTreeSet;

use egui::{Role, Ui, WidgetInfo};
use loomwright_circuit::SheetId;
use loomwright_rules::{Finding, Level};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::rich::rich;
use crate::state::State;
use crate::texts::Wrongs;
use crate::theme::{Theme, medium, semibold};
use crate::trial::Trial;
use crate::view::findings::sheet_of;
use crate::view::status::counted;

/// Dangers and faults of the car as it is drawn.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FoundView {
    /// In the setting that is tried.
    pub here: Option<FoundRow>,
    /// In other settings alone.
    pub elsewhere: Option<FoundRow>,
    /// Whether the car is checked, so that none of them may still come.
    pub is_done: bool,
}

/// Some of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundRow {
    /// "2 dangers, 1 fault".
    pub says: String,
    /// "on sheets 3 and 5"; nothing where the car has one sheet alone.
    pub place: Option<String>,
    /// How bad the worst is.
    pub level: Level,
    /// The first of the worst.
    pub first: usize,
}

/// Builds it.
pub(super) fn found_view(state: &State, analysis: &Analysis, trial: &Trial) -> FoundView {
    let is_wrong = |finding: &Finding| !finding.is_accepted() && finding.level != Level::Advice;
    let wrong = analysis.findings(state.car()).filter(|(_, finding)| is_wrong(finding));
    // What stands in the drawing itself is so in every setting.
    let is_here = |finding: &Finding| {
        finding.setting.iter().all(|(control, position)| {
            trial.position(control).is_some_and(|stands| stands.name == *position)
        })
    };
    let (here, elsewhere): (Vec<_>, Vec<_>) = wrong.partition(|(_, finding)| is_here(finding));
    FoundView {
        here: row(state, &here),
        elsewhere: row(state, &elsewhere),
        is_done: analysis.is_done(),
    }
}

fn row(state: &State, found: &[(usize, &Finding)]) -> Option<FoundRow> {
    let (first, worst) = found.iter().min_by_key(|(_, finding)| finding.level)?;
    let count = |level| found.iter().filter(|(_, finding)| finding.level == level).count();
    let counts = [Level::Danger, Level::Fault].map(|level| (count(level), level));
    let counts = counts.into_iter().filter(|(count, _)| *count > 0);
    let says: Vec<String> = counts.map(|(count, level)| counted(count, level)).collect();
    let (says, place) = (says.join(", "), place(state, found));
    Some(FoundRow { says, place, level: worst.level, first: *first })
}

/// On which sheets they stand, of a car that has several.
fn place(state: &State, found: &[(usize, &Finding)]) -> Option<String> {
    let car = state.car();
    if car.sheets().len() < 2 {
        return None;
    }
    let on: BTreeSet<SheetId> =
        found.iter().filter_map(|(_, finding)| sheet_of(car, finding)).collect();
    if on.iter().eq([&state.sheet]) {
        return Some(Wrongs::on_this_sheet().to_owned());
    }
    let sheets = car.sheets().keys().enumerate();
    let numbers = sheets.filter(|(_, id)| on.contains(id)).map(|(idx, _)| (idx + 1).to_string());
    let numbers: Vec<String> = numbers.collect();
    let (last, others) = numbers.split_last()?;
    Some(match others {
        [] => Wrongs::on_sheet(last),
        _ => Wrongs::on_sheets(others.join(", "), last),
    })
}

/// Paints it in two lines.
pub(super) fn found_ui(ui: &mut Ui, theme: &Theme, view: &FoundView, actions: &mut Vec<Action>) {
    if let Some(row) = &view.here {
        let whole = row.place.as_ref().map(|place| Wrongs::found_now_at(&row.says, place));
        let words = (whole, Wrongs::found_now(&row.says), Wrongs::found_now_tip());
        if way_ui(ui, theme, row.level, words) {
            actions.push(Action::LookAt(row.first));
        }
    } else {
        let (says, tip) = if view.is_done {
            (Wrongs::nothing_here(), Wrongs::nothing_here_tip())
        } else {
            (Wrongs::nothing(), Wrongs::nothing_tip())
        };
        let text = rich(says).font(semibold(13.5)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(tip);
    }
    if let Some(row) = &view.elsewhere {
        let whole = row.place.as_ref().map(|place| Wrongs::found_otherwise_at(&row.says, place));
        let words = (whole, Wrongs::found_otherwise(&row.says), Wrongs::found_otherwise_tip());
        if way_ui(ui, theme, row.level, words) {
            actions.push(Action::ShowMe(row.first));
        }
    } else {
        let text = rich(Wrongs::try_one()).font(medium(12.5)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(Wrongs::try_one_tip());
    }
}

/// Words that are the way to the first of what they count, with its place where there is room for that; whether they
/// were pressed.
fn way_ui(
    ui: &mut Ui,
    theme: &Theme,
    level: Level,
    (whole, short, tip): (Option<String>, String, &'static str),
) -> bool {
    let (font, colour) = (semibold(13.0), theme.level(level));
    let is_room = |says: &String| {
        let galley = ui.painter().layout_no_wrap(says.clone(), font.clone(), colour);
        galley.size().x <= ui.available_width()
    };
    let says = whole.as_ref().filter(|says| is_room(says)).unwrap_or(&short);
    let text = rich(says).font(font.clone()).color(colour);
    let response = ui.add(egui::Label::new(text).truncate().sense(egui::Sense::click()));
    let whole = whole.as_ref().unwrap_or(&short);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, whole));
    if response.hovered() || response.has_focus() {
        let line = response.rect.x_range();
        let stroke = egui::Stroke::new(1.0, colour);
        ui.painter().hline(line, response.rect.bottom() - 1.0, stroke);
    }
    response.on_hover_text(format!("{whole}. {tip}")).clicked()
}
