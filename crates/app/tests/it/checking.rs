//! `check`: what was accepted counts no longer, and findings name the way of the current and whose work they are.

use serde_json::Value;

use crate::command_line::{File, call};

const TOO_LARGE: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 30 A
lamp H1 21 W
lamp H2 21 W
earth E1 body
earth E2 body
wire W1 B1.+ F1.1 6 mm2 0.2 m pvc brown
wire W2 F1.2 H1.1 1 mm2 1 m pvc purple
wire W5 H1.1 H2.1 1 mm2 1 m pvc purple
wire W3 H1.2 E1 1 mm2 0.3 m pvc black
wire W6 H2.2 E1 1 mm2 0.3 m pvc black
wire W4 B1.- E2 25 mm2 0.3 m pvc black
";

const ACCEPTED: &str = "accepted PR01 danger parts F1 wires W2 W5 figures fuse_amps=30 because \"As built\" by \"B. Owner\" on 2026-11-25\n";

fn findings(sketch: &str) -> (Option<u8>, Vec<Value>) {
    let file = File::new("checking.txt", sketch);
    let (code, out, err) = call(&["check", file.path(), "--json"]);
    let object: Value = serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error} {err}"));
    (code, object["findings"].as_array().expect("a list").clone())
}

fn of_code<'a>(findings: &'a [Value], code: &str) -> &'a Value {
    findings
        .iter()
        .find(|finding| finding["code"] == code)
        .unwrap_or_else(|| panic!("{findings:?}"))
}

#[test]
fn what_was_accepted_does_not_count_for_the_exit_code() {
    let (code, open) = findings(TOO_LARGE);
    assert_eq!(code, Some(1));
    assert_eq!(of_code(&open, "PR01")["accepted"], Value::Null);
    let (code, accepted) = findings(&format!("{TOO_LARGE}{ACCEPTED}"));
    let row = &of_code(&accepted, "PR01")["accepted"];
    assert_eq!(row["reason"], "As built");
    assert_eq!(row["by"], "B. Owner");
    assert_eq!(row["on"], "2026-11-25");
    assert_eq!(code, Some(0), "{accepted:?}");
}

#[test]
fn a_figure_that_changed_brings_it_back_and_counts() {
    let changed = ACCEPTED.replace("=30", "=20");
    let (code, found) = findings(&format!("{TOO_LARGE}{changed}"));
    assert_eq!(code, Some(1));
    let row = of_code(&found, "PR01");
    assert_eq!(row["accepted"], Value::Null);
    assert_eq!(row["reopened"]["because"], "it was fuse 20 A then and is fuse 30 A now");
    assert_eq!(row["reopened"]["was"]["reason"], "As built");
}

#[test]
fn help_says_that_what_was_accepted_does_not_count() {
    let (_, out, _) = call(&["check", "--help"]);
    let words: Vec<&str> = out.split_whitespace().collect();
    assert!(words.join(" ").contains("do not count for the exit code"), "{out}");
}

/// A lead too thin for two lamps, with the second one to fit.
const SHARED: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 15 A
switch S1 \"lamps\" off: ; on: 1-2
lamp \"Left lamp\" 55 W
lamp \"Right lamp\" 55 W to fit
earth E1 body
earth E2 body
wire W1 B1.+ F1.1 6 mm2 0.2 m pvc brown
wire W2 F1.2 S1.1 1 mm2 2 m pvc purple
wire W3 S1.2 \"Left lamp\".1 1 mm2 2 m pvc purple/white
wire W5 S1.2 \"Right lamp\".1 1 mm2 2 m pvc purple/white to fit
wire W6 \"Left lamp\".2 E1 1 mm2 0.3 m pvc black
wire W7 \"Right lamp\".2 E1 1 mm2 0.3 m pvc black to fit
wire W4 B1.- E2 25 mm2 0.3 m pvc black
";

#[test]
fn a_total_on_a_shared_feed_names_every_consumer_and_the_way_of_the_current() {
    let (_, found) = findings(SHARED);
    let row = of_code(&found, "CA01");
    let names = |key: &str, name: &str| -> Vec<String> {
        let rows = row[key].as_array().unwrap_or_else(|| panic!("{key} of {row}"));
        rows.iter().filter_map(|step| Some(step[name].as_str()?.to_owned())).collect()
    };
    let mut consumers = names("shares", "part");
    consumers.sort();
    assert_eq!(consumers, ["Left lamp", "Right lamp"]);
    let amps: f64 =
        row["shares"].as_array().into_iter().flatten().filter_map(|it| it["amps"].as_f64()).sum();
    // Kirchhoff's current law: what the consumers take is what the lead carries.
    let carried = row["figures"]["amps"].as_f64().expect("a current");
    assert!((amps - carried).abs() < 0.02 * carried, "{amps} A of {carried} A");
    assert_eq!(names("path", "wire")[..3], ["W1", "W2", "W3"].map(str::to_owned));
    assert!(names("path", "part").contains(&"F1".to_owned()));
}

#[test]
fn what_the_alteration_makes_worse_is_told_apart_from_what_the_car_had() {
    let (_, found) = findings(SHARED);
    // One lamp through W2 is within 8.75 A, two are not.
    assert_eq!(of_code(&found, "CA01")["origin"], "alteration");
    let worse = SHARED.replace("\"Left lamp\" 55 W", "\"Left lamp\" 130 W");
    let (_, found) = findings(&worse);
    let w2 = found.iter().find(|row| row["code"] == "CA01" && row["wires"][0] == "W2");
    let row = w2.unwrap_or_else(|| panic!("{found:?}"));
    assert_eq!(row["origin"], "worse by alteration");
    let says = row["origin_says"].as_str().expect("words");
    assert!(says.contains("your alteration makes it worse: it was"), "{says}");
    let w3 = found.iter().find(|row| row["wires"][0] == "W3" || row["wires"][1] == "W3");
    assert!(w3.is_none_or(|row| row["origin"] != "alteration"), "{w3:?}");
    let (_, found) = findings(&TOO_LARGE.replace("wire W6", "part socket X1 to fit\nwire W6"));
    let row = of_code(&found, "PR01");
    assert_eq!(row["origin"], "as found");
    assert_eq!(
        row["origin_says"],
        "The car as found is drawn so too: your alteration does not bring it"
    );
}
