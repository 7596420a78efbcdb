//! A part that minds which way round it is, joined the wrong way round for this car's earth.

use loomwright_circuit::part_type::{Element, FlasherFamily};
use loomwright_circuit::{EarthPolarity, Edit, PartId};

use crate::ctx::Ctx;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Spot};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PO01",
    name: "polarity-reversed",
    title: "Wrong way round",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("polarity_reversed.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    if let Some(finding) = battery(ctx) {
        // Everything else is the wrong way round with it; one cause, one finding.
        out.push(finding);
        return;
    }
    loads(ctx, out);
    diodes(ctx, out);
    made_for_the_other_earth(ctx, out);
}

fn earth_word(ctx: &Ctx<'_>) -> &'static str {
    match ctx.car.vehicle().earth {
        EarthPolarity::Negative => "negative",
        EarthPolarity::Positive => "positive",
    }
}

fn battery(ctx: &Ctx<'_>) -> Option<Finding> {
    let is_negative = ctx.car.vehicle().earth == EarthPolarity::Negative;
    let wrong =
        ctx.after.wiring.supplies.iter().find(|supply| supply.is_plus_live != is_negative)?;
    let (car, part_type) = (ctx.car.part(wrong.part)?, ctx.car.type_of(wrong.part)?);
    let post = if is_negative { "plus" } else { "minus" };
    let mut vehicle = ctx.car.vehicle().clone();
    vehicle.earth = if is_negative { EarthPolarity::Positive } else { EarthPolarity::Negative };
    let posts = part_type.elements.iter().find_map(|element| match element {
        Element::Battery { plus, minus, .. } => Some((plus, minus)),
        _ => None,
    })?;
    let says = format!(
        "The {post} post of {} is on earth, but this is a {} earth car",
        car.label,
        earth_word(ctx)
    );
    let finding = RULE
        .says(says)
        .advise("Turn the battery, or say that the car has the other earth")
        .parts([wrong.part])
        .source("practice");
    let turned = ctx.swap_terminals(wrong.part, posts.0, posts.1);
    let finding = finding.fix("Change the battery's leads over", Trust::Ask, turned);
    Some(finding.fix("The car has the other earth", Trust::Ask, Some(Edit::SetVehicle(vehicle))))
}

/// Whether a spot can be joined to the plus and to the minus post.
fn sides(ctx: &Ctx<'_>, spot: Spot) -> (bool, bool) {
    let side = &ctx.after;
    let live = side.live.reach(spot) && !side.hard_earth[spot];
    let earth = side.earth.reach(spot) && !side.hard_live[spot];
    if ctx.is_plus_live() { (live, earth) } else { (earth, live) }
}

fn loads(ctx: &Ctx<'_>, out: &mut Out) {
    let wiring = &ctx.after.wiring;
    for load in wiring.loads.iter().filter(|load| load.is_polarised) {
        let [(a_plus, a_minus), (b_plus, b_minus)] = load.ends.map(|end| sides(ctx, end));
        if a_plus || b_minus || !(a_minus && b_plus) {
            continue;
        }
        let name = ctx.part_name(load.part);
        let says = format!(
            "{name} has its plus side to minus on this {} earth car: it stays dark or is destroyed",
            earth_word(ctx)
        );
        out.push(turned(ctx, load.part, load.ends, &says));
    }
}

fn turned(ctx: &Ctx<'_>, part: PartId, ends: [Spot; 2], says: &str) -> Finding {
    let wiring = &ctx.after.wiring;
    let names = ends.map(|end| wiring.terminal(end).map_or("", |(_, terminal)| terminal));
    let wires = ends.into_iter().flat_map(|end| wiring.wires_at(end));
    let finding = RULE
        .says(says)
        .advise(format!("Change the leads at {} and {} over", names[0], names[1]))
        .parts([part])
        .wires(wires)
        .source("practice");
    let edit = ctx.swap_terminals(part, names[0], names[1]);
    finding.fix("Change its leads over", Trust::Ask, edit)
}

fn diodes(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Diode(part) = link.kind else { continue };
        let [a, k] = link.ends;
        let [(a_plus, a_minus), (_, k_minus)] = [sides(ctx, a), sides(ctx, k)];
        let name = ctx.part_name(part);
        let is_inside = ctx.part(part).is_some_and(|(_, part_type)| part_type.elements.len() > 1);
        if a_plus && k_minus && conducts_at_once(ctx, a, k) {
            let says = if is_inside {
                format!(
                    "The diode inside {name} is the wrong way round: a dead short whenever the coil is fed"
                )
            } else {
                format!("{name} lets current straight from plus to minus")
            };
            out.push(turned(ctx, part, [a, k], &says));
        } else if !a_plus
            && !a_minus
            && !is_inside
            && fed_apart(ctx, k, link_idx)
            && feeds_load(ctx, a)
        {
            let says = format!("{name} keeps the current from what it feeds");
            out.push(turned(ctx, part, [a, k], &says).level(Level::Fault));
        }
    }
}

/// Whether some setting joins the one end to plus and the other to minus.
fn conducts_at_once(ctx: &Ctx<'_>, a: Spot, k: Spot) -> bool {
    let (live_end, earth_end) = if ctx.is_plus_live() { (a, k) } else { (k, a) };
    let side = &ctx.after;
    side.live.to(live_end).any(|live| {
        side.earth.to(earth_end).any(|earth| {
            live.needs.with(&earth.needs).is_some_and(|both| ctx.holds(&both).is_some())
        })
    })
}

/// Whether the cathode is on the plus side by another way than this diode.
fn fed_apart(ctx: &Ctx<'_>, k: Spot, diode: usize) -> bool {
    let side = &ctx.after;
    ctx.is_plus_live()
        && side.live.to(k).any(|way| !side.live.links_of(way).contains(&diode))
        && !side.hard_earth[k]
}

/// Whether a consumer hangs on what the anode is joined to.
fn feeds_load(ctx: &Ctx<'_>, a: Spot) -> bool {
    let wiring = &ctx.after.wiring;
    let near = wiring.hard_joined(&[a]);
    wiring.loads.iter().any(|load| {
        let [first, second] = load.ends;
        (near[first] && ctx.after.earth.reach(second))
            || (near[second] && ctx.after.earth.reach(first))
    })
}

/// Alternators and electronic flashers are made for one earth; the drawing cannot say which.
fn made_for_the_other_earth(ctx: &Ctx<'_>, out: &mut Out) {
    if ctx.is_plus_live() {
        return;
    }
    for (&id, part) in ctx.car.parts() {
        if !ctx.after.wiring.version.has(part.standing) {
            continue;
        }
        let Some(part_type) = ctx.car.type_of(id) else { continue };
        let is_electronic = part_type.elements.iter().any(|element| {
            matches!(element, Element::Flasher { family: FlasherFamily::Electronic, .. })
        });
        let (level, what) = if part.type_name == "alternator" {
            (
                Level::Danger,
                "an alternator is made for negative earth: its diodes would short the battery",
            )
        } else if is_electronic {
            (Level::Advice, "make sure that this flasher unit is made for positive earth")
        } else {
            continue;
        };
        out.push(
            RULE.says(format!("{}: {what}", part.label))
                .level(level)
                .advise("Have the car converted first, or fit one made for positive earth")
                .parts([id])
                .source("practice"),
        );
    }
}
