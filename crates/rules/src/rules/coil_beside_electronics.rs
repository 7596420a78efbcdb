//! A relay coil that kicks, joined to LED lamps or electronics behind the same contact.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::{Element, LoadFamily};

use crate::ctx::Ctx;
use crate::cures::diode_across;
use crate::messages::SW06;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Load, LoadKind, Spot};
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "SW06",
    name: "coil-beside-electronics",
    title: "Coil kicks electronics",
    level: Level::Advice,
    since: "0.2.0",
    help: include_str!("coil_beside_electronics.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut by_relay: BTreeMap<PartId, (&Load, BTreeSet<PartId>)> = BTreeMap::new();
    for coil in side.wiring.loads.iter().filter(|load| load.kind == LoadKind::Coil) {
        let Some((fed, _)) = side.fed_end(coil) else { continue };
        if is_quenched(ctx, coil) || !is_switched(ctx, fed) {
            continue;
        }
        let hit = beside(ctx, fed);
        if !hit.is_empty() {
            by_relay.entry(coil.part).or_insert((coil, BTreeSet::new())).1.extend(hit);
        }
    }
    let plus = if ctx.is_plus_live() { SW06::plus_live() } else { SW06::plus_earthed() };
    for (relay, (coil, hit)) in by_relay {
        let says = SW06::says(ctx.part_name(relay), ctx.part_names(hit.iter().copied()));
        out.push(
            RULE.says(says)
                .advise(SW06::advice(plus))
                .parts([relay])
                .fix(SW06::fix(), Trust::Ask, diode_across(ctx, coil))
                .parts(hit)
                .source(SW06::source()),
        );
    }
}

/// Whether a diode, a resistor or a filament lamp beside it takes the kick up.
fn is_quenched(ctx: &Ctx<'_>, coil: &Load) -> bool {
    let wiring = &ctx.after.wiring;
    let across = |ends: [Spot; 2]| {
        let joined = |a: usize, b: usize| wiring.are_hard_joined(ends[a], coil.ends[b]);
        (joined(0, 0) && joined(1, 1)) || (joined(0, 1) && joined(1, 0))
    };
    let quenches = |kind| matches!(kind, LinkKind::Diode(_) | LinkKind::Resistor(_));
    let lamps = wiring.loads.iter().filter(|load| load.kind == LoadKind::Filament);
    wiring.links.iter().any(|link| quenches(link.kind) && across(link.ends))
        || lamps.map(|load| load.ends).any(across)
}

/// Whether a contact stands in every way to a spot, so that coil and what is beside it are cut off together.
fn is_switched(ctx: &Ctx<'_>, fed: Spot) -> bool {
    let side = &ctx.after;
    let is_contact = |kind: LinkKind| matches!(kind, LinkKind::Contact { .. });
    side.live.to(fed).all(|way| side.live.passes(&side.wiring, way, is_contact))
}

/// LED lamps, electronics and electronic flashers fed from the same copper.
fn beside(ctx: &Ctx<'_>, fed: Spot) -> BTreeSet<PartId> {
    let wiring = &ctx.after.wiring;
    let joined = |spot: Spot| wiring.are_hard_joined(spot, fed);
    let loads = wiring.loads.iter().filter(|load| {
        matches!(load.kind, LoadKind::Led | LoadKind::Consumer(LoadFamily::Electronics))
            && load.ends.iter().any(|&end| joined(end))
    });
    let flashers = ctx.car.parts().iter().filter(|(id, part)| {
        let feed = ctx.car.type_of(**id).and_then(|part_type| {
            part_type.elements.iter().find_map(|element| match element {
                Element::Flasher { feed, earth: Some(_), .. } => wiring.spot(**id, feed),
                _ => None,
            })
        });
        wiring.version.has(part.standing) && feed.is_some_and(joined)
    });
    loads.map(|load| load.part).chain(flashers.map(|(id, _)| *id)).collect()
}
