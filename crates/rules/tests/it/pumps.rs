//! A petrol pump that neither key nor engine stops.

use loomwright_circuit::{Expectation, Version};
use loomwright_electrics::Network;
use loomwright_rules::{Level, usual_promises};

use crate::lab::{car, judged, said};

/// A pump on the battery, by way of what is given.
fn pump(by_way_of: &str) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
earth E2 engine
ignition-switch S1
ignition-coil L1
fuse F1 blade 8 A to fit
fuel-pump M1 watts=50 to fit
{by_way_of}
wire W1 B1.- E1 25 mm2 0.4 m black
wire W2 E2 E1 25 mm2 0.3 m black
wire W3 B1.+ S1.30 4 mm2 0.2 m pvc brown
wire W4 S1.15 L1.15 3 mm2 0.8 m pvc white
wire W5 L1.1 E2 1.5 mm2 0.4 m pvc white/black
wire W6 B1.+ F1.1 2 mm2 0.3 m pvc brown to fit
wire W7 F1.2 X1.1 1.5 mm2 1 m pvc purple to fit
wire W8 X1.2 M1.1 1.5 mm2 3 m pvc purple to fit
wire W9 M1.2 E1 1.5 mm2 0.4 m pvc black to fit
"
    )
}

#[test]
fn a_pump_that_the_key_does_not_feed_is_said_to_run_with_the_key_off() {
    for (part, words) in [
        ("switch X1 \"pump\" off: ; on: 1-2 to fit", "with the key off too"),
        ("inertia-switch X1 to fit", "with the key off and the engine stopped"),
    ] {
        let report = judged(&car(&pump(part)));
        let found = report.findings.iter().find(|finding| finding.code == "RE01");
        let found = found.unwrap_or_else(|| panic!("{}", said(&report)));
        assert_eq!(found.level, Level::Danger);
        assert!(found.says.contains(words), "{}", found.says);
    }
    // With the key in its feed an inertia switch will do.
    let keyed = pump("inertia-switch X1 to fit").replace("W6 B1.+ F1.1", "W6 S1.15 F1.1");
    let report = judged(&car(&keyed));
    assert!(!report.findings.iter().any(|finding| finding.code == "RE01"), "{}", said(&report));
}

#[test]
fn a_starter_with_its_solenoid_is_promised_in_the_words_that_it_is_told_in() {
    let car = car("car 12 V negative earth
battery B1 12 V 60 Ah
earth E1 body
earth E2 engine
starter ST amps=180
ignition-switch S1
wire W1 B1.- E1 35 mm2 0.4 m black
wire W2 E2 E1 35 mm2 0.3 m black
wire W3 B1.+ ST.30 35 mm2 1.2 m pvc brown
wire W5 B1.+ S1.30 3 mm2 0.8 m pvc brown
wire W6 S1.50 ST.50 3 mm2 1.4 m pvc white/red
");
    let usual = usual_promises(&car, &Network::of(&car, Version::After));
    let starter = usual.iter().filter(|usual| usual.about == "Starter");
    let musts: Vec<_> = starter.map(|usual| usual.promise.then[0].must).collect();
    assert_eq!(musts, [Expectation::In, Expectation::Out]);
}
