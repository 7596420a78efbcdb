//! Wires that stay in the car while the part at an end of theirs comes off.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Edit, PartId, PartType, WireId};

use crate::ctx::Ctx;
use crate::feeds::Positions;
use crate::messages::Stands;
use crate::shape::is_only_a_joint;
use crate::words::list;

/// A wire of the car after the alteration that has lost what it was joined to.
pub(crate) struct LeftBehind {
    pub(crate) wire: WireId,
    /// The parts that come off from its ends, one or two.
    pub(crate) gone: Vec<PartId>,
}

/// The wires that stay and end where a part comes off.
pub(crate) fn left_behind<'c>(ctx: &'c Ctx<'_>) -> impl Iterator<Item = LeftBehind> + 'c {
    let version = ctx.after.wiring.version;
    ctx.after.wiring.wire_ends().filter_map(move |(wire, _)| {
        let ends = ctx.wire(wire)?.ends();
        let is_gone = |id: &PartId| ctx.car.part(*id).is_some_and(|it| !version.has(it.standing));
        let mut gone: Vec<PartId> = ends.iter().filter_map(|end| end.at.part()).collect();
        gone.retain(is_gone);
        gone.dedup();
        (!gone.is_empty()).then_some(LeftBehind { wire, gone })
    })
}

/// Takes a wire away, with the joints and wires before it that would then lead nowhere.
pub(crate) fn taken_away(ctx: &Ctx<'_>, first: WireId) -> Edit {
    let wiring = &ctx.after.wiring;
    let (mut parts, mut wires) = (Vec::new(), vec![first]);
    let mut next = Some(first);
    while let Some(wire) = next.take() {
        let ends = ctx.wire(wire).map(|row| row.ends().map(|end| end.at.clone()));
        for anchor in ends.into_iter().flatten() {
            let Anchor::Terminal { part, .. } = anchor else { continue };
            let Some(part_type) = ctx.car.type_of(part).filter(|it| joins(it)) else { continue };
            let spots = part_type.terminals.iter().filter_map(|it| wiring.spot(part, &it.name));
            let mut others: Vec<WireId> = spots.flat_map(|spot| wiring.wires_at(spot)).collect();
            if others.is_empty() || parts.contains(&part) {
                continue;
            }
            others.retain(|other| !wires.contains(other));
            if others.len() <= 1 {
                parts.push(part);
                wires.extend(&others);
                next = others.first().copied();
            }
        }
    }
    Edit::TakeAway { parts, wires }
}

/// Whether it does nothing but join wires, which an earth point does not.
fn joins(part_type: &PartType) -> bool {
    is_only_a_joint(part_type)
        && part_type.elements.iter().all(|element| matches!(element, Element::Joined { .. }))
}

impl Ctx<'_> {
    /// Where controls and relays have to stand: "lights at side or head, and Relay 1 pulled in".
    pub(crate) fn positions_named(&self, needs: &Positions) -> String {
        let n_controls = self.after.wiring.n_controls;
        let named = needs.0.iter().filter_map(|&(control, mask)| {
            if control >= n_controls {
                let relay = self.part_name(self.after.wiring.relay_of(control)?);
                return Some(if mask & 1 == 1 {
                    Stands::at_rest(relay)
                } else {
                    Stands::pulled_in(relay)
                });
            }
            let control = self.network.controls().get(control)?;
            let positions = control.positions.iter().enumerate().take(64);
            let meant = positions.filter(|(idx, _)| mask >> idx & 1 == 1);
            let names: Vec<String> = meant.map(|(_, position)| position.name.clone()).collect();
            Some(Stands::at(&control.name, names.join(Stands::or())))
        });
        list(&named.collect::<Vec<_>>())
    }
}
