//! A consumer from which current cannot get back to the battery.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Anchor, Body, Edit, Insulation, Part, PartId};
use loomwright_units::{Amps, WireArea};

use crate::ctx::Ctx;
use crate::earths::{over_the_engine, through_others, unearthed};
use crate::fix::{LEAST_EARTH_LEAD, all, earth_colour, fit_ends, id_once_placed, wire_to_fit};
use crate::limits::{rated, size_for};
use crate::messages::{Common, EA01};
use crate::places::part_near;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{BODY, ENGINE, LoadKind, Spot};
use crate::words::tenths;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "EA01",
    name: "load-without-earth",
    title: "No earth",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("load_without_earth.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    if side.wiring.supplies.is_empty() {
        return;
    }
    let mut groups: BTreeMap<Spot, Vec<usize>> = BTreeMap::new();
    for (load, end) in unearthed(ctx) {
        let island = side.wiring.joined_anyhow(end);
        let first = island.iter().position(|&is_in| is_in).unwrap_or(end);
        groups.entry(first).or_default().push(load);
    }
    // An engine that stands apart is told once.
    if !groups.contains_key(&ENGINE) {
        out.findings.extend(over_an_engine_apart(ctx));
    }
    for (first, loads) in groups {
        out.push(finding(ctx, first, &loads));
    }
}

/// What is earthed in some settings, and in the others only to an engine that nothing joins to the battery.
fn over_an_engine_apart(ctx: &Ctx<'_>) -> Option<Finding> {
    let rows = over_the_engine(ctx);
    let loads = rows.iter().map(|(load, _)| ctx.after.wiring.loads[*load].part);
    let loads: BTreeSet<PartId> = loads.collect();
    let through: BTreeSet<PartId> = rows.iter().flat_map(|(_, parts)| parts.clone()).collect();
    let last = *through.first()?;
    let is_mild = rows.iter().all(|(load, _)| is_mild(ctx, *load));
    let names = |parts: &BTreeSet<PartId>| ctx.part_names(parts.iter().copied());
    let says = EA01::says_over_engine_apart(names(&through), names(&loads));
    let island = ctx.after.wiring.hard_joined(&[ENGINE]);
    let edit = strap(ctx, &island, "engine-earth", last).ok_or_else(|| EA01::no_point().to_owned());
    Some(
        RULE.says(says)
            .level(if is_mild { Level::Fault } else { Level::Danger })
            .advise(EA01::advice_strap())
            .parts(loads)
            .parts(through)
            .source(Common::practice())
            .fix(EA01::fix_strap_engine(), Trust::Ask, edit),
    )
}

fn finding(ctx: &Ctx<'_>, first: Spot, loads: &[usize]) -> Finding {
    let side = &ctx.after;
    let rows = unearthed(ctx);
    let back = rows.iter().find(|(load, _)| loads.contains(load)).map_or(first, |(_, end)| *end);
    let island = side.wiring.joined_anyhow(back);
    let parts: Vec<PartId> = loads.iter().map(|&load| side.wiring.loads[load].part).collect();
    let names = ctx.part_names(parts.iter().copied().collect::<BTreeSet<_>>());
    // Without the engine's earth the ignition coil and the starter look for another way.
    let is_strap = island[ENGINE] && !island[BODY];
    let is_mild = loads.iter().all(|&load| is_mild(ctx, load));
    let through = through_others(side, loads[0], &island);
    let is_bare = side.wiring.wires_at(back).next().is_none();
    let says = if island[BODY] {
        EA01::says_body_apart(&names)
    } else if island[ENGINE] {
        EA01::says_engine_apart(&names)
    } else if through {
        EA01::says_through_another(&names)
    } else if is_bare {
        EA01::says_no_lead(ctx.terminal_name(back))
    } else {
        let end = dead_body(ctx, &island).or_else(|| blind_end(ctx, back)).unwrap_or_default();
        EA01::says_lead_ends(ctx.terminal_name(back), &end)
    };
    let first = side.wiring.terminal(back).map(|(part, _)| part);
    let others: BTreeSet<PartId> =
        parts.iter().copied().filter(|part| Some(*part) != first).collect();
    let leads_nowhere = !(island[BODY] || island[ENGINE] || through || is_bare);
    let says = if leads_nowhere && !others.is_empty() {
        EA01::likewise(&says, ctx.part_names(others))
    } else {
        says
    };
    let finding = RULE
        .says(says)
        .level(if is_mild { Level::Fault } else { Level::Danger })
        .advise(if is_strap { EA01::advice_strap().to_owned() } else { advice(ctx, loads) })
        .parts(parts)
        .parts(points(ctx, loads, &island))
        .wires(side.wiring.wires_at(back))
        .source(Common::practice());
    cured(ctx, finding, back, &island, (is_bare, size_home(ctx, loads)))
}

/// The most that these take at once at their marked power, A.
fn amps(ctx: &Ctx<'_>, loads: &[usize]) -> f64 {
    let watts = ctx.after.watts_at_once(loads.iter().copied());
    watts / ctx.car.vehicle().voltage.volts().0
}

/// The size of a lead that brings it all home; nothing where no cable is sold for so much.
fn size_home(ctx: &Ctx<'_>, loads: &[usize]) -> Option<WireArea> {
    let least = WireArea::new(LEAST_EARTH_LEAD).ok()?;
    let wanted = amps(ctx, loads) / LOADED_TO;
    if rated(least, None).amps >= wanted { Some(least) } else { size_for(wanted, least, None) }
}

/// Loaded to no more than this share of what it carries, a lead of its own stays cool (practice).
const LOADED_TO: f64 = 0.8;

fn advice(ctx: &Ctx<'_>, loads: &[usize]) -> String {
    let size = size_home(ctx, loads).filter(|size| size.square_mm() > LEAST_EARTH_LEAD);
    match size {
        Some(size) => EA01::advice_sized_lead(size, Amps(tenths(amps(ctx, loads)))),
        None => EA01::advice_lead().to_owned(),
    }
}

/// The earth points to which the leads of these consumers come: where to look.
fn points(ctx: &Ctx<'_>, loads: &[usize], island: &[bool]) -> Vec<PartId> {
    let wiring = &ctx.after.wiring;
    let backs: Vec<Spot> = loads
        .iter()
        .flat_map(|&load| wiring.loads[load].ends)
        .filter(|&end| island.get(end) == Some(&true))
        .collect();
    let ends = wiring.wire_ends().map(|(_, ends)| ends);
    let others = ends.flat_map(|[a, b]| [(a, b), (b, a)]).filter(|(near, _)| backs.contains(near));
    let parts = others.filter_map(|(_, far)| Some(wiring.terminal(far)?.0));
    let is_point = |part: &PartId| {
        let row = ctx.car.part(*part);
        row.is_some_and(|row| matches!(row.type_name.as_str(), "body-earth" | "engine-earth"))
    };
    parts.filter(is_point).collect()
}

/// A coil that does not pull, a small lamp that does not tell, or a lamp that is lit with those of both sides: it shows,
/// and nobody is put in danger by it.
fn is_mild(ctx: &Ctx<'_>, load: usize) -> bool {
    let side = &ctx.after;
    let is_fed = |end: Spot| side.live.reach(end) && !side.hard_earth[end];
    side.wiring.loads[load].kind == LoadKind::Coil
        || side.wiring.loads[load].ends.into_iter().all(is_fed)
        || matches!(
            ctx.roles.load(load),
            Some(Role::TellTale | Role::ChargeLamp | Role::OilLamp | Role::Panel | Role::Courtesy)
        )
}

/// Where a lead comes to a body point, and the body carries no current.
fn dead_body(ctx: &Ctx<'_>, island: &[bool]) -> Option<String> {
    if ctx.car.vehicle().body == Body::Steel {
        return None;
    }
    let points = (0..island.len()).filter(|&spot| island[spot]);
    let mut points = points.filter_map(|spot| ctx.after.wiring.terminal(spot));
    let is_point =
        |part: PartId| ctx.car.part(part).is_some_and(|part| part.type_name == "body-earth");
    let (point, _) = points.find(|(part, _)| is_point(*part))?;
    Some(EA01::ends_on_dead_body(ctx.part_name(point)))
}

/// Where the lead from a terminal ends, if it has but one wire and that goes no further.
fn blind_end(ctx: &Ctx<'_>, back: Spot) -> Option<String> {
    let wiring = &ctx.after.wiring;
    let mut wires = wiring.wires_at(back);
    let (wire, None) = (wires.next()?, wires.next()) else { return None };
    let (_, ends) = wiring.wire_ends().find(|(id, _)| *id == wire)?;
    let end = if ends[0] == back { ends[1] } else { ends[0] };
    match wiring.terminal(end) {
        None => Some(EA01::ends_in_air().to_owned()),
        Some((part, _)) if wiring.around[end].len() == 1 => {
            Some(EA01::ends_at(ctx.part_name(part)))
        }
        Some(_) => None,
    }
}

/// With what cures it, a point that is there before a new one; or with why nothing does.
fn cured(
    ctx: &Ctx<'_>,
    finding: Finding,
    back: Spot,
    island: &[bool],
    (is_bare, home): (bool, Option<WireArea>),
) -> Finding {
    let side = &ctx.after;
    if island[BODY] || island[ENGINE] {
        let (title, kind) = if island[BODY] {
            (EA01::fix_strap_body(), "body-earth")
        } else {
            (EA01::fix_strap_engine(), "engine-earth")
        };
        let load = side.wiring.loads.iter().find(|load| load.ends.contains(&back));
        let edit = load
            .and_then(|load| strap(ctx, island, kind, load.part))
            .ok_or_else(|| EA01::no_point().to_owned());
        return finding.fix(title, Trust::Ask, edit);
    }
    if !is_bare {
        return finding.unfixed(EA01::leads_on(ctx.terminal_name(back)));
    }
    if ctx.car.vehicle().body != Body::Steel {
        return finding.unfixed(EA01::no_metal());
    }
    if !side.earth.reach(BODY) {
        return finding.unfixed(EA01::nothing_home());
    }
    let load = side.wiring.loads.iter().find(|load| load.ends.contains(&back));
    let fed = load.map(|load| if load.ends[0] == back { load.ends[1] } else { load.ends[0] });
    let feed = fed.and_then(|fed| side.wiring.wires_at(fed).find_map(|wire| ctx.wire(wire)?.size));
    // It carries home what several leads may bring.
    let feed = feed.into_iter().chain(home).max_by(|a, b| a.square_mm().total_cmp(&b.square_mm()));
    let finding = match point_in_reach(ctx, back) {
        Some((point, at)) => {
            let title = EA01::fix_known_point(ctx.part_name(point));
            finding.fix(title, Trust::Ask, ctx.lead_to_earth(back, at, feed))
        }
        None => finding,
    };
    finding.fix(EA01::fix_earth_point(), Trust::Ask, ctx.earth_lead(back, feed))
}

/// Further away on the sheet, mm, an earth point is hardly near at the car.
const REACH: f64 = 100.0;

/// The nearest point on the body that is drawn on the same sheet, with its spot.
fn point_in_reach(ctx: &Ctx<'_>, back: Spot) -> Option<(PartId, Spot)> {
    let wiring = &ctx.after.wiring;
    let near = ctx.car.part(wiring.terminal(back)?.0)?;
    let points = ctx.car.parts().iter().filter(|(_, part)| {
        part.type_name == "body-earth"
            && part.sheet == near.sheet
            && wiring.version.has(part.standing)
    });
    let apart = |part: &Part| {
        let by = part.place.at - near.place.at;
        by.x.hypot(by.y)
    };
    let (id, _) = points
        .map(|(id, part)| (*id, apart(part)))
        .filter(|(_, apart)| *apart <= REACH)
        .min_by(|one, other| one.1.total_cmp(&other.1))?;
    Some((id, wiring.spot(id, "1")?))
}

/// Copper of the strap offered from the battery, mm² (practice: as thick as the battery cable).
const STRAP: f64 = 16.0;

/// A lead from the battery's earthed post to a point of the island; to a new one near a part where none is drawn.
fn strap(ctx: &Ctx<'_>, island: &[bool], kind: &str, near: PartId) -> Option<Edit> {
    let wiring = &ctx.after.wiring;
    let post = ctx.anchor(wiring.supplies.first()?.earthed)?;
    let is_point =
        |(part, _): &(PartId, &str)| ctx.car.part(*part).is_some_and(|part| part.type_name == kind);
    let known = (0..island.len())
        .filter(|&spot| island[spot])
        .find(|&spot| wiring.terminal(spot).as_ref().is_some_and(is_point));
    let (at, new) = if let Some(spot) = known {
        (ctx.anchor(spot)?, None)
    } else {
        let point = part_near(ctx.car, near, kind)?;
        let id = id_once_placed(ctx.car, &point)?;
        (Anchor::terminal(id, "1"), Some((id, point)))
    };
    let size = WireArea::new(STRAP).ok();
    let mut wire = wire_to_fit(post, at, Some(earth_colour(ctx.car)), size, 0.5);
    // Battery cable is sold in ordinary PVC.
    wire.insulation = Some(Insulation::Pvc);
    fit_ends(ctx.car, new.as_ref().map(|(id, point)| (*id, point)), &mut wire);
    let place = new.map(|(_, point)| Edit::Place(point));
    all(place.into_iter().chain([Edit::Run(wire)]).collect())
}
