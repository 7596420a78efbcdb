//! An accessory on the fuse of lamps that must not go out with it.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{PartId, Standing};

use crate::ctx::Ctx;
use crate::messages::PR06;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{Load, LoadKind};
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "PR06",
    name: "fuse-of-needed-lamps",
    title: "Accessory on the lamps' fuse",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("fuse_of_needed_lamps.md"),
    needs: Needs::Drawing,
    check,
};

/// What hangs on a fuse.
#[derive(Default)]
struct Hangs {
    lamps: BTreeSet<PartId>,
    /// Things of the owner's, from which trouble comes.
    accessories: BTreeSet<PartId>,
}

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    let mut by_fuse: BTreeMap<usize, Hangs> = BTreeMap::new();
    for (load_idx, load) in side.wiring.loads.iter().enumerate() {
        let is_needed = ctx.roles.load(load_idx).is_some_and(is_needed) && load.kind.is_light();
        let is_accessory = is_accessory(ctx, load_idx, load);
        if !is_needed && !is_accessory {
            continue;
        }
        let Some((fed, _)) = side.fed_end(load) else { continue };
        for fuse in nearest_fuses(ctx, fed) {
            let hangs = by_fuse.entry(fuse).or_default();
            let onto = if is_needed { &mut hangs.lamps } else { &mut hangs.accessories };
            onto.insert(load.part);
        }
    }
    for (fuse, hangs) in by_fuse {
        if !hangs.lamps.is_empty() && !hangs.accessories.is_empty() {
            out.push(finding(ctx, fuse, &hangs));
        }
    }
}

fn is_needed(role: Role) -> bool {
    role.is_missed_at_once() || role == Role::Side
}

/// A socket, or electronics or another consumer that the alteration adds and that is no lamp of the car's own.
fn is_accessory(ctx: &Ctx<'_>, load_idx: usize, load: &Load) -> bool {
    let is_new = ctx.car.part(load.part).is_some_and(|part| part.standing == Standing::ToFit);
    match load.kind {
        LoadKind::Consumer(LoadFamily::Socket) => true,
        LoadKind::Consumer(LoadFamily::Electronics | LoadFamily::Motor | LoadFamily::Heater) => {
            is_new && ctx.before.is_some()
        }
        _ => is_new && ctx.roles.load(load_idx) == Some(Role::DrivingLamp),
    }
}

/// The last fuse on each regular way to a spot: what blows first if something there shorts.
fn nearest_fuses(ctx: &Ctx<'_>, spot: usize) -> BTreeSet<usize> {
    let side = &ctx.after;
    let last = |way| {
        let links = side.live.links_of(way).into_iter().rev();
        links.into_iter().find(|link| ctx.fuse_amps(*link).is_some())
    };
    side.live.regular(spot).filter_map(last).collect()
}

fn finding(ctx: &Ctx<'_>, fuse: usize, hangs: &Hangs) -> Finding {
    let says = PR06::says(
        ctx.fuse_name(fuse),
        ctx.part_names(hangs.accessories.iter().copied()),
        ctx.part_names(hangs.lamps.iter().copied()),
    );
    RULE.says(says)
        .advise(PR06::advice())
        .parts(ctx.after.wiring.links[fuse].kind.part())
        .parts(hangs.accessories.iter().copied())
        .parts(hangs.lamps.iter().copied())
        .source(PR06::source())
}
