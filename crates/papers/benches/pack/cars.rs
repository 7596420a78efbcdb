//! The cars that packs are made of: a demo car, and one of 300 wires.

use loomwright_circuit::{Car, Change, Patch, Row, RowId, Version};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Deep, Report, check};

pub(crate) fn car(name: &str) -> (Car, Report) {
    let car = if name == "demo car" { roadster() } else { blocks(25) };
    let network = Network::of(&car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_| true);
    let deep = Deep::of(&car, &network, &exploration, &mut || true).expect("it may go on");
    let report = check(&car, &network, deep.evidence(&exploration));
    (car, report)
}

fn roadster() -> Car {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    loomwright_circuit::load(bytes).expect("a demo car loads")
}

/// Blocks of twelve wires: a pair of lamps on a relay each, with fuse and switch. Eight switches are shared by all, each
/// block has a promise, and the last two blocks are to fit.
fn blocks(n_blocks: usize) -> Car {
    let mut sketch = "car 12 V negative earth\nbattery B1 12 V 60 Ah\nearth E0 body\njoint J1\n\
                      wire W1 B1.- E0 25 mm2 0.4 m black\nwire W2 B1.+ J1 25 mm2 0.4 m\n"
        .to_owned();
    for n in 10..10 + n_blocks {
        let control = n % 8;
        let standing = if n + 2 >= 10 + n_blocks { " to fit" } else { "" };
        let lines = format!(
            "fuse F{n} blade 10 A\nrelay K{n} 12 V\nswitch S{n} \"lamps {control}\" off: ; on: 1-2\n\
             lamp \"Left lamp {n}\" 21 W\nlamp \"Right lamp {n}\" 21 W\nearth E{n} body\n\
             joint J{n}1\njoint J{n}2\njoint J{n}3\n\
             wire W{n}01 J1 F{n}.1 2 mm2 0.3 m pvc brown\n\
             wire W{n}02 F{n}.2 K{n}.30 1.5 mm2 1 m pvc purple\n\
             wire W{n}03 F{n}.2 S{n}.1 1.5 mm2 1 m pvc purple\n\
             wire W{n}04 S{n}.2 K{n}.86 1.5 mm2 1 m pvc green\n\
             wire W{n}05 K{n}.85 E{n} 1.5 mm2 0.3 m pvc black\n\
             wire W{n}06 K{n}.87 \"Left lamp {n}\".1 1.5 mm2 1 m pvc blue/white\n\
             wire W{n}07 \"Left lamp {n}\".1 J{n}1 1.5 mm2 1 m pvc blue/white\n\
             wire W{n}08 J{n}1 \"Right lamp {n}\".1 1.5 mm2 1 m pvc blue/white\n\
             wire W{n}09 \"Left lamp {n}\".2 J{n}2 1.5 mm2 0.3 m pvc black\n\
             wire W{n}10 \"Right lamp {n}\".2 J{n}2 1.5 mm2 0.3 m pvc black\n\
             wire W{n}11 J{n}2 J{n}3 1.5 mm2 0.3 m pvc black\n\
             wire W{n}12 J{n}3 E{n} 1.5 mm2 0.3 m pvc black\n"
        );
        sketch.extend(lines.lines().map(|line| format!("{line}{standing}\n")));
        let promise = format!("promise \"lamps {control}\"=on : \"Left lamp {n}\" lit\n");
        sketch.push_str(&promise);
    }
    let mut car = loomwright_sketch::parse(&sketch).unwrap_or_else(|errors| panic!("{errors}"));
    let patch = car.plan(loomwright_drawing::arrange(&car)).expect("places for all parts");
    car.apply(&patch);
    car
}

/// The car with another purpose and one wire a little longer.
pub(crate) fn edited(car: &Car, n_edits: u32) -> Car {
    let mut edited = car.clone();
    let (id, wire) = car.wires().iter().next().expect("a wire");
    let mut longer = wire.clone();
    longer.length = Some(loomwright_units::Metres(1.0 + f64::from(n_edits) / 100.0));
    let before = Some(Row::Wire(wire.clone()));
    let after = Some(Row::Wire(longer));
    let last_id = 1_000_000;
    edited
        .apply(&Patch { changes: vec![Change { row: RowId::Wire(*id), before, after }], last_id });
    edited
}
