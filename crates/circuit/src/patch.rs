//! Patches: rows before and after; the only way in which a car changes.

use std::sync::Arc;

use crate::{Car, Row, RowId};

/// One row before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The row.
    pub row: RowId,
    /// Its content before; nothing if it was not there.
    pub before: Option<Row>,
    /// Its content after; nothing if it is gone.
    pub after: Option<Row>,
}

/// Changes that belong together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Patch {
    /// The changes, in order.
    pub changes: Vec<Change>,
    /// The car's id counter after it; undoing never lowers it.
    pub last_id: u32,
}

impl Patch {
    /// The patch that undoes this one.
    #[must_use]
    pub fn inverse(&self) -> Self {
        let back = |change: &Change| Change {
            row: change.row.clone(),
            before: change.after.clone(),
            after: change.before.clone(),
        };
        Self { changes: self.changes.iter().rev().map(back).collect(), last_id: self.last_id }
    }

    /// This patch followed by another, as one.
    #[must_use]
    pub fn then(mut self, next: Self) -> Self {
        for change in next.changes {
            match self.changes.iter_mut().find(|known| known.row == change.row) {
                Some(known) => known.after = change.after,
                None => self.changes.push(change),
            }
        }
        self.changes.retain(|change| change.before != change.after);
        self.last_id = self.last_id.max(next.last_id);
        self
    }

    /// Whether it changes nothing.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty()
    }

    /// The rows it touches.
    pub fn rows(&self) -> impl Iterator<Item = &RowId> {
        self.changes.iter().map(|change| &change.row)
    }
}

impl Car {
    /// Applies a patch that was planned on this very car: the only mutation there is.
    pub fn apply(&mut self, patch: &Patch) {
        for change in &patch.changes {
            self.put(&change.row, change.after.clone());
        }
        self.last_id = self.last_id.max(patch.last_id);
    }

    pub(crate) fn put(&mut self, id: &RowId, row: Option<Row>) {
        match (id, row) {
            (RowId::Vehicle, Some(Row::Vehicle(row))) => self.vehicle = row,
            (RowId::Sheet(id), Some(Row::Sheet(row))) => drop(self.sheets.insert(*id, row)),
            (RowId::Sheet(id), None) => drop(self.sheets.remove(id)),
            (RowId::Part(id), Some(Row::Part(row))) => {
                Arc::make_mut(&mut self.parts).insert(*id, row);
            }
            (RowId::Part(id), None) => Arc::make_mut(&mut self.parts).remove(id),
            (RowId::Wire(id), Some(Row::Wire(row))) => {
                Arc::make_mut(&mut self.wires).insert(*id, row);
            }
            (RowId::Wire(id), None) => Arc::make_mut(&mut self.wires).remove(id),
            (RowId::Promise(id), Some(Row::Promise(row))) => drop(self.promises.insert(*id, row)),
            (RowId::Promise(id), None) => drop(self.promises.remove(id)),
            (RowId::Accepted(id), Some(Row::Accepted(row))) => drop(self.accepted.insert(*id, row)),
            (RowId::Accepted(id), None) => drop(self.accepted.remove(id)),
            (RowId::Note(id), Some(Row::Note(row))) => drop(self.notes.insert(*id, row)),
            (RowId::Note(id), None) => drop(self.notes.remove(id)),
            (RowId::OwnType(name), Some(Row::OwnType(row))) => {
                drop(self.own_types.insert(name.clone(), row));
            }
            (RowId::OwnType(name), None) => drop(self.own_types.remove(name)),
            (id, row) => debug_assert!(false, "a patch holds {row:?} for {id:?}"),
        }
    }
}
