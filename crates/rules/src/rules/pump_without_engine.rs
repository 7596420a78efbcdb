//! A fuel pump that goes on pumping with the engine stopped.

use loomwright_circuit::{Edit, PartId, Standing};

use crate::ctx::Ctx;
use crate::cures::put_before;
use crate::feeds::Way;
use crate::messages::{Common, RE01};
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::{Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "RE01",
    name: "pump-without-engine",
    title: "Pump never stops",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("pump_without_engine.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let side = &ctx.after;
    for load_idx in ctx.with_role(Role::FuelPump) {
        let load = &side.wiring.loads[load_idx];
        if !ctx.is_petrol_pump(load_idx) {
            continue;
        }
        let Some((fed, home)) = side.fed_end(load) else { continue };
        let stops = |link: usize| is_stop(ctx, link);
        let feeds: Vec<_> = side.live.regular(fed).collect();
        let unwatched = feeds.iter().find(|way| !side.live.links_of(way).into_iter().any(stops));
        let Some(way) = unwatched.filter(|_| {
            // A stop in its earth lead will do.
            !side.earth.to(home).all(|way| side.earth.links_of(way).into_iter().any(stops))
        }) else {
            continue;
        };
        let label = ctx.part_name(load.part);
        out.push(
            RULE.says(RE01::says(&label))
                .advise(RE01::advice())
                .parts([load.part])
                .fix(RE01::fix(), Trust::Ask, inertia_switch(ctx, way, fed))
                .wires(ctx.after.wires_of(way))
                .level(level(ctx, load.part))
                .source(Common::practice()),
        );
    }
}

/// What the maker built without is a weakness of the car, and no mistake of the owner's; a drawing without an
/// alteration does not tell the two apart.
fn level(ctx: &Ctx<'_>, part: PartId) -> Level {
    let is_found = ctx.car.part(part).is_some_and(|part| part.standing == Standing::AsFound);
    if ctx.before.is_some() && is_found { Level::Advice } else { Level::Danger }
}

/// Whether a contact opens when the engine stops or the car is hit.
fn is_stop(ctx: &Ctx<'_>, link: usize) -> bool {
    let LinkKind::Contact { part, control, .. } = ctx.after.wiring.links[link].kind else {
        return false;
    };
    let is_engine = ctx.roles.controls(ControlRole::Engine).any(|engine| engine == control);
    let row = ctx.car.part(part);
    let part_type = row.map_or("", |part| part.type_name.as_str());
    let is_named = row.is_some_and(|part| part.label.to_lowercase().contains("inertia"))
        || ctx
            .network
            .controls()
            .get(control)
            .is_some_and(|control| control.name.to_lowercase().contains("inertia"));
    // A relay may be held by whatever stops with the engine; which, the states know.
    is_engine
        || is_named
        || part_type == "inertia-switch"
        || part_type.starts_with("relay") && relay_stops(ctx, part)
}

/// Whether a relay's coil is fed or earthed through what stops with the engine.
fn relay_stops(ctx: &Ctx<'_>, relay: PartId) -> bool {
    let side = &ctx.after;
    let coils = side.wiring.loads.iter().filter(|load| load.part == relay);
    coils.into_iter().any(|coil| {
        let of_engine = |link: usize| {
            matches!(side.wiring.links[link].kind, LinkKind::Contact { part, control, .. }
                if ctx.roles.controls(ControlRole::Engine).any(|engine| engine == control)
                    || ctx.car.part(part).is_some_and(|part| part.type_name == "inertia-switch"))
        };
        coil.ends.iter().any(|&end| {
            let mut ways = side.live.to(end).map(|way| side.live.links_of(way));
            let mut homes = side.earth.to(end).map(|way| side.earth.links_of(way));
            ways.any(|links| links.into_iter().any(of_engine))
                || homes.any(|links| links.into_iter().any(of_engine))
        })
    })
}

/// An inertia switch in the last lead of the pump's feed, if that comes to the pump alone.
fn inertia_switch(ctx: &Ctx<'_>, way: &Way, fed: usize) -> Option<Edit> {
    let wires: Vec<_> = ctx.after.wiring.wires_at(fed).collect();
    let [wire] = wires[..] else { return None };
    let is_on_the_way = ctx.after.wires_of(way).contains(&wire);
    put_before(ctx, wire, fed, "inertia-switch").filter(|_| is_on_the_way)
}
