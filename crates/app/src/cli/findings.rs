//! `check`: all findings over all reachable states.

mod text;

use std::io::Write;

use loomwright_circuit::{Car, Part, PartId, Version, WireId};
use loomwright_electrics::{Bound, Move, Network, PathStep, Through, look_around};
use loomwright_rules::{
    self as rules, Acceptance, Deep, Finding, Level, Report, Traced, as_found, check_over_band,
    compare, traced,
};
use serde_json::{Value, json};

use super::{LevelName, Outcome};

pub(crate) fn check(
    car: &Car,
    level: Option<LevelName>,
    as_json: bool,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    let report = report(car);
    let level = level.map(|level| match level {
        LevelName::Danger => Level::Danger,
        LevelName::Fault => Level::Fault,
        LevelName::Advice => Level::Advice,
    });
    let least = level.unwrap_or(Level::Fault);
    if as_json {
        writeln!(out, "{}", json_of(car, &report))?;
    } else {
        text::write_text(car, &report, level.unwrap_or(Level::Advice), out)?;
    }
    // Levels sort from the worst.
    let is_found = report.open().any(|finding| finding.level <= least);
    Ok(if is_found { Outcome::Found } else { Outcome::Done })
}

/// Everything the rules say of the car after its alteration, and which of it the car always had.
pub(crate) fn report(car: &Car) -> Report {
    let mut report = report_alone(car);
    if let Some(before) = as_found(car) {
        compare(car, &mut report, &report_alone(&before));
    }
    report
}

fn report_alone(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let deep = Deep::of(car, &network, &exploration, &mut || true).unwrap_or_default();
    let evidence = deep.evidence(&exploration);
    let over_band = check_over_band(car, &network, evidence, &mut |_visited| true);
    over_band.unwrap_or_else(|| rules::check(car, &network, evidence))
}

fn json_of(car: &Car, report: &Report) -> Value {
    let network = Network::of(car, Version::After);
    let findings: Vec<Value> =
        report.findings.iter().map(|finding| finding_json(car, &network, finding)).collect();
    let not_checked: Vec<Value> =
        report.not_checked.iter().map(|row| json!({"code": row.code, "says": row.says})).collect();
    json!({
        "findings": findings,
        "not_checked": not_checked,
        "settings": report.settings.to_string(),
        "states": report.states.to_string(),
        "complete": report.is_complete,
        "exact": report.is_exact,
    })
}

fn finding_json(car: &Car, network: &Network, finding: &Finding) -> Value {
    let back = finding.accepted.as_ref().and_then(|accepted| accepted.back.as_ref());
    let traced = traced(car, network, finding);
    json!({
        "code": finding.code,
        "rule": finding.rule,
        "level": finding.level.word(),
        "says": finding.says,
        "fix": finding.advice,
        "parts": part_labels(car, &finding.parts),
        "wires": wire_labels(car, &finding.wires),
        "moves": moves_json(&finding.moves),
        "setting": finding.setting,
        "figures": finding.figures,
        "band": finding.band.word(),
        "source": finding.source,
        "origin": finding.origin.word(),
        "origin_says": finding.origin.says(),
        "path": traced.as_ref().map(|traced| path_json(car, traced)),
        "shares": traced.map(|traced| shares_json(car, &traced)),
        "fixes": finding.fixes.iter().map(|fix| &fix.title).collect::<Vec<_>>(),
        "no_fix": finding.no_fix,
        "accepted": finding.accepted.as_ref().filter(|_| finding.is_accepted()).map(accepted_json),
        "reopened": back.map(|back| json!({
            "because": back,
            "was": finding.accepted.as_ref().map(accepted_json),
        })),
    })
}

fn accepted_json(accepted: &Acceptance) -> Value {
    json!({"reason": accepted.reason, "by": accepted.by, "on": accepted.on})
}

/// The way of the current, from the battery and back to it.
fn path_json(car: &Car, traced: &Traced) -> Vec<Value> {
    let step = |step: &PathStep| {
        let mut row = match &step.through {
            Through::Wire { wire, .. } => json!({"wire": car.wire(*wire).map(|wire| &wire.label)}),
            Through::Part { part, enters, leaves } => json!({
                "part": car.part(*part).map(|part| &part.label),
                "enters": enters,
                "leaves": leaves,
            }),
        };
        row["amps"] = json!(step.amps.0);
        row["volts_lost"] = json!(step.lost.0);
        row
    };
    traced.path.steps.iter().map(step).collect()
}

/// Whose currents add up there.
fn shares_json(car: &Car, traced: &Traced) -> Vec<Value> {
    let label = |part| car.part(part).map(|part: &Part| part.label.clone());
    traced.shares.iter().map(|(part, amps)| json!({"part": label(*part), "amps": amps.0})).collect()
}

/// Moves as objects: control names may hold any sign.
pub(crate) fn moves_json(moves: &[Move]) -> Vec<Value> {
    moves.iter().map(|step| json!({"control": step.control, "position": step.position})).collect()
}

fn part_labels(car: &Car, parts: &[PartId]) -> Vec<String> {
    parts.iter().filter_map(|id| Some(car.part(*id)?.label.clone())).collect()
}

fn wire_labels(car: &Car, wires: &[WireId]) -> Vec<String> {
    wires.iter().filter_map(|id| Some(car.wire(*id)?.label.clone())).collect()
}
