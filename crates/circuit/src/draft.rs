//! A draft: a car being changed row by row, which remembers what each row was.

use std::collections::BTreeMap;

use crate::clean;
use crate::{
    Car, Change, EditError, NoteId, PartId, Patch, PromiseId, Row, RowId, SheetId, WireId,
};

/// A copy of a car on which edits are tried; [`Draft::patch`] is what they change.
///
/// For one edit, [`Car::plan`] is enough. A draft is for many that build on each other, such as reading a sketch.
#[derive(Debug, Clone)]
pub struct Draft {
    car: Car,
    before: BTreeMap<RowId, Option<Row>>,
    /// The id given last before the first edit.
    first_id: u32,
}

impl Draft {
    /// A draft that starts at `car`.
    pub fn of(car: &Car) -> Self {
        Self { car: car.clone(), before: BTreeMap::new(), first_id: car.last_id }
    }

    /// The car as it now stands in the draft.
    pub fn car(&self) -> &Car {
        &self.car
    }

    /// The car as it now stands, without the memory of what it was.
    pub fn into_car(self) -> Car {
        self.car
    }

    /// Takes all edits back: the draft is again the car that it was made of, to the ids that come next. For who tries one
    /// edit after the other, this is quicker than a new draft.
    pub fn take_back(&mut self) {
        for (row, before) in std::mem::take(&mut self.before) {
            self.car.put(&row, before);
        }
        self.car.last_id = self.first_id;
    }

    /// What the edits so far change, each row once.
    pub fn patch(self) -> Patch {
        let Self { car, before, .. } = self;
        let changes = before
            .into_iter()
            .map(|(row, before)| Change { after: car.row(&row), row, before })
            .filter(|change| change.before != change.after)
            .collect();
        Patch { changes, last_id: car.last_id }
    }

    /// Sets or removes a row. Nothing is checked here: the edits do that first.
    pub(crate) fn put(&mut self, id: RowId, row: Option<Row>) {
        let before = self.car.row(&id);
        self.car.put(&id, row.map(clean::row));
        self.before.entry(id).or_insert(before);
    }

    pub(crate) fn put_part(&mut self, id: PartId, part: crate::Part) {
        self.put(RowId::Part(id), Some(Row::Part(part)));
    }

    pub(crate) fn put_wire(&mut self, id: WireId, wire: crate::Wire) {
        self.put(RowId::Wire(id), Some(Row::Wire(wire)));
    }

    /// The next id of the counter.
    pub(crate) fn new_id(&mut self) -> Result<u32, EditError> {
        let next = self.car.last_id.checked_add(1).ok_or_else(|| {
            EditError::Refused("this car has used up all its ids; copy it into a new one".into())
        })?;
        self.car.last_id = next;
        Ok(next)
    }

    pub(crate) fn part(&self, id: PartId) -> Result<&crate::Part, EditError> {
        self.car.parts.get(&id).ok_or_else(|| EditError::Missing(format!("part {id}")))
    }

    pub(crate) fn wire(&self, id: WireId) -> Result<&crate::Wire, EditError> {
        self.car.wires.get(&id).ok_or_else(|| EditError::Missing(format!("wire {id}")))
    }

    pub(crate) fn sheet(&self, id: SheetId) -> Result<&crate::Sheet, EditError> {
        self.car.sheets.get(&id).ok_or_else(|| EditError::Missing(format!("sheet {id}")))
    }

    pub(crate) fn note(&self, id: NoteId) -> Result<&crate::Note, EditError> {
        self.car.notes.get(&id).ok_or_else(|| EditError::Missing(format!("note {id}")))
    }

    pub(crate) fn promise(&self, id: PromiseId) -> Result<&crate::Promise, EditError> {
        self.car.promises.get(&id).ok_or_else(|| EditError::Missing(format!("promise {id}")))
    }
}

impl Car {
    /// A row as it stands; nothing if it is not there.
    pub fn row(&self, id: &RowId) -> Option<Row> {
        match id {
            RowId::Vehicle => Some(Row::Vehicle(self.vehicle.clone())),
            RowId::Sheet(id) => self.sheets.get(id).cloned().map(Row::Sheet),
            RowId::Part(id) => self.parts.get(id).cloned().map(Row::Part),
            RowId::Wire(id) => self.wires.get(id).cloned().map(Row::Wire),
            RowId::Promise(id) => self.promises.get(id).cloned().map(Row::Promise),
            RowId::Accepted(id) => self.accepted.get(id).cloned().map(Row::Accepted),
            RowId::Note(id) => self.notes.get(id).cloned().map(Row::Note),
            RowId::OwnType(name) => self.own_types.get(name).cloned().map(Row::OwnType),
        }
    }
}
