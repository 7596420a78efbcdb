//! What only the key should feed, live from elsewhere with the key off.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::messages::{Common, SU02};
use crate::reach::Shown;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Mask, Spot};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "SU02",
    name: "live-with-key-off",
    title: "Live with key off",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("live_with_key_off.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for control in ctx.roles.controls(ControlRole::Ignition) {
        alive_with_key_off(ctx, control, out);
    }
}

/// The first position of a control is rest.
const AT_REST: Mask = 1;

/// What only the key should feed, fed from elsewhere.
fn alive_with_key_off(ctx: &Ctx<'_>, key: usize, out: &mut Out) {
    let side = &ctx.after;
    // What lets the current past the key, once: its left and its right contact are one cause.
    let mut seen: BTreeSet<(Vec<PartId>, Option<Spot>)> = BTreeSet::new();
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Contact { part, control, positions, .. } = link.kind else { continue };
        if control != key || positions & AT_REST != 0 {
            continue;
        }
        for end in link.ends.into_iter().filter(|&end| !is_feed(ctx, part, end)) {
            let is_switched =
                side.live.to(end).any(|way| way.via.is_some_and(|via| via.1 == link_idx));
            if !is_switched {
                continue;
            }
            for way in side.live.to(end) {
                let Some(needs) = way.needs.and(key, AT_REST) else { continue };
                let links = side.live.links_of(way);
                let contacts: Vec<usize> =
                    links.iter().copied().filter(|&l| is_contact(ctx, l)).collect();
                let passed = parts_of(ctx, &contacts);
                let cause = (passed.clone(), passed.is_empty().then_some(end));
                if contacts.contains(&link_idx) || seen.contains(&cause) {
                    continue;
                }
                let Some(shown) = ctx.holds(&needs) else { continue };
                out.push(key_off(ctx, (key, part), way, &passed, shown));
                seen.insert(cause);
            }
        }
    }
}

/// Whether an end of the key's contacts is where the key itself is fed, which is live at all times: all its contacts
/// have that end in common, or it is nearer the battery than the other end of the only one.
fn is_feed(ctx: &Ctx<'_>, key: PartId, end: Spot) -> bool {
    let side = &ctx.after;
    let contacts = side
        .wiring
        .links
        .iter()
        .filter(|link| matches!(link.kind, LinkKind::Contact { part, .. } if part == key));
    let ends: Vec<[Spot; 2]> = contacts.map(|link| link.ends).collect();
    if ends.len() > 1 {
        // Positions that join the feed to two terminals join those to each other too.
        let n = |spot: Spot| ends.iter().filter(|ends| ends.contains(&spot)).count();
        let name = side.wiring.terminal(end).map_or("", |(_, name)| name);
        return name == "30" || (ends.iter().all(|ends| ends.contains(&end)) && n(end) > 1);
    }
    let shortest = |spot: Spot| {
        let outside = side.live.to(spot).filter(|way| {
            let links = side.live.links_of(way);
            !links.iter().any(|&link| side.wiring.links[link].kind.part() == Some(key))
        });
        outside.map(|way| (way.needs.0.len(), side.live.links_of(way).len())).min()
    };
    let other = ends.first().map_or(end, |ends| if ends[0] == end { ends[1] } else { ends[0] });
    match (shortest(end), shortest(other)) {
        (Some(here), Some(there)) => here < there,
        (here, _) => here.is_some(),
    }
}

fn parts_of(ctx: &Ctx<'_>, contacts: &[usize]) -> Vec<PartId> {
    let parts = contacts.iter().filter_map(|&link| ctx.after.wiring.links[link].kind.part());
    let parts: BTreeSet<PartId> = parts.collect();
    parts.into_iter().collect()
}

fn is_contact(ctx: &Ctx<'_>, link: usize) -> bool {
    matches!(ctx.after.wiring.links[link].kind, LinkKind::Contact { .. })
}

/// Whether what stays live with the key off feeds the ignition coil, in a setting that goes with it.
fn feeds_ignition(ctx: &Ctx<'_>, key: usize, way: &Way) -> bool {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().enumerate();
    let mut coils = loads.filter(|(idx, _)| ctx.roles.load(*idx) == Some(Role::Ignition));
    coils.any(|(_, coil)| {
        let feeds = side.fed_end(coil).into_iter().flat_map(|(fed, _)| side.live.to(fed));
        feeds
            .into_iter()
            .filter_map(|feed| feed.needs.and(key, AT_REST))
            .any(|needs| needs.with(&way.needs).is_some_and(|both| ctx.holds(&both).is_some()))
    })
}

fn key_off(
    ctx: &Ctx<'_>,
    (key_control, key): (usize, PartId),
    way: &Way,
    parts: &[PartId],
    shown: Shown,
) -> Finding {
    let through = if parts.is_empty() {
        SU02::through_wire(ctx.wire_names(ctx.after.wires_of(way).into_iter().rev().take(1)))
    } else {
        SU02::through_parts(ctx.part_names(parts.iter().copied()))
    };
    let what = ctx.terminal_name(way.spot);
    let engine = if feeds_ignition(ctx, key_control, way) { SU02::engine_runs() } else { "" };
    RULE.says(SU02::says(&what, &through, engine))
        .advise(SU02::advice())
        .parts(parts.iter().copied())
        .parts([key])
        .wires(ctx.after.wires_of(way))
        .shown(shown)
        .source(Common::practice())
}
