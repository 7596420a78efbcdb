//! Copying parts with the wires between them, and pasting them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Clip, EditError};
use crate::check;
use crate::{
    Anchor, Car, Draft, Name, Note, NoteId, PartId, PartType, Point, Row, RowId, SheetId, Standing,
    Wire,
};

impl Car {
    /// Copies parts, the wires between them, and notes.
    pub fn copy_with_notes(&self, parts: &[PartId], notes: &[NoteId]) -> Clip {
        let notes = notes.iter().filter_map(|id| self.notes.get(id)).cloned().collect();
        Clip { notes, ..self.copy(parts) }
    }

    /// Copies parts, the wires between them, and those of their wires that end in the air.
    pub fn copy(&self, parts: &[PartId]) -> Clip {
        let ids: BTreeSet<PartId> = parts.iter().copied().collect();
        let parts: Vec<_> =
            ids.iter().filter_map(|id| Some((*id, self.part(*id)?.clone()))).collect();
        let is_inside = |wire: &&Wire| {
            let parts = wire.ends().map(|end| end.at.part());
            parts.iter().any(Option::is_some) && parts.iter().flatten().all(|id| ids.contains(id))
        };
        let type_names: BTreeSet<&Name> = parts.iter().map(|(_, part)| &part.type_name).collect();
        let own_types = type_names.into_iter().filter_map(|name| self.own_types.get(name));
        Clip {
            wires: self.wires.values().filter(is_inside).cloned().collect(),
            own_types: own_types.map(|row| (**row).clone()).collect(),
            parts,
            notes: Vec::new(),
            promises: Vec::new(),
        }
    }

    /// Copies the whole circuit: loose ends and promises too.
    pub fn copy_whole(&self) -> Clip {
        Clip {
            parts: self.parts.iter().map(|(id, part)| (*id, part.clone())).collect(),
            wires: self.wires.values().cloned().collect(),
            own_types: self.own_types.values().map(|row| (**row).clone()).collect(),
            notes: self.notes.values().cloned().collect(),
            promises: self.promises.values().cloned().collect(),
        }
    }
}

impl Draft {
    pub(super) fn paste(
        &mut self,
        clip: Clip,
        sheet: SheetId,
        by: Point,
        standing: Standing,
    ) -> Result<(), EditError> {
        // On a copy, so that a clip which is refused half-way leaves nothing behind.
        let mut draft = self.clone();
        let type_names = draft.paste_own_types(clip.own_types)?;
        let mut ids: BTreeMap<PartId, PartId> = BTreeMap::new();
        for (id, mut part) in clip.parts {
            if let Some(name) = type_names.get(&part.type_name) {
                part.type_name.clone_from(name);
            }
            part.label = draft.car().free_part_label(part.label.trim());
            part.sheet = sheet;
            part.place.at = part.place.at + by;
            part.standing = standing;
            if ids.insert(id, draft.place(part)?).is_some() {
                return check::refuse(format!("the copy holds part {id} twice"));
            }
        }
        for mut wire in clip.wires {
            for end in [&mut wire.from, &mut wire.to] {
                match &mut end.at {
                    Anchor::Loose { sheet: on, at } => (*on, *at) = (sheet, *at + by),
                    Anchor::Terminal { part, .. } => match ids.get(part) {
                        Some(id) => *part = *id,
                        None => return check::refuse("a copied wire ends on a part not copied"),
                    },
                }
            }
            if check::wire_label(draft.car(), &wire.label, None).is_err() {
                wire.label.clear();
            }
            wire.route.iter_mut().for_each(|corner| *corner = *corner + by);
            wire.standing = standing;
            wire.keeps = None;
            draft.run(wire)?;
        }
        for note in clip.notes {
            draft.add_note(Note { sheet, at: note.at + by, ..note })?;
        }
        for mut promise in clip.promises {
            for claim in &mut promise.then {
                match ids.get(&claim.part) {
                    Some(id) => claim.part = *id,
                    None => return check::refuse("a copied promise is about a part not copied"),
                }
            }
            // A fuse of the other car is not here.
            promise.without.retain(|way| ids.contains_key(&way.part));
            for way in &mut promise.without {
                way.part = ids[&way.part];
            }
            draft.add_promise(promise)?;
        }
        *self = draft;
        Ok(())
    }

    /// Takes over part types that this car lacks. One that differs from this car's type of the same name gets another
    /// name; the answer says which.
    fn paste_own_types(
        &mut self,
        own_types: Vec<PartType>,
    ) -> Result<BTreeMap<Name, Name>, EditError> {
        let mut renamed = BTreeMap::new();
        for mut row in own_types {
            let old_name = row.name.clone();
            let mut n_tried = 1;
            loop {
                match self.car().type_named(&row.name) {
                    Some(known) if **known == row => break,
                    Some(_) => {
                        n_tried += 1;
                        row.name = format!("{old_name}-{n_tried}");
                    }
                    None => {
                        check::own_type(&row)?;
                        let id = RowId::OwnType(row.name.clone());
                        self.put(id, Some(Row::OwnType(Arc::new(row.clone()))));
                        break;
                    }
                }
            }
            renamed.insert(old_name, row.name);
        }
        Ok(renamed)
    }
}
