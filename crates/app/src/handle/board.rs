//! What is done on the sheet beside tools and plain edits.

use loomwright_circuit::{Edit, Wire};

use crate::action::{Action, BoardStep};
use crate::command::Command;
use crate::handle::edits::commit;
use crate::handle::{Shell, bring_into_view, free_the_arrows, handle};
use crate::state::{Mode, Notice, Selection, State};
use crate::texts::Board;
use crate::tool::{self, Aim, BendStep, Hold, Tool, name_of};

/// Carries a step out.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: BoardStep) {
    match step {
        BoardStep::RefuseAt(at, text) => {
            state.refused_at = Some((at, text.clone()));
            state.notice = Some(Notice::Refused(text));
        }
        BoardStep::Bend(_) | BoardStep::TakeStretch(..) | BoardStep::RemoveCorner(..) => {
            bend(state, shell, &step);
        }
    }
}

/// Carries out a command about wires on the sheet.
pub(super) fn command(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::RunWire => handle(state, shell, Action::Aim(Aim::Begin)),
        Command::TapWire => handle(state, shell, Action::Aim(Aim::Tap)),
        Command::BendWire => step(state, shell, BoardStep::Bend(BendStep::Begin)),
        _ => route_anew(state),
    }
}

/// Drawing a wire by hand without a press on it.
fn bend(state: &mut State, shell: &mut Shell<'_>, step: &BoardStep) {
    if state.mode != Mode::Draw {
        return;
    }
    let laid = shell.analysis.laid(state, state.sheet);
    let scene = crate::view::canvas::scene(state, &laid);
    let actions = match step {
        BoardStep::Bend(step) => tool::bend_by_keys(&state.tool, &scene, *step),
        BoardStep::TakeStretch(wire, at, splits) => {
            tool::take_stretch(&scene, *wire, (*at, *splits), Hold::Pointer(*at))
        }
        BoardStep::RemoveCorner(wire, at) => tool::remove_corner(&scene, *wire, *at),
        BoardStep::RefuseAt(..) => Vec::new(),
    };
    for action in actions {
        handle(state, shell, action);
    }
    if let Tool::Bending(bend) = &state.tool {
        let shown = Selection::wire(bend.wire);
        bring_into_view(state, shell, &shown);
        free_the_arrows(shell);
    }
}

/// Gives the lines of the selected wires back to the program.
fn route_anew(state: &mut State) {
    let drawn = state.selection.wires.iter().filter_map(|id| {
        let wire = state.car().wire(*id).filter(|wire| !wire.route.is_empty())?;
        Some((*id, Wire { route: Vec::new(), ..wire.clone() }))
    });
    let drawn: Vec<_> = drawn.collect();
    if state.mode != Mode::Draw || drawn.is_empty() {
        state.notice = Some(Notice::Said(Board::routed_already().to_owned()));
        return;
    }
    let wires: Vec<_> = drawn.iter().map(|(id, _)| *id).collect();
    let label = Board::route_anew(name_of(state.car(), &[], &wires));
    let edits = drawn.into_iter().map(|(id, wire)| Edit::SetWire(id, wire)).collect();
    commit(state, label, Edit::All(edits));
}
