//! Batteries missing or of other volts, lamps in a row, and consumers joined to nothing.

use loomwright_circuit::Car;
use loomwright_circuit::Vehicle;
use loomwright_rules::Level;

use crate::lab::{car, judged, said};

fn bad(sketch: &str) -> Vec<&'static str> {
    let report = judged(&car(sketch));
    let bad = report.findings.iter().filter(|finding| finding.level <= Level::Fault);
    bad.map(|finding| finding.code).collect()
}

/// Lamps between a fuse and earth, the last one's lead given.
fn in_a_row(marks: &[&str]) -> String {
    let mut sketch = "car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
fuse F1 blade 5 A
wire W1 B1.- E1 25 mm2 0.4 m black
wire W2 B1.+ F1.1 2 mm2 0.3 m pvc brown
"
    .to_owned();
    let mut from = "F1.2".to_owned();
    for (n, mark) in (1..).zip(marks) {
        let row = format!("lamp H{n} {mark}\nwire W1{n} {from} H{n}.1 1 mm2 0.5 m pvc\n");
        sketch.push_str(&row);
        from = format!("H{n}.2");
    }
    sketch + &format!("wire W3 {from} E1 1 mm2 0.3 m pvc black\n")
}

#[test]
fn lamps_in_a_row_that_share_the_volts_are_sound() {
    assert_eq!(bad(&in_a_row(&["6 V 5 W", "6 V 5 W"])), Vec::<&str>::new());
    assert_eq!(bad(&in_a_row(&["4 V 3 W", "4 V 3 W", "4 V 3 W"])), Vec::<&str>::new());
}

#[test]
fn lamps_in_a_row_that_do_not_share_evenly_burn_out() {
    assert_eq!(bad(&in_a_row(&["6 V 5 W", "6 V 21 W"])), ["VO02"]);
}

#[test]
fn a_string_without_its_earth_is_found() {
    let sketch =
        in_a_row(&["6 V 5 W", "6 V 5 W"]).replace("wire W3 H2.2 E1 1 mm2 0.3 m pvc black\n", "");
    assert!(bad(&sketch).contains(&"EA01"), "{:?}", bad(&sketch));
}

#[test]
fn two_batteries_in_a_row_are_one_supply() {
    for (earth, live, earthed) in [("negative", "+", "-"), ("positive", "-", "+")] {
        let sketch = format!(
            "car 12 V {earth} earth
battery B1 6 V 57 Ah
battery B2 6 V 57 Ah
earth E1 body
fuse F1 blade 8 A
switch S1 \"fog lamp\" off: ; on: 1-2
lamp \"Fog lamp\" 21 W
wire W0 B1.{earthed} E1 25 mm2 0.4 m black
wire W1 B1.{live} B2.{earthed} 25 mm2 0.4 m black
wire W2 B2.{live} F1.1 1.5 mm2 0.2 m pvc brown
wire W3 F1.2 S1.1 1.5 mm2 1 m pvc purple
wire W4 S1.2 \"Fog lamp\".1 1.5 mm2 1 m pvc red/yellow
wire W5 \"Fog lamp\".2 E1 1.5 mm2 0.4 m pvc black
"
        );
        assert_eq!(judged(&car(&sketch)).findings, [], "{}", said(&judged(&car(&sketch))));
        let thin = sketch.replace("1.5 mm2 1 m", "0.5 mm2 20 m").replace("8 A", "3 A");
        assert!(said(&judged(&car(&thin))).contains("VD01"), "{}", said(&judged(&car(&thin))));
    }
}

#[test]
fn wrong_volts_are_faults() {
    for (mark, code) in
        [("6 V 5 W", Some("VO02")), ("24 V 21 W", Some("VO02")), ("28 V 24 W", Some("VO02"))]
    {
        let found = bad(&in_a_row(&[mark]));
        assert_eq!(found, code.into_iter().collect::<Vec<_>>(), "{mark}");
    }
    let six = in_a_row(&["5 W"]).replace("battery B1 12 V", "battery B1 6 V");
    assert_eq!(bad(&six), ["VO01"]);
}

#[test]
fn without_a_battery_one_fault_says_so() {
    let sketch = "car 12 V negative earth
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 5 W
earth E1 body
joint J1
wire W1 J1 S1.1 1 mm2 1 m pvc
wire W2 S1.2 H1.1 1 mm2 1 m pvc
wire W3 H1.2 E1 1 mm2 1 m pvc
wire W4 J1 E1 1 mm2 1 m pvc
promise \"lamp\"=on : H1 lit
";
    assert_eq!(bad(sketch), ["SU04"]);
}

#[test]
fn an_empty_car_is_not_given_a_clean_bill() {
    let report = judged(&Car::new(Vehicle::default()));
    assert!(report.findings.is_empty(), "{}", said(&report));
    assert!(report.not_checked.iter().any(|row| row.says.contains("nothing is drawn yet")));
}

#[test]
fn a_lamp_on_half_of_the_supply_is_told_so_and_not_to_clean_its_joints() {
    let lamp = |post: &str| {
        judged(&car(&format!(
            "car 24 V negative earth
battery B1 12 V 100 Ah
battery B2 12 V 100 Ah
earth E1 body
fuse F1 blade 5 A
switch S1 \"cab lamp\" off: ; on: 1-2
lamp \"Cab lamp\" 24 V 10 W
wire W0 B1.+ B2.- 35 mm2 0.3 m black
wire W1 B1.- E1 35 mm2 0.5 m black
wire W2 {post} F1.1 1 mm2 0.3 m pvc brown
wire W3 F1.2 S1.1 1 mm2 1 m pvc purple
wire W4 S1.2 \"Cab lamp\".1 1 mm2 1 m pvc purple
wire W5 \"Cab lamp\".2 E1 1 mm2 1 m pvc black
"
        )))
    };
    let half = lamp("B1.+");
    let says = said(&half);
    assert!(
        says.contains("VO02") && says.contains("from B1 alone, a part of the supply"),
        "{says}"
    );
    assert!(!says.contains("VD01"), "{says}");
    let whole = said(&lamp("B2.+"));
    assert!(!whole.contains("VO02"), "{whole}");
}
