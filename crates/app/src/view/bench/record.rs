//! The record of moves: what was made, step by step, played again, kept under a name.

use egui::{Role, Ui, WidgetInfo};

use super::steps::steps_ui;
use crate::action::{Action, BenchStep};
use crate::command::Command;
use crate::rich::rich;
use crate::state::{KeptRecord, Pace, State};
use crate::texts::Records;
use crate::theme::{Theme, medium, semibold};
use crate::trial::Trial;
use crate::view::widgets::{outlined, word_button};

/// What it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordView {
    /// All moves of the record, in words.
    pub moves: Vec<String>,
    /// How many of them are made.
    pub n_made: usize,
    /// Whether it is played.
    pub plays: bool,
    /// How fast.
    pub pace: Pace,
    /// The name under which it is to be kept, while it is typed.
    pub naming: Option<String>,
    /// Records kept for this car.
    pub kept: Vec<KeptRecord>,
    /// How many steps can be brought back that gave way to others.
    pub brings_back: Option<usize>,
}

pub(super) fn record_view(state: &State, trial: &Trial) -> RecordView {
    let words = |step: &loomwright_electrics::Move| Records::step(&step.control, &step.position);
    let car = &state.car().vehicle().name;
    let kept = state.settings.records.iter().filter(|kept| kept.car == *car);
    RecordView {
        moves: trial.record().iter().map(words).collect(),
        n_made: trial.moves.len(),
        plays: state.bench.plays.is_some(),
        pace: state.bench.pace,
        naming: state.bench.naming.clone(),
        kept: kept.cloned().collect(),
        brings_back: trial.brings_back(),
    }
}

pub(super) fn record_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    let size = egui::vec2(ui.available_width(), 28.0);
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    ui.allocate_ui_with_layout(size, layout, |ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            keep_ui(ui, theme, view, actions);
            play_ui(ui, theme, view, actions);
            bring_back_ui(ui, theme, view, actions);
            ui.add_space(6.0);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                steps_ui(ui, theme, view, actions);
            });
        });
    });
}

/// Back, forward, play; from right to left.
fn play_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    let paces = Pace::ALL.map(|pace| (pace, pace_word(pace)));
    egui::ComboBox::from_id_salt("pace")
        .selected_text(rich(pace_word(view.pace)).font(medium(13.0)))
        .width(44.0)
        .show_ui(ui, |ui| {
            for (pace, word) in paces {
                if ui.selectable_label(pace == view.pace, word).clicked() {
                    actions.push(Action::Bench(BenchStep::Pace(pace)));
                }
            }
        })
        .response
        .on_hover_text(Records::pace_tip());
    let (word, step) = if view.plays {
        (Records::stop(), BenchStep::Stop)
    } else {
        (Records::play(), BenchStep::Play)
    };
    let has_steps = view.plays || !view.moves.is_empty();
    let response = ui.add_enabled_ui(has_steps, |ui| outlined(ui, word, theme.ink)).inner;
    if response.clicked() {
        actions.push(Action::Bench(step));
    }
    response.on_hover_text(Records::play_tip());
    let steps = [
        ("›", Records::forth(), Command::StepForth, view.n_made < view.moves.len()),
        ("‹", Records::back(), Command::StepBack, view.n_made > 0),
    ];
    for (sign, name, command, is_possible) in steps {
        let button =
            egui::Button::new(rich(sign).font(semibold(15.0))).min_size(egui::vec2(22.0, 20.0));
        let response = ui.add_enabled(is_possible, button);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, is_possible, name));
        if response.clicked() {
            actions.push(Action::Command(command));
        }
        let key = crate::command::key_text(ui.ctx(), command);
        response.on_hover_text(format!("{} ({key})", command.tip()));
    }
}

/// The way back to steps that gave way to others.
fn bring_back_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    let Some(n) = view.brings_back else { return };
    let response = outlined(ui, &Records::bring_back(n), theme.ink);
    let name =
        if n == 1 { Records::bring_back_one().to_owned() } else { Records::bring_back_name(n) };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        actions.push(Action::Bench(BenchStep::BringBack));
    }
    response.on_hover_text(rich(format!("{name}. {}", Records::bring_back_tip())));
}

fn pace_word(pace: Pace) -> &'static str {
    match pace {
        Pace::Slow => Records::slow(),
        Pace::Steady => Records::steady(),
        Pace::Quick => Records::quick(),
    }
}

/// The name to keep it under, and what was kept before.
fn keep_ui(ui: &mut Ui, theme: &Theme, view: &RecordView, actions: &mut Vec<Action>) {
    if !view.kept.is_empty() {
        ui.menu_button(rich(Records::kept()).font(semibold(13.0)), |ui| {
            for kept in &view.kept {
                ui.horizontal(|ui| {
                    let n_moves = kept.moves.len();
                    if ui.button(Records::take_up(&kept.name, n_moves)).clicked() {
                        ui.close();
                        actions.push(Action::Bench(BenchStep::TakeUp(kept.clone())));
                    }
                    let response = word_button(ui, "×", theme.muted);
                    let name = Records::forget(&kept.name);
                    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
                    if response.on_hover_text(&name).clicked() {
                        actions.push(Action::Bench(BenchStep::Forget(kept.clone())));
                    }
                });
            }
        })
        .response
        .on_hover_text(Records::kept_tip());
    }
    let Some(name) = &view.naming else {
        let response = word_button(ui, Records::keep(), theme.ink);
        if response.clicked() {
            actions.push(Action::Bench(BenchStep::Name(Some(String::new()))));
        }
        response.on_hover_text(Records::keep_tip());
        return;
    };
    if outlined(ui, Records::keep_it(), theme.ink).clicked() {
        actions.push(Action::Bench(BenchStep::Keep));
    }
    let mut text = name.clone();
    let edit = egui::TextEdit::singleline(&mut text)
        .hint_text(Records::name())
        .desired_width(120.0)
        .id(egui::Id::unique("record name"));
    let response = ui.add(edit).accessible_name(Records::name());
    if name.is_empty() && !response.has_focus() && !response.lost_focus() {
        response.request_focus();
    }
    if response.changed() {
        actions.push(Action::Bench(BenchStep::Name(Some(text))));
    }
    if response.lost_focus() {
        let (enters, gives_up) = ui.input(|input| {
            (input.key_pressed(egui::Key::Enter), input.key_pressed(egui::Key::Escape))
        });
        if enters {
            actions.push(Action::Bench(BenchStep::Keep));
        } else if gives_up {
            actions.push(Action::Bench(BenchStep::Name(None)));
        }
    }
}
