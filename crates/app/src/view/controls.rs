//! Try: all controls with their positions as buttons, and the promises.

use egui::{RichText, Role, Ui, WidgetInfo};
use loomwright_circuit::{Car, Promise};

use crate::action::{Action, GridStep, PromiseStep};
use crate::analysis::Analysis;
use crate::command::Command;
use crate::promises::{Verdict, verdict};
use crate::state::State;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::widgets::{elided_label, outlined};

/// What the panel shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlsView {
    /// The controls: name, positions, which one it stands in.
    pub controls: Vec<ControlView>,
    /// The promises, with whether each holds.
    pub promises: Vec<PromiseView>,
    /// The moves made so far.
    pub moves: String,
}

/// One control.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ControlView {
    /// Its name.
    pub name: String,
    /// Its positions, and whether a spring returns each.
    pub positions: Vec<(String, bool)>,
    /// The one it stands in.
    pub stands: usize,
    /// Why it could not go where it was last put.
    pub refused: Option<String>,
}

/// One promise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PromiseView {
    /// What must hold, in short.
    pub says: String,
    /// Whether it does.
    pub verdict: Verdict,
    /// What that means, in whole sentences.
    pub means: String,
}

/// Builds it.
pub fn controls_view(state: &State, analysis: &Analysis) -> ControlsView {
    let Some(trial) = &analysis.trial else {
        return ControlsView { controls: Vec::new(), promises: Vec::new(), moves: String::new() };
    };
    let controls = trial.controls().map(|(control, stands)| ControlView {
        name: control.name.clone(),
        positions: control
            .positions
            .iter()
            .map(|position| (position.name.clone(), position.springs_to.is_some()))
            .collect(),
        stands: control.positions.iter().position(|known| known == stands).unwrap_or(0),
        refused: trial
            .refused
            .as_ref()
            .filter(|refusal| refusal.control == control.name)
            .map(|refusal| refusal.says.clone()),
    });
    let promises = state.car().promises().values().map(|promise| {
        let verdict = verdict(promise, trial);
        PromiseView {
            says: crate::words::promise(state.car(), promise),
            verdict,
            means: meaning(state.car(), promise, verdict),
        }
    });
    let moves: Vec<String> =
        trial.moves.iter().map(|step| format!("{} {}", step.control, step.position)).collect();
    ControlsView {
        controls: controls.collect(),
        promises: promises.collect(),
        moves: moves.join(", then "),
    }
}

/// What a promise means and whether it holds at this moment, for who asks.
fn meaning(car: &Car, promise: &Promise, verdict: Verdict) -> String {
    let promised = crate::words::promised(car, promise);
    let now = match verdict {
        Verdict::Holds => "The controls stand so, and it is so.",
        Verdict::Broken => "The controls stand so, and it is not so.",
        Verdict::NotAsked => "The controls do not stand so at this moment, so nothing is asked.",
    };
    format!("{promised}.\n{now}\nThe findings tell whether it holds in every other setting.")
}

/// Paints it.
pub fn controls_ui(ui: &mut Ui, theme: &Theme, view: &ControlsView, actions: &mut Vec<Action>) {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Controls").font(semibold(17.0)).color(theme.ink));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let response = outlined(ui, Command::Rest.text(), theme.ink);
            if response.clicked() {
                actions.push(Action::Command(Command::Rest));
            }
            response.on_hover_text(Command::Rest.tip());
        });
    });
    egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        if view.controls.is_empty() {
            ui.label(RichText::new("This car has no switches yet").color(theme.muted));
        }
        for control in &view.controls {
            control_ui(ui, theme, control, actions);
        }
        if !view.controls.is_empty() {
            promises_ui(ui, theme, actions);
        }
        for promise in &view.promises {
            promise_ui(ui, theme, promise);
        }
        if !view.moves.is_empty() {
            ui.add_space(8.0);
            ui.label(RichText::new("Moves from rest").font(semibold(15.0)).color(theme.ink));
            ui.label(RichText::new(&view.moves).font(plain(13.0)).color(theme.muted));
        }
        ui.add_space(8.0);
    });
}

fn control_ui(ui: &mut Ui, theme: &Theme, control: &ControlView, actions: &mut Vec<Action>) {
    ui.add_space(3.0);
    let name = crate::tool::sentence(&control.name);
    elided_label(ui, &name, semibold(13.5), theme.danger);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(3.0, 3.0);
        ui.spacing_mut().button_padding = egui::vec2(7.0, 2.0);
        for (position_idx, (position, is_sprung)) in control.positions.iter().enumerate() {
            let is_chosen = position_idx == control.stands;
            // Rest is quiet; what has been worked stands out.
            let (fill, colour) = match (is_chosen, position_idx) {
                (true, 0) => (theme.edge, theme.ink),
                (true, _) => (theme.live, theme.on_tag),
                (false, _) => (theme.field, theme.ink),
            };
            let button =
                egui::Button::new(RichText::new(position).font(medium(13.0)).color(colour))
                    .fill(fill)
                    .stroke(egui::Stroke::new(1.0, theme.edge));
            let mut response = ui.add(button);
            if *is_sprung {
                let tip = "It stays here until you choose another; worked on the drawing, it springs back";
                response = response.on_hover_text(tip);
            }
            let name = format!("{}: {position}", control.name);
            response
                .widget_info(|| WidgetInfo::selected(Role::RadioButton, true, is_chosen, &name));
            if response.clicked() {
                actions.push(Action::Work(control.name.clone(), position.clone()));
            }
        }
    });
    if let Some(says) = &control.refused {
        ui.label(RichText::new(says).font(medium(13.0)).color(theme.danger));
    }
}

/// The heading of the promises, to make another and to see all of them together.
fn promises_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    ui.add_space(8.0);
    ui.label(RichText::new("Promises").font(semibold(15.0)).color(theme.ink));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(5.0, 4.0);
        let response = outlined(ui, "Promise what is shown …", theme.ink);
        if response.clicked() {
            actions.push(Action::Promise(PromiseStep::Ask));
        }
        let tip = "What lamps and motors do now must be so whenever the controls stand as now";
        response.on_hover_text(tip);
        let response = outlined(ui, "Offer the usual promises …", theme.ink);
        if response.clicked() {
            actions.push(Action::Promise(PromiseStep::Usual));
        }
        response.on_hover_text("What is usual for the lamps and motors that this car has, to tick");
        let response = outlined(ui, "All as a table …", theme.ink);
        if response.clicked() {
            actions.push(Action::Grid(GridStep::Open));
        }
        response.on_hover_text(
            "Settings down, parts across: promises are written, changed and removed here",
        );
    });
}

fn promise_ui(ui: &mut Ui, theme: &Theme, promise: &PromiseView) {
    let (sign, colour) = (promise.verdict.word(), promise.verdict.colour(theme));
    let row = ui.horizontal_top(|ui| {
        // All signs begin at the same edge, in the line of the text.
        let sign = RichText::new(sign).font(semibold(13.0)).color(colour);
        let left = egui::Layout::left_to_right(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(50.0, 18.0), left, |ui| {
            ui.set_min_width(50.0);
            ui.add(egui::Label::new(sign).selectable(false));
        });
        let text = RichText::new(&promise.says).font(plain(13.0)).color(theme.ink);
        ui.add(egui::Label::new(text).wrap().selectable(false));
    });
    row.response.on_hover_text(&promise.means);
}
