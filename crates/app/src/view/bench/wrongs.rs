//! What is wrong now, with a tick to mend each; what opens; and what can go wrong with what is selected.

use egui::{Role, Ui, WidgetInfo};
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, FuseRef};

use crate::action::{Action, BenchStep};
use crate::rich::rich;
use crate::state::State;
use crate::texts::{Meters, Opens, Wrongs};
use crate::theme::{Theme, medium, semibold};
use crate::trial::{Trial, choices};
use crate::view::widgets::{edged, elided_label, group_ui, outlined};
use crate::what_if::Suspect;
use crate::words::{bench, trouble};

/// What it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongView {
    /// Each thing that is wrong, in a sentence; whether a new fuse mends it.
    pub rows: Vec<(Wrong, String, bool)>,
    /// Fuses that will open, each in a sentence with the time that is left.
    pub opening: Vec<(FuseRef, String, String)>,
    /// Wires that burn since no fuse opens, in a sentence.
    pub burning: Option<String>,
}

impl WrongView {
    /// Whether nothing was let go wrong, and no fuse opens.
    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty() && self.opening.is_empty() && self.burning.is_none()
    }
}

pub(super) fn wrong_view(state: &State, trial: &Trial, now: f64) -> WrongView {
    let car = state.car();
    let rows = trial.wrongs.iter().map(|here| {
        let is_blown = matches!(here.wrong, Wrong::Fault(Fault::FuseBlown(_)));
        (here.wrong.clone(), bench::wrong(car, here), is_blown)
    });
    let opens = trial.opening();
    let opening = opens.iter().filter_map(|row| {
        let left = (trial.due(row)? - now).max(0.0).ceil();
        let time = trouble::time(row.why.within);
        let amps = bench::amps(row.why.amps.0);
        let says = Opens::will(trouble::fuse(car, &row.fuse), amps, time);
        Some((row.fuse.clone(), says, Opens::left(trouble::time(loomwright_units::Seconds(left)))))
    });
    let burning = burning_says(state, trial);
    WrongView { rows: rows.collect(), opening: opening.collect(), burning }
}

/// Wires named in one line.
const MOST_NAMED: usize = 3;

/// Wires that burn since no fuse opens, in a sentence.
pub(crate) fn burning_says(state: &State, trial: &Trial) -> Option<String> {
    let wires = trial.burning();
    let (_, most) = wires.first()?;
    let named = wires.iter().take(MOST_NAMED);
    let named: Vec<&str> =
        named.filter_map(|(id, _)| Some(&*state.car().wire(*id)?.label)).collect();
    let named = named.join(", ");
    let times = loomwright_units::with_decimals(*most, 0);
    Some(match wires.len().saturating_sub(MOST_NAMED) {
        0 => Opens::burns(named, times),
        more => Opens::burn_with_more(named, more, times),
    })
}

/// A list in the room that it is given; what has no room there scrolls.
pub(super) fn wrong_ui(ui: &mut Ui, theme: &Theme, view: &WrongView, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 1.0;
    let scroll = egui::ScrollArea::vertical().id_salt("wrongs").min_scrolled_height(0.0);
    scroll.auto_shrink(false).show(ui, |ui| {
        if let Some(says) = &view.burning {
            elided_label(ui, says, semibold(13.0), theme.danger);
        }
        for row in &view.opening {
            opening_ui(ui, theme, row, actions);
        }
        for row in &view.rows {
            wrong_row_ui(ui, theme, row, actions);
        }
    });
}

/// To mend all that is wrong at once.
pub(super) fn mend_ui(ui: &mut Ui, theme: &Theme, view: &WrongView, actions: &mut Vec<Action>) {
    let words = match view.rows.len() {
        0 => return,
        1 => Wrongs::mend_all().to_owned(),
        // The list of them has little room.
        n => Wrongs::mend_all_of(n),
    };
    let response = outlined(ui, &words, theme.ink);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, Wrongs::mend_all()));
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::MendAll));
    }
}

fn opening_ui(
    ui: &mut Ui,
    theme: &Theme,
    (fuse, says, left): &(FuseRef, String, String),
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if outlined(ui, Opens::now(), theme.danger).clicked() {
                actions.push(Action::Bench(BenchStep::OpenNow(fuse.clone())));
            }
            ui.label(rich(left).font(medium(13.0)).color(theme.ink));
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                elided_label(ui, says, semibold(13.0), theme.danger);
            });
        });
    });
}

fn wrong_row_ui(
    ui: &mut Ui,
    theme: &Theme,
    (wrong, says, is_blown): &(Wrong, String, bool),
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        let mut is_wrong = true;
        let response = ui.checkbox(&mut is_wrong, "");
        response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, true, says));
        let mut mends = response.on_hover_text(Wrongs::tip()).clicked();
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            mends |= *is_blown && outlined(ui, Wrongs::new_fuse(), theme.ink).clicked();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                elided_label(ui, says, medium(13.0), theme.ink);
            });
        });
        if mends {
            actions.push(Action::Bench(BenchStep::Mend(wrong.clone())));
        }
    });
}

/// What can go wrong with what is read, below its readings.
pub fn offers_ui(
    ui: &mut Ui,
    theme: &Theme,
    (state, trial): (&State, &Trial),
    suspect: Suspect,
    actions: &mut Vec<Action>,
) {
    if choices(state.car(), suspect).is_empty() {
        return;
    }
    group_ui(ui, theme, Wrongs::what_if_so());
    ui.add_space(3.0);
    offered_ui(ui, state, trial, suspect, actions);
}

/// What can go wrong with a row, as ticks; and the meter in place of a fuse.
pub fn offered_ui(
    ui: &mut Ui,
    state: &State,
    trial: &Trial,
    suspect: Suspect,
    actions: &mut Vec<Action>,
) {
    for wrong in choices(state.car(), suspect) {
        let mut is_wrong = trial.has(&wrong);
        let words = bench::doing(state.car(), &wrong);
        if let Wrong::FuseOut(fuse) = &wrong {
            let blown = Wrong::Fault(Fault::FuseBlown(fuse.clone()));
            if trial.has(&blown) && ui.button(Wrongs::new_fuse()).clicked() {
                ui.close();
                actions.push(Action::Bench(BenchStep::Mend(blown)));
            }
        }
        let tick = |ui: &mut Ui| ui.checkbox(&mut is_wrong, words);
        if edged(ui, state.theme(), tick).clicked() {
            ui.close();
            let step = if is_wrong {
                BenchStep::Spoil(wrong.clone())
            } else {
                BenchStep::Mend(wrong.clone())
            };
            actions.push(Action::Bench(step));
        }
        if let Wrong::FuseOut(fuse) = wrong {
            let words = Meters::in_place(trouble::fuse(state.car(), &fuse));
            let response = ui.button(words);
            if response.clicked() {
                ui.close();
                actions.push(Action::Bench(BenchStep::InPlaceOf(fuse)));
            }
            response.on_hover_text(Meters::in_place_tip());
        }
    }
}
