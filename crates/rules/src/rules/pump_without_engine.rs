//! A fuel pump that goes on pumping with the engine stopped.

use loomwright_circuit::{Edit, PartId, Standing};

use crate::ctx::Ctx;
use crate::cures::put_before;
use crate::feeds::Way;
use crate::messages::{Common, RE01};
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::{LinkKind, Mask};
use crate::{Finding, Level, Trust};

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
        // An inertia switch opens in a crash, but a pump that neither key nor engine stops floods the engine at rest.
        let is_free = |way: &Way| !is_held(ctx, &way.needs.0);
        if unwatched.is_none() && side.earth.to(home).any(is_free) {
            let by_relay = |link: usize| matches!(side.wiring.links[link].kind, LinkKind::Contact { control, .. } if control >= side.wiring.n_controls);
            let free = feeds
                .iter()
                .find(|way| is_free(way) && !side.live.links_of(way).into_iter().any(by_relay));
            if let Some(way) = free {
                out.push(runs_at_rest(ctx, load.part, way));
                continue;
            }
        }
        let Some(way) = unwatched.filter(|_| {
            // A stop in its earth lead will do.
            !side.earth.to(home).all(|way| side.earth.links_of(way).into_iter().any(stops))
        }) else {
            continue;
        };
        let label = ctx.part_name(load.part);
        let with_key_off = !is_held(ctx, &way.needs.0);
        let says = if with_key_off { RE01::says_key_off(&label) } else { RE01::says(&label) };
        out.push(
            RULE.says(says)
                .advise(RE01::advice())
                .parts([load.part])
                .fix(RE01::fix(), Trust::Ask, inertia_switch(ctx, way, fed))
                .wires(ctx.after.wires_of(way))
                .level(level(ctx, load.part))
                .source(Common::practice()),
        );
    }
}

/// Whether key or engine must stand somewhere else than at rest, for a way or for the coil of a relay on it.
fn is_held(ctx: &Ctx<'_>, needs: &[(usize, Mask)]) -> bool {
    let side = &ctx.after;
    let is_key = |control: usize| {
        [ControlRole::Ignition, ControlRole::Engine]
            .into_iter()
            .any(|role| ctx.roles.controls(role).any(|known| known == control))
    };
    let by_key =
        |needs: &[(usize, Mask)]| needs.iter().any(|&(at, mask)| is_key(at) && mask & 1 == 0);
    let coil_by_key = |control: usize| {
        let relay = control.checked_sub(side.wiring.n_controls);
        let Some(relay) = relay.and_then(|relay| side.wiring.relays.get(relay)) else {
            return false;
        };
        let mut coils = side.wiring.loads.iter();
        let coil = coils.find(|load| (load.part, load.element) == *relay);
        let ends = coil.and_then(|coil| side.fed_end(coil));
        ends.is_some_and(|(fed, home)| {
            side.live.to(fed).all(|way| by_key(&way.needs.0))
                || side.earth.to(home).all(|way| by_key(&way.needs.0))
        })
    };
    by_key(needs) || needs.iter().any(|&(at, mask)| mask & 1 == 0 && coil_by_key(at))
}

/// What the maker built without is a weakness of the car, and no mistake of the owner's; a drawing without an
/// alteration does not tell the two apart.
fn level(ctx: &Ctx<'_>, part: PartId) -> Level {
    let is_found = ctx.car.part(part).is_some_and(|part| part.standing == Standing::AsFound);
    if ctx.before.is_some() && is_found { Level::Advice } else { Level::Danger }
}

/// A pump that a fuse and an inertia switch guard, and that nothing stops with the engine.
fn runs_at_rest(ctx: &Ctx<'_>, pump: PartId, way: &Way) -> Finding {
    RULE.says(RE01::says_at_rest(ctx.part_name(pump)))
        .advise(RE01::advice_at_rest())
        .parts([pump])
        .wires(ctx.after.wires_of(way))
        .level(level(ctx, pump))
        .source(Common::practice())
        .unfixed(RE01::no_stop_chosen())
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
fn inertia_switch(ctx: &Ctx<'_>, way: &Way, fed: usize) -> Result<Edit, String> {
    let several = || RE01::several_leads().to_owned();
    let wires: Vec<_> = ctx.after.wiring.wires_at(fed).collect();
    let [wire] = wires[..] else { return Err(several()) };
    let is_on_the_way = ctx.after.wires_of(way).contains(&wire);
    put_before(ctx, wire, fed, "inertia-switch").filter(|_| is_on_the_way).ok_or_else(several)
}
