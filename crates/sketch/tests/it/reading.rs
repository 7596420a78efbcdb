//! What a sketch means, and what is said of one that means nothing.

use loomwright_circuit::{Body, Car, EarthPolarity, Expectation, Fitting, Library, Standing};
use loomwright_sketch::{difference, electrically_equal, parse, print};
use loomwright_units::{Metres, WireArea};

/// The sketch that stands in every introduction to the notation.
const FULL: &str = r#"
car 12 V negative earth
battery  B1  12 V 40 Ah
fuse     F1  blade 15 A              # glass says which rating: glass 35 A blow, or glass 17 A carry
switch   S1  "driving lamps" off: ; on: 1-2       # "…" names its control; several switches on one control are ganged
switch   S2  "lighting" off: ; side: 1-2; head: 1-2 1-3
relay    K1  12 V                    # 30 87 85 86; a change-over one adds 87a
lamp     H1  55 W                    # terminals 1 2
lamp     H2  60/55 W                 # two filaments: 56a 56b 31
joint    J1                          # one terminal: write J1
earth    E1  body                    # or engine; an ohm value may follow
wire W1  B1.+ F1.1   2.5 mm2 0.4 m purple
wire W2  F1.2 S1.1   2 mm2   1.2 m purple
wire W3  S1.2 H1.1   2 mm2   2 m   blue/yellow
wire W4  H1.2 E1     2 mm2   0.5 m black
wire W5  B1.- E1     16 mm2  0.4 m black
promise  "driving lamps"=on : H1 lit
"#;

fn car(sketch: &str) -> Car {
    parse(sketch).unwrap_or_else(|errors| panic!("{errors}: {sketch}"))
}

fn type_of(sketch: &str, label: &str) -> String {
    car(sketch).part_labelled(label).expect("the part").1.type_name.clone()
}

fn fact(sketch: &str, label: &str, name: &str) -> Option<f64> {
    car(sketch).part_labelled(label).expect("the part").1.facts.get(name).copied()
}

#[test]
fn the_full_sketch_reads_as_it_says() {
    let car = car(FULL);
    assert_eq!((car.parts().len(), car.wires().len(), car.promises().len()), (9, 5, 1));
    let types: Vec<&str> = car.parts().values().map(|part| part.type_name.as_str()).collect();
    let expected = [
        "battery",
        "fuse-blade",
        "switch",
        "switch-off-side-head",
        "relay-make",
        "lamp",
        "lamp-double",
        "joint",
        "body-earth",
    ];
    assert_eq!(types, expected);
    let controls: Vec<String> = car.controls().into_iter().map(|control| control.name).collect();
    assert_eq!(controls, ["driving lamps", "lighting"]);
    let wire = car.wires().values().next().expect("W1");
    assert_eq!(wire.size, WireArea::new(2.5).ok());
    assert_eq!(wire.length, Some(Metres(0.4)));
    let promise = car.promises().values().next().expect("a promise");
    assert_eq!(promise.then[0].must, Expectation::Lit);
    assert_eq!(promise.when[0].positions, ["on"]);
}

#[test]
fn the_full_sketch_prints_as_it_was_written() {
    let printed = print(&car(FULL));
    let expected = r#"car 12 V negative earth
battery B1 40 Ah 12 V
fuse    F1 blade 15 A
switch  S1 "driving lamps" off: ; on: 1-2
switch  S2 "lighting" off: ; side: 1-2; head: 1-2 1-3
relay   K1 12 V
lamp    H1 55 W
lamp    H2 60/55 W
joint   J1
earth   E1 body
wire W1 B1.+ F1.1 2.5 mm2 0.4 m purple
wire W2 F1.2 S1.1 2 mm2 1.2 m purple
wire W3 S1.2 H1.1 2 mm2 2 m blue/yellow
wire W4 H1.2 E1   2 mm2 0.5 m black
wire W5 B1.- E1   16 mm2 0.4 m black
promise "driving lamps"=on : H1 lit
"#;
    assert_eq!(printed, expected);
    assert!(electrically_equal(&car(&printed), &car(FULL)));
}

#[test]
fn the_car_line_says_what_the_vehicle_is() {
    let sketch = "car 6 V positive earth glass-fibre body colours din name \"Old girl\"";
    let car = car(sketch);
    let vehicle = car.vehicle();
    assert_eq!(vehicle.earth, EarthPolarity::Positive);
    assert_eq!(vehicle.body, Body::CarriesNoCurrent);
    assert_eq!(vehicle.voltage.volts().0, 6.0);
    assert_eq!(vehicle.name, "Old girl");
    assert_eq!(print(&car), format!("{sketch}\n"));
}

#[test]
fn fuses_say_how_their_number_is_meant() {
    assert_eq!(fact("fuse F1 blade 15 A", "F1", "amps"), Some(15.0));
    assert_eq!(fact("fuse F1 glass 35 A blow", "F1", "blows"), Some(35.0));
    assert_eq!(fact("fuse F1 glass 17 A carry", "F1", "carries"), Some(17.0));
    assert_eq!(fact("fuse F1 glass 35 A", "F1", "marked"), Some(35.0));
    assert_eq!(fact("fuse F1 glass 35 A", "F1", "blows"), None);
}

#[test]
fn a_relay_is_a_change_over_one_where_87a_is_said_or_used() {
    assert_eq!(type_of("relay K1 12 V", "K1"), "relay-make");
    assert_eq!(type_of("relay K1 12 V changeover", "K1"), "relay-changeover");
    assert_eq!(type_of("relay K1 diode", "K1"), "relay-make-diode");
    assert_eq!(type_of("relay K1 24 V diode changeover", "K1"), "relay-changeover-diode");
    assert_eq!(fact("relay K1 24 V", "K1", "volts"), Some(24.0));
    assert_eq!(fact("relay K1 ohms=76", "K1", "ohms"), Some(76.0));
    let used = "relay \"Left relay\" 12 V\nearth E1 body\nwire W1 \"Left relay\".87a E1";
    assert_eq!(type_of(used, "Left relay"), "relay-changeover");
    assert_eq!(type_of("wire W1 K1.87a E1\nearth E1 body\nrelay K1", "K1"), "relay-changeover");
}

#[test]
fn a_contact_table_finds_the_library_type_that_has_it() {
    assert_eq!(type_of("switch S1", "S1"), "switch");
    assert_eq!(type_of("switch S1 off: ; on: 2-1", "S1"), "switch");
    assert_eq!(type_of("switch S1 \"beam\" a: 1-2; b: 1-3", "S1"), "switch-changeover");
    assert_eq!(type_of("switch S1 released>released: ; pressed: 1-2", "S1").find("push"), None);
    assert_eq!(type_of("switch S1 released: ; pressed>released: 1-2", "S1"), "push");
    let twice = "switch S1 off: ; a: 1-2-3\nswitch S2 off: ; a: 1-2-3\nswitch S3 off: ; a: 1-3";
    let car = car(twice);
    let names: Vec<&str> = car.own_types().keys().map(String::as_str).collect();
    assert_eq!(names, ["switch-off-a", "switch-off-a-2"]);
}

#[test]
fn details_of_a_wire_stand_in_any_order() {
    let sketch = "lamp H1 55 W to fit\nlamp \"Other lamp\"\n\
        wire W1 H1.1 \"Other lamp\".1 light-green from blade-6.3 thin-wall 2 ft 6 1.5 mm2 to ring-m6 to fit\n\
        wire W2 loose H1.2 16 AWG black/white cotton 18 in to remove\n\
        wire W3 loose H1.2 28/0.30 blue pvc 850mm\n\
        wire W4 loose H1.2";
    let car = car(sketch);
    let wires: Vec<_> = car.wires().values().collect();
    assert_eq!(wires[0].from.fitting, Some(Fitting::Blade63));
    assert_eq!(wires[0].to.fitting, Some(Fitting::RingM6));
    assert_eq!(wires[0].length, Some(Metres(0.762)));
    assert_eq!(wires[0].size, WireArea::new(1.5).ok());
    assert_eq!(wires[0].standing, Standing::ToFit);
    assert_eq!(wires[1].standing, Standing::ToRemove);
    assert!(wires[1].size.expect("AWG 16").square_mm() > 1.3);
    assert_eq!(wires[2].length, Some(Metres(0.85)));
    assert_eq!(wires[3].colour, None);
    assert_eq!(car.part_labelled("H1").expect("lamp").1.standing, Standing::ToFit);
    assert!(electrically_equal(&parse(&print(&car)).expect("printed"), &car));
}

#[test]
fn a_promise_may_have_several_controls_positions_and_claims() {
    let car = car(
        "lamp H1\nlamp H2 60/55 W\npromise ignition=off hazard=on|\"on too\" : H1 flashing, H2.56a dark",
    );
    let promise = car.promises().values().next().expect("the promise");
    assert_eq!(promise.when[1].positions, ["on", "on too"]);
    assert_eq!(promise.then[1].terminal.as_deref(), Some("56a"));
}

#[test]
fn every_part_type_has_a_line_that_places_it() {
    for part_type in Library::standard().iter() {
        let car = car(&part_type.sketch);
        let placed = &car.parts().values().next().expect("a part").type_name;
        assert_eq!(*placed, part_type.name, "{}", part_type.sketch);
    }
}

/// A sketch and the whole of what is said about it.
fn check(sketch: &str, expected: &str) {
    let errors = parse(sketch).expect_err(sketch);
    assert_eq!(errors.to_string(), format!("{expected} of the sketch"), "{sketch}");
}

#[test]
fn a_mistake_gets_one_sentence_with_its_line() {
    check("\nlamp H1\nlamp H1", "another part is called 'H1'; labels must differ, on line 3");
    check(
        "tap H1",
        "no part type is called 'tap'; a line begins with car, wire, promise or a part type such as lamp, switch or relay, on line 1",
    );
    check(
        "lamp H1 55",
        "found the end of the line, expected a unit: V, A, W, ohm or Ah, on line 1",
    );
    check("lamp H1 5000 W", "Power must be from 0.5 to 250 W, on line 1");
    check("lamp H1\nwire W1 H1.3 H1.1", "H1 has no terminal '3'; it has 1, 2, on line 2");
    check(
        "lamp H1\nwire W1 H1 H1.1",
        "H1 has several terminals; write a dot and one of 1, 2, on line 2",
    );
    check(
        "lamp H1\nwire W1 H1.1",
        "found the end of the line, expected a part, such as E1, or one of its terminals, such as H1.1, on line 2",
    );
    check("fuse F1 ceramic", "found 'ceramic', expected blade, glass or torpedo, on line 1");
    check("earth E1", "found the end of the line, expected body, engine or battery, on line 1");
    check("lamp \"H1", "a quoted name has no closing quote, on line 1");
    check("relay K1 42 V", "found '42 V', expected 6 V, 12 V or 24 V, or ohms=…, on line 1");
    check("lamp H1 \"dip\"", "lamp has no control to be called \"dip\", on line 1");
    check(
        "lamp H1 weight=3",
        "lamp has no figure or control called 'weight'; it has watts, volts, on line 1",
    );
    check(
        "switch S1 off: ; on: 1",
        "found '1', expected terminals that are joined, such as 1-2, on line 1",
    );
    check(
        "car 12 V\ncar 6 V",
        "the car is described twice; one line that begins with car is enough, on line 2",
    );
    check("promise x=on : H1 lit", "no part is called 'H1', on line 1");
    check(
        "lamp H1\npromise x=on : H1 glowing",
        "found 'glowing', expected what it must do: lit, dark, flashing, working, idle, in, out, on line 2",
    );
}

#[test]
fn all_mistakes_are_told_in_order() {
    let errors = parse("wire W1 A.1 B.1\nlamp H1\nlamp H2 x\n: \n\"").expect_err("mistakes");
    let lines: Vec<usize> = errors.all().iter().map(|error| error.line).collect();
    assert_eq!(lines, [1, 3, 4, 5]);
}

#[test]
fn a_sketch_without_end_is_refused() {
    assert!(parse(&"lamp H1\n".repeat(10_001)).is_err());
    assert!(parse(&"x".repeat(2_000_000)).is_err());
}

#[test]
fn a_misspelt_part_is_answered_with_the_word_that_was_meant() {
    for (wrong, meant) in
        [("fues", "fuse"), ("lampe", "lamp"), ("batery", "battery"), ("wier", "wire")]
    {
        let error =
            loomwright_sketch::parse(&format!("{wrong} X1 12 V")).expect_err("no such type");
        let asked = format!("no part type is called '{wrong}'; did you mean {meant}?");
        assert!(error.to_string().starts_with(&asked), "{error}");
    }
    let error = loomwright_sketch::parse("teapot X1").expect_err("no such type").to_string();
    assert!(error.contains("a line begins with car, wire"), "{error}");
}

#[test]
fn a_switch_may_make_before_it_breaks() {
    let car = parse("switch S1 \"beam\" make-before-break dip: 1-2; main: 1-3").expect("a switch");
    let (id, _) = car.part_labelled("S1").expect("it");
    let control = &car.type_of(id).expect("its type").controls[0];
    assert!(control.make_before_break);
    // The plain one with the same table is another type.
    let plain = parse("switch S1 \"beam\" dip: 1-2; main: 1-3").expect("a switch");
    let (id, _) = plain.part_labelled("S1").expect("it");
    assert!(!plain.type_of(id).expect("its type").controls[0].make_before_break);
    let printed = print(&car);
    assert!(printed.contains("make-before-break dip: 1-2; main: 1-3"), "{printed}");
    assert_eq!(difference(&car, &parse(&printed).expect("what was printed")), None);
    assert!(difference(&car, &plain).is_some());
}
