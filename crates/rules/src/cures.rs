//! Fixes that put a part in, move a lead or note what was done at the car.

use loomwright_circuit::seen::Mark;
use loomwright_circuit::{Anchor, Body, Car, Edit, Part, PartId, RowId, Wire, WireId};
use loomwright_units::WireArea;

use crate::ctx::Ctx;
use crate::fix::{all, earth_colour, fit_ends, part_near, wire_to_fit};
use crate::wiring::{BODY, Spot};

/// A trigger lead carries a coil's current and wants strength alone, mm² (practice).
const TRIGGER: f64 = 1.0;

/// Lengths of leads that a fix runs from part to part beside it, m.
const BESIDE: f64 = 0.3;

/// A relay is loaded to four fifths of its rating at most (practice: 70 to 80 %).
const NEAR: f64 = 0.8;

/// The ids that parts will have once placed together, in order.
fn ids_once_placed(car: &Car, parts: &[Part]) -> Option<Vec<PartId>> {
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
    Some(Edit::All(vec![Edit::Place(part), Edit::AlterWire(wire, before), Edit::Run(lead)]))
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

/// Gives a switch with one contact a relay: the relay takes the load from where the switch is fed, and the switch works
/// its coil alone.
pub(crate) fn relay_for(ctx: &Ctx<'_>, switch: PartId, amps: f64) -> Option<Edit> {
    let (feed, load) = ends_of_switch(ctx, switch)?;
    let wires: Vec<WireId> = ctx.after.wiring.wires_at(load).collect();
    let size = wires.iter().filter_map(|wire| ctx.wire(*wire)?.size);
    let size = size.max_by(|a, b| a.square_mm().total_cmp(&b.square_mm()))?;
    let can_earth = ctx.car.vehicle().body == Body::Steel && ctx.after.earth.reach(BODY);
    let relay = part_near(ctx.car, switch, "relay-make")?;
    let usual = ctx.car.type_named("relay-make")?.fact("amps")?.usual?;
    if !can_earth || amps > usual * NEAR {
        return None;
    }
    let mut earth = part_near(ctx.car, switch, "body-earth")?;
    earth.place.at.x += 25.0;
    let parts = [relay, earth];
    let ids = ids_once_placed(ctx.car, &parts)?;
    let [relay_id, earth_id] = ids[..] else { return None };
    let at = |terminal: &str| Anchor::terminal(relay_id, terminal);
    let colour = |spot| ctx.after.wiring.wires_at(spot).find_map(|wire| ctx.wire(wire)?.colour);
    let trigger = WireArea::new(TRIGGER).ok();
    let mut leads = [
        wire_to_fit(ctx.anchor(feed)?, at("30"), colour(feed), Some(size), BESIDE),
        // Up to the coil the fuse of the load guards it, which the thin lead would not bear.
        wire_to_fit(ctx.anchor(load)?, at("86"), colour(load), Some(size), BESIDE),
        wire_to_fit(
            at("85"),
            Anchor::terminal(earth_id, "1"),
            Some(earth_colour(ctx.car)),
            trigger,
            BESIDE,
        ),
    ];
    let place = |wire: &mut Wire| {
        for (id, part) in ids.iter().zip(&parts) {
            fit_ends(ctx.car, Some((*id, part)), wire);
        }
    };
    leads.iter_mut().for_each(place);
    let from = ctx.anchor(load)?;
    let moved = wires.iter().filter_map(|&id| {
        let mut wire = ctx.wire(id)?.clone();
        for end in [&mut wire.from, &mut wire.to] {
            if end.at == from {
                end.at = at("87");
                end.fitting = None;
            }
        }
        place(&mut wire);
        Some(Edit::AlterWire(id, wire))
    });
    let moved: Vec<Edit> = moved.collect();
    let edits = parts.iter().cloned().map(Edit::Place).chain(moved);
    Some(Edit::All(edits.chain(leads.into_iter().map(Edit::Run)).collect()))
}

/// The fed and the other terminal of a switch that has but two with wires.
fn ends_of_switch(ctx: &Ctx<'_>, switch: PartId) -> Option<(Spot, Spot)> {
    let wiring = &ctx.after.wiring;
    let part_type = ctx.car.type_of(switch)?;
    let spots = part_type.terminals.iter().filter_map(|terminal| {
        let spot = wiring.spot(switch, &terminal.name)?;
        wiring.wires_at(spot).next().map(|_| spot)
    });
    let spots: Vec<Spot> = spots.collect();
    let [a, b] = spots[..] else { return None };
    let is_fed = |spot: Spot| {
        ctx.after.live.to(spot).any(|way| {
            let links = ctx.after.live.links_of(way);
            links.into_iter().all(|link| wiring.links[link].kind.part() != Some(switch))
        })
    };
    match (is_fed(a), is_fed(b)) {
        (true, false) => Some((a, b)),
        (false, true) => Some((b, a)),
        _ => None,
    }
}

/// Puts a diode across the coil of a relay, its ring to the end towards plus.
pub(crate) fn diode_across(ctx: &Ctx<'_>, relay: PartId) -> Option<Edit> {
    let side = &ctx.after;
    let coil = side.wiring.loads.iter().find(|load| load.part == relay)?;
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
