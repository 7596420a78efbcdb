//! Carries out what concerns the desk around the sheet.

use loomwright_circuit::{Reach, Reached};

use crate::action::DeskStep;
use crate::command::Command;
use crate::handle::{Shell, arrange, look, select, steps};
use crate::state::{Notice, Selection, State};
use crate::texts::Together;
use crate::tool::name_of;

/// Carries out a step.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: DeskStep) {
    match step {
        DeskStep::ShowHistory(is_open) => state.desk.shows_history = is_open,
        DeskStep::GoToStep(n_done) => steps::go_to_step(state, shell, n_done),
    }
}

/// Carries out a command.
pub(super) fn run(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::History => state.desk.shows_history = !state.desk.shows_history,
        Command::SelectConnection => together(state, shell, Reach::Connection),
        Command::SelectCircuit => together(state, shell, Reach::Circuit),
        Command::ZoomSelection => look::show_selection(state, shell),
        _ => arrange::arrange(state, shell, command),
    }
}

/// Selects what belongs together with the selection; of other sheets only its number is told.
fn together(state: &mut State, shell: &mut Shell<'_>, reach: Reach) {
    if state.selection.is_empty() {
        state.notice = Some(Notice::Refused(Together::nothing().to_owned()));
        return;
    }
    let parts: Vec<_> = state.selection.parts.iter().copied().collect();
    let wires: Vec<_> = state.selection.wires.iter().copied().collect();
    let Reached { parts, wires } = state.car().reached_from(&parts, &wires, reach);
    let all = Selection { parts, wires };
    let n_all = all.len();
    let here = look::in_sight(state, all);
    let name = name_of(
        state.car(),
        &here.parts.iter().copied().collect::<Vec<_>>(),
        &here.wires.iter().copied().collect::<Vec<_>>(),
    );
    let mut says = match reach {
        Reach::Connection => Together::joined(name),
        Reach::Circuit => Together::circuit(name),
    };
    if n_all > here.len() {
        says = format!("{says} · {}", Together::elsewhere(n_all - here.len()));
    }
    select(state, shell, here);
    state.notice = Some(Notice::Said(says));
}
