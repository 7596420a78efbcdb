//! A straight path from the battery's live post to its earthed one.

use std::collections::BTreeMap;

use loomwright_circuit::{Edit, PartId, Standing, WireId};

use crate::ctx::Ctx;
use crate::feeds::{Positions, Way};
use crate::messages::SU01;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{BODY, ENGINE, LinkKind, Wiring};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "SU01",
    name: "battery-shorted",
    title: "Short circuit",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("battery_shorted.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    // The shortest way of each set of positions speaks for all that need the same.
    let mut shorts: BTreeMap<&Positions, (&Way, Vec<usize>)> = BTreeMap::new();
    let earths = (0..side.wiring.n_spots()).filter(|&spot| side.hard_earth[spot]);
    for way in earths.flat_map(|spot| side.live.to(spot)).filter(|way| !way.is_limited) {
        let links = side.live.links_of(way);
        // A diode across the supply is a part the wrong way round, which has its own rule.
        let is_diode = |&link: &usize| matches!(side.wiring.links[link].kind, LinkKind::Diode(_));
        if links.iter().any(is_diode) {
            continue;
        }
        let known = shorts.get(&way.needs).map_or(usize::MAX, |(_, known)| known.len());
        if links.len() < known {
            shorts.insert(&way.needs, (way, links));
        }
    }
    for (needs, (way, links)) in shorts {
        // What a motor moves passes all its positions, so that it need not stand in one to join there.
        let Some(shown) = ctx.holds(needs).or_else(|| ctx.holds(&ctx.without_driven(needs)?))
        else {
            continue;
        };
        let parts: Vec<PartId> =
            links.iter().filter_map(|&link| side.wiring.links[link].kind.part()).collect();
        let wires = match side.wires_of(way) {
            // The post itself is earthed, by what the way does not tell.
            wires if wires.is_empty() && parts.is_empty() => to_earth(&side.wiring),
            wires => wires,
        };
        let through = if parts.is_empty() && wires.is_empty() {
            SU01::post_to_post().to_owned()
        } else if parts.is_empty() {
            ctx.wire_names(wires.iter().copied())
        } else {
            ctx.part_names(parts.iter().copied())
        };
        let ends = if way.fuses.is_empty() {
            SU01::nothing_blows().to_owned()
        } else {
            SU01::what_opens(ctx.open_in_a_short(&way.fuses))
        };
        let finding = RULE
            .says(SU01::says(&through, &ends))
            .advise(SU01::advice())
            .parts(parts)
            .wires(wires.iter().copied())
            .shown(shown)
            .source(SU01::source());
        out.push(cured(ctx, finding, &wires));
    }
}

/// With the lead that makes the short taken away: the only one, or the only one that is to fit.
fn cured(ctx: &Ctx<'_>, finding: Finding, wires: &[WireId]) -> Finding {
    let is_new = |id: &&WireId| ctx.wire(**id).is_some_and(|it| it.standing == Standing::ToFit);
    let new: Vec<WireId> = wires.iter().filter(is_new).copied().collect();
    match (new.as_slice(), wires) {
        (&[wire], _) | ([], &[wire]) => {
            let edit = Edit::TakeAway { parts: Vec::new(), wires: vec![wire] };
            finding.fix(SU01::fix(ctx.wire_name(wire)), Trust::Ask, Some(edit))
        }
        _ => finding.unfixed(SU01::seen_at_the_car()),
    }
}

/// Leads that join the first battery's live post to metal, or to its other post.
fn to_earth(wiring: &Wiring<'_>) -> Vec<WireId> {
    let Some((live, earthed)) = wiring.whole_supply() else { return Vec::new() };
    wiring.shortest_copper(live, &[BODY, ENGINE, earthed])
}
