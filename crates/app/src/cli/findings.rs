//! `check`: all findings over all reachable states.

use std::io::Write;

use loomwright_circuit::{Car, PartId, Version, WireId};
use loomwright_electrics::{Bound, Move, Network, look_around};
use loomwright_rules::{self as rules, Deep, Finding, Level, Report, check_over_band};
use serde_json::{Value, json};

use super::{LevelName, Outcome};

pub(crate) fn check(
    car: &Car,
    level: LevelName,
    as_json: bool,
    out: &mut dyn Write,
) -> anyhow::Result<Outcome> {
    let report = report(car);
    if as_json {
        writeln!(out, "{}", json_of(car, &report))?;
    } else {
        write_text(car, &report, out)?;
    }
    let least = match level {
        LevelName::Danger => Level::Danger,
        LevelName::Fault => Level::Fault,
        LevelName::Advice => Level::Advice,
    };
    // Levels sort from the worst.
    let is_found = report.findings.iter().any(|finding| finding.level <= least);
    Ok(if is_found { Outcome::Found } else { Outcome::Done })
}

/// Everything the rules say of the car after its alteration.
pub(crate) fn report(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let deep = Deep::of(car, &network, &exploration, &mut || true).unwrap_or_default();
    let evidence = deep.evidence(&exploration);
    let over_band = check_over_band(car, &network, evidence, &mut |_visited| true);
    over_band.unwrap_or_else(|| rules::check(car, &network, evidence))
}

fn json_of(car: &Car, report: &Report) -> Value {
    let findings: Vec<Value> =
        report.findings.iter().map(|finding| finding_json(car, finding)).collect();
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

fn finding_json(car: &Car, finding: &Finding) -> Value {
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
        "accepted": null,
    })
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

fn write_text(car: &Car, report: &Report, out: &mut dyn Write) -> std::io::Result<()> {
    for (number, finding) in (1..).zip(&report.findings) {
        writeln!(out, "{number}. {} {}: {}", finding.level.word(), finding.code, finding.title)?;
        writeln!(out, "   {}", finding.says)?;
        let rows = [part_labels(car, &finding.parts), wire_labels(car, &finding.wires)].concat();
        if !rows.is_empty() {
            writeln!(out, "   where: {}", rows.join(", "))?;
        }
        if !finding.moves.is_empty() {
            let moves: Vec<String> = finding
                .moves
                .iter()
                .map(|step| format!("{} to {}", step.control, step.position))
                .collect();
            writeln!(out, "   shows when: {}", moves.join(", then "))?;
        }
        if let Some(says) = finding.band.says() {
            writeln!(out, "   {says}")?;
        }
        writeln!(out, "   do: {}", finding.advice)?;
        writeln!(out)?;
    }
    for row in &report.not_checked {
        writeln!(out, "{} {}", row.code, row.says)?;
    }
    let counted = if car.parts().is_empty() && car.wires().is_empty() {
        // Where there is nothing, no danger was looked for.
        "nothing could be checked".to_owned()
    } else {
        let count =
            |level: Level| report.findings.iter().filter(|finding| finding.level == level).count();
        format!(
            "{} danger, {} fault, {} advice",
            count(Level::Danger),
            count(Level::Fault),
            count(Level::Advice)
        )
    };
    writeln!(
        out,
        "{counted}; {} not checked; {}",
        report.not_checked.len(),
        crate::words::visited(
            report.states,
            report.settings,
            (report.is_complete, report.is_exact)
        )
    )?;
    writeln!(out, "For planning only: this is an estimate, not an approval.")
}
