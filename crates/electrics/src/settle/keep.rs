//! Keeping what a reading needs of a phase.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::network::{Note, NoteKind};
use crate::reading::Flow;
use crate::settle::notes::{note_floating, note_unexcited};
use crate::shorts::note_shorts;
use crate::solve::{Ended, Phase, Solver};

/// The phase just solved, without anything to say of it.
pub(super) fn bare_flow(solver: &Solver<'_>, phase: Phase<'_>, ended: Ended) -> Flow {
    Flow {
        setting: phase.setting.into(),
        relays: phase.relays.into(),
        flashers: phase.flashers.into(),
        drifting: Box::default(),
        buzzing: Box::default(),
        volts: solver.volts.as_slice().into(),
        is_home: solver.is_home.as_slice().into(),
        iterations: ended.iterations,
        residual: ended.residual,
        notes: Vec::new(),
    }
}

/// Keeps what a reading needs of the phase just solved.
pub(crate) fn flow(solver: &Solver<'_>, phase: Phase<'_>, ended: Ended, buzzing: &[bool]) -> Flow {
    let tables = solver.tables;
    let mut flow = bare_flow(solver, phase, ended);
    if buzzing.contains(&true) {
        flow.buzzing = buzzing.into();
    }
    if !ended.is_converged {
        flow.notes.push(Note {
            kind: NoteKind::NotConverged,
            parts: Vec::new(),
            wires: Vec::new(),
        });
    }
    let buzzes: BTreeSet<PartId> = tables
        .relays
        .iter()
        .zip(buzzing)
        .filter(|(_, buzzes)| **buzzes)
        .map(|(row, _)| tables.elements[row.element].part)
        .collect();
    if !buzzes.is_empty() {
        let parts = buzzes.into_iter().collect();
        flow.notes.push(Note { kind: NoteKind::Buzzes, parts, wires: Vec::new() });
    }
    note_unexcited(tables, phase, &mut flow);
    note_shorts(solver, &mut flow);
    note_floating(tables, &mut flow);
    flow
}
