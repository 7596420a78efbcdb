//! Fuses against what hangs on them and the wires behind them.

use loomwright_circuit::Car;
use loomwright_rules::{Finding, Level};

use crate::lab::{car, judged, said};
use crate::sound::sketch;

const HEAD: &str = "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
wire W1 B1.- E1 25 mm2 0.4 m black
";

fn worst(car: &Car, codes: &[&str]) -> Option<Finding> {
    judged(car).findings.into_iter().find(|finding| codes.contains(&finding.code))
}

/// A relay's trigger lead from a live point, by way of what is given.
fn trigger(fuse: &str, lead: &str) -> Car {
    car(&format!(
        "{HEAD}joint J1
relay K1 12 V to fit
fuse F9 blade 10 A to fit
switch S1 \"lamp\" off: ; on: 1-2 to fit
lamp H1 55 W to fit
wire W2 B1.+ J1 4 mm2 0.5 m pvc brown
wire W3 J1 F9.1 2 mm2 0.2 m pvc brown to fit
wire W4 F9.2 K1.30 2 mm2 1 m pvc purple to fit
wire W5 K1.87 H1.1 2 mm2 1 m pvc blue/yellow to fit
wire W6 H1.2 E1 2 mm2 1 m pvc black to fit
{fuse}{lead}
wire W8 S1.2 K1.86 0.5 mm2 1 m thin-wall white/red to fit
wire W9 K1.85 E1 0.5 mm2 1 m thin-wall black to fit
"
    ))
}

#[test]
fn taking_a_fuse_out_never_makes_it_look_better() {
    let lead = "wire W7 J1 S1.1 0.5 mm2 1 m thin-wall white to fit";
    let bare = worst(&trigger("", lead), &["PR01", "PR02"]).expect("a finding");
    for amps in [5.0, 15.0, 20.0, 30.0] {
        let fuse = format!(
            "fuse F1 blade {amps} A to fit\nwire W10 J1 F1.1 4 mm2 0.1 m pvc brown to fit\n"
        );
        let lead = "wire W7 F1.2 S1.1 0.5 mm2 1 m thin-wall white to fit";
        let fused = worst(&trigger(&fuse, lead), &["PR01", "PR02"]);
        assert!(fused.is_none_or(|fused| bare.level <= fused.level), "{amps} A: {}", bare.says);
    }
    assert_eq!(bare.level, Level::Danger);
}

#[test]
fn ten_amperes_before_a_square_millimetre_of_pvc_is_no_danger() {
    for name in ["c01_hazard_change_over", "c06_radiator_fan", "c27_indicators"] {
        let thinner = sketch(name)
            .replace("thin-wall", "pvc")
            .replace("1.5 mm2", "1 mm2")
            .replace("blade 8 A", "blade 10 A")
            .replace("blade 5 A", "blade 10 A");
        let report = judged(&car(&thinner));
        let dangers = report.findings.iter().filter(|finding| finding.level == Level::Danger);
        assert_eq!(dangers.count(), 0, "{name}:\n{}", said(&report));
        assert!(report.findings.iter().any(|finding| finding.code == "PR01"), "{name}");
    }
}

#[test]
fn a_thicker_wire_behind_the_fuse_is_not_called_thin() {
    let sketch = format!(
        "{HEAD}fuse F1 blade 30 A
lamp H1 21 W
joint J1
wire W2 B1.+ F1.1 4 mm2 0.3 m pvc brown
wire W3 F1.2 J1 2 mm2 1 m pvc purple
wire W4 J1 H1.1 1 mm2 1 m pvc purple
wire W5 H1.2 E1 2 mm2 1 m pvc black
"
    );
    let found = worst(&car(&sketch), &["PR01"]).expect("a finding");
    assert!(found.says.contains("1 other wire behind it carries less than the fuse"));
    assert!(!found.says.contains("thin"), "{}", found.says);
}

/// Two lamps of 50 W, which take about 9 A, on a fuse of so many amperes.
fn two_lamps(label: &str, fuse: &str) -> Car {
    car(&format!(
        "{HEAD}fuse F1 {fuse}
switch S1 \"lamps\" off: ; on: 1-2
lamp \"Left {label}\" 50 W
lamp \"Right {label}\" 50 W
wire W2 B1.+ F1.1 4 mm2 0.3 m pvc brown
wire W3 F1.2 S1.1 4 mm2 1 m pvc purple
wire W4 S1.2 \"Left {label}\".1 2 mm2 1 m pvc purple
wire W5 S1.2 \"Right {label}\".1 2 mm2 1 m pvc purple
wire W6 \"Left {label}\".2 E1 2 mm2 1 m pvc black
wire W7 \"Right {label}\".2 E1 2 mm2 1 m pvc black
"
    ))
}

#[test]
fn a_fuse_too_small_is_graded_by_what_goes_out() {
    // Gates of ISO 8820-3: 1.6 times the rating within 50 s (memory), 1.35 times within half an hour.
    for (label, fuse, level) in [
        ("headlamp", "blade 5 A", Some(Level::Danger)),
        ("headlamp", "blade 7.5 A", Some(Level::Danger)),
        ("work lamp", "blade 5 A", Some(Level::Fault)),
        ("work lamp", "blade 10 A", Some(Level::Advice)),
        ("work lamp", "blade 15 A", None),
        ("headlamp", "glass 15 A blow", Some(Level::Danger)),
        ("work lamp", "glass 15 A blow", Some(Level::Fault)),
        ("headlamp", "glass 25 A blow", None),
    ] {
        let found = worst(&two_lamps(label, fuse), &["PR04"]);
        assert_eq!(found.map(|found| found.level), level, "{label} on {fuse}");
    }
}

#[test]
fn lamps_that_flash_heat_a_fuse_half_the_time() {
    let flashing = sketch("c27_indicators").replace("blade 8 A", "blade 3 A");
    let found = worst(&car(&flashing), &["PR04"]).expect("close to its rating");
    assert_eq!(found.level, Level::Advice, "{}", found.says);
}

/// A lamp of the car's own, and a fuse or none between it and the battery.
fn with_main_fuse(fuse: &str, source: &str) -> Car {
    car(&format!(
        "{HEAD}{fuse}lighting-switch S2 \"lights\"
joint J1
lamp H1 5 W
lamp H2 50 W
{source}
wire W3 J1 S2.30 6 mm2 1 m pvc brown
wire W4 S2.58 H1.1 1 mm2 1 m pvc red
wire W5 S2.56 H2.1 2 mm2 1 m pvc blue
wire W6 H1.2 E1 1 mm2 1 m pvc black
wire W7 H2.2 E1 2 mm2 1 m pvc black
"
    ))
}

#[test]
fn fitting_a_main_fuse_never_makes_the_verdict_worse() {
    let bare = judged(&with_main_fuse("", "wire W8 B1.+ J1 6 mm2 0.5 m pvc brown"));
    let fused = judged(&with_main_fuse(
        "fuse F9 blade 30 A to fit\n",
        "wire W8 B1.+ J1 6 mm2 0.5 m pvc brown to remove
wire M1 B1.+ F9.1 6 mm2 0.2 m pvc brown to fit
wire M2 F9.2 J1 6 mm2 0.3 m pvc brown to fit",
    ));
    let worst = |report: &loomwright_rules::Report| {
        report.findings.iter().map(|finding| finding.level).filter(|it| *it < Level::Advice).min()
    };
    assert_eq!(worst(&bare), None, "{}", said(&bare));
    assert_eq!(worst(&fused), None, "{}", said(&fused));
    assert!(said(&fused).contains("does not save W4 (red)"), "{}", said(&fused));
    let alone = judged(&with_main_fuse(
        "fuse F9 blade 30 A to fit\n",
        "wire M1 B1.+ F9.1 6 mm2 0.2 m pvc brown to fit
wire M2 F9.2 J1 6 mm2 0.3 m pvc brown to fit",
    ));
    assert_eq!(worst(&alone), None, "without the old feed drawn: {}", said(&alone));
    // The main feeds keep their brown.
    assert!(!said(&fused).contains("CO01"), "{}", said(&fused));
}

#[test]
fn a_lead_of_unknown_length_before_its_fuse_is_not_excused() {
    let lamp = |length: &str| {
        let sketch = format!(
            "{HEAD}fuse F1 blade 5 A to fit
lamp H1 21 W to fit
wire W2 B1.+ F1.1 1 mm2 {length} pvc purple to fit
wire W3 F1.2 H1.1 1 mm2 1 m pvc purple to fit
wire W4 H1.2 E1 1 mm2 1 m pvc black to fit
"
        );
        judged(&car(&sketch))
    };
    // Practice: within about 0.3 m of the source in cars; in boats, sleeved, within 1 m.
    for (length, level) in [
        ("0.3 m", None),
        ("0.5 m", None),
        ("0.6 m", Some(Level::Advice)),
        ("1 m", Some(Level::Advice)),
        ("1.1 m", Some(Level::Danger)),
        ("", Some(Level::Danger)),
    ] {
        let report = lamp(length);
        let told = report.findings.iter().find(|it| it.code == "PR02").map(|it| it.level);
        assert_eq!(told, level, "'{length}': {}", said(&report));
    }
    let unknown = lamp("");
    assert!(said(&unknown).contains("nobody has measured"), "{}", said(&unknown));
    // What the missing fuse explains, the colour does not tell again.
    assert!(!said(&unknown).contains("CO01"), "{}", said(&unknown));
}

#[test]
fn a_fuse_too_large_for_its_wires_and_too_small_for_its_lamps_has_one_remedy() {
    let sketch = format!(
        "{HEAD}fuse F1 glass 35 A blow
switch S1 \"lamps\" off: ; on: 1-2
lamp \"Left headlamp\" 120 W
lamp \"Right headlamp\" 120 W
wire W2 B1.+ F1.1 6 mm2 0.3 m pvc brown
wire W3 F1.2 S1.1 6 mm2 1 m pvc
wire W4 S1.2 \"Left headlamp\".1 1 mm2 1 m pvc
wire W5 S1.2 \"Right headlamp\".1 1 mm2 1 m pvc
wire W6 \"Left headlamp\".2 E1 2 mm2 1 m pvc black
wire W7 \"Right headlamp\".2 E1 2 mm2 1 m pvc black
"
    );
    let report = judged(&car(&sketch));
    let of = |code: &str| report.findings.iter().filter(|it| it.code == code).collect::<Vec<_>>();
    assert!(of("PR04").is_empty(), "{}", said(&report));
    let [joined] = of("PR01")[..] else { panic!("{}", said(&report)) };
    assert!(joined.advice.starts_with("Split the circuits"), "{}", joined.advice);
    assert!(joined.says.contains("yet F1 has to carry "), "{}", joined.says);
    assert!(joined.fixes.is_empty());
}

#[test]
fn a_fuse_is_proposed_for_what_has_no_way_home_yet_and_so_is_its_earth() {
    // Two lamps of 55 W whose earth is forgotten: 9.2 A by Ohm's law as soon as it is there, more than 7.5 A.
    let lamps = car(&format!(
        "{HEAD}fuse F1 blade 30 A to fit
switch S1 \"lamps\" off: ; on: 1-2 to fit
joint J1 to fit
joint J2 to fit
lamp H1 55 W to fit
lamp H2 55 W to fit
wire W2 B1.+ F1.1 4 mm2 0.2 m pvc brown to fit
wire W3 F1.2 S1.1 1 mm2 1 m pvc purple to fit
wire W4 S1.2 J1 1 mm2 1 m pvc blue/yellow to fit
wire W5 J1 H1.1 1 mm2 1 m pvc blue/yellow to fit
wire W6 J1 H2.1 1 mm2 1 m pvc blue/yellow to fit
wire W7 H1.2 J2 1 mm2 1 m pvc black to fit
wire W8 H2.2 J2 1 mm2 1 m pvc black to fit
"
    ));
    let large = worst(&lamps, &["PR01"]).expect("the fuse");
    assert!(large.advice.contains("9.2 A at once"), "{}", large.advice);
    assert!(large.advice.contains("15 A"), "{}", large.advice);
    // One key does both, and nothing of it is left.
    let fix = large.fixes.first().expect("a fix");
    assert!(fix.title.contains("15 A"), "{}", fix.title);
    let mut mended = lamps.clone();
    mended.apply(&mended.plan(fix.edit.clone()).expect("an edit"));
    assert!(worst(&mended, &["PR01"]).is_none());
    let home = worst(&lamps, &["EA01"]).expect("no earth");
    // 9.2 A over 0.8 (practice) is 11.5 A: 1 mm² carries 8.75 A, 1.5 mm² more.
    assert!(home.advice.contains("1.5 mm²") && home.advice.contains("9.2 A"), "{}", home.advice);
}

/// 21 W are 1.75 A: about twice that wants 4 A, though the cable bears 15 A; a motor's start wants all that the cable bears.
#[test]
fn a_fuse_is_proposed_for_what_hangs_on_it_and_not_for_what_the_cable_bears() {
    let behind = |load: &str| {
        let car = car(&format!(
            "{HEAD}fuse F1 blade 40 A to fit
switch S1 \"load\" off: ; on: 1-2 to fit
{load} to fit
wire W2 B1.+ F1.1 6 mm2 0.2 m thin-wall brown to fit
wire W3 F1.2 S1.1 1 mm2 1 m thin-wall purple to fit
wire W4 S1.2 H1.1 1 mm2 1 m thin-wall to fit
wire W5 H1.2 E1 1 mm2 1 m thin-wall black to fit
"
        ));
        let large = worst(&car, &["PR01"]).expect("the fuse");
        let fix = large.fixes.first().expect("a fix");
        let mut mended = car;
        mended.apply(&mended.plan(fix.edit.clone()).expect("an edit"));
        assert!(worst(&mended, &["PR01", "PR04", "PR05"]).is_none(), "{}", said(&judged(&mended)));
        (fix.title.clone(), large.advice)
    };
    let (title, advice) = behind("lamp H1 21 W");
    assert!(title.contains(" 4 A "), "{title}");
    assert!(advice.contains("15 A"), "{advice}");
    let (title, _) = behind("motor H1 60 W");
    assert!(title.contains(" 15 A "), "{title}");
}

/// A cold lamp takes ten times its current for a moment: a new fuse for 21 W is of 4 A where the cable bears that, and not
/// of the 3 A that bear the lamp once it is warm.
#[test]
fn a_new_fuse_has_room_for_a_cold_lamp() {
    let lamp = car(&format!(
        "{HEAD}switch S1 \"lamp\" off: ; on: 1-2 to fit
lamp H1 21 W to fit
wire W2 B1.+ S1.1 1 mm2 2 m thin-wall purple to fit
wire W3 S1.2 H1.1 1 mm2 1 m thin-wall purple to fit
wire W4 H1.2 E1 1 mm2 1 m thin-wall black to fit
"
    ));
    let bare = worst(&lamp, &["PR02"]).expect("no fuse");
    let fix = bare.fixes.first().expect("a fix");
    assert!(fix.title.starts_with("Fit a 4 A fuse"), "{}", fix.title);
    let mut mended = lamp;
    mended.apply(&mended.plan(fix.edit.clone()).expect("an edit"));
    assert!(worst(&mended, &["PR01", "PR02", "PR04"]).is_none(), "{}", said(&judged(&mended)));
}
