//! One trouble is told once, with its cause.

use loomwright_rules::{Finding, Level, Report};

use crate::lab::{car, judged, labels, said};
use crate::sound::sketch;

fn of<'a>(report: &'a Report, code: &str) -> Vec<&'a Finding> {
    report.findings.iter().filter(|finding| finding.code == code).collect()
}

#[test]
fn one_bypass_of_the_key_is_one_finding_and_its_feed_is_not_blamed() {
    let bypassed = sketch("c01_hazard_change_over").replacen(
        "wire W4 F1.2 S2.15 1.5",
        "wire W4 F1.2 S2.49 1.5",
        1,
    );
    let report = judged(&car(&bypassed));
    let found = of(&report, "SU02");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert!(!found[0].says.contains("terminal 30 of S1"), "{}", found[0].says);
}

#[test]
fn both_sides_of_a_hazard_switch_are_one_bypass() {
    // The hazard switch's lamps' side reaches the key's feed over the stalk, left and right.
    let bypassed = "car 12 V negative earth
battery B1 12 V 50 Ah
ignition-switch S1
fuse F1 blade 10 A
fuse F2 blade 10 A
hazard-switch S2 \"hazard\"
indicator-stalk S3 \"indicators\"
flasher-electronic-2 FL1 watts=84
lamp \"Left indicator\" 21 W
lamp \"Right indicator\" 21 W
wire W1 B1.+ S1.30 4 mm2 0.5 m pvc brown
wire W2 S1.15 F1.1 2 mm2 1 m pvc white
wire W3 F1.2 S3.49a 2 mm2 1 m pvc green
wire W4 B1.+ F2.1 2 mm2 0.3 m pvc brown
wire W5 F2.2 S2.30 2 mm2 1 m pvc purple
wire W6 S2.49 FL1.49 2 mm2 1 m pvc
wire W7 FL1.49a S2.49a 2 mm2 1 m pvc light-green/brown
wire W8 S3.L \"Left indicator\".1 2 mm2 1 m pvc green/red
wire W9 S3.R \"Right indicator\".1 2 mm2 1 m pvc green/white
wire W10 S2.L \"Left indicator\".1 2 mm2 1 m pvc green/red
wire W11 S2.R \"Right indicator\".1 2 mm2 1 m pvc green/white
wire W12 \"Left indicator\".2 B1.- 2 mm2 1 m pvc black
wire W13 \"Right indicator\".2 B1.- 2 mm2 1 m pvc black
wire W14 S2.31 B1.- 1 mm2 1 m pvc black
";
    let report = judged(&car(bypassed));
    assert_eq!(of(&report, "SU02").len(), 1, "{}", said(&report));
}

#[test]
fn an_overloaded_flasher_unit_is_named_as_the_cause() {
    let car = car(&sketch("c01_hazard_change_over")
        .replace("flasher-electronic-3 FL1 watts=84", "flasher-thermal-2 FL1 watts=42")
        .replace("FL1.49a", "FL1.L")
        .replace("FL1.49 ", "FL1.B ")
        .replace("wire W10 FL1.31 E2 1 mm2 0.5 m pvc black\n", ""));
    let report = judged(&car);
    let found = of(&report, "IN02");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert!(found[0].says.contains("FL1 is made for"), "{}", found[0].says);
    assert!(found[0].says.contains("84 W"), "{}", found[0].says);
    assert!(found[0].advice.contains("84 W"), "{}", found[0].advice);
    assert!(labels(&car, found[0]).contains(&"FL1".to_owned()));
}

#[test]
fn a_diode_the_wrong_way_round_is_one_finding_on_either_earth() {
    for (earth, live, earthed, turned, right) in [
        ("negative", "+", "-", ["k", "a"], ["a", "k"]),
        ("positive", "-", "+", ["a", "k"], ["k", "a"]),
    ] {
        for (ends, expected) in [(turned, &["PO01"][..]), (right, &[][..])] {
            let sketch = format!(
                "car 12 V {earth} earth
battery B1 12 V 50 Ah
fuse F1 blade 5 A
diode D1
lamp H1 5 W
wire W1 B1.{live} F1.1 1 mm2 0.3 m pvc brown
wire W2 F1.2 D1.{} 1 mm2 1 m pvc purple
wire W3 D1.{} H1.1 1 mm2 1 m pvc purple
wire W4 H1.2 B1.{earthed} 1 mm2 0.3 m pvc black
",
                ends[0], ends[1]
            );
            let report = judged(&car(&sketch));
            // What the diode takes for itself is advice.
            let bad = report.findings.iter().filter(|finding| finding.level <= Level::Fault);
            let codes: Vec<&str> = bad.map(|finding| finding.code).collect();
            assert_eq!(codes, expected, "{earth}: {}", said(&report));
        }
    }
}

#[test]
fn a_short_through_a_turned_diode_is_not_told_again_as_overload() {
    let turned = "car 12 V positive earth
battery B1 12 V 50 Ah
fuse F1 blade 15 A
fuse F2 blade 3 A
relay-make-diode K1
switch S1 \"lamps\" off: ; on: 1-2
lamp H1 48 W
lamp H2 48 W
wire W1 B1.- F1.1 2 mm2 0.2 m pvc brown
wire W2 F1.2 K1.30 2 mm2 1 m pvc purple
wire W3 K1.87 H1.1 2 mm2 1 m pvc
wire W4 K1.87 H2.1 2 mm2 1 m pvc
wire W5 H1.2 B1.+ 2 mm2 0.5 m pvc black
wire W6 H2.2 B1.+ 2 mm2 0.5 m pvc black
wire W7 B1.- F2.1 1 mm2 0.2 m pvc brown
wire W8 F2.2 S1.1 1 mm2 1 m pvc purple
wire W9 S1.2 K1.86 1 mm2 1 m pvc
wire W10 K1.85 B1.+ 1 mm2 1 m pvc black
";
    let report = judged(&car(turned));
    let bad = report.findings.iter().filter(|finding| finding.level <= Level::Fault);
    let codes: Vec<&str> = bad.map(|finding| finding.code).collect();
    assert_eq!(codes, ["PO01"], "{}", said(&report));
    let right = turned.replace("S1.2 K1.86", "S1.2 K1.85").replace("W10 K1.85", "W10 K1.86");
    assert_eq!(judged(&car(&right)).findings, [], "{}", said(&judged(&car(&right))));
}

#[test]
fn a_lead_that_ends_short_of_earth_is_one_finding() {
    for (end, says) in [("loose", "it ends in the air"), ("J1", "it ends at J1")] {
        let sketch = format!(
            "car 12 V positive earth
battery B1 12 V 50 Ah
fuse F1 blade 5 A
joint J1
lamp H1 5 W
wire W1 B1.- F1.1 1 mm2 0.3 m pvc brown
wire W2 F1.2 H1.1 1 mm2 1 m pvc purple
wire W3 H1.2 {end} 1 mm2 0.3 m pvc black
earth E1 body
wire W4 B1.+ E1 16 mm2 0.4 m black
"
        );
        // A joint without any wire would be a trouble of its own.
        let sketch = if end == "J1" { sketch } else { sketch.replace("joint J1\n", "") };
        let report = judged(&car(&sketch));
        let found: Vec<&str> = report.findings.iter().map(|finding| finding.code).collect();
        assert_eq!(found, ["EA01"], "{}", said(&report));
        assert!(report.findings[0].says.ends_with(says), "{}", said(&report));
    }
}

#[test]
fn a_body_that_carries_nothing_is_named_as_the_cause() {
    let sketch = "car 12 V negative earth glass-fibre body
battery B1 12 V 50 Ah
earth E1 body
earth E2 body
fuse F1 blade 5 A
lamp H1 5 W
lamp H2 5 W
wire W0 B1.- E1 16 mm2 0.4 m black
wire W1 B1.+ F1.1 1 mm2 0.3 m pvc brown
wire W2 F1.2 H1.1 1 mm2 1 m pvc purple
wire W3 F1.2 H2.1 1 mm2 1 m pvc purple
wire W4 H1.2 E2 1 mm2 0.3 m pvc black
wire W5 H2.2 E2 1 mm2 0.3 m pvc black
";
    let report = judged(&car(sketch));
    assert_eq!(report.findings.len(), 1, "{}", said(&report));
    let says = &report.findings[0].says;
    assert!(says.ends_with(": E2 is on a body that carries no current; H2 likewise"), "{says}");
}

#[test]
fn a_lead_between_batteries_wants_a_fuse_at_both_ends() {
    let one_end = "car 12 V positive earth
battery B1 12 V 50 Ah
battery B2 12 V 80 Ah to fit
earth E1 body
fuse F1 blade 30 A to fit
fuse F2 blade 30 A to fit
switch S1 \"second battery\" amps=50 off: ; on: 1-2 to fit
wire W1 B1.+ E1 25 mm2 0.4 m black
wire W2 B2.+ E1 25 mm2 0.4 m black to fit
wire W3 B1.- F1.1 6 mm2 0.2 m pvc brown to fit
wire W4 F1.2 S1.1 6 mm2 2 m pvc purple to fit
wire W5 S1.2 B2.- 6 mm2 2 m pvc purple to fit
";
    let report = judged(&car(one_end));
    let found = of(&report, "PR02");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert_eq!(found[0].level, Level::Danger);
    assert!(found[0].says.contains("W5"), "{}", said(&report));
    let both = one_end.replace("wire W5 S1.2 B2.-", "wire W5 S1.2 F2.1")
        + "wire W6 F2.2 B2.- 6 mm2 0.2 m pvc brown to fit\n";
    assert!(of(&judged(&car(&both)), "PR02").is_empty(), "{}", said(&judged(&car(&both))));
}

#[test]
fn the_same_terminal_left_open_on_like_parts_is_one_finding() {
    let sketch = "car 12 V negative earth
battery B1 12 V 50 Ah
fuse F1 blade 15 A
switch S1 \"lamps\" off: ; on: 1-2
lamp \"Left headlamp\" 45/40 W
lamp \"Right headlamp\" 45/40 W
wire W1 B1.+ F1.1 2.5 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 2.5 mm2 1 m pvc purple
wire W3 S1.2 \"Left headlamp\".56a 2.5 mm2 1 m pvc blue/white
wire W4 S1.2 \"Right headlamp\".56a 2.5 mm2 1 m pvc blue/white
wire W5 \"Left headlamp\".31 B1.- 2.5 mm2 1 m pvc black
wire W6 \"Right headlamp\".31 B1.- 2.5 mm2 1 m pvc black
";
    let report = judged(&car(sketch));
    let found = of(&report, "WP01");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert_eq!(found[0].says, "Left headlamp and Right headlamp: terminal 56b has no wire");
}

#[test]
fn a_black_wire_that_shorts_the_battery_is_no_matter_of_colour() {
    let short = "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 16 mm2 0.4 m black
wire W2 B1.+ E1 2 mm2 1 m pvc black
";
    let report = judged(&car(short));
    assert_eq!(of(&report, "SU01").len(), 1, "{}", said(&report));
    assert!(of(&report, "CO01").is_empty(), "{}", said(&report));
}

/// Two lamps that lose most in the wire before them, and a horn that takes more through it while it is pushed.
const WITH_HORN: &str = "car 12 V negative earth
battery B1 12 V 50 Ah
fuse F1 blade 15 A
switch S1 \"lamps\" off: ; on: 1-2
push S2 \"horn\"
horn H3 watts=60
lamp H1 21 W
lamp H2 21 W
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 1.5 mm2 12 m pvc purple
wire W3 S1.2 H1.1 2 mm2 0.5 m pvc red
wire W4 S1.2 H2.1 2 mm2 0.5 m pvc red
wire W5 H1.2 B1.- 2 mm2 1 m pvc black
wire W6 H2.2 B1.- 2 mm2 1 m pvc black
wire W7 S1.1 S2.1 2 mm2 0.5 m pvc purple
wire W8 S2.2 H3.1 2 mm2 0.5 m pvc purple/black
wire W9 H3.2 B1.- 2 mm2 0.5 m pvc black
";

#[test]
fn lamps_are_judged_with_the_horn_silent() {
    let report = judged(&car(WITH_HORN));
    assert!(of(&report, "VD01").is_empty(), "{}", said(&report));
    let thin = WITH_HORN.replace("S1.1 1.5 mm2 12 m", "S1.1 1 mm2 16 m");
    let report = judged(&car(&thin));
    let found = of(&report, "VD01");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert!(found[0].says.ends_with("in W2 (purple); 1 other lamp likewise"), "{}", said(&report));
    assert!(!found[0].setting.contains_key("horn"), "{:?}", found[0].setting);
}

#[test]
fn a_promise_that_breaks_for_a_known_cause_is_told_with_it() {
    let keyed =
        sketch("c01_hazard_change_over").replace("wire W6 F2.2 S2.30", "wire W6 F1.2 S2.30");
    let report = judged(&car(&keyed));
    assert_eq!(of(&report, "PM01").len(), 0, "{}", said(&report));
    assert!(of(&report, "IN02")[0].says.ends_with("this breaks 2 promises"), "{}", said(&report));
    // Of another cause, a promise speaks for itself.
    let changed = sketch("c03_driving_lamps").replace("wire W26 J1 S3.1", "wire W26 J2 S3.1");
    assert!(!of(&judged(&car(&changed)), "PM01").is_empty());
}

/// A lamp of 21 W at two earth points, the second of so many ohms.
fn with_earth(ohms: &str) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
earth E2 body {ohms}
fuse F1 blade 5 A
lamp \"Rear fog lamp\" 21 W
wire W1 B1.- E1 25 mm2 0.4 m black
wire W2 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W3 F1.2 \"Rear fog lamp\".1 1 mm2 1 m pvc
wire W4 \"Rear fog lamp\".2 E2 1 mm2 0.3 m pvc black
"
    )
}

#[test]
fn a_poor_earth_is_told_of_the_earth_and_not_of_each_lamp() {
    for ohms in ["", "0.5 ohm", "3 ohm", "10 ohm"] {
        let car = car(&with_earth(ohms));
        let report = judged(&car);
        assert!(of(&report, "VD01").is_empty(), "{ohms}: {}", said(&report));
        let found = of(&report, "EA02");
        assert_eq!(found.len(), usize::from(!ohms.is_empty()), "{ohms}: {}", said(&report));
        for found in found {
            assert_eq!(found.level, Level::Fault);
            assert_eq!(labels(&car, found), ["E2", "Rear fog lamp"]);
        }
    }
}

#[test]
fn the_key_off_is_told_where_it_does_not_stop_the_engine() {
    let running_on = sketch("c08_ignition_relay")
        .replace("wire W10 K1.87 \"Charge lamp\".1", "wire W10 S1.15 \"Charge lamp\".1");
    let report = judged(&car(&running_on));
    let found = of(&report, "BF02");
    assert_eq!(found.len(), 1, "{}", said(&report));
    assert_eq!(found[0].level, Level::Danger);
    assert_eq!(found[0].moves.last().map(|step| step.position.as_str()), Some("off"));
    assert!(of(&report, "BF01").is_empty(), "one trouble twice: {}", said(&report));
}

#[test]
fn moves_come_in_the_order_in_which_a_car_is_worked() {
    let thin =
        sketch("c03_driving_lamps").replace("W4 S1.56 S2.56 3 mm2", "W4 S1.56 S2.56 0.5 mm2");
    let report = judged(&car(&thin));
    let found = of(&report, "CA01");
    let controls: Vec<&str> = found[0].moves.iter().map(|step| step.control.as_str()).collect();
    let at = |name: &str| controls.iter().position(|known| *known == name).expect(name);
    assert!(at("lights") < at("dip"), "{controls:?}");
}

#[test]
fn a_promise_about_one_filament_names_it() {
    let report = judged(&car("car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
switch S1 off: ; on: 1-2
lamp H1 60/55 W
wire W1 B1.+ S1.1 2 mm2 1 m
wire W2 S1.2 H1.56a 2 mm2 1 m
wire W3 H1.31 E1 2 mm2 1 m
wire W4 B1.- E1 16 mm2 0.3 m
promise S1=on : H1.56a lit, H1.56b dark
"));
    assert_eq!(
        report.promises[0].promise,
        "With S1 at on: H1 main beam (56a) lit; H1 dipped beam (56b) dark"
    );
}
