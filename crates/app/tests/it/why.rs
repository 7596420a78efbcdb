//! `measure --why`: how a figure comes about, in words and as data.

use serde_json::Value;

use crate::command_line::{File, call, refused};

/// A lamp behind a fuse and a switch.
const LAMP: &str = "car 12 V negative earth
battery B1 12 V 50 Ah
fuse F1 blade 10 A
switch S1 \"lamp\" off: ; on: 1-2
lamp H1 21 W
wire W1 B1.+ F1.1 2.5 mm2 1 m brown
wire W2 F1.2 S1.1 1 mm2 1 m green
wire W3 S1.2 H1.1 1 mm2 2 m green
wire W4 H1.2 B1.- 1 mm2 1 m black
";

fn ask(file: &File, name: &str) -> String {
    let (code, out, err) = call(&["measure", file.path(), "--set", "lamp=on", "--why", name]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    for line in out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let lower = out.to_lowercase();
    for word in ["node", " net ", "branch", "netlist"] {
        assert!(!lower.contains(word), "{word}: {out}");
    }
    out
}

fn data(file: &File, name: &str) -> Value {
    let asked = ["measure", file.path(), "--set", "lamp=on", "--why", name, "--json"];
    let (code, out, err) = call(&asked);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    serde_json::from_str(&out).expect("JSON")
}

/// The input of a derivation with this symbol.
fn input<'a>(derivation: &'a Value, symbol: &str) -> &'a Value {
    let mut inputs = derivation["inputs"].as_array().expect("inputs").iter();
    inputs.find(|input| input["symbol"] == symbol).expect("the input")
}

#[test]
fn a_wire_says_its_current_its_resistance_and_what_it_may_carry() {
    let file = File::new("why-wire.sketch", LAMP);
    let text = ask(&file, "W3");
    insta::assert_snapshot!(text.split("\n\n").nth(1).expect("its current"), @r"
    W3, current: I = 1.7855 A
      I = (V₁ − V₂) / R [1]
      V₁ = 12.552 V, W3 at S1.2, as solved
      V₂ = 12.484 V, W3 at H1.1, as solved
      R = 0.038482 Ω, W3
        R = k · ρ · l / a + 2 · Rₑ [2]
        k = 1, assumed [3]
        ρ = 0.017241 Ω·mm²/m [2]
        l = 2 m, length of W3, stated
        a = 1 mm², size of W3, stated
        Rₑ = 0.002 Ω, W3
          Rₑ = c · r [3]
          c = 1, assumed [3]
          r = 0.002 Ω, assumed [4]
    ");
    assert!(text.contains("what it may carry all day: Iz = 8.75 A"), "{text}");
    assert!(text.contains("\n[2] IEC 60028:1925, annealed copper at 20 °C\n"), "{text}");
    let answer = data(&file, "W3");
    assert_eq!((&answer["why"], &answer["setting"]["lamp"]), (&"W3".into(), &"on".into()));
    let amps = &answer["derivations"][0];
    let ohms = &input(amps, "R")["by"];
    assert_eq!(ohms["unit"], "ohm");
    // Two metres of 1 mm², by IEC 60028, and two crimped ends.
    let by_hand = 0.017_241 * 2.0 / 1.0 + 2.0 * 0.002;
    assert!((ohms["value"].as_f64().expect("a number") - by_hand).abs() < 1e-9);
    assert_eq!(input(ohms, "l")["from"], "stated");
    assert_eq!(input(ohms, "ρ")["source"], "IEC 60028:1925, annealed copper at 20 °C");
    let volts = |symbol| input(amps, symbol)["value"].as_f64().expect("volts");
    let found = (volts("V₁") - volts("V₂")) / by_hand;
    assert!((amps["value"].as_f64().expect("amps") - found).abs() < 1e-9 * found);
}

#[test]
fn a_terminal_says_what_is_lost_on_the_way_to_it() {
    let file = File::new("why-terminal.sketch", LAMP);
    let answer = data(&file, "H1.1");
    let volts = &answer["derivations"][0];
    assert_eq!(volts["formula"], "V = Σ E − Σ U");
    let inputs = volts["inputs"].as_array().expect("inputs");
    let way: Vec<&str> = inputs.iter().filter_map(|input| input["by"]["of"].as_str()).collect();
    assert_eq!(
        way,
        ["B1.+ to B1.-", "B1.+ to B1.-", "W1", "F1.1 to F1.2", "W2", "S1.1 to S1.2", "W3"]
    );
    let sum: f64 = inputs
        .iter()
        .map(|input| {
            let value = input["value"].as_f64().expect("a number");
            if input["symbol"] == "E" { value } else { -value }
        })
        .sum();
    assert!((volts["value"].as_f64().expect("volts") - sum).abs() < 1e-9);
    let text = ask(&file, "H1.1");
    assert!(
        text.starts_with("lamp: on\n\nH1.1, volts against the battery's earthed post: V = ")
            && text.contains("Kirchhoff's second law")
    );
}

#[test]
fn a_part_says_its_law() {
    let file = File::new("why-part.sketch", LAMP);
    let text = ask(&file, "H1");
    for said in ["power of H1, stated", "the car's volts", "L = |U / Uₙ|^n", "lamp rerating"] {
        assert!(text.contains(said), "{said}: {text}");
    }
    assert!(ask(&file, "F1").contains("Iₙ = N ["));
    assert!(ask(&file, "B1").contains("Peukert's law"));
}

#[test]
fn titles_and_small_figures_are_as_people_write_them() {
    let demo =
        concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/curlew-roadster.loom.json");
    let moves = "ignition=on,engine=idling,engine=running";
    let (_, out, _) = call(&["measure", demo, "--after", moves, "--why", "Dynamo"]);
    assert!(out.contains("g = 1e-7 S, assumed"), "{out}");
    assert!(out.contains("regulated voltage in a 12 V car of Dynamo"), "{out}");
}

#[test]
fn a_name_that_is_none_is_refused() {
    let file = File::new("why-none.sketch", LAMP);
    insta::assert_snapshot!(
        refused(&["measure", file.path(), "--why", "H1.7"]),
        @"'H1.7' is no wire, part or terminal of this car; write a label, or LABEL.TERMINAL"
    );
}

#[test]
fn everything_in_a_demo_car_that_is_joined_answers() {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    let file = File::new("why-roadster.loom.json", bytes);
    let (_, out, _) = call(&["measure", file.path(), "--json"]);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let names = ["wires", "terminals"].iter().flat_map(|kind| {
        answer[*kind].as_object().expect("figures").keys().cloned().collect::<Vec<_>>()
    });
    let mut count = 0;
    for name in names.step_by(7) {
        let (code, out, err) = call(&["measure", file.path(), "--why", &name]);
        assert_eq!((code, err.as_str()), (Some(0), ""), "{name}");
        assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
        count += 1;
    }
    assert!(count > 10, "only {count}");
}
