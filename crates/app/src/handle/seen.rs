//! Writes down what somebody has seen at the car. It is a matter of the record: no pen makes another lead of it.

use loomwright_circuit::{Car, Edit, Part, PartId, Seen as _, Wire, WireId};

use crate::action::SeenAt;
use crate::handle::edits::commit;
use crate::state::State;
use crate::texts::SeenSteps;

/// Sets or clears one answer.
pub(super) fn set(state: &mut State, at: SeenAt, key: &str, answer: Option<&str>) {
    let car = state.car();
    let edits: Vec<Edit> = match at {
        SeenAt::Wire(id) => {
            of_wire(car, id, |wire| wire.seen.set(key, answer)).into_iter().collect()
        }
        SeenAt::End(id, is_to) => of_wire(car, id, |wire| {
            let end = if is_to { &mut wire.to } else { &mut wire.from };
            end.seen.set(key, answer)
        })
        .into_iter()
        .collect(),
        SeenAt::Wires => {
            let wires = state.selection.wires.iter();
            wires.filter_map(|id| of_wire(car, *id, |wire| wire.seen.set(key, answer))).collect()
        }
        SeenAt::Part(id) => {
            of_part(car, id, |part| part.seen.set(key, answer)).into_iter().collect()
        }
    };
    if !edits.is_empty() {
        commit(state, SeenSteps::what_is_seen_at_the_car().to_owned(), Edit::All(edits));
    }
}

fn of_wire(car: &Car, id: WireId, change: impl Fn(&mut Wire) -> bool) -> Option<Edit> {
    let known = car.wire(id)?;
    let mut wire = known.clone();
    (change(&mut wire) && wire != *known).then_some(Edit::SetWire(id, wire))
}

fn of_part(car: &Car, id: PartId, change: impl Fn(&mut Part) -> bool) -> Option<Edit> {
    let known = car.part(id)?;
    let mut part = known.clone();
    (change(&mut part) && part != *known).then_some(Edit::SetPart(id, part))
}
