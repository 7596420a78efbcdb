//! What is done on the sheet beside tools and plain edits.

use loomwright_circuit::{Edit, Name, Point, Wire, WireId};

use crate::action::{Action, BoardStep};
use crate::command::Command;
use crate::handle::edits::{commit, set_down, try_commit};
use crate::handle::{Shell, bring_into_view, free_the_arrows, handle, notes, proposals};
use crate::state::{Counter, Mode, Notice, Selection, State};
use crate::texts::Board;
use crate::tool::{self, Aim, BendStep, Hold, Tool, name_of};

/// Carries a step out.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: BoardStep) {
    match step {
        BoardStep::RefuseAt(at, text) => {
            state.refused_at = Some((at, text.clone()));
            state.notice = Some(Notice::Refused(text));
        }
        BoardStep::Nudge(by) => nudge(state, shell, by),
        BoardStep::TakeProposal(id, offer) => proposals::take(state, id, offer),
        BoardStep::Note(at) => notes::write(state, shell, at),
        BoardStep::WritesNote => state.writes_note = None,
        BoardStep::CutIn(wire, at, kind) => cut_in(state, shell, (wire, at), &kind),
        BoardStep::SetDown(clip, by) => set_down(state, shell, *clip, by),
        BoardStep::AskCutIn(wire, at) => {
            state.counter = Some(Counter { cuts: Some((wire, at)), ..Counter::default() });
        }
        BoardStep::Bend(_) | BoardStep::TakeStretch(..) | BoardStep::RemoveCorner(..) => {
            bend(state, shell, &step);
        }
    }
}

/// Whether a command is one of the sheet's own.
pub(super) fn knows(command: Command) -> bool {
    matches!(
        command,
        Command::RunWire
            | Command::TapWire
            | Command::BendWire
            | Command::RouteAnew
            | Command::TakeProposals
            | Command::CutIn
            | Command::WriteNote
            | Command::FrameGroup
    )
}

/// Carries out a command about wires on the sheet.
pub(super) fn command(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::RunWire => handle(state, shell, Action::Aim(Aim::Begin)),
        Command::TapWire => handle(state, shell, Action::Aim(Aim::Tap)),
        Command::BendWire => step(state, shell, BoardStep::Bend(BendStep::Begin)),
        Command::WriteNote => {
            let at = state.pointer.unwrap_or_else(|| state.camera().centre);
            notes::write(state, shell, at);
        }
        Command::FrameGroup => notes::frame(state, shell),
        Command::CutIn => ask_cut_in(state, shell),
        Command::TakeProposals => proposals::take_all(state),
        _ => route_anew(state),
    }
}

fn nudge(state: &mut State, shell: &mut Shell<'_>, by: Point) {
    let laid = shell.analysis.laid(state, state.sheet);
    let scene = crate::view::canvas::scene(state, &laid);
    if let Some((label, edit)) = tool::moved(&scene, by) {
        commit(state, label, edit);
    }
}

/// The wire that what is taken at the parts counter shall be cut into.
pub(super) fn cuts(state: &State) -> Option<(WireId, Point)> {
    state.counter.as_ref()?.cuts
}

/// What was taken at the parts counter is cut in where that was asked for.
pub(super) fn take_for_cut(state: &mut State, shell: &mut Shell<'_>, kind: Name) {
    if let Some((wire, at)) = cuts(state) {
        step(state, shell, BoardStep::CutIn(wire, at, kind));
    }
}

/// Kinds of parts that the menu of a wire offers first.
const MOST_OFFERED: usize = 5;

fn cut_in(state: &mut State, shell: &mut Shell<'_>, place: (WireId, Point), kind: &str) {
    if state.mode != Mode::Draw {
        return;
    }
    let laid = shell.analysis.laid(state, state.sheet);
    let scene = crate::view::canvas::scene(state, &laid);
    match tool::cut_in(&scene, kind, place) {
        Ok((label, edit)) => {
            if try_commit(state, label, edit).is_ok() {
                state.lately_cut_in.retain(|known| known != kind);
                state.lately_cut_in.insert(0, kind.to_owned());
                state.lately_cut_in.truncate(MOST_OFFERED);
                let placed = state.selection.clone();
                bring_into_view(state, shell, &placed);
            }
        }
        Err(reason) => step(state, shell, BoardStep::RefuseAt(place.1, reason)),
    }
}

/// Asks what shall be cut into the selected wire, in the middle of its longest stretch.
fn ask_cut_in(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    let scene = crate::view::canvas::scene(state, &laid);
    match tool::middle_of_selected(&scene) {
        Some((wire, at)) if state.mode == Mode::Draw => {
            step(state, shell, BoardStep::AskCutIn(wire, at));
        }
        _ => state.notice = Some(Notice::Refused(Board::select_a_wire_to_cut().to_owned())),
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
        _ => Vec::new(),
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
