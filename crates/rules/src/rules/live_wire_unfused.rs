//! A live wire with nothing between it and the battery that would blow.

use loomwright_circuit::WireId;
use loomwright_units::Amps;

use crate::ctx::Ctx;
use crate::fuse_fix::fuse_at_source;
use crate::rule::{Needs, Out, Rule};
use crate::unfused::{Kind, by_kind, runs};
use crate::words::count;
use crate::{Finding, Level, Trust};

pub(super) const RULE: Rule = Rule {
    code: "PR02",
    name: "live-wire-unfused",
    title: "No fuse",
    level: Level::Danger,
    since: "0.1.0",
    help: include_str!("live_wire_unfused.md"),
    needs: Needs::Drawing,
    check,
};

fn check(ctx: &Ctx<'_>, out: &mut Out) {
    for (kind, wires) in by_kind(ctx) {
        if kind == Kind::AsBuilt {
            out.push(finding(ctx, kind, &wires.into_iter().collect::<Vec<_>>()));
        } else {
            for run in runs(ctx, &wires) {
                out.push(finding(ctx, kind, &run));
            }
        }
    }
}

/// What a wire may have to carry: all of its consumers, or less where the states show that not all work at once.
fn most_amps(ctx: &Ctx<'_>, wire: WireId, volts: f64) -> f64 {
    let marked = ctx.after.watts(wire) / volts;
    let met = ctx.extremes().wires.get(&wire).map_or(f64::INFINITY, |met| met.value.0.abs());
    if met > 0.0 { marked.min(met) } else { marked }
}

fn finding(ctx: &Ctx<'_>, kind: Kind, run: &[WireId]) -> Finding {
    let wires = count(run.len(), "wire", "wires");
    let names = ctx.wire_names(run.iter().copied());
    let volts = ctx.car.vehicle().voltage.volts().0;
    let amps = run.iter().map(|wire| most_amps(ctx, *wire, volts)).fold(0.0, f64::max);
    let load = Amps(amps);
    let start = RULE.says(match kind {
        Kind::Added if amps == 0.0 => {
            format!("From the battery to {names} there is nothing to blow but the wire")
        }
        Kind::Added => format!(
            "From the battery to {names} there is nothing to blow but the wire, with up to {load} of consumers on it"
        ),
        Kind::LoadedMore => {
            format!("{names}, unfused since the car was built, would feed up to {load} after the alteration")
        }
        Kind::Trigger if run.len() == 1 => {
            format!("The trigger lead {names} starts from an unfused circuit, with nothing to blow but the wire")
        }
        Kind::Trigger => format!(
            "The trigger leads {names} start from an unfused circuit, with nothing to blow but the wire"
        ),
        Kind::AsBuilt => format!("{wires} of the car's own, live and unfused as built: {names}"),
    });
    let level = match kind {
        Kind::Added | Kind::LoadedMore | Kind::Trigger => Level::Danger,
        Kind::AsBuilt => Level::Advice,
    };
    let advice = match kind {
        Kind::Added => {
            "Fit a fuse where it leaves the supply, no larger than the thinnest wire behind it"
        }
        Kind::LoadedMore => {
            "Give the new load its own fused feed from the battery or the solenoid stud"
        }
        Kind::Trigger => "Fit a small fuse where it leaves the circuit; it saves that circuit too",
        Kind::AsBuilt => {
            "A known weakness of the car, not of your work: keep these leads well clipped, or fuse them"
        }
    };
    let finding = start
        .level(level)
        .advise(advice)
        .wires(run.iter().copied())
        .figure("amps", amps)
        .source("practice: every added circuit is fused at its source");
    let edit = match kind {
        Kind::Added | Kind::Trigger => fuse_at_source(ctx, run, amps),
        Kind::LoadedMore | Kind::AsBuilt => None,
    };
    match edit {
        Some((rating, edit)) => {
            finding.fix(format!("Fit a {rating} A fuse at the source"), Trust::Ask, Some(edit))
        }
        None => finding,
    }
}
