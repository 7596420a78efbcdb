//! A charge lamp that is lit with the key off.

use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::messages::CH02;
use crate::roles::{ControlRole, Role};
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "CH02",
    name: "charge-lamp-always-live",
    title: "Charge lamp always live",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("charge_lamp_always_live.md"),
    needs: Needs::States,
    check,
};

/// What a lamp that is off may leak, A.
const LEAK: f64 = 5e-3;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    let has_key = ctx.roles.controls(ControlRole::Ignition).next().is_some();
    // The first visit is of everything at rest, the key among it.
    let Some(rest) = ctx.visit(0).filter(|visit| has_key && !is_shorted(visit)) else { return };
    for (load_idx, load) in ctx.after.wiring.loads.iter().enumerate() {
        if ctx.roles.load(load_idx) != Some(Role::ChargeLamp) {
            continue;
        }
        let amps = rest.settled.on.amps(load.part).map_or(0.0, |amps| amps.0.abs());
        if amps <= LEAK {
            continue;
        }
        let says = CH02::says(ctx.part_name(load.part), Amps((amps * 1e3).round() / 1e3));
        let fed = ctx.after.fed_end(load).map(|(fed, _)| fed);
        out.push(
            RULE.says(says)
                .advise(CH02::advice())
                .parts([load.part])
                .wires(fed.into_iter().flat_map(|fed| ctx.after.wiring.wires_at(fed)))
                .figure("amps", amps)
                .figure("limit_amps", LEAK)
                .shown(ctx.shown(0))
                .source(CH02::source()),
        );
    }
}
