//! Undo, redo, and going to any step of the history.

use std::sync::Arc;

use loomwright_circuit::RowId;

use crate::command::Command;
use crate::handle::{Shell, go_to, select, tidy};
use crate::state::{Mode, Notice, Selection, State};
use crate::texts::Steps;
use crate::tool::Tool;

/// Undoes a step, or does one again, and shows what that touched.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    state.drafts.clear();
    state.tool = Tool::Rest;
    let told = match command {
        Command::Undo => state.doc.undo(),
        _ => state.doc.redo(),
    };
    let Some((label, rows)) = told else { return };
    show(state, shell, rows);
    state.notice = Some(Notice::Said(match command {
        Command::Undo => Steps::undone(label),
        _ => Steps::done_again(label),
    }));
}

/// Goes to where so many steps are done, and shows what the step on the way there touched last.
pub(super) fn go_to_step(state: &mut State, shell: &mut Shell<'_>, n_done: usize) {
    state.drafts.clear();
    state.tool = Tool::Rest;
    let mut touched = Vec::new();
    while state.doc.history.n_done() != n_done {
        let told =
            if state.doc.history.n_done() > n_done { state.doc.undo() } else { state.doc.redo() };
        let Some((_, rows)) = told else { break };
        touched = rows;
    }
    show(state, shell, touched);
    let label = n_done
        .checked_sub(1)
        .and_then(|at| state.doc.history.steps().nth(at).map(|step| step.label.clone()));
    state.notice = Some(Notice::Said(match label {
        Some(label) => Steps::stands_after(label),
        None => Steps::stands_as_opened().to_owned(),
    }));
}

/// What a step touched is shown by selecting what of it is there now.
fn show(state: &mut State, shell: &mut Shell<'_>, rows: Vec<RowId>) {
    tidy(state);
    let mut selection = Selection::default();
    for row in rows {
        match row {
            RowId::Part(id) => drop(selection.parts.insert(id)),
            RowId::Wire(id) => drop(selection.wires.insert(id)),
            RowId::Note(id) => drop(selection.notes.insert(id)),
            _ => {}
        }
    }
    selection.keep_known(&Arc::clone(&state.doc.car));
    if selection.is_empty() || state.mode == Mode::Papers {
        select(state, shell, selection);
    } else {
        go_to(state, shell, selection);
    }
}
