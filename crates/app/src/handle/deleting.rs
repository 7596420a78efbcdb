//! Deleting: with the to-fit pen what is found is marked to remove first, and rubbed out of the drawing by a second time.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Edit, Standing, WireId};

use crate::command::{Command, key_text};
use crate::handle::Shell;
use crate::handle::edits::try_commit;
use crate::state::{Notice, Pen, Selection, State};
use crate::texts::Deleting;
use crate::tool::name_of_selection;

/// What deleting does with the rows that are selected.
enum Does {
    /// They go, by this word.
    Erases(String),
    /// Those that are found are marked to remove; all else goes.
    Marks {
        /// What is marked.
        found: Selection,
        /// What goes.
        gone: Selection,
    },
}

/// Deletes the selection, and says what that did where it is not plain to see: what is only marked stays in the
/// drawing, and wires that end on parts go with them.
pub(super) fn delete(state: &mut State, shell: &Shell<'_>, verb: &str) {
    let before: Vec<_> = state.car().wires().keys().copied().collect();
    let selected = state.selection.clone();
    let name = name_of_selection(state.car(), &selected);
    let (label, edit, marked) = match what(state, verb) {
        Does::Erases(verb) => (format!("{verb} {name}"), erase(&selected), None),
        Does::Marks { found, gone } => {
            let marked = name_of_selection(state.car(), &found);
            let label = if gone.is_empty() {
                Deleting::mark(&marked)
            } else {
                Deleting::mark_and_delete(&marked, name_of_selection(state.car(), &gone))
            };
            (label, take_away(&selected), Some((marked, count(&found))))
        }
    };
    if try_commit(state, label, edit).is_err() {
        return;
    }
    let is_gone = |id: &WireId| state.car().wire(*id).is_none() && !selected.wires.contains(id);
    let n_gone = before.into_iter().filter(is_gone).count();
    let again = key_text(shell.ctx, Command::Delete);
    let marked = marked.map(|(rows, n_rows)| match n_rows {
        1 => Deleting::is_marked(rows, again),
        _ => Deleting::are_marked(rows, again),
    });
    let key = key_text(shell.ctx, Command::Undo);
    let went = with_wires(name, selected.only_part().is_some(), n_gone)
        .map(|rows| Deleting::deleted(rows, key));
    // A message that was there already, of what would be out of sight, stays where there is nothing to add.
    if let Some(says) = marked.or(went) {
        state.notice = Some(Notice::Said(says));
    }
}

/// With the to-fit pen what is found is marked, as long as any of it is not; what is marked already is rubbed out.
fn what(state: &State, verb: &str) -> Does {
    let selected = &state.selection;
    let car = state.car();
    let found = having(car, selected, Standing::AsFound);
    let is_to_fit = state.pen == Pen::ToFit;
    if is_to_fit && !found.is_empty() {
        let gone = having(car, selected, Standing::ToFit);
        return Does::Marks { found, gone: Selection { notes: selected.notes.clone(), ..gone } };
    }
    let is_marked = !having(car, selected, Standing::ToRemove).is_empty();
    Does::Erases(if is_to_fit && is_marked { Deleting::rub_out() } else { verb }.to_owned())
}

/// Those of some parts and wires that stand so.
fn having(car: &Car, rows: &Selection, standing: Standing) -> Selection {
    let parts = rows.parts.iter().copied();
    let wires = rows.wires.iter().copied();
    Selection {
        parts: parts.filter(|id| car.part(*id).is_some_and(|it| it.standing == standing)).collect(),
        wires: wires.filter(|id| car.wire(*id).is_some_and(|it| it.standing == standing)).collect(),
        notes: BTreeSet::new(),
    }
}

fn count(rows: &Selection) -> usize {
    rows.parts.len() + rows.wires.len()
}

fn erase(rows: &Selection) -> Edit {
    let parts = rows.parts.iter().copied().collect();
    let wires = rows.wires.iter().copied().collect();
    with_notes(rows, Edit::Erase { parts, wires })
}

fn take_away(rows: &Selection) -> Edit {
    let parts = rows.parts.iter().copied().collect();
    let wires = rows.wires.iter().copied().collect();
    with_notes(rows, Edit::TakeAway { parts, wires })
}

/// A note is no part of the alteration: it goes with either pen.
fn with_notes(rows: &Selection, edit: Edit) -> Edit {
    let notes: Vec<_> = rows.notes.iter().copied().collect();
    if notes.is_empty() { edit } else { Edit::All(vec![edit, Edit::EraseNotes(notes)]) }
}

/// Rows, with the wires that went with them though they were not selected; nothing where none did.
fn with_wires(name: String, is_one_part: bool, n_wires: usize) -> Option<String> {
    Some(match (is_one_part, n_wires) {
        (_, 0) => return None,
        (true, 1) => Deleting::with_its_wire(name),
        (true, n_wires) => Deleting::with_its_wires(name, n_wires),
        (false, 1) => Deleting::with_wire(name),
        (false, n_wires) => Deleting::with_wires(name, n_wires),
    })
}
