//! Putting a changed part type into a car: its parts keep what still fits, its wires keep the terminals that remain.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Anchor, Car, Edit, Name, Part, PartId, PartType, Promise, Wire};

use crate::own_type::Doc;
use crate::texts::PartWords;

/// What it takes to put a type into a car.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// All of it, as one step.
    pub edit: Edit,
    /// What of the car loses a terminal, each as a sentence.
    pub lost: Vec<String>,
}

/// Puts a type into a car, in the place of the one of that name.
pub fn change(car: &Car, doc: &Doc) -> Change {
    let row = Arc::new(doc.finished());
    let new = Renamed::of(doc, &row);
    let users: BTreeMap<PartId, &Part> = car
        .parts()
        .iter()
        .filter(|(_, part)| part.type_name == row.name)
        .map(|(id, part)| (*id, part))
        .collect();
    let (mut before, mut after, mut lost) = (Vec::new(), Vec::new(), Vec::new());
    for (id, wire) in car.wires() {
        let (loose, moved) = new.wire(car, &users, wire, &mut lost);
        if loose != *wire {
            before.push(Edit::SetWire(*id, loose.clone()));
        }
        if moved != loose {
            after.push(Edit::SetWire(*id, moved));
        }
    }
    for (id, promise) in car.promises() {
        let (fewer, moved) = new.promise(&users, promise);
        if fewer != *promise {
            if moved.then.is_empty() {
                lost.push(PartWords::promise_lost(crate::words::when(car, promise)));
                before.push(Edit::ErasePromise(*id));
                continue;
            }
            before.push(Edit::SetPromise(*id, fewer.clone()));
        }
        if moved != fewer {
            after.push(Edit::SetPromise(*id, moved));
        }
    }
    for (id, part) in &users {
        let bare = bare(part, &row);
        if bare != **part {
            before.push(Edit::SetPart(*id, bare.clone()));
        }
        let named = new.roles(part, &row, bare.clone());
        if named != bare {
            after.push(Edit::SetPart(*id, named));
        }
    }
    before.push(Edit::SetOwnType(row));
    before.extend(after);
    Change { edit: Edit::All(before), lost }
}

/// What terminals are called now, by what they were called; nothing for those that are gone.
struct Renamed(BTreeMap<Name, Name>);

impl Renamed {
    fn of(doc: &Doc, row: &PartType) -> Self {
        let pairs = doc.was.iter().zip(&row.terminals);
        Self(pairs.filter_map(|(was, now)| Some((was.clone()?, now.name.clone()))).collect())
    }

    /// A wire off the terminals that change, and on those that they have become.
    fn wire(
        &self,
        car: &Car,
        users: &BTreeMap<PartId, &Part>,
        wire: &Wire,
        lost: &mut Vec<String>,
    ) -> (Wire, Wire) {
        let (mut loose, mut moved) = (wire.clone(), wire.clone());
        let ends = [(&mut loose.from, &mut moved.from), (&mut loose.to, &mut moved.to)];
        for (loose, moved) in ends {
            let Anchor::Terminal { part: id, terminal } = loose.at.clone() else { continue };
            let Some(part) = users.get(&id) else { continue };
            let now = self.0.get(&terminal);
            if now == Some(&terminal) {
                continue;
            }
            let Some((sheet, at)) = car.pos_on_sheet(&loose.at) else { continue };
            loose.at = Anchor::Loose { sheet, at };
            if let Some(now) = now {
                moved.at = Anchor::Terminal { part: id, terminal: now.clone() };
            } else {
                moved.at = loose.at.clone();
                lost.push(PartWords::wire_lost(&wire.label, &terminal, &part.label));
            }
        }
        (loose, moved)
    }

    /// A promise without what it says of terminals that change, and with what they have become.
    fn promise(&self, users: &BTreeMap<PartId, &Part>, promise: &Promise) -> (Promise, Promise) {
        let (mut fewer, mut moved) = (promise.clone(), promise.clone());
        let stays = |part: &PartId, terminal: Option<&Name>| {
            !users.contains_key(part)
                || terminal.is_none_or(|name| self.0.get(name).is_some_and(|now| now == name))
        };
        fewer.then.retain(|claim| stays(&claim.part, claim.terminal.as_ref()));
        fewer.without.retain(|way| stays(&way.part, way.terminal.as_ref()));
        let now = |part: &PartId, terminal: &mut Option<Name>| match terminal {
            Some(name) if users.contains_key(part) => match self.0.get(name) {
                Some(now) => {
                    name.clone_from(now);
                    true
                }
                None => false,
            },
            _ => true,
        };
        moved.then.retain_mut(|claim| now(&claim.part, &mut claim.terminal));
        moved.without.retain_mut(|way| now(&way.part, &mut way.terminal));
        (fewer, moved)
    }

    /// A part with what its consumers are for, by the terminals that they have now.
    fn roles(&self, part: &Part, row: &PartType, mut bare: Part) -> Part {
        let known = row.role_terminals();
        let now = |was: &Name| self.0.get(was).filter(|now| known.contains(&now.as_str()));
        let roles = part.roles.iter();
        bare.roles = roles.filter_map(|(was, role)| Some((now(was)?.clone(), *role))).collect();
        bare
    }
}

/// A part without figures, controls and roles that the type does not have any more, or has otherwise.
fn bare(part: &Part, row: &PartType) -> Part {
    let mut bare = part.clone();
    bare.facts.retain(|name, value| {
        row.fact(name).is_some_and(|fact| (fact.least..=fact.greatest).contains(value))
    });
    bare.controls.retain(|key, _| row.control(key).is_some());
    let known = row.role_terminals();
    bare.roles.retain(|terminal, _| known.contains(&terminal.as_str()));
    bare
}
