//! What is selected on the sheets.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, NoteId, PartId, WireId};

/// Rows that are selected.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Selection {
    /// Parts.
    pub parts: BTreeSet<PartId>,
    /// Wires.
    pub wires: BTreeSet<WireId>,
    /// Notes and frames.
    pub notes: BTreeSet<NoteId>,
}

impl Selection {
    /// One part.
    pub fn part(id: PartId) -> Self {
        Self { parts: [id].into(), ..Self::default() }
    }

    /// One wire.
    pub fn wire(id: WireId) -> Self {
        Self { wires: [id].into(), ..Self::default() }
    }

    /// One note.
    pub fn note(id: NoteId) -> Self {
        Self { notes: [id].into(), ..Self::default() }
    }

    /// Whether all of it is selected here too.
    pub fn is_within(&self, other: &Self) -> bool {
        self.parts.is_subset(&other.parts)
            && self.wires.is_subset(&other.wires)
            && self.notes.is_subset(&other.notes)
    }

    /// Adds rows.
    pub fn add(&mut self, rows: &Self) {
        self.parts.extend(&rows.parts);
        self.wires.extend(&rows.wires);
        self.notes.extend(&rows.notes);
    }

    /// Takes rows out.
    pub fn take_out(&mut self, rows: &Self) {
        self.parts.retain(|id| !rows.parts.contains(id));
        self.wires.retain(|id| !rows.wires.contains(id));
        self.notes.retain(|id| !rows.notes.contains(id));
    }

    /// Whether nothing is selected.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.wires.is_empty() && self.notes.is_empty()
    }

    /// Number of rows selected.
    pub fn len(&self) -> usize {
        self.parts.len() + self.wires.len() + self.notes.len()
    }

    /// The single part selected, if nothing else is.
    pub fn only_part(&self) -> Option<PartId> {
        (self.len() == 1).then(|| self.parts.first().copied()).flatten()
    }

    /// The single wire selected, if nothing else is.
    pub fn only_wire(&self) -> Option<WireId> {
        (self.len() == 1).then(|| self.wires.first().copied()).flatten()
    }

    /// The single note selected, if nothing else is.
    pub fn only_note(&self) -> Option<NoteId> {
        (self.len() == 1).then(|| self.notes.first().copied()).flatten()
    }

    /// Drops rows that are no longer in the car.
    pub fn keep_known(&mut self, car: &Car) {
        self.parts.retain(|id| car.part(*id).is_some());
        self.wires.retain(|id| car.wire(*id).is_some());
        self.notes.retain(|id| car.notes().contains_key(id));
    }
}
