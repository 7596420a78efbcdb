//! Edits of what stands beside parts and wires: the vehicle, sheets, promises and part types of the car's own.

use std::sync::Arc;

use super::EditError;
use super::label::trimmed;
use super::place::check_used_terminals;
use crate::check;
use crate::{
    Accepted, AcceptedId, Draft, PartType, Promise, PromiseId, Row, RowId, Sheet, SheetId, Vehicle,
};

impl Draft {
    pub(super) fn add_sheet(&mut self, mut sheet: Sheet) -> Result<(), EditError> {
        sheet.title = trimmed(&sheet.title);
        if sheet.title.is_empty() {
            sheet.title = format!("Sheet {}", self.car().sheets().len() + 1);
        }
        check::sheet(&sheet)?;
        let id = SheetId(self.new_id()?);
        self.put(RowId::Sheet(id), Some(Row::Sheet(sheet)));
        Ok(())
    }

    pub(super) fn set_sheet(&mut self, id: SheetId, mut sheet: Sheet) -> Result<(), EditError> {
        self.sheet(id)?;
        sheet.title = trimmed(&sheet.title);
        check::sheet(&sheet)?;
        self.put(RowId::Sheet(id), Some(Row::Sheet(sheet)));
        Ok(())
    }

    pub(super) fn set_vehicle(&mut self, mut vehicle: Vehicle) -> Result<(), EditError> {
        vehicle.name = trimmed(&vehicle.name);
        check::vehicle(&vehicle)?;
        self.put(RowId::Vehicle, Some(Row::Vehicle(vehicle)));
        Ok(())
    }

    pub(super) fn add_promise(&mut self, mut promise: Promise) -> Result<(), EditError> {
        self.car().canonical_promise(&mut promise);
        check::promise(self.car(), &promise)?;
        let id = PromiseId(self.new_id()?);
        self.put(RowId::Promise(id), Some(Row::Promise(promise)));
        Ok(())
    }

    pub(super) fn set_promise(&mut self, id: PromiseId, mut row: Promise) -> Result<(), EditError> {
        self.promise(id)?;
        self.car().canonical_promise(&mut row);
        check::promise(self.car(), &row)?;
        self.put(RowId::Promise(id), Some(Row::Promise(row)));
        Ok(())
    }

    pub(super) fn erase_promise(&mut self, id: PromiseId) -> Result<(), EditError> {
        self.promise(id)?;
        self.put(RowId::Promise(id), None);
        Ok(())
    }

    pub(super) fn accept(&mut self, mut row: Accepted) -> Result<(), EditError> {
        for text in [&mut row.reason, &mut row.by, &mut row.on] {
            *text = trimmed(text);
        }
        check::accepted(self.car(), &row)?;
        let id = AcceptedId(self.new_id()?);
        self.put(RowId::Accepted(id), Some(Row::Accepted(row)));
        Ok(())
    }

    pub(super) fn withdraw(&mut self, id: AcceptedId) -> Result<(), EditError> {
        if !self.car().accepted().contains_key(&id) {
            return Err(EditError::Missing(format!("accepted finding {id}")));
        }
        self.put(RowId::Accepted(id), None);
        Ok(())
    }

    pub(super) fn set_own_type(&mut self, part_type: Arc<PartType>) -> Result<(), EditError> {
        check::own_type(&part_type)?;
        let users = self.car().parts().iter().filter(|(_, part)| part.type_name == part_type.name);
        for (id, part) in users.clone() {
            check::figures_and_controls(part, &part_type)?;
            let is_there = |name: &str| part_type.terminal(name).is_some();
            check_used_terminals(self.car(), *id, &part.label, is_there)?;
        }
        let users = users.map(|(id, _)| *id).collect();
        let id = RowId::OwnType(part_type.name.clone());
        self.put(id, Some(Row::OwnType(part_type)));
        self.clear_unfit_at(&users);
        Ok(())
    }
}
