//! Consumers that together take more than the generator gives.

use std::collections::BTreeSet;

use loomwright_circuit::{PartId, Standing};
use loomwright_electrics::Visit;
use loomwright_electrics::endurance::{Balance, balance, draws, endurance};
use loomwright_units::Amps;

use crate::ctx::{Ctx, is_shorted};
use crate::messages::{CH06, Common};
use crate::roles::ControlRole;
use crate::rule::{Needs, Out, Rule};
use crate::words::tenths;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "CH06",
    name: "load-above-generator",
    title: "More taken than charged",
    level: Level::Fault,
    since: "0.2.0",
    help: include_str!("load_above_generator.md"),
    needs: Needs::States,
    check,
};

/// At speed, this much more than the generator gives is a fault of the whole and not of a short spell (practice).
const WELL_OVER: f64 = 1.5;

/// Currents under this are no balance worth naming, A (practice).
const LEAST: f64 = 0.5;

/// What an alteration adds at tick-over is named from here on, A (practice).
const ADDED: f64 = 2.0;

/// Consumers named; the rest are small beside them.
const MOST_NAMED: usize = 4;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    if ctx.after.wiring.generators.is_empty() {
        return;
    }
    let running = most_discharged(ctx, "running");
    let at_speed = running.and_then(|(idx, visit)| at_speed(ctx, idx, visit));
    let is_told = at_speed.is_some();
    out.findings.extend(at_speed);
    // What a car did at tick-over as it was found is known; what is added is told.
    if !is_told
        && ctx.before.is_some()
        && let Some((idx, visit)) = most_discharged(ctx, "idling")
    {
        out.findings.extend(at_tick_over(ctx, idx, visit));
    }
}

/// The visit with the engine so in which the batteries give most; brake and pushes are worked for moments only.
fn most_discharged<'c>(ctx: &'c Ctx<'_>, engine: &str) -> Option<(usize, &'c Visit)> {
    let mut most: Option<(usize, &Visit, f64)> = None;
    for (idx, visit) in ctx.visits() {
        if !stands_at(ctx, visit, engine) || is_momentary(ctx, visit) || is_shorted(visit) {
            continue;
        }
        let given: f64 = ctx
            .after
            .wiring
            .supplies
            .iter()
            .filter_map(|supply| {
                let (part, terminal) = ctx.after.wiring.terminal(supply.plus())?;
                Some(-visit.settled.on.terminal_amps(part, terminal)?.0)
            })
            .sum();
        if given > most.map_or(LEAST, |(_, _, given)| given) * (1.0 + 1e-9) {
            most = Some((idx, visit, given));
        }
    }
    most.map(|(idx, visit, _)| (idx, visit))
}

fn stands_at(ctx: &Ctx<'_>, visit: &Visit, engine: &str) -> bool {
    ctx.roles.controls(ControlRole::Engine).any(|control| {
        let at = visit.settled.state.setting.0.get(control).map(|at| usize::from(*at));
        let position = at.and_then(|at| ctx.network.controls()[control].positions.get(at));
        position.is_some_and(|position| position.name == engine)
    })
}

fn is_momentary(ctx: &Ctx<'_>, visit: &Visit) -> bool {
    let held = |control: usize, at: u8| {
        let position = &ctx.network.controls()[control].positions.get(usize::from(at));
        position.is_some_and(|position| position.springs_to.is_some())
    };
    visit.settled.state.setting.0.iter().enumerate().any(|(control, &at)| held(control, at))
}

fn at_speed(ctx: &Ctx<'_>, idx: usize, visit: &Visit) -> Option<Finding> {
    let Balance { given, taken, into_batteries } = balance(ctx.network, &visit.settled);
    if into_batteries.0 > -LEAST {
        return None;
    }
    let hours = hours(ctx, visit);
    let says = CH06::says_loses(
        Amps(tenths(taken.0)),
        ctx.part_names(machines(ctx)),
        Amps(tenths(given.0)),
        Amps(tenths(into_batteries.abs().0)),
        time(hours),
    );
    let is_fault = taken.0 > given.0 * WELL_OVER && given.0 > LEAST;
    let level = if is_fault { Level::Fault } else { Level::Advice };
    let finding = finding(ctx, (idx, visit), (given, taken), says);
    Some(finding.level(level).figure("hours", hours))
}

fn at_tick_over(ctx: &Ctx<'_>, idx: usize, visit: &Visit) -> Option<Finding> {
    let new = |id: &PartId| ctx.car.part(*id).is_some_and(|p| p.standing == Standing::ToFit);
    let added: f64 = draws(ctx.network, &visit.settled)
        .iter()
        .filter(|(part, _)| new(part))
        .map(|(_, amps)| amps.0)
        .sum();
    let Balance { given, taken, into_batteries } = balance(ctx.network, &visit.settled);
    if added < ADDED || into_batteries.0 > -LEAST {
        return None;
    }
    let hours = hours(ctx, visit);
    let says = CH06::says_queue(
        Amps(tenths(taken.0)),
        Amps(tenths(given.0)),
        Amps(tenths(added)),
        time(hours),
    );
    Some(
        finding(ctx, (idx, visit), (given, taken), says)
            .level(Level::Advice)
            .figure("hours", hours),
    )
}

fn finding(
    ctx: &Ctx<'_>,
    (idx, visit): (usize, &Visit),
    (given, taken): (Amps, Amps),
    says: String,
) -> Finding {
    let takers = draws(ctx.network, &visit.settled);
    RULE.says(says)
        .advise(CH06::advice())
        .parts(machines(ctx))
        .parts(takers.into_iter().take(MOST_NAMED).map(|(part, _)| part))
        .figure("amps", taken.0)
        .figure("limit_amps", given.0)
        .shown(ctx.shown(idx))
        .source(CH06::source())
}

fn machines(ctx: &Ctx<'_>) -> BTreeSet<PartId> {
    let wiring = &ctx.after.wiring;
    let outputs = wiring.generators.iter().map(|generator| generator.plus);
    outputs.filter_map(|output| Some(wiring.terminal(output)?.0)).collect()
}

/// Until the first battery is too far down to start the car.
fn hours(ctx: &Ctx<'_>, visit: &Visit) -> f64 {
    let batteries = endurance(ctx.network, &visit.settled);
    batteries.iter().filter_map(|battery| battery.hours).fold(f64::INFINITY, f64::min)
}

fn time(hours: f64) -> String {
    match hours {
        hours if hours < 1.5 => Common::minutes((hours * 60.0).max(1.0)),
        hours => Common::hours(hours),
    }
}
