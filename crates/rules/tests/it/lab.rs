//! Reading a sketch and running every rule over it.

use loomwright_circuit::{Car, Edit, Standing, Version};
use loomwright_electrics::{Bound, Exploration, Network, explore};
use loomwright_rules::{Evidence, Finding, Report, check, check_all};

pub(crate) fn car(sketch: &str) -> Car {
    loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}\n{sketch}"))
}

pub(crate) fn judged(car: &Car) -> Report {
    let (network, exploration) = explored(car);
    check_all(car, &network, &exploration)
}

/// Without what takes long: for tests that go through hundreds of cars.
pub(crate) fn judged_by_states(car: &Car) -> Report {
    let (network, exploration) = explored(car);
    check(car, &network, Evidence::of_states(&exploration))
}

fn explored(car: &Car) -> (Network, Exploration) {
    let network = Network::of(car, Version::After);
    let exploration = explore(&network, Bound::default(), &mut |_| true);
    assert!(exploration.is_complete, "too many states for a test");
    (network, exploration)
}

/// The same car as if all of it were the alteration.
pub(crate) fn all_to_fit(car: &Car) -> Car {
    let mut fitted = car.clone();
    let edit = Edit::Mark {
        parts: car.parts().keys().copied().collect(),
        wires: car.wires().keys().copied().collect(),
        standing: Standing::ToFit,
    };
    let patch = fitted.plan(edit).expect("rows of the car");
    fitted.apply(&patch);
    fitted
}

/// Labels of the parts and wires that a finding names.
pub(crate) fn labels(car: &Car, finding: &Finding) -> Vec<String> {
    let parts = finding.parts.iter().filter_map(|id| car.part(*id)).map(|part| part.label.clone());
    let wires = finding.wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.label.clone());
    parts.chain(wires).collect()
}

pub(crate) fn said(report: &Report) -> String {
    let line =
        |finding: &Finding| format!("{} {} {}", finding.level.word(), finding.code, finding.says);
    report.findings.iter().map(line).collect::<Vec<_>>().join("\n")
}
