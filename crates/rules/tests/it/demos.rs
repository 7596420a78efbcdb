//! The demo cars: nothing is dangerous in the sound ones, and the van's planted mistakes are found.

use loomwright_circuit::{Car, Edit};
use loomwright_rules::{Level, Report};

use crate::lab::{judged, labels, said};

macro_rules! demo {
    ($name:literal) => {
        loomwright_circuit::load(include_bytes!(concat!(
            "../../../../demo-projects/",
            $name,
            ".loom.json"
        )))
        .expect("a demo car loads")
    };
}

fn names(car: &Car, report: &Report, code: &str, label: &str) -> bool {
    report.findings.iter().any(|finding| {
        finding.code == code
            && finding.level <= Level::Fault
            && labels(car, finding).iter().any(|known| known == label)
    })
}

#[test]
fn the_roadster_and_the_learners_sheet_are_sound() {
    for car in [demo!("curlew-roadster"), demo!("learners-sheet")] {
        let report = judged(&car);
        let is_sound = report.findings.iter().all(|finding| finding.level == Level::Advice);
        assert!(is_sound && report.is_complete, "{}", said(&report));
    }
}

#[test]
fn the_vans_four_mistakes_are_found() {
    let car = demo!("heron-van");
    let report = judged(&car);
    for (code, label) in [
        ("EA01", "Trailer socket"),
        ("PO01", "Right rear indicator"),
        ("PR01", "Trailer fuse"),
        ("IN02", "Left front indicator"),
    ] {
        assert!(names(&car, &report, code, label), "{code} of {label}:\n{}", said(&report));
    }
}

#[test]
fn a_switch_that_comes_off_counts_in_the_load_before() {
    // The trafficators of 36 W go and lamps of 4 W come: no lead is loaded more, whatever the old switch was called.
    let mut car = demo!("heron-van");
    let (id, part) = car.part_labelled("Trafficator switch").expect("it stands in the van");
    let mut part = part.clone();
    part.controls.clear();
    let patch = car.plan(Edit::SetPart(id, part)).expect("a control may be the part's own");
    car.apply(&patch);
    let report = judged(&car);
    let is_unfused = |finding: &&loomwright_rules::Finding| {
        finding.code == "PR02" && finding.level == Level::Danger
    };
    assert_eq!(report.findings.iter().filter(is_unfused).count(), 0, "{}", said(&report));
}
