//! Hazard warning that hangs on a fuse which serves other things too.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::messages::IN03;
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, LoadKind};

pub(super) const RULE: Rule = Rule {
    code: "IN03",
    name: "hazard-fuse-shared",
    title: "Hazard fuse shared",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("hazard_fuse_shared.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for hazard in ctx.roles.controls(ControlRole::Hazard) {
        fuses(ctx, hazard, out);
    }
}

/// Each fuse that hazard warning hangs on must be its own, or the main fuse of the car.
fn fuses(ctx: &Ctx<'_>, hazard: usize, out: &mut Out) {
    let side = &ctx.after;
    let mut shared: BTreeSet<usize> = BTreeSet::new();
    for lamp in ctx.roles.indicators() {
        let load = &side.wiring.loads[lamp];
        let ways: Vec<&Way> = load
            .ends
            .into_iter()
            .flat_map(|end| side.live.to(end))
            .filter(|way| fits(ctx, hazard, way))
            .collect();
        let Some((first, rest)) = ways.split_first() else { continue };
        let needed =
            first.fuses.iter().filter(|fuse| rest.iter().all(|way| way.fuses.contains(fuse)));
        shared
            .extend(needed.filter(|&&fuse| {
                !fed_besides(ctx, hazard, fuse).is_empty() && !is_main(ctx, fuse)
            }));
    }
    for fuse in shared {
        let part = side.wiring.links[fuse].kind.part();
        let others: Vec<PartId> = fed_besides(ctx, hazard, fuse);
        let says = IN03::says(ctx.fuse_name(fuse), ctx.part_names(others.iter().copied()));
        out.push(
            RULE.says(says)
                .advise(IN03::advice())
                .parts(part)
                .parts(others)
                .source(IN03::source())
                .unfixed(IN03::no_feed_chosen()),
        );
    }
}

/// A way that hazard warning gives with everything else at rest.
fn fits(ctx: &Ctx<'_>, hazard: usize, way: &Way) -> bool {
    way.flasher.is_some()
        && way.needs.0.iter().any(|&(control, mask)| control == hazard && mask & 1 == 0)
        && way.needs.0.iter().all(|&(control, mask)| {
            control == hazard || control >= ctx.after.wiring.n_controls || mask & 1 == 1
        })
}

/// Consumers behind a fuse that are no part of indicators or hazard warning. What hangs on it only while that is on is
/// no sharing: there two feeds meet, which another rule tells.
fn fed_besides(ctx: &Ctx<'_>, hazard: usize, fuse: usize) -> Vec<PartId> {
    let side = &ctx.after;
    let is_on =
        |way: &Way| way.needs.0.iter().any(|&(known, mask)| known == hazard && mask & 1 == 0);
    let mut parts = Vec::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let role = ctx.roles.load(load_idx);
        let belongs = role.is_some_and(|role| role.is_indicator() || role.is_tell_tale())
            || matches!(load.kind, LoadKind::Coil | LoadKind::Voltmeter);
        let ends = load.ends.into_iter().filter(|&end| !side.hard_earth[end]);
        let is_fed = ends
            .flat_map(|end| side.live.regular(end))
            .any(|way| way.fuses.contains(&fuse) && !is_on(way));
        if is_fed && !belongs && !parts.contains(&load.part) {
            parts.push(load.part);
        }
    }
    parts
}

/// A fuse behind which nothing but other fuses, two at least, are fed.
fn is_main(ctx: &Ctx<'_>, fuse: usize) -> bool {
    let side = &ctx.after;
    let mut behind: BTreeSet<usize> = BTreeSet::new();
    for load in &side.wiring.loads {
        for way in load.ends.into_iter().flat_map(|end| side.live.regular(end)) {
            let links = side.live.links_of(way);
            let Some(at) = links.iter().position(|link| *link == fuse) else { continue };
            let next = links[at + 1..]
                .iter()
                .find(|&&link| matches!(side.wiring.links[link].kind, LinkKind::Fuse { .. }));
            match next {
                Some(next) => drop(behind.insert(*next)),
                None => return false,
            }
        }
    }
    behind.len() > 1
}
