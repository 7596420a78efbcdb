//! What the findings tell of the setting that is tried, and of all others, while nothing was let go wrong.

use egui::{Role, Ui, WidgetInfo};
use loomwright_rules::{Finding, Level};

use crate::action::Action;
use crate::analysis::Analysis;
use crate::rich::rich;
use crate::state::State;
use crate::texts::Wrongs;
use crate::theme::{Theme, medium, semibold};
use crate::trial::Trial;
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
    FoundView { here: row(&here), elsewhere: row(&elsewhere), is_done: analysis.is_done() }
}

fn row(found: &[(usize, &Finding)]) -> Option<FoundRow> {
    let (first, worst) = found.iter().min_by_key(|(_, finding)| finding.level)?;
    let count = |level| found.iter().filter(|(_, finding)| finding.level == level).count();
    let counts = [Level::Danger, Level::Fault].map(|level| (count(level), level));
    let counts = counts.into_iter().filter(|(count, _)| *count > 0);
    let says: Vec<String> = counts.map(|(count, level)| counted(count, level)).collect();
    Some(FoundRow { says: says.join(", "), level: worst.level, first: *first })
}

/// Paints it in two lines.
pub(super) fn found_ui(ui: &mut Ui, theme: &Theme, view: &FoundView, actions: &mut Vec<Action>) {
    if let Some(row) = &view.here {
        let words = (Wrongs::found_here(&row.says), Wrongs::found_here_tip());
        if way_ui(ui, theme, row, words) {
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
        let words = (Wrongs::found_elsewhere(&row.says), Wrongs::found_elsewhere_tip());
        if way_ui(ui, theme, row, words) {
            actions.push(Action::ShowMe(row.first));
        }
    } else {
        let text = rich(Wrongs::try_one()).font(medium(12.5)).color(theme.muted);
        ui.add(egui::Label::new(text).truncate()).on_hover_text(Wrongs::try_one_tip());
    }
}

/// Words that are the way to the first of what they count; whether they were pressed.
fn way_ui(ui: &mut Ui, theme: &Theme, row: &FoundRow, (says, tip): (String, &'static str)) -> bool {
    let text = rich(&says).font(semibold(13.0)).color(theme.level(row.level));
    let response = ui.add(egui::Label::new(text).truncate().sense(egui::Sense::click()));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &says));
    if response.hovered() || response.has_focus() {
        let line = response.rect.x_range();
        let stroke = egui::Stroke::new(1.0, theme.level(row.level));
        ui.painter().hline(line, response.rect.bottom() - 1.0, stroke);
    }
    response.on_hover_text(format!("{says}. {tip}")).clicked()
}
