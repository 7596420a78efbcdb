//! A lamp that loses light because volts are lost on the way to it and back.

use std::collections::BTreeMap;

use loomwright_circuit::WireId;
use loomwright_electrics::{Visit, filament};
use loomwright_units::Volts;

use crate::ctx::{Ctx, is_shorted};
use crate::limits::size_above;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Load, Spot};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "VD01",
    name: "lamp-dimmed",
    title: "Dim lamp",
    level: Level::Advice,
    since: "0.1.0",
    help: include_str!("lamp_dimmed.md"),
    needs: Needs::States,
    check,
};

/// Volts that may be lost between supply and lamp and back, in a 12 V car: headlamps and lamps under 15 W, others.
///
/// # Source
/// Bosch Automotive Handbook, permissible voltage drops, whole circuit (memory).
const MAY_LOSE: [f64; 2] = [0.6, 0.9];

/// Lamps from this power have the larger allowance, W; same source.
const LARGE_WATTS: f64 = 15.0;

#[derive(Debug, Clone, Copy)]
struct Loss {
    load: usize,
    visit: usize,
    supply: f64,
    at_lamp: f64,
    limit: f64,
    /// The wire that loses most, with its loss.
    wire: Option<(WireId, f64)>,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut by_wire: BTreeMap<Option<WireId>, Vec<Loss>> = BTreeMap::new();
    for (load_idx, load) in ctx.after.wiring.loads.iter().enumerate() {
        let Some(limit) = limit(ctx, load_idx, load) else { continue };
        if let Some(loss) = worst_loss(ctx, load_idx, load, limit) {
            by_wire.entry(loss.wire.map(|(wire, _)| wire)).or_default().push(loss);
        }
    }
    for (_, mut losses) in by_wire {
        losses.sort_by(|a, b| (b.supply - b.at_lamp).total_cmp(&(a.supply - a.at_lamp)));
        out.push(finding(ctx, &losses));
    }
}

/// What a lamp may lose, V; nothing for tell-tales, instrument lamps and lamps dimmed on purpose.
fn limit(ctx: &Ctx<'_>, load_idx: usize, load: &Load) -> Option<f64> {
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
    Some(volts * ctx.car.vehicle().voltage.volts().0 / 12.0)
}

fn worst_loss(ctx: &Ctx<'_>, load_idx: usize, load: &Load, limit: f64) -> Option<Loss> {
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

fn finding(ctx: &Ctx<'_>, losses: &[Loss]) -> Finding {
    let worst = losses[0];
    let lost = worst.supply - worst.at_lamp;
    let light_lost = 1.0 - filament::light(worst.at_lamp, worst.supply);
    let part = |loss: &Loss| ctx.after.wiring.loads[loss.load].part;
    let others = match losses.len() {
        1 => String::new(),
        n => format!(", {} more with it", n - 1),
    };
    let most = worst.wire.map_or_else(String::new, |(wire, volts)| {
        format!("; {} of it in {}", Volts((volts * 100.0).round() / 100.0), ctx.wire_name(wire))
    });
    let says = format!(
        "{} loses {}{others}, about {:.0} % of its light{most}",
        ctx.part_name(part(&worst)),
        Volts((lost * 100.0).round() / 100.0),
        light_lost * 100.0,
    );
    let finding = RULE
        .says(says)
        .advise("Thicker cable, clean joints, or a relay close to the lamp")
        .parts(losses.iter().map(part))
        .wires(worst.wire.map(|(wire, _)| wire))
        .figure("volts_lost", lost)
        .figure("limit_volts", worst.limit)
        .figure("light_lost", light_lost)
        .shown(ctx.shown(worst.visit))
        .source("Bosch Automotive Handbook, permissible voltage drops (memory)");
    thicker(ctx, &worst, finding)
}

/// A thicker wire where that alone cures it.
fn thicker(ctx: &Ctx<'_>, worst: &Loss, finding: Finding) -> Finding {
    let Some((wire, volts)) = worst.wire else { return finding };
    let over = worst.supply - worst.at_lamp - worst.limit;
    // What the wire may still lose, with a tenth kept back for the lamp drawing more once it has more volts.
    let may_lose = volts - over * 1.1;
    let size = ctx.wire(wire).and_then(|wire| wire.size);
    if may_lose < volts * 0.2 {
        return finding;
    }
    let Some(size) = size.and_then(|size| size_above(size.square_mm() * volts / may_lose)) else {
        return finding;
    };
    let edit = ctx.resize(&[(wire, size)]);
    finding.fix(format!("Run {size} cable"), Trust::Ask, edit)
}
