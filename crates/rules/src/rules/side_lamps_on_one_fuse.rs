//! One fuse for the side and tail lamps of both sides.

use std::collections::BTreeSet;

use crate::Level;
use crate::ctx::Ctx;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "LI06",
    name: "side-lamps-on-one-fuse",
    title: "Tail on one fuse",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("side_lamps_on_one_fuse.md"),
    needs: Needs::Drawing,
    check,
};

/// So many lamps make a car's own: two in front, two behind. Fewer say that not all are drawn.
const ALL_CORNERS: usize = 4;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let is_trailer = |load: &usize| {
        ctx.part_name(side.wiring.loads[*load].part).to_lowercase().contains("trailer")
    };
    let lamps: Vec<usize> =
        ctx.with_role(Role::Side).into_iter().filter(|load| !is_trailer(load)).collect();
    // The last fuse before each lamp; a main fuse before fuses for each side is no trouble.
    let last = |load: &usize| -> BTreeSet<usize> {
        let Some((fed, _)) = side.fed_end(&side.wiring.loads[*load]) else {
            return BTreeSet::new();
        };
        let is_fuse = |link: &usize| matches!(side.wiring.links[*link].kind, LinkKind::Fuse { .. });
        let ways = side.live.regular(fed);
        ways.filter_map(|way| side.live.links_of(way).into_iter().rev().find(is_fuse)).collect()
    };
    if ctx.parts_of(lamps.iter().copied()).len() < ALL_CORNERS {
        return;
    }
    let mut fuses = lamps.iter().map(last);
    let Some(first) = fuses.next() else { return };
    let common = fuses.fold(first, |common, fuses| &common & &fuses);
    let Some(&fuse) = common.iter().find(|_| common.len() == 1) else { return };
    let Some(part) = side.wiring.links[fuse].kind.part() else { return };
    let (says, lamps) = (ctx.fuse_name(fuse), ctx.parts_of(lamps));
    out.push(
        RULE.says(format!(
            "{says} alone feeds {}: when it blows, the car is dark in front and behind",
            ctx.part_names(lamps.iter().copied())
        ))
        .advise("Give left and right a fuse each, behind the lighting switch")
        .parts([part])
        .parts(lamps)
        .source("practice: side and tail lamps are fused by sides"),
    );
}
