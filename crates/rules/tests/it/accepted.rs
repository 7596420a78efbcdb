//! A finding that was accepted stays so until its figures change.

use loomwright_circuit::{Car, Edit};
use loomwright_rules::{Finding, Level, REOPENS_AT, Report, no_longer_found};

use crate::lab::{car, judged};

/// A fuse that is too large for the wire behind it.
fn sketch(fuse: u32, watts: u32) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade {fuse} A
lamp H1 {watts} W
earth E1 body
earth E2 body
wire W1 B1.+ F1.1 6 mm2 0.2 m pvc
wire W2 F1.2 H1.1 1 mm2 1 m pvc
wire W3 H1.2 E1 1 mm2 0.3 m pvc
wire W4 B1.- E2 25 mm2 0.3 m pvc
"
    )
}

fn too_large(report: &Report) -> &Finding {
    report.findings.iter().find(|finding| finding.code == "PR01").expect("a fuse too large")
}

fn accepting(sketch: &str) -> Car {
    let mut car = car(sketch);
    let report = judged(&car);
    let row = too_large(&report).accept(&car, "The maker's own", "B. Owner", "2026-11-25");
    let patch = car.plan(Edit::Accept(row)).expect("a reason is given");
    car.apply(&patch);
    car
}

/// The same acceptance on another sketch, whose rows have the same ids.
fn carried_over(from: &Car, to: &str) -> Car {
    let mut car = car(to);
    for row in from.accepted().values() {
        let patch = car.plan(Edit::Accept(row.clone())).expect("the same rows");
        car.apply(&patch);
    }
    car
}

#[test]
fn an_accepted_finding_stands_last_and_counts_no_longer() {
    let car = accepting(&sketch(30, 21));
    let report = judged(&car);
    let finding = too_large(&report);
    assert_eq!(finding.level, Level::Danger);
    assert!(finding.is_accepted());
    assert_eq!(report.findings.last().map(|finding| finding.code), Some("PR01"));
    assert_eq!(report.n_open(Level::Danger), 0);
    let accepted = finding.accepted.as_ref().expect("accepted");
    assert_eq!(accepted.says(), "accepted by B. Owner on 2026-11-25: The maker's own");
    assert_eq!(no_longer_found(&car, &report.findings), []);
}

#[test]
fn a_change_of_a_figure_beyond_the_stated_share_brings_it_back() {
    let accepted = accepting(&sketch(30, 21));
    // 30 A to 35 A is a sixth more.
    const { assert!((35.0 - 30.0) / 30.0 > REOPENS_AT) };
    let report = judged(&carried_over(&accepted, &sketch(35, 21)));
    let finding = too_large(&report);
    assert!(!finding.is_accepted());
    assert_eq!(report.n_open(Level::Danger), 1);
    let back = finding.back().expect("words");
    assert!(back.contains("it was fuse 30 A then and is fuse 35 A now"), "{back}");
    assert!(back.contains("The maker's own"), "{back}");
}

#[test]
fn a_change_within_it_does_not() {
    let accepted = accepting(&sketch(30, 21));
    let report = judged(&carried_over(&accepted, &sketch(30, 24)));
    assert!(too_large(&report).is_accepted());
}

#[test]
fn another_level_brings_it_back() {
    let mut row = accepting(&sketch(30, 21)).accepted().values().next().expect("one").clone();
    row.level = Level::Advice;
    let mut milder = car(&sketch(30, 21));
    let patch = milder.plan(Edit::Accept(row)).expect("rows");
    milder.apply(&patch);
    let back = too_large(&judged(&milder)).back().expect("words");
    assert!(back.contains("it was advice then and is danger now"), "{back}");
}

#[test]
fn one_more_consumer_brings_it_back() {
    let accepted = loomwright_sketch::print(&accepting(&sketch(30, 21)));
    let more = "lamp H2 21 W
wire W5 F1.2 H2.1 1 mm2 1 m pvc
wire W6 H2.2 E1 1 mm2 1 m pvc
";
    let report = judged(&car(&format!("{accepted}{more}")));
    let back = report.findings.iter().find_map(Finding::back);
    assert!(back.as_ref().is_some_and(|back| back.contains("W5")), "{back:?} {report:#?}");
}

#[test]
fn what_is_found_no_longer_is_told() {
    let accepted = accepting(&sketch(30, 21));
    let car = carried_over(&accepted, &sketch(5, 21));
    let report = judged(&car);
    assert_eq!(no_longer_found(&car, &report.findings).len(), 1);
}

#[test]
fn undo_takes_an_acceptance_back() {
    let mut car = car(&sketch(30, 21));
    let row = too_large(&judged(&car)).accept(&car, "For now", "", "");
    let patch = car.plan(Edit::Accept(row)).expect("a reason");
    car.apply(&patch);
    car.apply(&patch.inverse());
    assert!(!too_large(&judged(&car)).is_accepted());
}
