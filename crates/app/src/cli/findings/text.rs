//! Findings as text for people.

use std::io::Write;

use loomwright_circuit::{Car, Version};
use loomwright_electrics::Network;
use loomwright_rules::{
    Finding, Level, Report, for_reader, no_longer_found, source_for_reader, traced,
};

use super::{part_labels, wire_labels};

/// The findings down to the least level asked for, and how many there are of each.
pub(super) fn write_text(
    car: &Car,
    report: &Report,
    least: Level,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let network = Network::of(car, Version::After);
    // Those passed over keep their numbers: the window and the papers give them the same.
    let numbered = || (1..).zip(&report.findings).filter(|(_, finding)| finding.level <= least);
    for (number, finding) in numbered().filter(|(_, finding)| !finding.is_accepted()) {
        write_finding(car, &network, number, finding, out)?;
    }
    for (number, finding) in numbered().filter(|(_, finding)| finding.is_accepted()) {
        let (level, code) = (finding.level.word(), finding.code);
        writeln!(out, "{number}. accepted, {level} {code}: {}", finding.title)?;
        writeln!(out, "   {}", finding.says)?;
        if let Some(accepted) = &finding.accepted {
            writeln!(out, "   {}", accepted.says())?;
        }
        writeln!(out)?;
    }
    for row in no_longer_found(car, &report.findings).iter().filter_map(|id| car.accepted().get(id))
    {
        let says = for_reader(car, &row.says);
        writeln!(out, "{} was accepted and is found no longer: {says}", row.code)?;
    }
    for row in &report.not_checked {
        writeln!(out, "{} {}", row.code, row.says)?;
    }
    writeln!(
        out,
        "{}; {} not checked; {}",
        counted(car, report),
        report.not_checked.len(),
        crate::words::visited(
            report.states,
            report.settings,
            (report.is_complete, report.is_exact)
        )
    )?;
    writeln!(out, "For planning only: this is an estimate, not an approval.")
}

fn write_finding(
    car: &Car,
    network: &Network,
    number: usize,
    finding: &Finding,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    writeln!(out, "{number}. {} {}: {}", finding.level.word(), finding.code, finding.title)?;
    writeln!(out, "   {}", finding.says)?;
    for says in finding.origin.says().into_iter().chain(finding.back()) {
        writeln!(out, "   {says}")?;
    }
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
    if let Some(traced) = traced(car, network, finding) {
        writeln!(out, "   way of the current: {}", traced.way(car))?;
        if let Some(shares) = traced.adds_up_from(car) {
            writeln!(out, "   adds up from: {shares}")?;
        }
    }
    if let Some(says) = finding.band.says() {
        writeln!(out, "   {says}")?;
    }
    writeln!(out, "   do: {}", finding.advice)?;
    if !finding.source.is_empty() {
        writeln!(out, "   source: {}", source_for_reader(finding.source))?;
    }
    writeln!(out)
}

fn counted(car: &Car, report: &Report) -> String {
    if car.parts().is_empty() && car.wires().is_empty() {
        // Where there is nothing, no danger was looked for.
        return "nothing could be checked".to_owned();
    }
    let n = |level: Level| report.n_open(level);
    let n_accepted = report.findings.iter().filter(|finding| finding.is_accepted()).count();
    let accepted = if n_accepted == 0 { String::new() } else { format!(", {n_accepted} accepted") };
    format!(
        "{} danger, {} fault, {} advice{accepted}",
        n(Level::Danger),
        n(Level::Fault),
        n(Level::Advice)
    )
}
