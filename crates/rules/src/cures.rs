//! Fixes that put a part in, move a lead or note what was done at the car.

use loomwright_circuit::seen::Mark;
use loomwright_circuit::{Anchor, Car, Edit, Part, PartId, RowId, WireId};
use loomwright_units::WireArea;

use crate::ctx::Ctx;
use crate::fix::{all, fit_ends, moved, wire_to_fit};
use crate::places::part_near;
use crate::wiring::{Load, Spot};

/// A trigger lead carries a coil's current and wants strength alone, mm² (practice).
pub(crate) const TRIGGER: f64 = 1.0;

/// Lengths of leads that a fix runs from part to part beside it, m.
pub(crate) const BESIDE: f64 = 0.3;

/// The ids that parts will have once placed together, in order.
pub(crate) fn ids_once_placed(car: &Car, parts: &[Part]) -> Option<Vec<PartId>> {
    let places = parts.iter().cloned().map(Edit::Place).collect();
    let patch = car.plan(Edit::All(places)).ok()?;
    let mut ids: Vec<PartId> = patch
        .rows()
        .filter_map(|row| match row {
            RowId::Part(id) => Some(*id),
            _ => None,
        })
        .collect();
    ids.sort_unstable();
    (ids.len() == parts.len()).then_some(ids)
}

/// Puts a part with terminals 1 and 2 into a wire, next to the terminal that it feeds.
pub(crate) fn put_before(ctx: &Ctx<'_>, wire: WireId, fed: Spot, kind: &str) -> Option<Edit> {
    let known = ctx.wire(wire)?;
    let to = ctx.anchor(fed)?;
    let part = part_near(ctx.car, to.part()?, kind)?;
    let id = *ids_once_placed(ctx.car, std::slice::from_ref(&part))?.first()?;
    let mut before = known.clone();
    let end = if before.from.at == to {
        &mut before.from
    } else if before.to.at == to {
        &mut before.to
    } else {
        return None;
    };
    let fitted = end.fitting.take();
    end.at = Anchor::terminal(id, "1");
    let mut lead = wire_to_fit(Anchor::terminal(id, "2"), to, known.colour, known.size, BESIDE);
    lead.to.fitting = fitted;
    for wire in [&mut before, &mut lead] {
        fit_ends(ctx.car, Some((id, &part)), wire);
    }
    Some(Edit::All(vec![Edit::Place(part), moved(wire, before), Edit::Run(lead)]))
}

/// Notes that both ends of these wires carry their numbers.
pub(crate) fn number_both_ends(ctx: &Ctx<'_>, wires: &[WireId]) -> Option<Edit> {
    let edits = wires.iter().filter_map(|&id| {
        let mut wire = ctx.wire(id)?.clone();
        wire.seen.mark = Some(Mark::Both);
        Some(Edit::SetWire(id, wire))
    });
    all(edits.collect())
}

/// Puts a diode across a coil of a relay, its ring to the end towards plus.
pub(crate) fn diode_across(ctx: &Ctx<'_>, coil: &Load) -> Option<Edit> {
    let (side, relay) = (&ctx.after, coil.part);
    let (fed, home) = side.fed_end(coil)?;
    let (plus, minus) = if ctx.is_plus_live() { (fed, home) } else { (home, fed) };
    let diode = part_near(ctx.car, relay, "diode")?;
    let id = *ids_once_placed(ctx.car, std::slice::from_ref(&diode))?.first()?;
    let size = WireArea::new(TRIGGER).ok();
    let lead = |spot: Spot, terminal: &str| -> Option<Edit> {
        let colour = side.wiring.wires_at(spot).find_map(|wire| ctx.wire(wire)?.colour);
        let to = Anchor::terminal(id, terminal);
        let mut wire = wire_to_fit(ctx.anchor(spot)?, to, colour, size, BESIDE);
        fit_ends(ctx.car, Some((id, &diode)), &mut wire);
        Some(Edit::Run(wire))
    };
    let leads = [lead(plus, "k")?, lead(minus, "a")?];
    let [plus, minus] = leads;
    Some(Edit::All(vec![Edit::Place(diode.clone()), plus, minus]))
}
