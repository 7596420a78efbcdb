//! Leads that have the colour of a supply and are none.

use loomwright_circuit::PartId;

use crate::ctx::Ctx;
use crate::feeds::Way;
use crate::messages::Jobs;
use crate::roles::ControlRole;
use crate::wiring::{LinkKind, LoadKind};

/// What a lead is that has the colour of a supply and is none: behind a switch that somebody works, or on the way home
/// through one. Nothing where it may well be a supply.
pub(crate) fn instead_of_supply(ctx: &Ctx<'_>, ends: [usize; 2]) -> Option<&'static str> {
    let side = &ctx.after;
    if !ends.iter().any(|&end| side.live.reach(end)) {
        let comes_home = ends.iter().any(|&end| side.earth.reach(end));
        return comes_home.then_some(Jobs::way_home());
    }
    let mut ways = ends.into_iter().flat_map(|end| side.live.to(end)).peekable();
    let is_switched = ways.peek().is_some() && ways.all(|way| needs_a_switch(ctx, way));
    is_switched.then_some(Jobs::behind_switch())
}

/// Whether a way leads through the contact of a switch that somebody works, or of a relay that such a one works; the
/// key, the engine, isolators and inertia switches part supplies, and are none.
fn needs_a_switch(ctx: &Ctx<'_>, way: &Way) -> bool {
    let side = &ctx.after;
    side.live.passes(&side.wiring, way, |kind| match kind {
        // What is closed at rest parts a supply for the moment, as a hazard switch does.
        LinkKind::Contact { part, control, positions, .. } if positions & 1 == 0 => {
            let n_controls = side.wiring.n_controls;
            if control < n_controls { is_plain(ctx, part, control) } else { is_worked(ctx, part) }
        }
        _ => false,
    })
}

fn is_plain(ctx: &Ctx<'_>, part: PartId, control: usize) -> bool {
    let parts_supplies = [ControlRole::Ignition, ControlRole::Engine];
    let has_role = |role| ctx.roles.controls(role).any(|known| known == control);
    let kind = ctx.car.part(part).map_or("", |part| part.type_name.as_str());
    let parting = ["isolator", "inertia", "starter"];
    !parts_supplies.into_iter().any(has_role) && !parting.iter().any(|name| kind.starts_with(name))
}

/// Whether a relay's coil is fed or earthed through a switch that somebody works.
fn is_worked(ctx: &Ctx<'_>, relay: PartId) -> bool {
    let side = &ctx.after;
    let is_plain_need = |&(control, _): &(usize, u64)| {
        control < side.wiring.n_controls
            && ctx.network.controls().get(control).is_some_and(|known| {
                known.works.iter().any(|(part, _)| is_plain(ctx, *part, control))
            })
    };
    let mut coils =
        side.wiring.loads.iter().filter(|load| load.part == relay && load.kind == LoadKind::Coil);
    coils.any(|coil| {
        let Some((fed, home)) = side.fed_end(coil) else { return false };
        let (live, earth): (Vec<_>, Vec<_>) =
            (side.live.to(fed).collect(), side.earth.to(home).collect());
        [live, earth].iter().any(|ways| {
            !ways.is_empty() && ways.iter().all(|way| way.needs.0.iter().any(is_plain_need))
        })
    })
}
