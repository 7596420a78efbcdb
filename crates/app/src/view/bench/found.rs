//! What the findings tell of the setting that is tried, and of all others, while nothing was let go wrong.

use std::collections::BTreeSet;

use egui::text::{LayoutJob, TextFormat};
use egui::{Role, Ui, WidgetInfo};
use loomwright_circuit::SheetId;
use loomwright_electrics::rig::Wrong;
use loomwright_rules::{Finding, Level};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::rich::{rich, unparted};
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
    /// Whether the battery's leads are off, so that nothing of it is so before they are on again.
    pub is_battery_off: bool,
    /// Whether the car is checked, so that none of them may still come.
    pub is_done: bool,
}

impl FoundView {
    /// How those of the setting that is tried are told.
    fn here_words(&self) -> &'static Words {
        if self.is_battery_off { &BATTERY_ON_AGAIN } else { &HERE }
    }
}

/// Some of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundRow {
    /// "2 dangers", "1 fault", the worst first.
    pub counts: Vec<(Level, String)>,
    /// "on sheets 3 and 5"; nothing where the car has one sheet alone.
    pub place: Option<String>,
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
        is_battery_off: trial.has(&Wrong::BatteryOff),
        is_done: analysis.is_done(),
    }
}

fn row(state: &State, found: &[(usize, &Finding)]) -> Option<FoundRow> {
    let (first, _) = found.iter().min_by_key(|(_, finding)| finding.level)?;
    let count = |level| found.iter().filter(|(_, finding)| finding.level == level).count();
    let counts = [Level::Danger, Level::Fault].map(|level| (count(level), level));
    let counts = counts.into_iter().filter(|(count, _)| *count > 0);
    let counts = counts.map(|(count, level)| (level, counted(count, level))).collect();
    Some(FoundRow { counts, place: place(state, found), first: *first })
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

/// What is said of findings in the setting that is tried.
const HERE: Words = Words {
    whole: |says, place| Wrongs::found_now_at(says, place),
    short: |says| Wrongs::found_now(says),
    tip: Wrongs::found_now_tip(),
};

/// The same while the battery's leads are off.
const BATTERY_ON_AGAIN: Words = Words {
    whole: |says, place| Wrongs::found_with_battery_at(says, place),
    short: |says| Wrongs::found_with_battery(says),
    tip: Wrongs::found_with_battery_tip(),
};

/// What is said of those in other settings alone.
const ELSEWHERE: Words = Words {
    whole: |says, place| Wrongs::found_otherwise_at(says, place),
    short: |says| Wrongs::found_otherwise(says),
    tip: Wrongs::found_otherwise_tip(),
};

/// Paints it in one line, above what was let go wrong: without places, and those of other settings where there is room.
pub(super) fn found_line_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &FoundView,
    actions: &mut Vec<Action>,
) {
    /// Between the two, points.
    const APART: f32 = 12.0;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = APART;
        if let Some(row) = &view.here
            && way_ui(ui, theme, row, (view.here_words(), false))
        {
            actions.push(Action::LookAt(row.first));
        }
        let Some(row) = &view.elsewhere else { return };
        let counts = Words::counts(row);
        let job = in_colours(theme, row, &(ELSEWHERE.short)(&counts));
        let has_room = ui.painter().layout_job(job).size().x <= ui.available_width();
        if (has_room || view.here.is_none()) && way_ui(ui, theme, row, (&ELSEWHERE, false)) {
            actions.push(Action::ShowMe(row.first));
        }
    });
}

/// Paints it in two lines.
pub(super) fn found_ui(ui: &mut Ui, theme: &Theme, view: &FoundView, actions: &mut Vec<Action>) {
    if let Some(row) = &view.here {
        if way_ui(ui, theme, row, (view.here_words(), true)) {
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
        if way_ui(ui, theme, row, (&ELSEWHERE, true)) {
            actions.push(Action::ShowMe(row.first));
        }
    } else {
        let text = rich(Wrongs::try_one()).font(medium(12.5)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(Wrongs::try_one_tip());
    }
}

/// What is said around counts: with their place, without it, and on their tip.
struct Words {
    whole: fn(&str, &str) -> String,
    short: fn(&str) -> String,
    tip: &'static str,
}

impl Words {
    fn counts(row: &FoundRow) -> String {
        row.counts.iter().map(|(_, says)| says.as_str()).collect::<Vec<_>>().join(", ")
    }
}

/// Words that are the way to the first of what they count, with its place where there is room for that; whether they
/// were pressed.
fn way_ui(
    ui: &mut Ui,
    theme: &Theme,
    row: &FoundRow,
    (words, tells_place): (&Words, bool),
) -> bool {
    let counts = Words::counts(row);
    let short = (words.short)(&counts);
    let whole = row.place.as_ref().map_or_else(|| short.clone(), |at| (words.whole)(&counts, at));
    let is_room = |says: &str| {
        let galley = ui.painter().layout_job(in_colours(theme, row, says));
        galley.size().x <= ui.available_width()
    };
    let job = in_colours(theme, row, if tells_place && is_room(&whole) { &whole } else { &short });
    let response = ui.add(egui::Label::new(job).truncate().sense(egui::Sense::click()));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &whole));
    if response.hovered() || response.has_focus() {
        let line = response.rect.x_range();
        let stroke = egui::Stroke::new(1.0, theme.ink);
        ui.painter().hline(line, response.rect.bottom() - 1.0, stroke);
    }
    response.on_hover_text(format!("{whole}. {}", words.tip)).clicked()
}

/// What is said, with each count in the colour of its own level.
fn in_colours(theme: &Theme, row: &FoundRow, says: &str) -> LayoutJob {
    let mut job = LayoutJob::default();
    let mut left = says;
    let mut set = |text: &str, colour| {
        let format = TextFormat { font_id: semibold(13.0), color: colour, ..Default::default() };
        job.append(&unparted(text.to_owned()), 0.0, format);
    };
    for (level, count) in &row.counts {
        let Some((before, after)) = left.split_once(count.as_str()) else { continue };
        set(before, theme.ink);
        set(count, theme.level(*level));
        left = after;
    }
    set(left, theme.ink);
    job
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_count_bears_the_colour_of_its_own_level_alone() {
        let theme = &crate::theme::DAY;
        let counts = [(Level::Danger, "1 danger"), (Level::Fault, "2 faults")];
        let counts = counts.map(|(level, says)| (level, says.to_owned())).to_vec();
        let row = FoundRow { counts, place: None, first: 0 };
        let job = in_colours(theme, &row, &Wrongs::found_now("1 danger, 2 faults"));
        let plainly = job.text.replace('\u{a0}', " ");
        assert_eq!(plainly, "1 danger, 2 faults now");
        let colour_at = |byte: usize| {
            let mut sections = job.sections.iter();
            let at = sections.find(|section| section.byte_range.contains(&byte.into()));
            at.expect("all is set").format.color
        };
        let at = |word| job.text.find(word).expect("it is said");
        assert_eq!(colour_at(at("danger")), theme.level(Level::Danger));
        assert_eq!(colour_at(at("faults")), theme.level(Level::Fault));
        assert_eq!(colour_at(at("now")), theme.ink);
    }
}
