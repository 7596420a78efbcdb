//! A second trouble beside the first, and what comes of a trouble, are said.

use loomwright_rules::{Finding, Report};

use crate::lab::{car, judged, said};

fn of<'a>(report: &'a Report, code: &str) -> Vec<&'a Finding> {
    report.findings.iter().filter(|finding| finding.code == code).collect()
}

/// Indicators on the key, and a plain two-pole switch that joins both sides to their flasher unit.
fn joined_by_a_plain_switch(name: &str, unit: &str, feed: &str, out: &str) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 40 Ah
ignition-switch S1
fuse F1 blade 8 A
{unit} FL1 watts=42
indicator-stalk S3 \"indicators\"
switch-double-pole S9 \"{name}\"
lamp \"Left front indicator\" 21 W
lamp \"Left rear indicator\" 21 W
lamp \"Right front indicator\" 21 W
lamp \"Right rear indicator\" 21 W
wire W1 B1.+ S1.30 4 mm2 0.4 m pvc brown
wire W2 S1.15 F1.1 2 mm2 0.4 m pvc white
wire W3 F1.2 FL1.{feed} 2 mm2 0.5 m pvc green
wire W4 FL1.{out} S3.49a 2 mm2 1 m pvc
wire W5 S3.L \"Left front indicator\".1 2 mm2 1 m pvc green/red
wire W6 \"Left front indicator\".1 \"Left rear indicator\".1 2 mm2 1 m pvc green/red
wire W7 S3.R \"Right front indicator\".1 2 mm2 1 m pvc green/white
wire W8 \"Right front indicator\".1 \"Right rear indicator\".1 2 mm2 1 m pvc green/white
wire W9 \"Left front indicator\".2 B1.- 2 mm2 1 m pvc black
wire W10 \"Left rear indicator\".2 B1.- 2 mm2 1 m pvc black
wire W11 \"Right front indicator\".2 B1.- 2 mm2 1 m pvc black
wire W12 \"Right rear indicator\".2 B1.- 2 mm2 1 m pvc black
wire W13 FL1.{out} S9.1 2 mm2 1 m pvc
wire W14 S9.1 S9.3 2 mm2 0.1 m pvc
wire W15 S9.2 \"Left front indicator\".1 2 mm2 1 m pvc green/red
wire W16 S9.4 \"Right front indicator\".1 2 mm2 1 m pvc green/white
"
    )
}

#[test]
fn hazard_warning_is_known_by_what_it_does() {
    for name in ["hazard", "emergency", "red knob"] {
        let sketch = joined_by_a_plain_switch(name, "flasher-electronic-2", "49", "49a");
        let report = judged(&car(&sketch));
        let found = of(&report, "IN02");
        assert_eq!(found.len(), 1, "{name}: {}", said(&report));
        assert!(found[0].says.contains("with the ignition off"), "{}", found[0].says);
    }
}

#[test]
fn an_overloaded_unit_does_not_hide_that_hazard_warning_dies_with_the_key() {
    let sketch = joined_by_a_plain_switch("hazard", "flasher-thermal-2", "B", "L");
    let report = judged(&car(&sketch));
    let found: Vec<&str> = of(&report, "IN02").iter().map(|it| it.says.as_str()).collect();
    assert_eq!(found.len(), 2, "{}", said(&report));
    assert!(found.iter().any(|says| says.contains("84 W")), "{found:?}");
    assert!(found.iter().any(|says| says.contains("go out with the ignition off")), "{found:?}");
}

#[test]
fn what_comes_of_it_is_said() {
    let head = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 5 A
";
    let shorted = format!(
        "{head}switch S1 \"fan\" off: ; on: 1-2
relay K1 12 V
diode D1
wire W2 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W3 F1.2 S1.1 1 mm2 1 m pvc purple
wire W4 S1.2 K1.86 1 mm2 1 m pvc
wire W5 K1.85 B1.- 1 mm2 1 m pvc black
wire W6 D1.a K1.86 1 mm2 0.1 m pvc
wire W7 D1.k K1.85 1 mm2 0.1 m pvc
"
    );
    let shorted = said(&judged(&car(&shorted)));
    assert!(shorted.contains("F1 blows each time fan is switched on"), "{shorted}");
    let runs_on = format!(
        "{head}ignition-switch S1
ignition-coil L1
wire W2 B1.+ S1.30 4 mm2 0.5 m pvc brown
wire W3 S1.15 L1.15 2 mm2 1 m pvc white
wire W5 L1.1 B1.- 1 mm2 0.5 m pvc white/black
wire W6 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W7 F1.2 L1.15 2 mm2 1 m pvc purple to fit
"
    );
    let runs_on = said(&judged(&car(&runs_on)));
    assert!(runs_on.contains("the engine will not stop"), "{runs_on}");
}

/// One lamp has lost its earth and fails anyhow: the others still die with the key, and the switch is named.
#[test]
fn a_lamp_that_fails_for_another_reason_does_not_hide_that_hazard_warning_dies_with_the_key() {
    let sketch = joined_by_a_plain_switch("hazard", "flasher-electronic-2", "49", "49a")
        .replace("wire W9 \"Left front indicator\".2 B1.- 2 mm2 1 m pvc black\n", "");
    let car = car(&sketch);
    let report = judged(&car);
    let with_key_off: Vec<&Finding> = of(&report, "IN02")
        .into_iter()
        .filter(|it| it.says.contains("with the ignition off"))
        .collect();
    let [found] = with_key_off[..] else { panic!("{}", said(&report)) };
    let is_named =
        |label| car.part_labelled(label).is_some_and(|(id, _)| found.parts.contains(&id));
    for label in [
        "Left front indicator",
        "Left rear indicator",
        "Right front indicator",
        "Right rear indicator",
        "S9",
    ] {
        assert!(is_named(label), "{label}: {}", found.says);
    }
}

#[test]
fn a_missing_earth_names_the_bolt_to_which_the_lead_comes() {
    let car = car("car 12 V negative earth glass-fibre body
battery B1 12 V 40 Ah
fuse F1 blade 5 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
earth E9 body
wire W1 B1.+ F1.1 2 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 1 mm2 1 m pvc purple
wire W3 S1.2 H1.1 1 mm2 1 m pvc
wire W4 H1.2 E9 1 mm2 0.2 m pvc black
");
    let report = judged(&car);
    let (bolt, _) = car.part_labelled("E9").expect("drawn above");
    let found = of(&report, "EA01");
    assert!(found.iter().any(|it| it.parts.contains(&bolt)), "{}", said(&report));
}

/// A lead drawn from post to post is taken away by one key; of several that are as old as each other, nobody can say which.
#[test]
fn the_one_lead_that_shorts_the_battery_can_be_taken_away() {
    let short = |leads: &str| {
        let car = car(&format!(
            "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
earth E2 body
joint J1
wire W1 B1.- E1 25 mm2 0.4 m black
{leads}"
        ));
        let report = judged(&car);
        let shorts = report.findings.into_iter().filter(|finding| finding.code == "SU01");
        (car, shorts.collect::<Vec<_>>())
    };
    let old = "wire W2 B1.+ J1 2 mm2 1 m brown\nwire W3 J1 E2 2 mm2 1 m black\n";
    let (_, found) = short(old);
    assert!(!found.is_empty() && found.iter().all(|it| it.fixes.is_empty()), "{found:?}");
    let (car, found) = short(&old.replace("1 m black", "1 m black to fit"));
    let fix = found[0].fixes.first().expect("a fix");
    assert_eq!(fix.title, "Take W3 (black) away");
    let mut mended = car;
    mended.apply(&mended.plan(fix.edit.clone()).expect("an edit"));
    assert!(!judged(&mended).findings.iter().any(|finding| finding.code == "SU01"));
}

/// A diode across a coil shows the driver nothing, and is put across each coil of a box once.
#[test]
fn a_diode_across_a_coil_is_no_tell_tale() {
    let bytes = include_bytes!("../../../../demo-projects/heron-van.loom.json");
    let mut van = loomwright_circuit::load(bytes).expect("the demo van opens");
    for n_diodes in 0..4 {
        let report = judged(&van);
        assert_eq!(of(&report, "IN06").len(), 1, "{n_diodes} diodes: {}", said(&report));
        let Some(kick) = of(&report, "SW06").into_iter().next() else {
            assert_eq!(n_diodes, 2, "two coils of the box are fed beside lamps of LEDs");
            return;
        };
        let fix = kick.fixes[0].edit.clone();
        van.apply(&van.plan(fix).expect("an edit"));
    }
    panic!("the finding stays");
}
