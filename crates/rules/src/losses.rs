//! Volts lost between the supply and a lamp, and where.

use loomwright_circuit::WireId;
use loomwright_electrics::Visit;

use crate::ctx::{Ctx, is_shorted};
use crate::roles::Role;
use crate::wiring::{LinkKind, Load, Spot};

/// Volts that may be lost between supply and lamp and back, in a 12 or 24 V car: headlamps and lamps under 15 W,
/// others.
///
/// # Source
/// Bosch Automotive Handbook, permissible voltage drops, whole circuit (memory). A 6 V car may lose half (practice).
const MAY_LOSE: [f64; 2] = [0.6, 0.9];

/// Lamps from this power have the larger allowance, W; same source.
const LARGE_WATTS: f64 = 15.0;

#[derive(Debug, Clone, Copy)]
pub(crate) struct Loss {
    pub(crate) load: usize,
    pub(crate) visit: usize,
    pub(crate) supply: f64,
    pub(crate) at_lamp: f64,
    pub(crate) limit: f64,
    /// The wire that loses most, with its loss.
    pub(crate) wire: Option<(WireId, f64)>,
}

/// What a lamp may lose, V; nothing for tell-tales, instrument lamps and lamps dimmed on purpose.
pub(crate) fn limit(ctx: &Ctx<'_>, load_idx: usize, load: &Load) -> Option<f64> {
    let side = &ctx.after;
    let role = ctx.roles.load(load_idx);
    let is_small = matches!(
        role,
        Some(Role::TellTale | Role::ChargeLamp | Role::OilLamp | Role::Panel | Role::Courtesy)
    );
    let (fed, _) = side.fed_end(load)?;
    if !load.kind.is_light() || is_small || side.live.to(fed).all(|way| way.is_limited) {
        return None;
    }
    let is_head = matches!(role, Some(Role::MainBeam | Role::DipBeam));
    let [small, large] = MAY_LOSE;
    let volts = if load.watts >= LARGE_WATTS && !is_head { large } else { small };
    Some(volts * (ctx.car.vehicle().voltage.volts().0 / 12.0).min(1.0))
}

pub(crate) fn worst_loss(ctx: &Ctx<'_>, load_idx: usize, load: &Load, limit: f64) -> Option<Loss> {
    let mut worst: Option<Loss> = None;
    let (fed, back) = ctx.after.fed_end(load)?;
    let names = load.ends.map(|end| ctx.after.wiring.terminal(end).map_or("", |(_, name)| name));
    let least = ctx.extremes().loads.iter().find(|known| {
        known.part == load.part && [known.between[0].as_str(), known.between[1].as_str()] == names
    });
    let least = least.and_then(|known| known.least)?;
    // No supply here holds more than this; a lamp that always has nearly as much loses nothing worth a look.
    if least.value.0 > most_supply(ctx) - limit {
        return None;
    }
    for (visit_idx, visit) in ctx.visits() {
        let (Some(supply), Some(at_lamp)) =
            (supply_volts(ctx, visit), volts_across(ctx, visit, load.ends))
        else {
            continue;
        };
        let lost = supply - at_lamp;
        let known = worst.map_or(limit, |worst| worst.supply - worst.at_lamp);
        if lost > known * (1.0 + 1e-6)
            && ctx.after.live.to(fed).any(|way| ctx.fits(&visit.settled, &way.needs))
            && ctx.after.earth.to(back).any(|way| ctx.fits(&visit.settled, &way.needs))
            && !ctx.is_cranking(visit)
            && !is_shorted(visit)
        {
            worst =
                Some(Loss { load: load_idx, visit: visit_idx, supply, at_lamp, limit, wire: None });
        }
    }
    let mut worst = worst?;
    worst.wire = worst_wire(ctx, load, worst.visit);
    Some(worst)
}

fn volts_across(ctx: &Ctx<'_>, visit: &Visit, [a, b]: [Spot; 2]) -> Option<f64> {
    Some((ctx.volts_at(visit, a)? - ctx.volts_at(visit, b)?).abs())
}

fn supply_volts(ctx: &Ctx<'_>, visit: &Visit) -> Option<f64> {
    let supply = ctx.after.wiring.supplies.first()?;
    volts_across(ctx, visit, [supply.live, supply.earthed])
}

/// The most volts that any supply of the car holds: a charged battery, or a regulator.
fn most_supply(ctx: &Ctx<'_>) -> f64 {
    let share = if ctx.after.wiring.generators.is_empty() { CHARGED } else { REGULATED };
    ctx.car.vehicle().voltage.volts().0 * share
}

/// A charged battery and the highest regulator setting over marked volts: 12.7 V and 16.6 V in a 12 V car.
const CHARGED: f64 = 12.7 / 12.0;
const REGULATED: f64 = 16.6 / 12.0;

/// The wire on the way there and back that loses most in this visit.
fn worst_wire(ctx: &Ctx<'_>, load: &Load, visit: usize) -> Option<(WireId, f64)> {
    let side = &ctx.after;
    let (fed, back) = side.fed_end(load)?;
    let visit = ctx.visit(visit)?;
    let there = side.live.to(fed).find(|way| ctx.fits(&visit.settled, &way.needs))?;
    let home = side.earth.to(back).find(|way| ctx.fits(&visit.settled, &way.needs));
    let links = side.live.links_of(there).into_iter();
    let links = links.chain(home.into_iter().flat_map(|way| side.earth.links_of(way)));
    let wires = links.filter_map(|link| match side.wiring.links[link].kind {
        LinkKind::Wire(wire) => Some(wire),
        _ => None,
    });
    let loss = |wire| {
        let [a, b] = visit.settled.on.wire_volts(wire)?;
        Some((wire, (a - b).abs().0))
    };
    wires.filter_map(loss).max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
}
