//! What hangs on a lead is told by what can work at once.

use loomwright_circuit::{Car, Version, WireId};
use loomwright_electrics::Network;
use loomwright_rules::{Finding, SizeReason, check_drawing, size_of_job};
use loomwright_units::Amps;

use crate::lab::car;

/// Two headlamps without a fuse, whose main beams take 2 x 60 W and whose dipped ones 2 x 55 W; `dip` is a line with the
/// switch between them.
fn headlamps(dip: &str, earth: &str) -> Car {
    car(&format!(
        "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 25 mm2 0.4 m black
switch S1 \"lighting\" off: ; on: 1-2
switch S2 \"dip\" {dip}
lamp \"Left headlamp\" 60/55 W
lamp \"Right headlamp\" 60/55 W
joint J1
joint J2
joint J3
wire W2 B1.+ S1.1 4 mm2 1 m pvc to fit
wire W3 S1.2 S2.1 4 mm2 1 m pvc to fit
wire W4 S2.2 J1 4 mm2 1 m pvc to fit
wire W5 S2.3 J2 4 mm2 1 m pvc to fit
wire W6 J1 \"Left headlamp\".56a 4 mm2 1 m pvc to fit
wire W7 J1 \"Right headlamp\".56a 4 mm2 1 m pvc to fit
wire W8 J2 \"Left headlamp\".56b 4 mm2 1 m pvc to fit
wire W9 J2 \"Right headlamp\".56b 4 mm2 1 m pvc to fit
wire W10 \"Left headlamp\".31 J3 4 mm2 1 m pvc to fit
wire W11 \"Right headlamp\".31 J3 4 mm2 1 m pvc to fit
{earth}"
    ))
}

const EARTH: &str = "wire W12 J3 E1 4 mm2 1 m pvc to fit\n";
const EITHER: &str = "dipped: 1-3; main: 1-2";
const BOTH: &str = "dipped: 1-3; main: 1-2 1-3";

fn wire(car: &Car, label: &str) -> WireId {
    let found = car.wires().iter().find(|(_, wire)| wire.label == label);
    *found.expect("a wire of the sketch").0
}

/// What the lead is proposed for, A.
fn proposed_for(car: &Car, label: &str) -> f64 {
    let network = Network::of(car, Version::After);
    match size_of_job(car, &network, wire(car, label)).expect("a size").because {
        SizeReason::Load(Amps(amps)) => amps,
        because => panic!("{because:?}"),
    }
}

/// What the drawing alone says by a rule.
fn told(car: &Car, code: &str) -> Finding {
    let network = Network::of(car, Version::After);
    let mut findings = check_drawing(car, &network).findings.into_iter();
    findings.find(|finding| finding.code == code).expect("a finding")
}

/// Whether two currents are the same.
fn is_near(amps: f64, watts: f64) -> bool {
    (amps - watts / 12.0).abs() < 1e-9
}

#[test]
fn main_and_dipped_beams_are_no_load_at_once() {
    let car = headlamps(EITHER, EARTH);
    // The greater of 2 x 60 W and 2 x 55 W, before the switch and behind the lamps; each lead of its own has its own.
    for (lead, watts) in [("W2", 120.0), ("W3", 120.0), ("W12", 120.0), ("W10", 60.0), ("W9", 55.0)]
    {
        let amps = proposed_for(&car, lead);
        assert!(is_near(amps, watts), "{lead}: {amps} A");
    }
    let bare = told(&car, "PR02");
    assert!(is_near(bare.figures["amps"], 120.0), "{:?}", bare.figures);
    assert!(bare.says.contains("up to 10 A"), "{}", bare.says);
    // About twice ten amperes.
    assert!(bare.fixes.iter().any(|fix| fix.title.contains("20 A")), "{:?}", bare.fixes);
}

#[test]
fn a_switch_that_feeds_both_at_once_has_the_sum_before_it() {
    let car = headlamps(BOTH, EARTH);
    for (lead, watts) in [("W2", 230.0), ("W12", 230.0), ("W10", 115.0), ("W4", 120.0)] {
        let amps = proposed_for(&car, lead);
        assert!(is_near(amps, watts), "{lead}: {amps} A");
    }
    assert!(is_near(told(&car, "PR02").figures["amps"], 230.0));
}

#[test]
fn an_earth_lead_that_is_missing_is_wanted_for_what_comes_home_at_once() {
    let advice = |dip: &str| told(&headlamps(dip, ""), "EA01").advice;
    assert!(advice(EITHER).contains("for the 10 A"), "{}", advice(EITHER));
    assert!(advice(BOTH).contains("for the 19.2 A"), "{}", advice(BOTH));
}
