//! Edits of wires: running, correcting and altering.

use super::{EditError, label, route};
use crate::check;
use crate::{Anchor, Draft, End, Standing, Wire, WireId};

impl Draft {
    pub(super) fn run(&mut self, mut wire: Wire) -> Result<WireId, EditError> {
        self.tidy_label(&mut wire, "");
        self.car().canonical_wire(&mut wire);
        check::wire(self.car(), &wire)?;
        check::wire_label(self.car(), &wire.label, None)?;
        let id = WireId(self.new_id()?);
        self.put_wire(id, wire);
        Ok(id)
    }

    pub(super) fn set_wire(&mut self, id: WireId, mut wire: Wire) -> Result<(), EditError> {
        let old = self.wire(id)?;
        wire.standing = old.standing;
        let old_label = old.label.clone();
        let old_ends = old.ends().map(|end| self.car().pos_on_sheet(&end.at));
        let is_loose = |end: &End| matches!(end.at, Anchor::Loose { .. });
        let keeps_ends = [(&old.from, &wire.from), (&old.to, &wire.to)]
            .iter()
            .all(|(old, new)| old.at == new.at || is_loose(old) && is_loose(new));
        let is_led = keeps_ends && wire.route == old.route;
        self.tidy_label(&mut wire, &old_label);
        self.car().canonical_wire(&mut wire);
        check::wire(self.car(), &wire)?;
        check::wire_label(self.car(), &wire.label, Some(id))?;
        // A loose end that is moved leads its corners along.
        if let ([Some((_, from)), Some((_, to))], true) = (old_ends, is_led) {
            route::follow(self.car(), &mut wire, [from, to]);
        }
        route::clear_unfit(self.car(), &mut wire);
        self.put_wire(id, wire);
        Ok(())
    }

    pub(super) fn alter_wire(&mut self, id: WireId, mut wire: Wire) -> Result<(), EditError> {
        let mut old = self.wire(id)?.clone();
        match old.standing {
            Standing::ToFit => {
                // It stays the lead that it was: whose cable that is does not change with its ends.
                wire.keeps = if wire.keeps == Some(id) { old.keeps } else { wire.keeps };
                return self.set_wire(id, wire);
            }
            Standing::ToRemove => {
                return check::refuse(format!(
                    "{} is to be removed and cannot be altered",
                    old.label
                ));
            }
            Standing::AsFound if same_cable(&old, &wire) => {
                wire.keeps = None;
                return self.set_wire(id, wire);
            }
            Standing::AsFound => {}
        }
        if wire.label.trim() == old.label {
            wire.label.clear();
        }
        if wire.route == old.route {
            // Two wires with the same corners would lie on each other.
            wire.route.clear();
        }
        wire.standing = Standing::ToFit;
        route::clear_unfit(self.car(), &mut wire);
        self.run(wire)?;
        old.standing = Standing::ToRemove;
        self.put_wire(id, old);
        Ok(())
    }

    fn tidy_label(&self, wire: &mut Wire, otherwise: &str) {
        wire.label = label::trimmed(&wire.label);
        if wire.label.is_empty() {
            wire.label = if otherwise.is_empty() {
                self.car().next_wire_label()
            } else {
                otherwise.to_owned()
            };
        }
    }
}

/// Whether two rows describe the same piece of cable: what differs at most is its number, its drawing or its note.
fn same_cable(old: &Wire, new: &Wire) -> bool {
    let blank = |wire: &Wire| Wire {
        label: String::new(),
        standing: Standing::AsFound,
        route: Vec::new(),
        keeps: None,
        note: String::new(),
        ..wire.clone()
    };
    blank(old) == blank(new)
}
