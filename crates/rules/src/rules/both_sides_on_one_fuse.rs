//! One fuse for the side and tail lamps, or the dipped beams, of both sides.

use std::collections::BTreeSet;

use loomwright_circuit::Standing;

use crate::ctx::Ctx;
use crate::messages::LI06;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "LI06",
    name: "both-sides-on-one-fuse",
    title: "Both sides, one fuse",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("both_sides_on_one_fuse.md"),
    needs: Needs::Drawing,
    check,
};

/// So many lamps make a car's own: two in front, two behind. Fewer say that not all are drawn.
const ALL_CORNERS: usize = 4;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let is_trailer = |load: &usize| ctx.is_of_trailer(ctx.after.wiring.loads[*load].part);
    let of_role = |role: Role| -> Vec<usize> {
        ctx.with_role(role).into_iter().filter(|load| !is_trailer(load)).collect()
    };
    let feeds_but = |fuse: usize, is_meant: &dyn Fn(usize) -> bool| {
        let mut others = (0..ctx.after.wiring.loads.len()).filter(|&load| !is_meant(load));
        !others.any(|load| last_fuses(ctx, load).contains(&fuse))
    };
    let lamps = of_role(Role::Side);
    let of_the_switch = |load| matches!(ctx.roles.load(load), Some(Role::Side | Role::Panel));
    // A fuse before the lighting switch, or before the dip switch, is the main one of the lamps, as most cars had it.
    let is_behind = common_fuse(ctx, &lamps).is_some_and(|fuse| feeds_but(fuse, &of_the_switch));
    if is_behind && ctx.parts_of(lamps.iter().copied()).len() >= ALL_CORNERS {
        let finding = finding(ctx, &lamps, LI06::side_lamps());
        let level = if is_new(ctx, &lamps) { Level::Fault } else { Level::Advice };
        out.findings.extend(finding.map(|finding| finding.level(level)));
    }
    let beams = of_role(Role::DipBeam);
    let is_behind_the_dip_switch =
        common_fuse(ctx, &beams).is_some_and(|fuse| feeds_but(fuse, &|load| beams.contains(&load)));
    if is_behind_the_dip_switch && ctx.parts_of(beams.iter().copied()).len() >= 2 {
        let finding = finding(ctx, &beams, LI06::dipped_beams());
        out.findings.extend(finding.map(|finding| finding.level(level_of_dips(ctx, &beams))));
    }
}

/// Both beams dark at once on a bend is what a new fuse must not bring; as found in a car that is altered elsewhere it is
/// the car's own, and what was not said to be new or found is a fault.
fn level_of_dips(ctx: &Ctx<'_>, beams: &[usize]) -> Level {
    match (is_new(ctx, beams), ctx.before.is_some()) {
        (true, _) => Level::Danger,
        (false, true) => Level::Advice,
        (false, false) => Level::Fault,
    }
}

/// Whether the one fuse of some lamps comes with the alteration. Most makers gave all side and tail lamps one.
fn is_new(ctx: &Ctx<'_>, lamps: &[usize]) -> bool {
    let fuse = common_fuse(ctx, lamps).and_then(|fuse| ctx.after.wiring.links[fuse].kind.part());
    fuse.and_then(|part| ctx.car.part(part)).is_some_and(|part| part.standing == Standing::ToFit)
}

/// The last fuses on the ways to a consumer; a main fuse before fuses for each side is no trouble.
fn last_fuses(ctx: &Ctx<'_>, load: usize) -> BTreeSet<usize> {
    let side = &ctx.after;
    let Some((fed, _)) = side.fed_end(&side.wiring.loads[load]) else { return BTreeSet::new() };
    let is_fuse = |link: &usize| matches!(side.wiring.links[*link].kind, LinkKind::Fuse { .. });
    let ways = side.live.regular(fed);
    ways.filter_map(|way| side.live.links_of(way).into_iter().rev().find(is_fuse)).collect()
}

/// The one fuse that is the last before all of some consumers.
fn common_fuse(ctx: &Ctx<'_>, loads: &[usize]) -> Option<usize> {
    let mut fuses = loads.iter().map(|load| last_fuses(ctx, *load));
    let first = fuses.next()?;
    let common = fuses.fold(first, |common, fuses| &common & &fuses);
    common.iter().find(|_| common.len() == 1).copied()
}

fn finding(ctx: &Ctx<'_>, lamps: &[usize], so: &str) -> Option<Finding> {
    let fuse = common_fuse(ctx, lamps)?;
    let part = ctx.after.wiring.links[fuse].kind.part()?;
    let parts = ctx.parts_of(lamps.iter().copied());
    let says = LI06::says(
        ctx.fuse_name(fuse),
        ctx.part_names(parts.iter().copied()),
        if ctx.fuse_word(fuse) == "fuse" { "blows" } else { "opens" },
        so,
    );
    Some(RULE.says(says).advise(LI06::advice()).parts([part]).parts(parts).source(LI06::source()))
}
