//! A battery isolator that leaves the engine running, or tears the alternator from the battery.

use loomwright_circuit::PartId;

use crate::ctx::Ctx;
use crate::isolators::{alternators, engine_turns, isolators, parted};
use crate::messages::CH04;
use crate::roles::Role;
use crate::rule::{Needs, Out, Rule};
use crate::wiring::LinkKind;
use crate::{Finding, Level};

pub(super) const RULE: Rule = Rule {
    code: "CH04",
    name: "isolator-and-engine",
    title: "Isolator leaves engine running",
    level: Level::Danger,
    since: "0.2.0",
    help: include_str!("isolator_and_engine.md"),
    needs: Needs::States,
    check,
};

/// A coil that takes this much keeps the engine running, A.
const SPARKS: f64 = 0.5;

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (isolator, control) in isolators(ctx) {
        match runs_on(ctx, isolator, control) {
            Some(finding) => out.push(finding),
            None => out.findings.extend(torn(ctx, isolator, control)),
        }
    }
}

/// The engine runs on with the battery taken away.
fn runs_on(ctx: &Ctx<'_>, isolator: PartId, control: usize) -> Option<Finding> {
    let wiring = &ctx.after.wiring;
    let coils: Vec<PartId> = (0..wiring.loads.len())
        .filter(|&load| ctx.roles.load(load) == Some(Role::Ignition))
        .map(|load| wiring.loads[load].part)
        .collect();
    let mut running = parted(ctx, control).filter(|(_, visit)| engine_turns(ctx, visit));
    let (visit, coil) = running.find_map(|(idx, visit)| {
        let sparks = |coil: &&PartId| {
            visit.settled.on.amps(**coil).is_some_and(|amps| amps.0.abs() > SPARKS)
        };
        Some((idx, *coils.iter().find(sparks)?))
    })?;
    let machines = machines(ctx);
    let says = CH04::says_runs_on(
        ctx.part_name(isolator),
        ctx.part_names(machines.iter().copied()),
        ctx.part_name(coil),
    );
    Some(
        RULE.says(says)
            .advise(CH04::advice_runs_on())
            .parts([isolator, coil])
            .parts(machines)
            .shown(ctx.shown(visit))
            .source(CH04::source_runs_on()),
    )
}

/// The engine stops, but the alternator is left with nothing that takes what it still makes.
fn torn(ctx: &Ctx<'_>, isolator: PartId, control: usize) -> Option<Finding> {
    let machines = alternators(ctx);
    let (visit, _) = parted(ctx, control).next()?;
    let wiring = &ctx.after.wiring;
    let side = &ctx.after;
    let has_engine = ctx.roles.controls(crate::roles::ControlRole::Engine).next().is_some();
    let is_run_down = |output: usize| {
        let ways = side.earth.to(output);
        ways.filter(|way| way.is_limited).any(|way| {
            side.earth.links_of(way).iter().any(|&link| {
                matches!(wiring.links[link].kind, LinkKind::Contact { control: by, positions, .. }
                    if by == control && positions & 1 == 0)
            })
        })
    };
    let outputs = wiring.generators.iter().filter(|generator| {
        wiring.terminal(generator.plus).is_some_and(|(part, _)| machines.contains(&part))
    });
    let bare: Vec<PartId> = outputs
        .filter(|generator| !is_run_down(generator.plus))
        .filter_map(|generator| Some(wiring.terminal(generator.plus)?.0))
        .collect();
    if bare.is_empty() || !has_engine {
        return None;
    }
    let says = CH04::says_surge(ctx.part_name(isolator), ctx.part_names(bare.iter().copied()));
    Some(
        RULE.says(says)
            .level(Level::Fault)
            .advise(CH04::advice_surge())
            .parts([isolator])
            .parts(bare)
            .shown(ctx.shown(visit))
            .source(CH04::source_surge()),
    )
}

fn machines(ctx: &Ctx<'_>) -> Vec<PartId> {
    let wiring = &ctx.after.wiring;
    let outputs = wiring.generators.iter().map(|generator| generator.plus);
    let mut machines: Vec<PartId> =
        outputs.filter_map(|output| Some(wiring.terminal(output)?.0)).collect();
    machines.sort_unstable();
    machines.dedup();
    machines
}
