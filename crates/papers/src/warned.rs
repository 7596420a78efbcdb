//! Dangers and faults that stand open, told at whatever they name: who buys, cuts or fits it should have read them.

use loomwright_circuit::{Car, PartId, Standing, WireId};
use loomwright_rules::{Finding, Level, Report};
use serde::Serialize;

use crate::fitting::Stage;
use crate::rows::WireRow;

/// A finding's number and level, as its tag shows them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Warning {
    number: usize,
    level: &'static str,
}

/// What stands against a wire.
pub(crate) fn of_wire(report: &Report, id: WireId) -> Vec<Warning> {
    naming(report, |finding| finding.wires.contains(&id))
}

/// What stands against a part.
pub(crate) fn of_part(report: &Report, id: PartId) -> Vec<Warning> {
    naming(report, |finding| finding.parts.contains(&id))
}

/// Wires that are new, with what stands against each.
pub(crate) fn at_wires(report: &Report, mut rows: Vec<WireRow>) -> Vec<WireRow> {
    for row in rows.iter_mut().filter(|row| row.standing == Standing::ToFit.words()) {
        row.warnings = of_wire(report, row.id);
    }
    rows
}

/// The stages, with what stands against each lead and part that is fitted in them.
pub(crate) fn at_stages(report: &Report, stages: Vec<Stage>) -> Vec<Stage> {
    let mark = |mut stage: Stage| {
        for lead in &mut stage.leads {
            lead.warnings = of_wire(report, lead.id);
        }
        for spot in stage.parts.iter_mut().filter(|spot| spot.is_new) {
            spot.warnings = of_part(report, spot.id);
        }
        stage
    };
    stages.into_iter().map(mark).collect()
}

/// Of several, the dangers, each once: what is bought for all of them waits for these.
pub(crate) fn dangers(warnings: impl IntoIterator<Item = Warning>) -> Vec<Warning> {
    let mut found: Vec<Warning> = Vec::new();
    for warning in warnings.into_iter().filter(|row| row.level == Level::Danger.word()) {
        if !found.contains(&warning) {
            found.push(warning);
        }
    }
    found.sort_by_key(|row| row.number);
    found
}

/// Whether no lead to fit shows it: what would mend it is drawn nowhere yet, and stands in no list.
pub(crate) fn is_unlisted(car: &Car, finding: &Finding) -> bool {
    let is_new = |id: &WireId| car.wire(*id).is_some_and(|wire| wire.standing == Standing::ToFit);
    is_serious(finding) && !finding.wires.iter().any(is_new)
}

fn is_serious(finding: &Finding) -> bool {
    finding.level != Level::Advice && !finding.is_accepted()
}

fn naming(report: &Report, is_named: impl Fn(&Finding) -> bool) -> Vec<Warning> {
    let numbered = report.findings.iter().enumerate();
    let serious = numbered.filter(|(_, finding)| is_serious(finding) && is_named(finding));
    serious
        .map(|(idx, finding)| Warning { number: report.number(idx), level: finding.level.word() })
        .collect()
}
