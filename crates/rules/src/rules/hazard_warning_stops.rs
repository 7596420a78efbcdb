//! Hazard warning that depends on the key, the stalk, or a fuse that serves other things too.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;
use loomwright_electrics::{Setting, Settled};

use crate::Level;
use crate::ctx::{Ctx, Shown};
use crate::feeds::Way;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, LoadKind};

pub(super) const RULE: Rule = Rule {
    code: "IN02",
    name: "hazard-warning-stops",
    title: "Hazard warning stops",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("hazard_warning_stops.md"),
    needs: Needs::States,
    check,
};

const SOURCE: &str =
    "UN R48 6.6 and SI 1989/1796 schedule 8 (memory): check what applies to your car";

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let lamps: BTreeSet<usize> = (0..ctx.after.wiring.loads.len())
        .filter(|&load| ctx.roles.load(load).is_some_and(Role::is_indicator))
        .collect();
    if lamps.is_empty() {
        return;
    }
    for hazard in ctx.roles.controls(ControlRole::Hazard) {
        if ctx.is_wired_control(hazard) {
            settings(ctx, hazard, &lamps, out);
            fuses(ctx, hazard, &lamps, out);
        }
    }
}

/// Hazard warning on, with key and stalk in each position: all indicators must flash.
fn settings(ctx: &Ctx<'_>, hazard: usize, lamps: &BTreeSet<usize>, out: &mut Out) {
    let rest = ctx.network.at_rest();
    let key: Vec<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    let stalk: Vec<usize> = ctx.roles.controls(ControlRole::Indicators).collect();
    let n_stalk = stalk.iter().map(|&idx| ctx.network.controls()[idx].positions.len()).max();
    let mut silent: BTreeSet<usize> = BTreeSet::new();
    for key_at in if key.is_empty() { vec![0] } else { vec![1, 0] } {
        for stalk_at in 0..n_stalk.unwrap_or(1) {
            let mut setting = rest.state.setting.clone();
            put(ctx, &mut setting, &key, key_at);
            put(ctx, &mut setting, &stalk, stalk_at);
            let before = ctx.network.moved(&rest.state, &setting);
            put(ctx, &mut setting, &[hazard], 1);
            let settled = ctx.network.moved(&before.state, &setting);
            let dark: BTreeSet<usize> =
                lamps.iter().copied().filter(|&lamp| !flashes(ctx, &settled, lamp)).collect();
            if dark.is_subset(&silent) {
                continue;
            }
            let parts: Vec<PartId> =
                dark.difference(&silent).map(|&lamp| ctx.after.wiring.loads[lamp].part).collect();
            let where_at = match (key_at, stalk_at) {
                (0, 0) if !key.is_empty() => "with the ignition off",
                (_, 0) => "even with the ignition on",
                _ => "while the stalk is over",
            };
            let names = ctx.part_names(parts.iter().copied());
            let verb = if parts.len() == 1 { "does" } else { "do" };
            out.push(
                RULE.says(format!("With hazard warning on, {names} {verb} not flash {where_at}"))
                    .advise("Feed the hazard switch from its own fuse on a permanent feed, and lift the stalk off")
                    .parts(parts)
                    .shown(shown(ctx, &setting))
                    .source(SOURCE),
            );
            silent.extend(dark);
        }
    }
}

fn put(ctx: &Ctx<'_>, setting: &mut Setting, controls: &[usize], at: usize) {
    for &control in controls {
        let most = ctx.network.controls()[control].positions.len() - 1;
        if let Some(position) = setting.0.get_mut(control) {
            *position = u8::try_from(at.min(most)).unwrap_or(0);
        }
    }
}

fn shown(ctx: &Ctx<'_>, setting: &Setting) -> Shown {
    let setting = ctx.network.named(setting);
    let rest = ctx.network.named(&ctx.network.rest());
    let setting: std::collections::BTreeMap<String, String> = setting
        .into_iter()
        .filter(|(control, position)| rest.get(control) != Some(position))
        .collect();
    let moves = setting
        .iter()
        .map(|(control, position)| loomwright_electrics::Move {
            control: control.clone(),
            position: position.clone(),
        })
        .collect();
    Shown { moves, setting }
}

/// Lit in the one phase, dark in the other.
fn flashes(ctx: &Ctx<'_>, settled: &Settled, lamp: usize) -> bool {
    let load = &ctx.after.wiring.loads[lamp];
    let light = |solution: &loomwright_electrics::Solution| {
        solution.part(load.part).and_then(|reading| reading.elements.get(load.element)?.light)
    };
    let off = settled.off.as_ref().and_then(light);
    light(&settled.on).is_some_and(|light| light > 0.3) && off.is_some_and(|light| light < 0.1)
}

/// Each fuse that hazard warning hangs on must be its own, or the main fuse of the car.
fn fuses(ctx: &Ctx<'_>, hazard: usize, lamps: &BTreeSet<usize>, out: &mut Out) {
    let side = &ctx.after;
    let mut shared: BTreeSet<usize> = BTreeSet::new();
    for &lamp in lamps {
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
        shared.extend(needed.filter(|fuse| !is_own(ctx, **fuse) && !is_main(ctx, **fuse)));
    }
    for fuse in shared {
        let part = side.wiring.links[fuse].kind.part();
        let others: Vec<PartId> = fed_besides(ctx, fuse);
        let says = format!(
            "Hazard warning hangs on {}, which also feeds {}",
            ctx.fuse_name(fuse),
            ctx.part_names(others.iter().copied()),
        );
        out.push(
            RULE.says(says)
                .advise("Give hazard warning a fuse of its own, straight from a permanent feed")
                .parts(part)
                .parts(others)
                .source(SOURCE),
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

/// Consumers behind a fuse that are no part of indicators or hazard warning.
fn fed_besides(ctx: &Ctx<'_>, fuse: usize) -> Vec<PartId> {
    let side = &ctx.after;
    let mut parts = Vec::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let role = ctx.roles.load(load_idx);
        let belongs = role.is_some_and(|role| role.is_indicator() || role == Role::TellTale)
            || matches!(load.kind, LoadKind::Coil | LoadKind::Voltmeter);
        let ends = load.ends.into_iter().filter(|&end| !side.hard_earth[end]);
        let is_fed =
            ends.flat_map(|end| side.live.regular(end)).any(|way| way.fuses.contains(&fuse));
        if is_fed && !belongs && !parts.contains(&load.part) {
            parts.push(load.part);
        }
    }
    parts
}

fn is_own(ctx: &Ctx<'_>, fuse: usize) -> bool {
    fed_besides(ctx, fuse).is_empty()
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
