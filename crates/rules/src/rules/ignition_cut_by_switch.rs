//! A switch in the feed of ignition or fuel pump that can stop the engine on the road.

use std::collections::BTreeSet;

use loomwright_circuit::PartId;

use crate::Level;
use crate::ctx::Ctx;
use crate::messages::{Common, RE03};
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;

pub(super) const RULE: Rule = Rule {
    code: "RE03",
    name: "ignition-cut-by-switch",
    title: "Engine cut on road",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("ignition_cut_by_switch.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // Without a key in the drawing, the switch may be the key.
    if !ctx.has_control(ControlRole::Ignition) {
        return;
    }
    let side = &ctx.after;
    let keys: BTreeSet<usize> = ctx.roles.controls(ControlRole::Ignition).collect();
    let pumps: Vec<usize> = ctx
        .with_role(Role::FuelPump)
        .into_iter()
        .filter(|&load| ctx.is_petrol_pump(load))
        .collect();
    let loads: Vec<usize> =
        ctx.with_role(Role::Ignition).into_iter().chain(pumps.clone()).collect();
    for load_idx in loads {
        let load = &side.wiring.loads[load_idx];
        let Some((fed, _)) = side.fed_end(load) else { continue };
        let cuts = |way| -> BTreeSet<PartId> {
            let links = side.live.links_of(way);
            let contacts =
                links.into_iter().filter_map(|link| match side.wiring.links[link].kind {
                    LinkKind::Contact { part, control, .. } if !keys.contains(&control) => {
                        Some(part)
                    }
                    _ => None,
                });
            contacts.filter(|part| is_plain_switch(ctx, *part)).collect()
        };
        let mut ways = side.live.regular(fed).map(cuts);
        let Some(first) = ways.next() else { continue };
        // Of several pumps, one for each tank, a switch chooses.
        let is_chosen = pumps.len() > 1 && pumps.contains(&load_idx);
        for part in ways.fold(first, |all, other| &all & &other).into_iter().filter(|_| !is_chosen)
        {
            out.push(
                RULE.says(RE03::says(ctx.part_name(part), ctx.part_name(load.part)))
                    .advise(RE03::advice())
                    .parts([part, load.part])
                    .source(Common::practice()),
            );
        }
    }
}

/// A switch that somebody works; isolators and inertia switches are meant to stop the engine, and so are those that
/// say so.
fn is_plain_switch(ctx: &Ctx<'_>, part: PartId) -> bool {
    let Some((row, _)) = ctx.part(part) else { return false };
    let known = ["isolator", "inertia", "relay", "oil-pressure", "ignition", "thermostat"];
    if known.iter().any(|name| row.type_name.starts_with(name)) {
        return false;
    }
    let names = row.controls.values().chain([&row.label]);
    let meant =
        ["isolat", "cut-out", "cut out", "kill", "emergency", "master", "stop", "inertia", "crash"];
    !names.map(|name| name.to_lowercase()).any(|name| meant.iter().any(|word| name.contains(word)))
}
