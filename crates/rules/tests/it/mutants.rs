//! Sound circuits with one mistake put in: each is found.

use loomwright_rules::{Level, Report};

use crate::lab::{car, judged, said};
use crate::sound::sketch;

/// A sound circuit, what is changed in it, and the rule that must speak.
pub(crate) struct Mutant {
    pub(crate) of: &'static str,
    from: &'static str,
    to: &'static str,
    pub(crate) code: &'static str,
    level: Level,
}

const fn mutant(
    of: &'static str,
    [from, to]: [&'static str; 2],
    code: &'static str,
    level: Level,
) -> Mutant {
    Mutant { of, from, to, code, level }
}

use Level::{Advice, Danger, Fault};

pub(crate) const MUTANTS: &[Mutant] = &[
    // An earth dropped.
    mutant(
        "c03_driving_lamps",
        ["wire W25 \"Right driving lamp\".2 E2 2 mm2 0.5 m pvc black\n", ""],
        "EA01",
        Danger,
    ),
    mutant(
        "c06_radiator_fan",
        ["wire W8 \"Radiator fan\".2 E2 3 mm2 0.4 m pvc black\n", ""],
        "EA01",
        Danger,
    ),
    mutant(
        "c24_stop_lamps",
        ["wire W12 \"Right tail lamp\".31 E3 1 mm2 0.3 m pvc black\n", ""],
        "EA01",
        Danger,
    ),
    mutant("c12_reversing", ["wire W1 B1.- E1 25 mm2 0.4 m black\n", ""], "EA01", Danger),
    mutant("c22_horn_relay", ["wire W6 S1.2 E2 1 mm2 0.4 m pvc black\n", ""], "EA01", Fault),
    // A fuse too large, or bridged.
    mutant("c03_driving_lamps", ["fuse F1 blade 15 A", "fuse F1 blade 30 A"], "PR01", Danger),
    mutant("c24_stop_lamps", ["fuse F1 blade 8 A", "fuse F1 blade 20 A"], "PR01", Danger),
    mutant("c15_socket", ["X1.centre 1.5 mm2", "X1.centre 0.5 mm2"], "PR01", Danger),
    mutant("c15_socket", ["wire W3 F1.2 X1", "wire W3 B1.+ X1"], "PR02", Danger),
    mutant("c03_driving_lamps", ["wire W21 F1.2 K1.30", "wire W21 J3 K1.30"], "PR02", Danger),
    // A wire too thin.
    mutant(
        "c06_radiator_fan",
        ["\"Radiator fan\".2 E2 3 mm2", "\"Radiator fan\".2 E2 0.75 mm2"],
        "CA01",
        Danger,
    ),
    mutant("c13_heated_window", ["E2 3 mm2 0.4 m", "E2 1 mm2 0.4 m"], "CA01", Danger),
    // A diode turned.
    mutant("c20_positive_earth", ["wire W7 S1.2 K1.85", "wire W7 S1.2 K1.86"], "WP01", Fault),
    mutant("c09_led_indicators", ["S2.L D1.a", "S2.L D1.k"], "WP01", Fault),
    mutant(
        "c09_led_indicators",
        ["\"Left rear indicator\".- E2", "\"Left rear indicator\".+ E2"],
        "SU01",
        Danger,
    ),
    // Hazard warning fed from the wrong place.
    mutant("c01_hazard_change_over", ["wire W6 F2.2 S2.30", "wire W6 F1.2 S2.30"], "IN02", Fault),
    mutant("c30_whole_rewire", ["wire W32 FA2.2 S4.30", "wire W32 FA1.2 S4.30"], "IN03", Fault),
    mutant(
        "c02_hazard_own_flasher",
        ["wire W11 S2.1 \"Left", "wire W11 S2.3 \"Left"],
        "WP01",
        Fault,
    ),
    mutant("c02_hazard_own_flasher", ["wire W10 S3.L S2.2", "wire W10 S3.L S2.1"], "IN01", Danger),
    // A short.
    mutant("c22_horn_relay", ["wire W5 K1.85 S1.1", "wire W5 F1.2 S1.1"], "SU01", Danger),
    mutant(
        "c25_courtesy",
        ["wire W5 S1.1 S2.1", "wire W5 \"Courtesy lamp\".1 S2.1"],
        "SU01",
        Danger,
    ),
    // Feeds joined.
    mutant(
        "c01_hazard_change_over",
        ["wire W4 F1.2 S2.15 1.5", "wire W4 F1.2 S2.49 1.5"],
        "SU02",
        Danger,
    ),
    // Contacts and colours.
    mutant(
        "c03_driving_lamps",
        ["lighting-switch S1 \"lights\"", "lighting-switch S1 \"lights\" amps=8"],
        "SW01",
        Danger,
    ),
    mutant(
        "c27_indicators",
        ["pvc green/red\nwire W8", "pvc green/white\nwire W8"],
        "CO01",
        Advice,
    ),
    mutant(
        "c12_reversing",
        [
            "\"Left reversing lamp\".2 E2 1 mm2 0.3 m pvc black",
            "\"Left reversing lamp\".2 E2 1 mm2 0.3 m pvc brown",
        ],
        "CO01",
        Advice,
    ),
    // Volts lost.
    mutant(
        "c12_reversing",
        ["S2.2 \"Left reversing lamp\".1 1 mm2 3 m", "S2.2 \"Left reversing lamp\".1 1 mm2 18 m"],
        "VD01",
        Advice,
    ),
    // A feed forgotten, where every terminal still has a wire.
    mutant(
        "c03_driving_lamps",
        ["wire W6 S2.56b J2 3 mm2 0.9 m pvc blue/red\n", ""],
        "WP03",
        Fault,
    ),
    mutant("c26_starter", ["wire W6 K9.30 S1.30 4 mm2 0.8 m pvc brown\n", ""], "WP03", Fault),
    // Things not known.
    mutant("c24_stop_lamps", ["S2.1 1 mm2 1 m pvc green", "S2.1 1 mm2 pvc green"], "WP02", Advice),
    // A tell-tale between the sides with LEDs beyond it.
    mutant(
        "c09_led_indicators",
        ["\"Indicator tell-tale\".2 E2", "\"Indicator tell-tale\".2 S2.R"],
        "BF01",
        Danger,
    ),
    // A promise broken.
    mutant("c03_driving_lamps", ["wire W26 J1 S3.1", "wire W26 J2 S3.1"], "PM01", Fault),
];

pub(crate) fn mutated(mutant: &Mutant) -> String {
    let sound = sketch(mutant.of);
    assert!(sound.contains(mutant.from), "{} has no '{}'", mutant.of, mutant.from);
    sound.replacen(mutant.from, mutant.to, 1)
}

fn speaks(report: &Report, mutant: &Mutant) -> bool {
    report
        .findings
        .iter()
        .any(|finding| finding.code == mutant.code && finding.level <= mutant.level)
}

#[test]
fn every_mistake_is_found() {
    let mut missed = Vec::new();
    for mutant in MUTANTS {
        let report = judged(&car(&mutated(mutant)));
        if !speaks(&report, mutant) {
            let change = format!("{}: '{}' to '{}'", mutant.of, mutant.from, mutant.to);
            missed.push(format!("{} misses {change}\n{}", mutant.code, said(&report)));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n\n"));
}
