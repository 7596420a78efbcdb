//! Consumers that current cannot get home from, and those that it never gets to.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::ctx::Ctx;
use crate::feeds::Ways;
use crate::isolators::isolators;
use crate::roles::Role;
use crate::side::Side;
use crate::wiring::{BODY, ENGINE, LinkKind, Load, LoadKind, Spot};

/// Consumers that are fed and cannot return, with the end they should return from.
pub(crate) fn unearthed(ctx: &Ctx<'_>) -> Vec<(usize, Spot)> {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().enumerate();
    loads
        .filter(|(_, load)| load.kind != LoadKind::Voltmeter)
        .filter_map(|(load_idx, load)| {
            let fed = load.ends.map(|end| side.live.reach(end) && !side.hard_earth[end]);
            let earthed = load.ends.map(|end| side.earth.reach(end));
            if earthed[0] || earthed[1] {
                return None;
            }
            let back = match fed {
                [true, false] => load.ends[1],
                [false, true] => load.ends[0],
                [true, true] => return both_fed(ctx, load_idx),
                [false, false] => return None,
            };
            let has_way = returns_through_another(ctx, load_idx, back)
                || (is_of_a_string(ctx, load_idx) && leads_on(ctx, load_idx, back, &side.earth));
            (!has_way).then_some((load_idx, back))
        })
        .collect()
}

/// Consumers that return over the engine in some settings, while nothing joins it to the battery: with the parts through
/// which their current comes to it. Those that have no other way home are told without it; these work in some settings, and
/// in the others nobody sees why they do not.
pub(crate) fn over_the_engine(ctx: &Ctx<'_>) -> Vec<(usize, BTreeSet<PartId>)> {
    let side = &ctx.after;
    let wiring = &side.wiring;
    if is_earthed_by_itself(ctx, ENGINE) || wiring.are_hard_joined(ENGINE, BODY) {
        return Vec::new();
    }
    let ways = Ways::from(wiring, &[ENGINE], &side.hard_earth, ctx.is_plus_live());
    let through = |home: Spot| -> BTreeSet<PartId> {
        let links = ways.to(home).flat_map(|way| ways.links_of(way));
        links.filter_map(|link| wiring.links[link].kind.part()).collect()
    };
    let loads = wiring.loads.iter().enumerate();
    loads
        .filter(|(_, load)| load.kind != LoadKind::Voltmeter)
        .filter_map(|(load_idx, load)| {
            let (_, home) = side.fed_end(load)?;
            let is_over = !side.hard_earth[home] && side.earth.reach(home) && ways.reach(home);
            is_over.then(|| (load_idx, through(home)))
        })
        .collect()
}

/// Whether wires, copper and battery isolators alone lead from a spot to the earthed post.
fn is_earthed_by_itself(ctx: &Ctx<'_>, spot: Spot) -> bool {
    let side = &ctx.after;
    let isolators: Vec<PartId> = isolators(ctx).into_iter().map(|(part, _)| part).collect();
    side.earth.to(spot).any(|way| {
        side.earth.links_of(way).iter().all(|&link| match side.wiring.links[link].kind {
            LinkKind::Wire(_) | LinkKind::Copper(_) => true,
            LinkKind::Contact { part, .. } => isolators.contains(&part),
            _ => false,
        })
    })
}

/// A consumer between two feeds returns through what hangs on the other; what that does is back-feed's affair.
fn both_fed(ctx: &Ctx<'_>, load_idx: usize) -> Option<(usize, Spot)> {
    let side = &ctx.after;
    let ends = side.wiring.loads[load_idx].ends;
    // A lamp between the leads of left and right flashes with either; of a tell-tale that is meant.
    let flashes = |end: Spot| side.live.to(end).all(|way| way.flasher.is_some());
    if !is_small(ctx, load_idx) && ends.into_iter().all(flashes) {
        return Some((load_idx, ends[1]));
    }
    let has_way = ends.into_iter().any(|end| {
        let island = side.wiring.joined_anyhow(end);
        through_others(side, load_idx, &island)
            || side
                .wiring
                .generators
                .iter()
                .any(|g| g.warning.is_some_and(|warning| island[warning]))
    });
    (!has_way).then_some((load_idx, ends[1]))
}

/// Whether a small lamp or a coil is meant to return through something else: a generator's field, or other lamps.
fn returns_through_another(ctx: &Ctx<'_>, load_idx: usize, back: Spot) -> bool {
    let side = &ctx.after;
    let island = side.wiring.joined_anyhow(back);
    let at_generator =
        side.wiring.generators.iter().any(|g| g.warning.is_some_and(|warning| island[warning]));
    at_generator || (is_small(ctx, load_idx) && through_others(side, load_idx, &island))
}

/// A coil, or a lamp that tells something.
fn is_small(ctx: &Ctx<'_>, load_idx: usize) -> bool {
    let load = &ctx.after.wiring.loads[load_idx];
    load.kind == LoadKind::Coil
        || matches!(
            ctx.roles.load(load_idx),
            Some(Role::TellTale | Role::HazardTellTale | Role::ChargeLamp | Role::OilLamp)
        )
        || load.watts <= 3.0
}

pub(crate) fn through_others(side: &Side<'_>, load_idx: usize, island: &[bool]) -> bool {
    side.wiring.loads.iter().enumerate().any(|(other_idx, other)| {
        let [a, b] = other.ends;
        other_idx != load_idx
            && ((island[a] && side.earth.reach(b)) || (island[b] && side.earth.reach(a)))
    })
}

/// Whether a consumer is made for so few volts that it is one of several in a row: two 6 V lamps in a 12 V car. What
/// each of them gets is another rule's affair.
pub(crate) fn is_of_a_string(ctx: &Ctx<'_>, load_idx: usize) -> bool {
    ctx.after.wiring.loads[load_idx].volts < ctx.car.vehicle().voltage.volts().0 * STRING_SHARE
}

/// A part for less than this share of the car's volts does not stand the whole of them (practice).
const STRING_SHARE: f64 = 0.9;

/// Whether other consumers lead from here to where these ways start.
fn leads_on(ctx: &Ctx<'_>, load_idx: usize, from: Spot, ways: &Ways) -> bool {
    let joined = ctx.after.wiring.joined_over_loads(from, load_idx);
    (0..joined.len()).any(|spot| joined[spot] && ways.reach(spot))
}

/// Consumers that hang together and are joined to neither a supply nor earth, whatever the switches do.
pub(crate) fn afloat(ctx: &Ctx<'_>) -> Vec<Vec<usize>> {
    let side = &ctx.after;
    let wiring = &side.wiring;
    let mut is_seen = vec![false; wiring.loads.len()];
    let mut groups = Vec::new();
    for (load_idx, load) in wiring.loads.iter().enumerate() {
        let is_wired = load.ends.iter().any(|&end| wiring.wires_at(end).next().is_some());
        if !is_wired || is_seen[load_idx] || load.kind == LoadKind::Voltmeter {
            continue;
        }
        let island = wiring.joined_over_loads(load.ends[0], usize::MAX);
        let is_held = (0..island.len())
            .any(|spot| island[spot] && (side.live.reach(spot) || side.earth.reach(spot)))
            || wiring.generators.iter().any(|generator| {
                island[generator.plus] || generator.warning.is_some_and(|spot| island[spot])
            });
        let on_it = |load: &Load| load.ends.iter().any(|&end| island[end]);
        let group: Vec<usize> =
            (0..wiring.loads.len()).filter(|&idx| on_it(&wiring.loads[idx])).collect();
        for &idx in &group {
            is_seen[idx] = true;
        }
        if !is_held {
            groups.push(group);
        }
    }
    groups
}

/// Consumers that could return to earth but that nothing ever feeds, with the end that a lead comes to.
pub(crate) fn unfed(ctx: &Ctx<'_>) -> Vec<(usize, Spot)> {
    let side = &ctx.after;
    let sources = side.wiring.generators.iter().flat_map(|g| [Some(g.plus), g.warning]).flatten();
    let sources: Vec<Spot> = sources.chain(side.wiring.pilots.iter().copied()).collect();
    let mut unfed = Vec::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let [a, b] = load.ends;
        let (dead, home) = if side.earth.reach(b) { (a, b) } else { (b, a) };
        let is_led_to = side.wiring.wires_at(dead).next().is_some();
        if load.kind == LoadKind::Voltmeter
            || !is_led_to
            || !side.earth.reach(home)
            || [a, b].iter().any(|&end| side.live.reach(end))
            || side.earth.reach(dead)
        {
            continue;
        }
        let island = side.wiring.joined_anyhow(dead);
        let is_fed = sources.iter().any(|&source| island[source])
            || is_fed_by_another(side, load_idx, &island)
            || is_behind_a_turned_diode(side, dead)
            || (is_of_a_string(ctx, load_idx) && leads_on(ctx, load_idx, dead, &side.live));
        if !is_fed {
            unfed.push((load_idx, dead));
        }
    }
    unfed
}

/// Whether a diode that stands the wrong way round is all that keeps a lead from its feed: that is told of the diode.
fn is_behind_a_turned_diode(side: &Side<'_>, dead: Spot) -> bool {
    let near = side.wiring.hard_joined(&[dead]);
    let is_live = |spot: Spot| side.live.reach(spot) && !side.hard_earth[spot];
    side.wiring.links.iter().any(|link| {
        let [a, b] = link.ends;
        matches!(link.kind, LinkKind::Diode(_))
            && ((near[a] && is_live(b)) || (near[b] && is_live(a)))
    })
}

/// Whether another consumer, no mere tell-tale beside it, leads from a live feed to here.
fn is_fed_by_another(side: &Side<'_>, load_idx: usize, island: &[bool]) -> bool {
    side.wiring.loads.iter().enumerate().any(|(other_idx, other)| {
        let [a, b] = other.ends;
        let is_live = |spot: Spot| side.live.reach(spot) && !side.hard_earth[spot];
        other_idx != load_idx
            && other.watts >= side.wiring.loads[load_idx].watts * 0.5
            && ((island[a] && is_live(b)) || (island[b] && is_live(a)))
    })
}
