//! Two feeds that a switch joins: the ignition kept alive with its key off, or two fuses in parallel.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_units::Amps;

use crate::ctx::{Ctx, Shown};
use crate::feeds::Way;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Mask, Spot};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "SU02",
    name: "feeds-joined",
    title: "Two feeds joined",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("feeds_joined.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let mut spoken_for = BTreeSet::new();
    for control in ctx.roles.controls(ControlRole::Ignition) {
        alive_with_key_off(ctx, control, &mut spoken_for, out);
    }
    fuses_in_parallel(ctx, &spoken_for, out);
}

/// The first position of a control is rest.
const AT_REST: Mask = 1;

/// What only the key should feed, fed from elsewhere.
fn alive_with_key_off(ctx: &Ctx<'_>, key: usize, spoken_for: &mut BTreeSet<usize>, out: &mut Out) {
    let side = &ctx.after;
    let mut seen: BTreeSet<Vec<usize>> = BTreeSet::new();
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Contact { part, control, positions, .. } = link.kind else { continue };
        if control != key || positions & AT_REST != 0 {
            continue;
        }
        for end in link.ends {
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
                if contacts.contains(&link_idx) || !seen.insert(contacts.clone()) {
                    continue;
                }
                let Some(shown) = ctx.holds(&needs) else { continue };
                spoken_for.extend(contacts.iter().copied());
                out.push(key_off(ctx, part, way, &contacts, shown));
            }
        }
    }
}

fn is_contact(ctx: &Ctx<'_>, link: usize) -> bool {
    matches!(ctx.after.wiring.links[link].kind, LinkKind::Contact { .. })
}

fn key_off(ctx: &Ctx<'_>, key: PartId, way: &Way, contacts: &[usize], shown: Shown) -> Finding {
    let parts: Vec<_> =
        contacts.iter().filter_map(|&link| ctx.after.wiring.links[link].kind.part()).collect();
    let through = if parts.is_empty() {
        format!("through {}", ctx.wire_names(ctx.after.wires_of(way).into_iter().rev().take(1)))
    } else {
        format!("through {}", ctx.part_names(parts.iter().copied()))
    };
    let what = ctx.terminal_name(way.spot);
    RULE.says(format!("With the key off, {what} is still live {through}"))
        .advise("Use a change-over contact, so that the permanent feed never meets the key's")
        .parts(parts)
        .parts([key])
        .wires(ctx.after.wires_of(way))
        .shown(shown)
        .source("practice")
}

/// A latched contact between two fuses: the wires there are protected by both together.
fn fuses_in_parallel(ctx: &Ctx<'_>, spoken_for: &BTreeSet<usize>, out: &mut Out) {
    let side = &ctx.after;
    let mut seen = BTreeSet::new();
    for (link_idx, link) in side.wiring.links.iter().enumerate() {
        let LinkKind::Contact { part, control, positions, .. } = link.kind else { continue };
        if spoken_for.contains(&link_idx) || is_sprung(ctx, control, positions) {
            continue;
        }
        for (a, b) in pairs(ctx, link.ends, part) {
            let Some(both) = a.needs.with(&b.needs).and_then(|both| both.and(control, positions))
            else {
                continue;
            };
            let (Some(fuse_a), Some(fuse_b)) = (ctx.weakest_fuse(a), ctx.weakest_fuse(b)) else {
                continue;
            };
            if !seen.insert([fuse_a.0.min(fuse_b.0), fuse_a.0.max(fuse_b.0)]) {
                continue;
            }
            if let Some(shown) = ctx.holds(&both) {
                out.push(parallel(ctx, part, link.ends, [fuse_a, fuse_b], shown));
            }
        }
    }
}

fn is_sprung(ctx: &Ctx<'_>, control: usize, positions: Mask) -> bool {
    let Some(control) = ctx.network.controls().get(control) else { return true };
    control
        .positions
        .iter()
        .enumerate()
        .take(64)
        .all(|(idx, position)| positions >> idx & 1 == 0 || position.springs_to.is_some())
}

/// Ways to both ends of a contact that do not go through that part and have no fuse in common.
fn pairs<'c>(ctx: &'c Ctx<'_>, ends: [Spot; 2], part: PartId) -> Vec<(&'c Way, &'c Way)> {
    let side = &ctx.after;
    let outside = |way: &&'c Way| {
        !way.fuses.is_empty()
            && !side
                .live
                .links_of(way)
                .iter()
                .any(|&link| side.wiring.links[link].kind.part() == Some(part))
    };
    let [of_a, of_b] = ends.map(|end| side.live.to(end).filter(outside).collect::<Vec<_>>());
    let disjoint = |a: &Way, b: &Way| a.fuses.iter().all(|fuse| !b.fuses.contains(fuse));
    of_a.iter()
        .flat_map(|a| of_b.iter().filter(move |b| disjoint(a, b)).map(move |b| (*a, *b)))
        .collect()
}

fn parallel(
    ctx: &Ctx<'_>,
    part: PartId,
    ends: [Spot; 2],
    fuses: [(usize, f64); 2],
    shown: Shown,
) -> Finding {
    let wiring = &ctx.after.wiring;
    let sum = fuses[0].1 + fuses[1].1;
    let wires: Vec<_> = ends.into_iter().flat_map(|end| wiring.wires_at(end)).collect();
    let thinnest = wires
        .iter()
        .filter_map(|&wire| Some((wire, ctx.rated(wire)?)))
        .min_by(|a, b| a.1.amps.total_cmp(&b.1.amps));
    let is_over = thinnest.is_some_and(|(_, rated)| rated.judge(sum) == Some(Level::Danger));
    let names = fuses.map(|(fuse, _)| ctx.fuse_name(fuse));
    let says = format!(
        "{} joins the feeds of {} and {}: with one pulled the circuit stays live, and together they carry {}",
        ctx.part_name(part),
        names[0],
        names[1],
        Amps(sum),
    );
    let limit = thinnest.map_or(f64::NAN, |(_, rated)| rated.amps);
    RULE.says(says)
        .level(if is_over { Level::Danger } else { Level::Advice })
        .advise("Use a change-over contact, or feed both from one fuse")
        .parts([part])
        .parts(fuses.iter().filter_map(|(fuse, _)| wiring.links[*fuse].kind.part()))
        .wires(wires)
        .figure("fuses_amps", sum)
        .figure("limit_amps", limit)
        .shown(shown)
        .source(if is_over {
            thinnest.map_or("practice", |(_, rated)| rated.source)
        } else {
            "practice"
        })
}
