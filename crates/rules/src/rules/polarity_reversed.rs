//! A part that minds which way round it is, joined the wrong way round for this car's earth.

use loomwright_circuit::{EarthPolarity, PartId, WireId};

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::fix::{all, swapped_ends};
use crate::messages::{Common, PO01};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Spot};
use crate::words::list;
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
    // With the battery itself turned, everything is the wrong way round with it: one cause, one finding.
    if ctx.is_plus_live() == (ctx.car.vehicle().earth == EarthPolarity::Positive) {
        return;
    }
    loads(ctx, out);
    diodes(ctx, out);
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
        let says = PO01::says_load(&name, ctx.earth_word());
        out.push(turned(ctx, load.part, load.ends, &says));
    }
}

fn turned(ctx: &Ctx<'_>, part: PartId, ends: [Spot; 2], says: &str) -> Finding {
    let wiring = &ctx.after.wiring;
    let names = ends.map(|end| wiring.terminal(end).map_or("", |(_, terminal)| terminal));
    let wires = ends.into_iter().flat_map(|end| wiring.wires_at(end));
    let finding = RULE
        .says(says)
        .advise(PO01::advice(names[0], names[1]))
        .parts([part])
        .wires(wires)
        .source(Common::practice());
    let edit = swapped_ends(ctx, part, names);
    finding.fix(Common::change_leads_over(), Trust::Ask, edit)
}

fn diodes(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut blocking: Vec<(PartId, [Spot; 2])> = Vec::new();
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Diode(part) = link.kind else { continue };
        let [a, k] = link.ends;
        let [(a_plus, _), (_, k_minus)] = [sides(ctx, a), sides(ctx, k)];
        let name = ctx.part_name(part);
        let is_inside = ctx.part(part).is_some_and(|(_, part_type)| part_type.elements.len() > 1);
        if a_plus && k_minus && ways_at_once(ctx, a, k).is_some() {
            let says = if is_inside {
                PO01::says_diode_inside(&name)
            } else {
                PO01::says_diode_shorts(&name, consequence(ctx, a, k))
            };
            let (parts, wires) = path_through(ctx, a, k);
            out.push(turned(ctx, part, [a, k], &says).parts(parts).wires(wires));
        } else if !is_inside && keeps_apart(ctx, link_idx, [a, k]) {
            blocking.push((part, [a, k]));
        }
    }
    // Those that feed the same belong together: with one of them turned, the others would join what they keep apart.
    while let Some(&(_, first)) = blocking.first() {
        let same = side.wiring.hard_joined(&[kept_end(ctx, first)]);
        let group: Vec<_> =
            blocking.extract_if(.., |(_, ends)| same[kept_end(ctx, *ends)]).collect();
        out.push(block(ctx, &group));
    }
}

/// Diodes that let nothing through to what they all feed.
fn block(ctx: &Ctx<'_>, diodes: &[(PartId, [Spot; 2])]) -> Finding {
    let (part, ends) = diodes[0];
    if diodes.len() == 1 {
        let says = PO01::says_diode_blocks(ctx.part_name(part));
        return turned(ctx, part, ends, &says).level(Level::Fault);
    }
    let wiring = &ctx.after.wiring;
    let terminals = |ends: [Spot; 2]| ends.map(|end| wiring.terminal(end).map_or("", |(_, at)| at));
    let [a, k] = terminals(ends);
    let edits = diodes.iter().map(|(part, ends)| swapped_ends(ctx, *part, terminals(*ends)));
    let edit = edits.collect::<Option<Vec<_>>>().and_then(all);
    let wires = diodes.iter().flat_map(|(_, ends)| ends).flat_map(|&end| wiring.wires_at(end));
    RULE.says(PO01::says_diodes_block(ctx.part_names(diodes.iter().map(|(part, _)| *part))))
        .level(Level::Fault)
        .advise(PO01::advice(a, k))
        .parts(diodes.iter().map(|(part, _)| *part))
        .wires(wires)
        .source(Common::practice())
        .fix(PO01::fix_diodes(), Trust::Ask, edit)
}

/// The ways by which some setting joins the one end to plus and the other to minus, if one does: live, earthed.
fn ways_at_once<'c>(ctx: &'c Ctx<'_>, a: Spot, k: Spot) -> Option<(&'c Way, &'c Way)> {
    let (live_end, earth_end) = if ctx.is_plus_live() { (a, k) } else { (k, a) };
    let side = &ctx.after;
    side.live.to(live_end).find_map(|live| {
        let earth = side.earth.to(earth_end).find(|earth| {
            live.needs.with(&earth.needs).is_some_and(|both| ctx.holds(&both).is_some())
        })?;
        Some((live, earth))
    })
}

/// What comes of a dead short: the fuse that blows and what has to be closed for it, or the wire that burns.
fn consequence(ctx: &Ctx<'_>, a: Spot, k: Spot) -> String {
    let Some((live, earth)) = ways_at_once(ctx, a, k) else { return String::new() };
    let controls = live.needs.with(&earth.needs).unwrap_or_default().0;
    let names: Vec<String> = controls
        .iter()
        .filter_map(|(control, _)| Some(ctx.network.controls().get(*control)?.name.clone()))
        .collect();
    let when =
        if names.is_empty() { PO01::always().to_owned() } else { PO01::each_time(list(&names)) };
    let fuses: Vec<usize> = live.fuses.iter().chain(&earth.fuses).copied().collect();
    if fuses.is_empty() {
        PO01::nothing_blows(&when)
    } else {
        PO01::opens(ctx.open_in_a_short(&fuses), when)
    }
}

/// Parts and wires that carry what a diode lets straight through: what they suffer is told with the diode.
fn path_through(ctx: &Ctx<'_>, a: Spot, k: Spot) -> (Vec<PartId>, Vec<WireId>) {
    let side = &ctx.after;
    let Some((live, earth)) = ways_at_once(ctx, a, k) else { return Default::default() };
    let links = [side.live.links_of(live), side.earth.links_of(earth)].concat();
    let kinds = links.into_iter().map(|link| side.wiring.links[link].kind);
    let wires = |kind: LinkKind| if let LinkKind::Wire(wire) = kind { Some(wire) } else { None };
    (kinds.clone().filter_map(LinkKind::part).collect(), kinds.filter_map(wires).collect())
}

/// Whether a diode stands in the only feed of a consumer and lets nothing through: its cathode is towards a live plus,
/// or its anode towards a live minus.
fn keeps_apart(ctx: &Ctx<'_>, diode: usize, [a, k]: [Spot; 2]) -> bool {
    let fed = if ctx.is_plus_live() { k } else { a };
    let kept = kept_end(ctx, [a, k]);
    sides(ctx, kept) == (false, false) && fed_apart(ctx, fed, diode) && feeds_load(ctx, kept)
}

/// The end of a diode towards what it should feed, where it stands the wrong way round.
fn kept_end(ctx: &Ctx<'_>, [a, k]: [Spot; 2]) -> Spot {
    if ctx.is_plus_live() { a } else { k }
}

/// Whether a spot is live by another way than this diode.
fn fed_apart(ctx: &Ctx<'_>, spot: Spot, diode: usize) -> bool {
    let side = &ctx.after;
    side.live.to(spot).any(|way| !side.live.links_of(way).contains(&diode))
        && !side.hard_earth[spot]
}

/// Whether a consumer hangs on what a spot is joined to.
fn feeds_load(ctx: &Ctx<'_>, spot: Spot) -> bool {
    let wiring = &ctx.after.wiring;
    let near = wiring.hard_joined(&[spot]);
    wiring.loads.iter().any(|load| {
        let [first, second] = load.ends;
        (near[first] && ctx.after.earth.reach(second))
            || (near[second] && ctx.after.earth.reach(first))
    })
}
