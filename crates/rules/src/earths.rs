//! Consumers that current cannot get home from.

use crate::ctx::Ctx;
use crate::roles::Role;
use crate::side::Side;
use crate::wiring::{LoadKind, Spot};

/// Consumers that are fed and cannot return, with the end they should return from.
pub(crate) fn unearthed(ctx: &Ctx<'_>) -> Vec<(usize, Spot)> {
    let side = &ctx.after;
    let loads = side.wiring.loads.iter().enumerate();
    loads
        .filter(|(_, load)| load.kind != LoadKind::Voltmeter)
        .filter_map(|(load_idx, load)| {
            let fed = load.ends.map(|end| side.live.reach(end) && !side.hard_earth[end]);
            let earthed = load.ends.map(|end| side.earth.reach(end));
            if earthed[0] || earthed[1] {
                return None;
            }
            let back = match fed {
                [true, false] => load.ends[1],
                [false, true] => load.ends[0],
                [true, true] => return both_fed(ctx, load_idx),
                [false, false] => return None,
            };
            (!returns_through_another(ctx, load_idx, back)).then_some((load_idx, back))
        })
        .collect()
}

/// A consumer between two feeds returns through what hangs on the other; what that does is back-feed's affair.
fn both_fed(ctx: &Ctx<'_>, load_idx: usize) -> Option<(usize, Spot)> {
    let side = &ctx.after;
    let ends = side.wiring.loads[load_idx].ends;
    let has_way = ends.into_iter().any(|end| {
        let island = side.wiring.joined_anyhow(end);
        through_others(side, load_idx, &island)
            || side
                .wiring
                .generators
                .iter()
                .any(|g| g.warning.is_some_and(|warning| island[warning]))
    });
    (!has_way).then_some((load_idx, ends[1]))
}

/// Whether a small lamp or a coil is meant to return through something else: a generator's field, or other lamps.
fn returns_through_another(ctx: &Ctx<'_>, load_idx: usize, back: Spot) -> bool {
    let side = &ctx.after;
    let load = &side.wiring.loads[load_idx];
    let island = side.wiring.joined_anyhow(back);
    let at_generator =
        side.wiring.generators.iter().any(|g| g.warning.is_some_and(|warning| island[warning]));
    let is_small = load.kind == LoadKind::Coil
        || matches!(
            ctx.roles.load(load_idx),
            Some(Role::TellTale | Role::ChargeLamp | Role::OilLamp)
        )
        || load.watts <= 3.0;
    at_generator || (is_small && through_others(side, load_idx, &island))
}

pub(crate) fn through_others(side: &Side<'_>, load_idx: usize, island: &[bool]) -> bool {
    side.wiring.loads.iter().enumerate().any(|(other_idx, other)| {
        let [a, b] = other.ends;
        other_idx != load_idx
            && ((island[a] && side.earth.reach(b)) || (island[b] && side.earth.reach(a)))
    })
}
