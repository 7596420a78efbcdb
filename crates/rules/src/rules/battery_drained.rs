//! A battery that something empties with everything off.

use loomwright_circuit::PartId;
use loomwright_electrics::endurance::{draws, endurance};
use loomwright_units::Amps;

use crate::Level;
use crate::ctx::{Ctx, is_shorted};
use crate::messages::{Common, SU05};
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};

pub(super) const RULE: Rule = Rule {
    code: "SU05",
    name: "battery-drained",
    title: "Battery drained",
    level: Level::Fault,
    since: "0.1.0",
    help: include_str!("battery_drained.md"),
    needs: Needs::States,
    check,
};

/// What clocks and the like take without harm, A (practice: up to 50 mA).
const HARMLESS: f64 = 0.05;

/// A car that stands this long is still to start, h (practice: a fortnight).
const SOON: f64 = 14.0 * 24.0;

/// What is meant to live with everything off may empty the battery in this, h (practice: a week between drives).
const SOON_IF_MEANT: f64 = 7.0 * 24.0;

/// Words for what is meant to live with everything off.
const MEANT: [&str; 4] = ["clock", "alarm", "tracker", "memory"];

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    // The first visit is of everything at rest. A drawing without a control has nothing to switch off.
    let Some(rest) = ctx.visit(0).filter(|visit| !is_shorted(visit)) else { return };
    if ctx.network.controls().is_empty() {
        return;
    }
    let takers = draws(ctx.network, &rest.settled);
    for battery in endurance(ctx.network, &rest.settled) {
        let Some(hours) = battery.hours.filter(|_| battery.amps.0 > HARMLESS) else { continue };
        let taking: Vec<PartId> =
            takers.iter().filter(|(_, amps)| amps.0 > HARMLESS).map(|(part, _)| *part).collect();
        // A charge lamp that is lit with the key off is told as that.
        if !taking.is_empty() && taking.iter().all(|part| is_charging(ctx, *part)) {
            continue;
        }
        let is_plugged_in = !taking.is_empty() && taking.iter().all(|part| is_socket(ctx, *part));
        let is_meant = taking.iter().all(|part| {
            let name = ctx.part_name(*part).to_lowercase();
            MEANT.iter().any(|word| name.contains(word))
        });
        let soon = if is_meant { SOON_IF_MEANT } else { SOON };
        let level = if taking.iter().all(|part| is_socket(ctx, *part)) || hours > soon {
            Level::Advice
        } else {
            Level::Fault
        };
        let but = if is_plugged_in { SU05::but_plugged_in() } else { "" };
        let names = ctx.part_names(taking.iter().copied());
        let takers = if taking.is_empty() { SU05::no_single_part().to_owned() } else { names };
        out.push(
            RULE.says(SU05::says(
                but,
                ctx.part_name(battery.battery),
                Amps((battery.amps.0 * 100.0).round() / 100.0),
                &takers,
                time(hours),
            ))
            .level(level)
            .advise(SU05::advice())
            .parts([battery.battery])
            .parts(taking)
            .figure("amps", battery.amps.0)
            .figure("limit_amps", HARMLESS)
            .figure("hours", hours)
            .source(SU05::source()),
        );
    }
}

/// What somebody plugs in and takes out again.
fn is_socket(ctx: &Ctx<'_>, id: PartId) -> bool {
    ctx.car.part(id).is_some_and(|part| part.type_name == "socket")
}

/// A charge lamp, or the machine that it leads to.
fn is_charging(ctx: &Ctx<'_>, id: PartId) -> bool {
    let wiring = &ctx.after.wiring;
    let lamp = (0..wiring.loads.len()).any(|load| {
        wiring.loads[load].part == id && ctx.roles.load(load) == Some(Role::ChargeLamp)
    });
    let output = |spot: usize| wiring.terminal(spot).is_some_and(|(part, _)| part == id);
    lamp || wiring.generators.iter().any(|generator| output(generator.plus))
}

fn time(hours: f64) -> String {
    if hours < 72.0 { Common::hours(hours) } else { SU05::days(hours / 24.0) }
}
