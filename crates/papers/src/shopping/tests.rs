//! What is bought for the ends of leads, against what is counted by hand in a small circuit.

use loomwright_circuit::{Car, Change, Fitting, Patch, Row, RowId, Wire};
use loomwright_rules::Report;

use super::{ShopRow, shopping};
use crate::making::leads;

/// W3 and W4 to fit meet W1 and W2 in the joint; W5 goes to the battery.
const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
joint J1
lamp H1 21 W
lamp H2 21 W to fit
lamp H3 21 W to fit
fuse F1 blade 10 A to fit
wire W1 B1.+ J1 2 mm2 1 m green
wire W2 J1 H1.1 1 mm2 1 m green
wire W3 J1 H2.1 1 mm2 1 m green to fit
wire W4 J1 H3.1 1.5 mm2 1 m green to fit
wire W5 B1.+ F1.1 3 mm2 0.3 m brown to fit
wire W6 B1.- E1 35 mm2 0.3 m black
";

/// The car with these fittings at the first and the last end of wires.
fn car(fittings: &[(&str, Fitting, Fitting)]) -> Car {
    let mut car = loomwright_sketch::parse(SKETCH).unwrap_or_else(|errors| panic!("{errors}"));
    let rows: Vec<_> = car.wires().iter().map(|(id, wire)| (*id, wire.clone())).collect();
    let mut changes = Vec::new();
    for (label, from, to) in fittings {
        let (id, before) = rows.iter().find(|(_, wire)| wire.label == *label).unwrap().clone();
        let mut after: Wire = before.clone();
        (after.from.fitting, after.to.fitting) = (Some(*from), Some(*to));
        let (before, after) = (Some(Row::Wire(before)), Some(Row::Wire(after)));
        changes.push(Change { row: RowId::Wire(id), before, after });
    }
    car.apply(&Patch { changes, last_id: 0 });
    car
}

fn fitted() -> Car {
    car(&[
        ("W3", Fitting::Splice, Fitting::Bullet47),
        ("W4", Fitting::Splice, Fitting::Blade63),
        ("W5", Fitting::RingM8, Fitting::Blade63),
    ])
}

fn bought(car: &Car) -> Vec<ShopRow> {
    let leads = leads(car, &Report::default());
    shopping(car, &Report::default(), &leads, true)
        .into_iter()
        .flat_map(|counter| counter.rows)
        .collect()
}

fn needed<'r>(rows: &'r [ShopRow], begins: &str) -> Vec<(&'r str, &'r str)> {
    let found = rows.iter().filter(|row| row.what.starts_with(begins));
    found.map(|row| (row.what.as_str(), row.needed.as_str())).collect()
}

#[test]
fn one_splice_is_bought_for_all_wires_of_a_joint_and_one_sleeve_over_it() {
    let rows = bought(&fitted());
    // 2 + 1 + 1 + 1.5 mm².
    let splices = needed(&rows, "crimped splice");
    assert_eq!(splices, [("crimped splice for 4 wires, 5.5 mm² in all", "1")]);
    assert_eq!(
        needed(&rows, "glue-lined heat-shrink").iter().map(|row| row.1).collect::<Vec<_>>(),
        ["1"]
    );
    assert!(needed(&rows, "splice").is_empty());
}

#[test]
fn a_bullet_comes_with_its_connector_and_a_blade_says_which_it_is() {
    let rows = bought(&fitted());
    assert_eq!(needed(&rows, "connector for two 4.7 mm bullets").len(), 1);
    let blades: Vec<_> = rows.iter().filter(|row| row.what.contains("6.3 mm")).collect();
    assert!(!blades.is_empty());
    let is_told = |row: &&ShopRow| row.what.contains("blade, female,");
    assert!(blades.iter().all(is_told), "{blades:?}");
}

#[test]
fn tape_is_needed_by_the_metre_and_bought_by_the_roll() {
    let rows = bought(&fitted());
    let tape = rows.iter().find(|row| row.what.starts_with("loom tape")).unwrap();
    // W3, W4 and W5: 1 + 1 + 0.3 m.
    let needed = (tape.needed.as_str(), tape.needed_unit);
    assert_eq!((needed, tape.buy.as_str(), tape.unit), (("2.3", "m"), "1", "roll"));
    let clips = rows.iter().find(|row| row.what.starts_with("cable clips")).unwrap();
    assert_eq!(clips.needed_unit, "pieces");
}

#[test]
fn sleeves_for_labels_are_bought_by_the_thickness_of_the_cable() {
    // 1 mm² PVC is 2.4 mm thick, 1.5 mm² 2.7 mm and 3 mm² 3.7 mm.
    let rows = bought(&fitted());
    let of = |mm: &str| format!("clear heat-shrink {mm} mm over labels, 40 mm long");
    assert_eq!(
        needed(&rows, "clear heat-shrink"),
        [(of("3.2").as_str(), "2"), (of("4.8").as_str(), "4")]
    );
}

#[test]
fn what_the_tests_are_done_with_is_on_the_list() {
    let rows = bought(&fitted());
    for tool in ["bulb, 12 V 21 W", "meter for volts", "clip-on meter", "test lead"] {
        assert_eq!(needed(&rows, tool).len(), 1, "{tool}");
    }
    // Whatever is counted has a unit, and lamps and fuses the car's volts or their amps.
    assert!(rows.iter().all(|row| row.needed.is_empty() || !row.unit.is_empty()), "{rows:?}");
}

#[test]
fn a_ring_goes_on_the_bolt_of_the_battery_clamp_and_nothing_else_does() {
    let rows = leads(&fitted(), &Report::default());
    let on: Vec<_> = rows
        .iter()
        .flat_map(|row| [&row.wire.from, &row.wire.to])
        .filter(|end| !end.on.is_empty())
        .map(|end| (end.part.as_str(), end.on.as_str()))
        .collect();
    assert_eq!(on, [("B1", "on the bolt of its clamp")]);
    let clamped = car(&[("W5", Fitting::BatteryClamp, Fitting::Blade63)]);
    let rows = leads(&clamped, &Report::default());
    assert!(rows.iter().all(|row| row.wire.from.on.is_empty() && row.wire.to.on.is_empty()));
}
