//! Terminals by their own names: a DIN designation that stands for one is replaced by it.

use std::sync::Arc;

use crate::{Anchor, Car, Name, Part, Promise, Wire};

impl Car {
    fn canonical_terminal(&self, part: crate::PartId, terminal: &mut String) {
        if let Some(known) = self.type_of(part).and_then(|row| row.terminal(terminal))
            && known.name != *terminal
        {
            terminal.clone_from(&known.name);
        }
    }

    pub(super) fn canonical_wire(&self, wire: &mut Wire) {
        for end in [&mut wire.from, &mut wire.to] {
            if let Anchor::Terminal { part, terminal } = &mut end.at {
                self.canonical_terminal(*part, terminal);
            }
        }
    }

    pub(super) fn canonical_roles(&self, part: &mut Part) {
        if part.roles.is_empty() {
            return;
        }
        let Some(row) = self.type_named(&part.type_name) else { return };
        let name = |terminal: Name| row.terminal(&terminal).map_or(terminal, |it| it.name.clone());
        part.roles = std::mem::take(&mut part.roles)
            .into_iter()
            .map(|(terminal, role)| (name(terminal), role))
            .collect();
    }

    pub(super) fn canonical_promise(&self, promise: &mut Promise) {
        for claim in &mut promise.then {
            if let Some(terminal) = &mut claim.terminal {
                self.canonical_terminal(claim.part, terminal);
            }
        }
        for way in &mut promise.without {
            if let Some(terminal) = &mut way.terminal {
                self.canonical_terminal(way.part, terminal);
            }
        }
    }
}

/// Does so in a whole car.
pub(crate) fn terminals(car: &mut Car) {
    let mut wires = std::mem::take(&mut car.wires);
    for wire in Arc::make_mut(&mut wires).values_mut() {
        car.canonical_wire(wire);
    }
    car.wires = wires;
    let mut parts = std::mem::take(&mut car.parts);
    for part in Arc::make_mut(&mut parts).values_mut() {
        car.canonical_roles(part);
    }
    car.parts = parts;
    let mut promises = std::mem::take(&mut car.promises);
    for promise in promises.values_mut() {
        car.canonical_promise(promise);
    }
    car.promises = promises;
}
