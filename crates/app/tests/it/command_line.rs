//! The command line: what it says of calls and files that are wrong, each in one sentence with exit code 2.
#![expect(clippy::disallowed_methods, reason = "these tests write the files that are read")]

use std::ffi::OsString;
use std::fmt::Write as _;
use std::path::PathBuf;

use loomwright_app::cli::{Asked, run};

/// A call's exit code (nothing where it asks for the window), what it writes, and what it complains of.
pub(crate) fn call(args: &[&str]) -> (Option<u8>, String, String) {
    let args = std::iter::once("loomwright").chain(args.iter().copied()).map(OsString::from);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = match run(args, &mut out, &mut err) {
        Asked::Exit(code) => Some(code),
        Asked::Window(_) | Asked::Copy(_) => None,
    };
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (code, text(out), text(err))
}

/// What a call that is refused says, without the program's name before it.
pub(crate) fn refused(args: &[&str]) -> String {
    let (code, out, err) = call(args);
    assert_eq!((code, out.as_str()), (Some(2), ""), "{err}");
    assert_eq!(err.lines().count(), 1, "one line: {err}");
    let says = err.trim_end().strip_prefix("loomwright: ").expect("the program's name");
    assert!(!says.contains("os error") && !says.contains("EOF") && !says.contains('`'), "{says}");
    says.to_owned()
}

/// A file of a test's own, removed when it ends.
pub(crate) struct File(PathBuf);

impl File {
    pub(crate) fn new(name: &str, bytes: impl AsRef<[u8]>) -> Self {
        let path = std::env::temp_dir().join(format!("loomwright-{}-{name}", std::process::id()));
        std::fs::write(&path, bytes).expect("a file");
        Self(path)
    }

    pub(crate) fn path(&self) -> &str {
        self.0.to_str().expect("a name in letters")
    }

    /// What is said of it, without its path.
    fn refused(&self) -> String {
        refused(&["check", self.path()]).replace(self.path(), "FILE")
    }
}

impl Drop for File {
    fn drop(&mut self) {
        drop(std::fs::remove_file(&self.0));
    }
}

const KEYED: &str = "car 12 V negative earth
battery B1 12 V 50 Ah
ignition-switch S1
dip-switch S2 \"dip\"
dynamo G1 amps=22
wire W1 B1.+ S1.30 4 mm2 1 m brown
";

#[test]
fn a_word_that_is_neither_a_command_nor_a_file_opens_no_window() {
    assert_eq!(
        refused(&["frob"]),
        "'frob' is neither a command nor a file; see 'loomwright --help'"
    );
    let file = File::new("there.sketch", KEYED);
    assert_eq!(call(&[file.path()]).0, None);
}

#[test]
fn files_that_cannot_be_read_are_told_in_one_sentence() {
    let missing = std::env::temp_dir().join("loomwright-not-there.sketch");
    let missing = missing.to_str().expect("letters");
    assert_eq!(
        refused(&["check", missing]),
        format!("cannot open {missing}: there is no such file or folder")
    );
    let folder = std::env::temp_dir();
    let folder = folder.to_str().expect("letters");
    let says = refused(&["check", folder]);
    assert!(says.starts_with("cannot ") && says.contains(folder), "{says}");
    if cfg!(unix) {
        assert!(says.ends_with(": it is a folder, not a file"), "{says}");
    }
}

#[test]
fn controls_positions_and_settings_that_cannot_be_are_explained() {
    let file = File::new("keyed.sketch", KEYED);
    let refused = |how: &[&str]| refused(&[&["measure", file.path()], how].concat());
    let says = [
        refused(&["--set", "dip=main", "--set", "dip=dip"]),
        refused(&["--set", "dipp=main"]),
        refused(&["--set", "dip=mian"]),
        refused(&["--after", "ignition=on,dipp=main"]),
        refused(&["--after", "dip=mian"]),
        refused(&["--after", "dip"]),
        refused(&["--set", "engine=cranking"]),
        refused(&["--set", "engine=running", "--set", "ignition=off"]),
    ];
    insta::assert_snapshot!(says.join("\n"), @"
    dip cannot stand at main and at dip at once; --set takes one of them
    there is no control 'dipp'; this car has dip, engine, ignition
    dip has no position 'mian'; it has dip, main
    there is no control 'dipp'; this car has dip, engine, ignition
    dip has no position 'mian'; it has dip, main
    'dip' is no move; write CONTROL=POSITION
    the engine cannot crank with ignition at off
    the engine cannot run with ignition at off
    ");
    let twice = call(&["measure", file.path(), "--set", "dip=main", "--set", "dip=main"]);
    assert_eq!(twice.0, Some(0), "{}", twice.2);
}

/// A car file with one piece replaced.
fn bad(name: &str, old: &str, new: &str) -> String {
    let car = loomwright_sketch::parse(KEYED).expect("a sketch");
    let good = String::from_utf8(loomwright_circuit::save(&car)).expect("text");
    assert!(good.contains(old), "nothing to replace: {old}");
    File::new(name, good.replacen(old, new, 1)).refused()
}

#[test]
fn bad_car_files_are_told_with_the_place_and_what_was_expected() {
    let says = [
        File::new("empty.loom.json", "").refused(),
        File::new("list.loom.json", "[1, 2]").refused(),
        File::new("other.loom.json", "{\"format\": \"cake\"}").refused(),
        File::new("cut.loom.json", "{\"format\": \"loomwright-car\", \"vehi").refused(),
        bad("newer.json", "\"version\": 1", "\"version\": 9"),
        bad("version.json", "\"version\": 1", "\"version\": \"1\""),
        bad("volts.json", "\"12 V\"", "12"),
        bad("unknown-volts.json", "\"12 V\"", "\"13 V\""),
        bad("bare-word.json", "\"negative\"", "negative"),
        bad("bare-field.json", "\"earth\"", "earth"),
        bad("colon.json", "\"earth\":", "\"earth\""),
        bad("field.json", "\"earth\"", "\"erth\""),
        bad("kind.json", "\"label\": \"B1\"", "\"label\": 7"),
        bad("number.json", "\"amp_hours\": 50", "\"amp_hours\": \"50\""),
        bad("rows.json", "\"wires\": {", "\"wires\": 5, \"x\": {"),
        bad("comma.json", "\"last_id\"", ", \"last_id\""),
        bad("last-id.json", "\"last_id\": ", "\"last_id\": -"),
    ];
    insta::assert_snapshot!(says.join("\n"), @r#"
    cannot open FILE: this is no car file: expected an object with "format": "loomwright-car", found an empty file
    cannot open FILE: this is no car file: expected an object with "format": "loomwright-car", found something else
    cannot open FILE: this is no car file: expected an object with "format": "loomwright-car", found "cake"
    cannot open FILE: the file breaks off: expected more, down to the last '}', in line 1, column 34
    cannot open FILE: the file is of version 9; this program reads versions up to 4, so open it with a newer one
    cannot open FILE: the version must be a whole number from 1 on, at version
    cannot open FILE: found something else, expected a known word in quotes, at vehicle.voltage in line 6
    cannot open FILE: found '13 V', expected one of '6 V', '12 V', '24 V', at vehicle.voltage in line 6
    cannot open FILE: found an unknown word, expected true, false, null or text in quotes, in line 7, column 15
    cannot open FILE: found something else, expected a field's name in quotes, in line 7, column 5
    cannot open FILE: found something else, expected ':' behind a field's name, in line 7, column 13
    cannot open FILE: unknown field 'erth', expected one of 'name', 'voltage', 'earth', 'body', 'colours', 'region', 'first_used', 'purpose', 'notes', at vehicle.erth in line 7
    cannot open FILE: found 7, expected text in quotes, at parts.P2.label in line 13
    cannot open FILE: found the text "50", expected a number, at parts.P2.facts.amp_hours in line 13
    cannot open FILE: found 5, expected an object of rows, at wires in line 18
    cannot open FILE: found something else, expected a field's name in quotes, in line 23, column 3
    cannot open FILE: found -6, expected a whole number from 0 on, at last_id in line 23
    "#);
}

#[test]
fn every_mistaken_line_of_a_sketch_is_told_once() {
    let file = File::new(
        "mistaken.sketch",
        "battery B1 12 V\nlamp H1 55 candles\nfuse F1 blade\nwire W1 B1.+ F1.3\nwire W2 F1.2 H1.1\nwire W3 H2.1 B1.-\n",
    );
    insta::assert_snapshot!(file.refused(), @"cannot open FILE: 3 lines are not understood; line 2: found 'candles', expected a unit: V, A, W, ohm or Ah; line 4: F1 has no terminal '3'; it has 1, 2; line 6: no part is called 'H2'");
    let many: Vec<String> = (0..13).map(|n| format!("frob X{n}")).collect();
    let says = File::new("many.sketch", many.join("\n")).refused();
    assert!(says.contains("13 lines") && says.ends_with("; and 3 more"), "{says}");
}

#[test]
fn all_that_the_rules_say_is_printed_for_a_translator() {
    let (code, table, err) = call(&["rules", "--texts"]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    let rows: Vec<(&str, &str)> = table.lines().filter_map(|line| line.split_once('\t')).collect();
    assert_eq!(rows.len(), table.lines().count());
    let mut keys: Vec<&str> = rows.iter().map(|(key, _)| *key).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), rows.len(), "each row has a key of its own");
    let english = |key: &str| rows.iter().find(|row| row.0 == key).expect("a row").1;
    assert_eq!(english("PR01.title"), "Fuse too large");
    assert_eq!(english("PR01.fix_fuses"), "Fit smaller fuses for {names}");
    let (code, _, err) = call(&["rules", "PR01", "--texts"]);
    assert!(code != Some(0) && err.contains("--texts"), "{err}");
}

#[test]
fn every_help_page_fits_eighty_columns_and_lists_what_it_takes() {
    for verb in ["", "check", "measure", "survey", "papers", "convert", "parts", "rules", "schema"]
    {
        let args: Vec<&str> = [verb, "--help"].into_iter().filter(|it| !it.is_empty()).collect();
        let (code, page, err) = call(&args);
        assert_eq!((code, err.as_str()), (Some(0), ""));
        for line in page.lines() {
            assert!(line.chars().count() <= 80, "{verb}: {line}");
        }
    }
    let (_, page, _) = call(&["papers", "--help"]);
    for said in ["a4", "210 × 297 mm", "a3", "297 × 420 mm", "letter", "8½ × 11 in"] {
        assert!(page.contains(said), "{said} is missing:\n{page}");
    }
}

#[test]
fn one_state_is_one_state() {
    let file = File::new("one.sketch", "car 12 V negative earth\n");
    for verb in ["check", "survey"] {
        let (_, out, _) = call(&[verb, file.path()]);
        assert!(out.contains("1 state of 1 setting visited"), "{out}");
    }
    let (_, out, _) = call(&["check", file.path()]);
    assert!(out.contains("nothing could be checked; 1 not checked"), "{out}");
    assert!(!out.contains("0 danger"), "where nothing is, none was looked for: {out}");
}

#[test]
fn a_car_with_too_many_settings_to_visit_is_still_answered() {
    let mut sketch = String::from("car 12 V negative earth\nbattery B1 12 V 50 Ah\njoint J\n");
    sketch.push_str("wire W B1.+ J 10 mm2 0.5 m brown\n");
    for n in 0..31 {
        let circuit = format!(
            "fuse F{n} blade 10 A\nswitch S{n} \"control {n}\" off: ; on: 1-2\nlamp H{n} 21 W\n\
             wire A{n} J F{n}.1 1 mm2 0.2 m brown\nwire B{n} F{n}.2 S{n}.1 1 mm2 1 m green\n\
             wire C{n} S{n}.2 H{n}.1 1 mm2 1 m green\nwire D{n} H{n}.2 B1.- 1 mm2 1 m black\n"
        );
        sketch.push_str(&circuit);
    }
    let file = File::new("many.sketch", sketch);
    let (code, out, err) = call(&["survey", file.path(), "--json"]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    let answer: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let settings = (1_u64 << 31).to_string();
    assert_eq!(answer["settings"], settings);
    assert_eq!(answer["states"], settings);
    assert_eq!(answer["exact"], true, "{}", answer["notes"]);
    // All lamps together, less what the battery and its lead lose.
    let all = answer["wires"]["W"]["max_amps"].as_f64().expect("a figure");
    let one = answer["wires"]["A0"]["max_amps"].as_f64().expect("a figure");
    assert!(all > 0.9 * 31.0 * one && all < 31.0 * one, "{all} A against {one} A each");
    assert_eq!(answer["wires"]["W"]["moves"].as_array().map(Vec::len), Some(31));
}

#[test]
fn volts_are_said_to_count_from_the_post_that_they_do_count_from() {
    // The first battery stands on the second, whose minus is earthed.
    let file = File::new(
        "row.sketch",
        "car 24 V negative earth\nbattery Upper 12 V 50 Ah\nbattery Lower 12 V 50 Ah\nearth E body\n\
         wire A Upper.- Lower.+ 25 mm2 0.3 m black\nwire B Lower.- E 25 mm2 0.3 m black\n",
    );
    let (code, out, err) = call(&["measure", file.path(), "--json"]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    let answer: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(answer["reference"], "Lower.-");
    assert_eq!(answer["terminals"]["Lower.-"]["volts"], 0.0);
    let (_, out, _) = call(&["measure", file.path()]);
    assert!(out.contains("volts against Lower.-:"), "{out}");
}

/// A lamp behind a fuse, a lead before it that nothing protects, and a heater that nothing switches.
const PROMISED: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
lamp H2 21 W
heater \"Heater\" watts=6
earth E1 body
wire W1 B1.+ F1.1 1 mm2 0.5 m
wire W2 F1.2 S1.1 1 mm2 1 m
wire W3 S1.2 H1.1 1 mm2 1 m
wire W4 H1.2 E1 1 mm2 0.3 m
wire W5 B1.- E1 16 mm2 0.3 m
wire W6 S1.2 H2.1 1 mm2 1 m
wire W7 H2.2 E1 1 mm2 0.3 m
wire W8 F1.2 \"Heater\".1 1 mm2 1 m
wire W9 \"Heater\".2 E1 1 mm2 1 m
promise lamp=on : H1 lit, H2 lit
";

/// What is asked of a survey beside the extremes.
const ALSO: [&str; 3] = ["--touches", "--faults", "--drain"];

fn json(args: &[&str]) -> serde_json::Value {
    let (code, out, err) = call(args);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    serde_json::from_str(&out).expect("JSON")
}

#[test]
fn a_survey_tells_what_touches_faults_and_drain_come_to_in_eighty_columns() {
    let file = File::new("promised.sketch", PROMISED);
    let plain = call(&["survey", file.path()]).1;
    let (code, out, err) = call(&[&["survey", file.path()], &ALSO[..]].concat());
    assert_eq!((code, err.as_str()), (Some(0), ""));
    let more = out.strip_prefix(&plain).expect("the extremes come first, as without");
    for line in more.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    for said in [
        "W1 (terminal + of B1 to terminal 1 of F1), 1 mm²: it burns",
        "nothing opens before it.",
        "it can set fire to what is near.",
        "W3 (terminal 2 of S1 to terminal 1 of H1), 1 mm²: the wire survives",
        "F1 opens within",
        "Never live, so a touch does nothing: W4, W5, W7, W9",
        "For planning only",
        "W1 (terminal + of B1 to terminal 1 of F1) touches the body: gets hot",
        "F1 has blown: breaks a promise",
        "stops: H1, H2 dark",
        "breaks the promise with lamp on",
        "it asks for the failed part itself",
        "What breaks each promise, beside a fault of what it asks for",
        "lamp on: H1 lit, H2 lit\n",
        "  fuse blown: F1\n",
        "With everything off:",
        "taken by: Heater 0.5",
        "With lamp on:",
        "the engine never runs in this drawing",
    ] {
        assert!(more.contains(said), "'{said}' is missing:\n{more}");
    }
    for word in ["node", " net ", "islands"] {
        assert!(!more.contains(word), "{word}");
    }
}

#[test]
fn a_survey_keeps_its_shape_and_gives_more_only_where_it_is_asked() {
    let file = File::new("promised-data.sketch", PROMISED);
    let plain = json(&["survey", file.path(), "--json"]);
    let more = json(&[&["survey", file.path(), "--json"], &ALSO[..]].concat());
    for key in ["touches", "faults", "drain"] {
        assert!(plain.get(key).is_none() && more.get(key).is_some(), "{key}");
    }
    for (key, value) in plain.as_object().expect("an object") {
        assert_eq!(&more[key], value, "{key}");
    }
    // 12.6 V over 0.15 ohm, less what the battery and the lead lose.
    let soft = &more["touches"]["W3"]["touches"][1];
    let amps = soft["greatest"]["amps"].as_f64().expect("a figure");
    assert!((55.0..84.0).contains(&amps), "{amps}");
    assert_eq!(soft["worst"]["opens"][0], "F1");
    assert_eq!(more["touches"]["W1"]["verdict"], "burns");
    assert_eq!(more["touches"]["W4"]["touches"], serde_json::json!([]));
    let faults = more["faults"].as_array().expect("rows");
    let blown = faults.iter().find(|row| row["fault"] == "fuse blown").expect("a fuse");
    assert_eq!(blown["of"], "F1");
    assert_eq!(blown["breaks"][0]["claims"].as_array().map(Vec::len), Some(2));
    assert_eq!(blown["breaks"][0]["own"], false);
    let failed = faults.iter().find(|row| row["fault"] == "lamp failed").expect("a lamp");
    assert_eq!(failed["breaks"][0]["own"], true);
    assert_eq!(failed["breaks"][0]["claims"][0]["instead"], "dark");
    // The worst first: two wires that nothing protects.
    assert_eq!(faults[0]["serious"], "gets hot");
    // A heater of 6 W at 12 V, all but straight from the battery.
    let rest = &more["drain"]["settings"][0]["batteries"][0];
    let amps = rest["amps"].as_f64().expect("a figure");
    assert!((0.49..0.55).contains(&amps), "{amps}");
    // The hours that the part of the charge which may go lasts at this current.
    let hours = rest["seconds"].as_f64().expect("a figure") / 3600.0;
    assert!(hours * amps > 0.3 * 40.0 && hours * amps < 40.0, "{hours}");
}

#[test]
fn the_drain_is_told_of_the_setting_that_is_asked_for() {
    let file = File::new("promised-set.sketch", PROMISED);
    let more = json(&["survey", file.path(), "--json", "--drain", "--set", "lamp=on"]);
    assert_eq!(more["drain"]["settings"][1]["when"], "lamp on");
    // The promise is about the same setting, so it is told once.
    assert_eq!(more["drain"]["settings"].as_array().map(Vec::len), Some(2));
    let says = refused(&["survey", file.path(), "--drain", "--set", "lamp=oon"]);
    assert_eq!(says, "lamp has no position 'oon'; it has off, on");
    let says = refused(&["survey", file.path(), "--set", "lamp=on"]);
    assert!(says.contains("--drain"), "{says}");
}

#[test]
fn a_promise_that_survives_any_blown_fuse_is_said_to() {
    // Two ways to the lamp, each with a fuse of its own.
    let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 10 A
lamp H1 21 W
wire W1 B1.+ F1.1 1 mm2 0.2 m
wire W2 B1.+ F2.1 1 mm2 0.2 m
wire W3 F1.2 H1.1 1 mm2 1 m
wire W4 F2.2 H1.1 1 mm2 1 m
wire W5 H1.2 B1.- 1 mm2 1 m
promise : H1 lit
";
    let told = |sketch: &str| {
        let file = File::new("two-ways.sketch", sketch);
        call(&["survey", file.path(), "--faults"]).1
    };
    let out = told(sketch);
    assert!(out.contains("wire broken: W5\n  it survives any one blown fuse\n"), "{out}");
    let out = told(&sketch.replace("wire W4 F2.2 H1.1 1 mm2 1 m\n", ""));
    assert!(out.contains("fuse blown: F1\n") && !out.contains("it survives"), "{out}");
}

#[test]
fn the_demo_car_is_told_of_too() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/learners-sheet.loom.json");
    let (code, out, err) = call(&[&["survey", demo], &ALSO[..]].concat());
    assert_eq!((code, err.as_str()), (Some(0), ""));
    for said in ["breaks the promise with Lamp switch on", "With everything off:"] {
        assert!(out.contains(said), "'{said}' is missing:\n{out}");
    }
}

/// Fifteen switched lamps of their own, and one switched onto two feeds: more settings than are all visited.
fn many_switches() -> String {
    let mut text = "car 12 V negative earth
battery B1 12 V 40 Ah
earth E0 body
wire W0 B1.- E0 25 mm2 0.3 m
joint J1
wire W1 B1.+ J1 10 mm2 0.5 m
"
    .to_owned();
    for idx in 0..15 {
        let written = write!(
            text,
            "switch S{idx} \"switch {idx}\" off: ; on: 1-2
lamp H{idx} 21 W
earth E{idx}a body
wire A{idx} J1 S{idx}.1 2.5 mm2 1 m
wire C{idx} S{idx}.2 H{idx}.1 2.5 mm2 1 m
wire D{idx} H{idx}.2 E{idx}a 2.5 mm2 0.3 m
"
        );
        written.expect("a string takes all");
    }
    text += "switch S15 \"switch 15\" off: ; on: 1-2
wire A15 B1.+ S15.1 2.5 mm2 1 m
wire C15 S15.2 H0.1 2.5 mm2 1 m
";
    text
}

#[test]
fn a_survey_that_is_not_exact_gives_what_no_setting_exceeds() {
    let file = File::new("many-switches.sketch", many_switches());
    let found = json(&["survey", file.path(), "--json"]);
    assert_eq!((&found["settings"], &found["exact"]), (&"65536".into(), &false.into()));
    let wires = found["wires"].as_object().expect("an object");
    for (label, row) in wires {
        let [met, bound] = ["max_amps", "never_above_amps"].map(|key| row[key].as_f64());
        let (met, bound) = (met.expect("a figure"), bound.expect("a bound"));
        // In the ring of two feeds, a lead may carry what goes to all others.
        let is_in_ring = ["A0", "C0", "A15", "C15"].contains(&label.as_str());
        assert!(met <= bound + 1e-9, "{label}: {met} of {bound} A");
        assert!(is_in_ring || bound < 1.3 * met + 0.5, "{label}: {met} of {bound} A");
    }
    let lamp = &found["parts"]["H3"];
    let [least, bound] = ["min_volts", "never_below_volts"].map(|key| lamp[key].as_f64());
    assert!(bound.expect("a bound") <= least.expect("a figure") && bound > Some(9.0), "{lamp}");
    let (_, text, _) = call(&["survey", file.path()]);
    assert!(text.contains("(never above ") && text.contains("(never below "), "{text}");
    assert!(text.contains("a circuit has more than one feed or earth"), "{text}");
}

#[test]
fn touches_of_a_car_without_an_earth_are_not_called_harmless() {
    let sketch = "car 12 V negative earth
battery B1 12 V 40 Ah
lamp H1 21 W
wire W1 B1.+ H1.1 1 mm2 1 m
wire W2 H1.2 B1.- 1 mm2 1 m
";
    let file = File::new("no-earth.sketch", sketch);
    let (_, text, _) = call(&["survey", file.path(), "--touches"]);
    assert!(text.contains("Not computed: in this drawing nothing joins"), "{text}");
    assert!(!text.contains("Never live"), "{text}");
}

/// A fault and an advice: a lamp behind a fuse too large for its thin wire, of a colour that says something else.
#[test]
fn a_check_shows_down_to_the_level_asked_for_and_tells_where_each_limit_comes_from() {
    let file = File::new(
        "levels.sketch",
        "car 12 V negative earth colours bs-au7
battery B1 12 V 40 Ah
switch S1 \"lamps\" off: ; on: 1-2
lamp H1 55 W
lamp H2 55 W
fuse F1 blade 15 A
wire W1 B1.+ F1.1 4 mm2 0.3 m pvc brown
wire W2 F1.2 S1.1 4 mm2 1 m pvc purple
wire W3 S1.2 H1.1 4 mm2 1 m pvc black
wire W4 S1.2 H2.1 4 mm2 1 m pvc blue
wire W5 H1.2 B1.- 4 mm2 1 m pvc black
",
    );
    let (code, all, _) = call(&["check", file.path()]);
    assert_eq!(code, Some(1), "{all}");
    let findings = all.matches("   do: ").count();
    assert!(findings >= 2, "{all}");
    assert_eq!(all.matches("   source: ").count(), findings, "{all}");
    assert!(all.contains(". advice "), "{all}");
    let (_, faults, _) = call(&["check", file.path(), "--level", "fault"]);
    assert!(!faults.contains(". advice "), "{faults}");
    assert!(faults.contains(". fault ") || faults.contains(". danger "), "{faults}");
    // What is passed over is counted all the same.
    assert_eq!(all.lines().rev().nth(1), faults.lines().rev().nth(1));
    let (code, advice, _) = call(&["check", file.path(), "--level", "advice"]);
    assert_eq!((code, advice), (Some(1), all));
}
