//! What machines read is the same bytes with either mark.

use loomwright_app::cli::{Asked, run};
use loomwright_circuit::Car;
use loomwright_units::{DecimalMark, set_decimal_mark};

use crate::{cars, with_mark};

/// What something writes with a point, and with a comma.
fn both<T>(write: impl Fn() -> T) -> [T; 2] {
    [DecimalMark::Point, DecimalMark::Comma].map(|mark| {
        set_decimal_mark(mark);
        write()
    })
}

/// A car with decimals wherever a car file has room for them.
fn with_decimals() -> Car {
    let text = "car 12 V negative earth\nbattery B1 12 V 40.5 Ah\nfuse F1 blade 7.5 A\nresistor R1 ohms=1.25\n\
        lamp H1 2.2 W\nearth E1 body 0.005 ohm\nwire W1 B1.+ F1.1 1.125 mm2 1.250 m\nwire W2 F1.2 R1.1 28/0.30 2 ft 6\n\
        wire W3 R1.2 H1.1 0.75 mm2 0.5 m\nwire W4 H1.2 E1 2.5 mm2 0.35 m\nwire W5 B1.- E1 16 mm2 0.4 m\n";
    loomwright_sketch::parse(text).expect("a sketch")
}

#[test]
fn sketches_are_read_and_written_with_points() {
    let _mark = with_mark(DecimalMark::Point);
    let [point, comma] = both(with_decimals);
    assert_eq!(point, comma, "a sketch is read alike");
    assert!(point.wires().values().any(|wire| wire.length.is_some_and(|length| length.0 == 1.25)));
    for car in [point, cars::roadster(), cars::heron_van(), cars::learner()] {
        let [point, comma] = both(|| loomwright_sketch::print(&car));
        assert_eq!(point, comma);
    }
}

#[test]
fn car_files_are_written_with_points() {
    let _mark = with_mark(DecimalMark::Point);
    for car in [with_decimals(), cars::roadster(), cars::heron_van(), cars::learner()] {
        let [point, comma] = both(|| loomwright_circuit::save(&car));
        assert!(point == comma);
    }
}

/// Runs the command line and gives what it wrote.
fn said(args: &[&str]) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let asked = run(args.iter().map(Into::into), &mut out, &mut err);
    assert!(matches!(asked, Asked::Exit(0 | 1)), "{}", String::from_utf8_lossy(&err));
    String::from_utf8(out).expect("text")
}

fn demo() -> String {
    concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/curlew-roadster.loom.json").to_owned()
}

#[test]
fn json_and_schema_have_points_and_text_has_the_mark_asked_for() {
    let _mark = with_mark(DecimalMark::Point);
    let car = demo();
    for verb in ["check", "measure", "survey"] {
        let of = |more: &[&str]| said(&[&["loomwright", verb, &car], more].concat());
        let (plain, comma) = (of(&[]), of(&["--decimal-mark", "comma"]));
        assert!(plain != comma, "{verb}");
        assert_eq!(plain, of(&["--decimal-mark", "point"]), "{verb}");
        let left = crate::points::points(&comma);
        assert!(left.is_empty(), "{verb}: {left:?}");
        assert_eq!(of(&["--json"]), of(&["--json", "--decimal-mark", "comma"]), "{verb}");
    }
    let [point, comma] = both(|| said(&["loomwright", "schema"]));
    assert!(point == comma);
    let [point, comma] = both(|| said(&["loomwright", "convert", &car, "--to", "-"]));
    assert!(point == comma);
}
