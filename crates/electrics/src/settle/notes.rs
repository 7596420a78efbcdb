//! What a phase has to say of itself: generators that are not excited, parts that float.

use loomwright_circuit::PartId;

use crate::network::{BranchRef, Note, NoteKind, Tables};
use crate::reading::Flow;
use crate::solve::Phase;

/// Notes generators that would give at this speed, were their fields excited.
pub(super) fn note_unexcited(tables: &Tables, phase: Phase<'_>, flow: &mut Flow) {
    let fields = tables.fields().filter(|field| !phase.relays[*field]);
    let parts: Vec<PartId> = fields
        .map(|field| &tables.elements[tables.relays[field].element])
        .filter(|row| row.branches.iter().any(|branch| would_give(tables, *branch, phase)))
        .map(|row| row.part)
        .collect();
    if !parts.is_empty() {
        flow.notes.push(Note { kind: NoteKind::NotExcited, parts, wires: Vec::new() });
    }
}

fn would_give(tables: &Tables, branch: BranchRef, phase: Phase<'_>) -> bool {
    let BranchRef::Law(idx) = branch else { return false };
    let Some(by_engine) = &tables.laws[idx].by_engine else { return false };
    let at = phase.setting.get(by_engine.control).copied().unwrap_or(0);
    by_engine.laws.get(usize::from(at)).is_some_and(|[without, with]| without != with)
}

/// Notes that there is no supply; or else the parts whose volts nothing decides in this state.
pub(super) fn note_floating(tables: &Tables, flow: &mut Flow) {
    if tables.reference.is_none() {
        let note = Note { kind: NoteKind::NoSupply, parts: Vec::new(), wires: Vec::new() };
        flow.notes.push(note);
        return;
    }
    if !flow.is_home.contains(&false) {
        return;
    }
    let floats = |terminals: &[(String, u32)]| {
        let is_home = |(_, step): &(String, u32)| flow.is_home(tables, *step);
        !terminals.is_empty() && !terminals.iter().any(is_home)
    };
    let parts: Vec<PartId> = tables
        .terminals
        .iter()
        .filter(|(part, terminals)| !tables.taken_out.contains(part) && floats(terminals))
        .map(|(part, _)| *part)
        .collect();
    if !parts.is_empty() {
        flow.notes.push(Note { kind: NoteKind::Afloat, parts, wires: Vec::new() });
    }
}
