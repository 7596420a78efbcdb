//! Dangers and faults that stand open, told at whatever they name: who buys, cuts or fits it should have read them.

use loomwright_circuit::{PartId, Standing, WireId};
use loomwright_rules::{Finding, Level, Report};
use serde::Serialize;

use crate::fitting::Stage;
use crate::rows::WireRow;
use crate::test_sheet::TestGroup;

/// A finding's number and level, as its tag shows them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Warning {
    number: usize,
    level: &'static str,
}

/// What stands against a wire.
pub(crate) fn of_wire(report: &Report, id: WireId) -> Vec<Warning> {
    naming(report, |finding| is_serious(finding) && finding.wires.contains(&id))
}

/// What stands against a part.
pub(crate) fn of_part(report: &Report, id: PartId) -> Vec<Warning> {
    naming(report, |finding| is_serious(finding) && finding.parts.contains(&id))
}

/// The same with what has to be known before it is joined.
fn of_part_to_join(report: &Report, id: PartId) -> Vec<Warning> {
    let is_told = |finding: &Finding| {
        is_serious(finding) || BEFORE_JOINING.contains(&finding.code) && !finding.is_accepted()
    };
    naming(report, |finding| is_told(finding) && finding.parts.contains(&id))
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
            spot.warnings = of_part_to_join(report, spot.id);
        }
        stage
    };
    until_safe(report, stages.into_iter().map(mark).collect())
}

/// While a danger is open the order ends before the battery: what is not printed is not done.
fn until_safe(report: &Report, mut stages: Vec<Stage>) -> Vec<Stage> {
    let is_danger = |finding: &&Finding| finding.level == Level::Danger && !finding.is_accepted();
    let battery = stages.iter().position(|stage| stage.is_before_battery);
    if let Some(at) = battery.filter(|_| report.findings.iter().any(|it| is_danger(&it))) {
        stages.truncate(at);
        stages.push(Stage {
            title: "Stop: the order ends here".to_owned(),
            is_before_battery: true,
            is_stop: true,
            does: "New fuses, battery and first power-up are not printed before that.".to_owned(),
            ..Stage::default()
        });
    }
    stages
}

/// Where the order of fitting ends before the battery, what is read with the battery on is not printed either.
pub(crate) fn tests_until_safe(stages: &[Stage], mut tests: Vec<TestGroup>) -> Vec<TestGroup> {
    if stages.last().is_some_and(|stage| stage.is_stop) {
        tests.truncate(1);
    }
    tests
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

/// What has to be known of a part before it is joined, though it is advice alone: what suits one earth only, and what
/// the kick of a coil may spoil.
const BEFORE_JOINING: [&str; 2] = ["PO03", "SW06"];

/// Whether it is a danger or a fault that stands open: what would mend it is drawn nowhere yet, and stands in no list.
pub(crate) fn is_serious(finding: &Finding) -> bool {
    finding.level != Level::Advice && !finding.is_accepted()
}

fn naming(report: &Report, is_named: impl Fn(&Finding) -> bool) -> Vec<Warning> {
    let numbered = report.findings.iter().enumerate();
    let named = numbered.filter(|(_, finding)| is_named(finding));
    named
        .map(|(idx, finding)| Warning { number: report.number(idx), level: finding.level.word() })
        .collect()
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;
    use loomwright_electrics::{Bound, Network, look_around};
    use loomwright_rules::check_all;

    use super::{at_stages, tests_until_safe};
    use crate::fitting::stages;
    use crate::solved::Solved;
    use crate::test_sheet::test_sheet;

    /// A lamp to fit, on cable that its fuse outlives.
    const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
fuse F1 blade FUSE A to fit
lamp H1 21 W to fit
wire W1 B1.- E1 16 mm2 0.4 m black
wire W2 B1.+ F1.1 4 mm2 0.3 m brown to fit
wire W3 F1.2 H1.1 0.75 mm2 2 m purple to fit
wire W4 H1.2 E1 4 mm2 2 m black to fit
";

    #[test]
    fn the_order_ends_before_the_battery_while_a_danger_is_open() {
        let told = |amps: &str| {
            let car = loomwright_sketch::parse(&SKETCH.replace("FUSE", amps)).expect("a sketch");
            let network = Network::of(&car, Version::After);
            let explored = look_around(&network, Bound::default(), &mut |_| true);
            let report = check_all(&car, &network, &explored);
            let solved = Solved::of(&car, Version::After);
            let told = at_stages(&report, stages(&car, &solved));
            let sheet = tests_until_safe(&told, test_sheet(&car, &solved));
            let titles: Vec<String> = told.into_iter().map(|stage| stage.title).collect();
            (titles, sheet.len())
        };
        let ((sound, all), (burning, before)) = (told("5"), told("30"));
        assert!(all > 1 && before == 1, "{all} groups, {before} while a danger is open");
        assert!(sound.iter().any(|title| title.starts_with("First power-up")), "{sound:?}");
        assert_eq!(burning.last().map(String::as_str), Some("Stop: the order ends here"));
        assert!(burning.iter().all(|title| !title.contains("power-up")), "{burning:?}");
    }
}
