//! The menu in Try: positions of what is meant, the meter's probes on it, and what may go wrong with it.

use std::collections::BTreeMap;

use egui::Ui;

use crate::action::{Action, BenchStep};
use crate::rich::rich;
use crate::state::State;
use crate::texts::{Meters, Tries};
use crate::tool::Target;
use crate::trial::{Lead, Probe, Trial};
use crate::view::bench::offered_ui;
use crate::view::widgets::edged;
use crate::what_if::Suspect;

/// Shows it.
pub(super) fn try_menu_ui(
    ui: &mut Ui,
    state: &State,
    (trial, stands): (Option<&Trial>, &BTreeMap<String, String>),
    target: &Target,
    actions: &mut Vec<Action>,
) {
    ui.set_min_width(190.0);
    let suspect = match target {
        Target::Part(id) | Target::Terminal(id, _) => Suspect::Part(*id),
        Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => Suspect::Wire(*id),
        Target::Nothing | Target::Onward(..) | Target::Tag(_) | Target::Note(_) => {
            ui.set_max_width(250.0);
            // Rows of a menu are as wide as it is; the lines of a sentence are not to be drawn out so.
            ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
                ui.add(egui::Label::new(rich(Tries::nothing_here())).wrap());
            });
            return;
        }
    };
    positions_ui(ui, state, stands, target, actions);
    let Some(trial) = trial else { return };
    for lead in [Lead::Red, Lead::Black] {
        let Some((step, words)) = probe_step(state, target, lead) else { continue };
        if ui.button(words).clicked() {
            ui.close();
            actions.push(Action::Bench(step));
        }
    }
    offered_ui(ui, state, trial, suspect, actions);
}

fn positions_ui(
    ui: &mut Ui,
    state: &State,
    stands: &BTreeMap<String, String>,
    target: &Target,
    actions: &mut Vec<Action>,
) {
    let controls = state.car().controls();
    let worked: Vec<_> = controls
        .iter()
        .filter(|control| control.works.iter().any(|(part, _)| Some(*part) == target.part()))
        .collect();
    for control in worked {
        ui.label(&control.name);
        for position in &control.positions {
            let is_now = stands.get(&control.name) == Some(&position.name);
            let radio = |ui: &mut Ui| ui.radio(is_now, &position.name);
            if edged(ui, state.theme(), radio).clicked() {
                ui.close();
                actions.push(Action::Work(control.name.clone(), position.name.clone()));
            }
        }
    }
}

/// What sets a probe down on what is meant.
fn probe_step(state: &State, target: &Target, lead: Lead) -> Option<(BenchStep, &'static str)> {
    if let Target::Wire(wire) = target {
        let words = match lead {
            Lead::Red => Meters::place_red_on_wire(),
            Lead::Black => Meters::place_black_on_wire(),
        };
        return Some((BenchStep::PlaceOn(lead, *wire), words));
    }
    let words = match lead {
        Lead::Red => Meters::place_red(),
        Lead::Black => Meters::place_black(),
    };
    Some((BenchStep::Place(lead, probe_on(state, target)?), words))
}

/// What a probe would stand on: a terminal, the only one of a part, or the end of a wire.
fn probe_on(state: &State, target: &Target) -> Option<Probe> {
    match target {
        Target::Terminal(part, name) => Some(Probe::Terminal(*part, name.clone())),
        Target::Part(part) => match &*state.car().type_of(*part)?.terminals {
            [only] => Some(Probe::Terminal(*part, only.name.clone())),
            _ => None,
        },
        Target::Loose(wire, is_to) | Target::Plug(wire, is_to) => {
            Some(Probe::Lug { wire: *wire, is_to: *is_to })
        }
        _ => None,
    }
}
