//! Edits that take rows away or mark them so.

use std::collections::BTreeSet;

use super::EditError;
use crate::check;
use crate::{Anchor, Draft, PartId, Row, RowId, SheetId, Standing, WireId};

impl Draft {
    pub(super) fn erase(&mut self, parts: &[PartId], wires: &[WireId]) -> Result<(), EditError> {
        self.check_there(parts, wires)?;
        let parts: BTreeSet<PartId> = parts.iter().copied().collect();
        let on_erased = |anchor: &Anchor| anchor.part().is_some_and(|id| parts.contains(&id));
        let wires: BTreeSet<WireId> = self
            .car()
            .wires()
            .iter()
            .filter(|(_, wire)| wire.ends().iter().any(|end| on_erased(&end.at)))
            .map(|(id, _)| *id)
            .chain(wires.iter().copied())
            .collect();
        self.erase_claims(&parts);
        self.erase_accepted(&parts, &wires);
        for id in wires {
            self.put(RowId::Wire(id), None);
        }
        for id in parts {
            self.put(RowId::Part(id), None);
        }
        Ok(())
    }

    /// Drops the claims on parts that go; a promise that loses all its claims goes with them.
    fn erase_claims(&mut self, parts: &BTreeSet<PartId>) {
        let touched: Vec<_> = self
            .car()
            .promises()
            .iter()
            .filter(|(_, promise)| {
                promise.then.iter().any(|claim| parts.contains(&claim.part))
                    || promise.without.iter().any(|way| parts.contains(&way.part))
            })
            .map(|(id, promise)| (*id, promise.clone()))
            .collect();
        for (id, mut promise) in touched {
            promise.then.retain(|claim| !parts.contains(&claim.part));
            promise.without.retain(|way| !parts.contains(&way.part));
            let row = (!promise.then.is_empty()).then_some(Row::Promise(promise));
            self.put(RowId::Promise(id), row);
        }
    }

    /// What was accepted of rows that go, goes with them.
    fn erase_accepted(&mut self, parts: &BTreeSet<PartId>, wires: &BTreeSet<WireId>) {
        let touched = self.car().accepted().iter().filter(|(_, row)| {
            row.parts.iter().any(|id| parts.contains(id))
                || row.wires.iter().any(|id| wires.contains(id))
        });
        for id in touched.map(|(id, _)| *id).collect::<Vec<_>>() {
            self.put(RowId::Accepted(id), None);
        }
    }

    pub(super) fn take_away(
        &mut self,
        parts: &[PartId],
        wires: &[WireId],
    ) -> Result<(), EditError> {
        self.check_there(parts, wires)?;
        let (parts_to_fit, parts): (Vec<PartId>, Vec<PartId>) =
            parts.iter().partition(|id| self.standing_of_part(**id) == Some(Standing::ToFit));
        let (wires_to_fit, wires): (Vec<WireId>, Vec<WireId>) =
            wires.iter().partition(|id| self.standing_of_wire(**id) == Some(Standing::ToFit));
        self.mark(&parts, &wires, Standing::ToRemove)?;
        self.erase(&parts_to_fit, &wires_to_fit)
    }

    pub(super) fn mark(
        &mut self,
        parts: &[PartId],
        wires: &[WireId],
        standing: Standing,
    ) -> Result<(), EditError> {
        self.check_there(parts, wires)?;
        for id in parts {
            let mut part = self.part(*id)?.clone();
            part.standing = standing;
            self.put_part(*id, part);
        }
        for id in wires {
            let mut wire = self.wire(*id)?.clone();
            wire.standing = standing;
            self.put_wire(*id, wire);
        }
        Ok(())
    }

    pub(super) fn erase_sheet(&mut self, id: SheetId) -> Result<(), EditError> {
        self.sheet(id)?;
        if self.car().sheets().len() == 1 {
            return check::refuse("the last sheet stays");
        }
        let parts: Vec<PartId> = self
            .car()
            .parts()
            .iter()
            .filter(|(_, part)| part.sheet == id)
            .map(|(id, _)| *id)
            .collect();
        let is_loose_here =
            |anchor: &Anchor| matches!(anchor, Anchor::Loose { sheet, .. } if *sheet == id);
        let wires: Vec<WireId> = self
            .car()
            .wires()
            .iter()
            .filter(|(_, wire)| wire.ends().iter().any(|end| is_loose_here(&end.at)))
            .map(|(id, _)| *id)
            .collect();
        self.erase(&parts, &wires)?;
        let notes = self.car().notes().iter().filter(|(_, note)| note.sheet == id);
        for note in notes.map(|(note, _)| *note).collect::<Vec<_>>() {
            self.put(RowId::Note(note), None);
        }
        self.put(RowId::Sheet(id), None);
        Ok(())
    }

    fn check_there(&self, parts: &[PartId], wires: &[WireId]) -> Result<(), EditError> {
        parts.iter().try_for_each(|id| self.part(*id).map(drop))?;
        wires.iter().try_for_each(|id| self.wire(*id).map(drop))
    }

    fn standing_of_part(&self, id: PartId) -> Option<Standing> {
        self.car().part(id).map(|part| part.standing)
    }

    fn standing_of_wire(&self, id: WireId) -> Option<Standing> {
        self.car().wire(id).map(|wire| wire.standing)
    }
}
