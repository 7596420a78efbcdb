//! Two fuses side by side, for good or where a switch puts them so.

use std::collections::BTreeSet;

use loomwright_circuit::{Edit, PartId, WireId};
use loomwright_electrics::Visit;
use loomwright_units::Amps;

use crate::ctx::Ctx;
use crate::feeds::{Positions, Way};
use crate::limits::Rated;
use crate::messages::{Common, SU03};
use crate::reach::Shown;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Spot};
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "SU03",
    name: "fuses-in-parallel",
    title: "Two fuses side by side",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("fuses_in_parallel.md"),
    needs: Needs::Drawing,
    check,
};

/// A latched contact between two fuses: the wires there are protected by both together.
fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut seen = BTreeSet::new();
    permanent(ctx, &mut seen, out);
    for link in &side.wiring.links {
        let LinkKind::Contact { part, control, positions, .. } = link.kind else { continue };
        if control >= side.wiring.n_controls
            || ctx.is_momentary(&Positions(vec![(control, positions)]))
        {
            continue;
        }
        for (a, b) in pairs(ctx, link.ends, part) {
            // A permanent feed that meets the key's is another rule's affair.
            if needs_key(ctx, a) != needs_key(ctx, b) {
                continue;
            }
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
            if let Some(shown) = ctx.holds(&both).filter(|_| !is_for_a_moment(ctx, &both)) {
                out.push(parallel(ctx, part, link.ends, [fuse_a, fuse_b], shown));
            }
        }
    }
}

/// Whether positions come about only while something is held against its spring: a push that flashes the headlamps, a
/// key at start. What two fuses let through side by side for so long warms no wire.
fn is_for_a_moment(ctx: &Ctx<'_>, needs: &Positions) -> bool {
    let fits = |(_, visit): &(usize, &Visit)| ctx.fits(&visit.settled, needs);
    ctx.is_momentary(needs)
        || ctx.visits().any(|visit| fits(&visit)) && !ctx.lasting().any(|visit| fits(&visit))
}

/// Two ways to one spot that stand open in the same positions, each with a fuse that the other has not.
fn permanent(ctx: &Ctx<'_>, seen: &mut BTreeSet<[usize; 2]>, out: &mut Out) {
    let side = &ctx.after;
    for spot in 0..side.wiring.n_spots() {
        let ways: Vec<&Way> = side
            .live
            .to(spot)
            .filter(|way| {
                !way.is_limited && !side.hard_earth[spot] && !ctx.is_momentary(&way.needs)
            })
            .collect();
        for (idx, a) in ways.iter().enumerate() {
            for b in &ways[idx + 1..] {
                let start = |way| side.live.start_of(way);
                if a.needs != b.needs || a.flasher != b.flasher || start(a) != start(b) {
                    continue;
                }
                let (Some(fuse_a), Some(fuse_b)) = (own(ctx, a, b), own(ctx, b, a)) else {
                    continue;
                };
                if seen.insert([fuse_a.0.min(fuse_b.0), fuse_a.0.max(fuse_b.0)]) {
                    out.push(side_by_side(ctx, spot, [fuse_a, fuse_b]));
                }
            }
        }
    }
}

/// The weakest fuse that the one way has and the other has not.
fn own(ctx: &Ctx<'_>, way: &Way, other: &Way) -> Option<(usize, f64)> {
    let own = way.fuses.iter().filter(|fuse| !other.fuses.contains(fuse));
    own.filter_map(|&fuse| Some((fuse, ctx.fuse_amps(fuse)?))).min_by(|a, b| a.1.total_cmp(&b.1))
}

fn side_by_side(ctx: &Ctx<'_>, spot: Spot, fuses: [(usize, f64); 2]) -> Finding {
    let wiring = &ctx.after.wiring;
    let sum = fuses[0].1 + fuses[1].1;
    let wires: Vec<WireId> =
        ctx.wires_behind(fuses[0].0).filter(|wire| behind_both(ctx, *wire, fuses)).collect();
    let thinnest = thinnest(ctx, &wires);
    let is_over = thinnest.is_some_and(|(_, rated)| rated.judge(sum) == Some(Level::Danger));
    let names = fuses.map(|(fuse, _)| ctx.fuse_name(fuse));
    let at =
        wiring.terminal(spot).map_or_else(String::new, |(part, _)| SU03::meet(ctx.part_name(part)));
    let parts = || fuses.iter().filter_map(|(fuse, _)| wiring.links[*fuse].kind.part());
    let says = SU03::says_fuses(&names[0], &names[1], &at, Amps(sum));
    RULE.says(says)
        .level(if is_over { Level::Danger } else { Level::Fault })
        .advise(SU03::advice_fuses())
        .parts(parts())
        .wires(wires)
        .figure("fuses_amps", sum)
        .figure("limit_amps", thinnest.map_or(f64::NAN, |(_, rated)| rated.amps))
        .source(match thinnest {
            Some((_, rated)) if is_over => rated.source,
            _ => SU03::source_shares(),
        })
        .fix(SU03::fix(&names[1]), Trust::Ask, take_out(ctx, fuses[1].0))
}

/// Takes a fuse and the leads of its own away, if it is a part by itself.
fn take_out(ctx: &Ctx<'_>, fuse: usize) -> Option<Edit> {
    let link = &ctx.after.wiring.links[fuse];
    let part = link.kind.part()?;
    let is_alone = ctx.car.type_of(part)?.elements.len() == 1;
    let wires = link.ends.iter().flat_map(|&end| ctx.after.wiring.wires_at(end)).collect();
    is_alone.then(|| Edit::TakeAway { parts: vec![part], wires })
}

fn behind_both(ctx: &Ctx<'_>, wire: WireId, fuses: [(usize, f64); 2]) -> bool {
    let wiring = &ctx.after.wiring;
    let ends = wiring.wire_ends().find(|(id, _)| *id == wire).map(|(_, ends)| ends);
    ends.is_some_and(|ends| {
        fuses.iter().all(|(fuse, _)| {
            ends.iter().all(|&end| ctx.after.live.to(end).any(|way| way.fuses.contains(fuse)))
        }) && !ends
            .iter()
            .any(|end| fuses.iter().any(|(fuse, _)| wiring.links[*fuse].ends.contains(end)))
    })
}

fn thinnest(ctx: &Ctx<'_>, wires: &[WireId]) -> Option<(WireId, Rated)> {
    let rated = wires.iter().filter_map(|&wire| Some((wire, ctx.rated(wire)?)));
    rated.min_by(|a, b| a.1.amps.total_cmp(&b.1.amps))
}

fn needs_key(ctx: &Ctx<'_>, way: &Way) -> bool {
    let mut keys = ctx.roles.controls(ControlRole::Ignition);
    keys.any(|key| way.needs.0.iter().any(|&(control, mask)| control == key && mask & 1 == 0))
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
    let thinnest = thinnest(ctx, &wires);
    let is_over = thinnest.is_some_and(|(_, rated)| rated.judge(sum) == Some(Level::Danger));
    let names = fuses.map(|(fuse, _)| ctx.fuse_name(fuse));
    let says = SU03::says_part(ctx.part_name(part), &names[0], &names[1], Amps(sum));
    let limit = thinnest.map_or(f64::NAN, |(_, rated)| rated.amps);
    RULE.says(says)
        .level(if is_over { Level::Danger } else { Level::Advice })
        .advise(SU03::advice_part())
        .parts([part])
        .parts(fuses.iter().filter_map(|(fuse, _)| wiring.links[*fuse].kind.part()))
        .wires(wires)
        .figure("fuses_amps", sum)
        .figure("limit_amps", limit)
        .shown(shown)
        .source(if is_over {
            thinnest.map_or(Common::practice(), |(_, rated)| rated.source)
        } else {
            Common::practice()
        })
}
