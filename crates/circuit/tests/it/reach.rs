//! What belongs to one connection, and to one circuit.

use loomwright_circuit::{Car, Reach, WireId};

/// Two lamps behind one fuse, a heater behind another, both fed from a joint; a relay switched by the lamps' feed.
const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
joint J1
fuse F1 blade 10 A
fuse F2 blade 20 A
switch S1 \"lamps\" off: ; on: 1-2
joint J2
lamp H1 21 W
lamp H2 21 W
lamp H3 55 W
earth E1 body
earth E2 body
wire W1 B1.+ J1 4 mm2 0.3 m brown
wire W2 J1 F1.1 2 mm2 0.3 m brown
wire W3 J1 F2.1 2 mm2 0.3 m brown
wire W4 F1.2 S1.1 1 mm2 1 m purple
wire W5 S1.2 J2 1 mm2 1 m red
wire W6 J2 H1.1 1 mm2 1 m red
wire W7 J2 H2.1 1 mm2 1 m red
wire W8 H1.2 E1 1 mm2 1 m black
wire W9 H2.2 E1 1 mm2 1 m black
wire W10 F2.2 H3.1 2 mm2 1 m green
wire W11 H3.2 E2 2 mm2 1 m black
wire W12 B1.- E2 16 mm2 0.4 m black
";

fn names(car: &Car, wires: &[&str], reach: Reach) -> String {
    let id = |label: &&str| {
        let found = car.wires().iter().find(|(_, wire)| wire.label == **label);
        *found.unwrap_or_else(|| panic!("no wire {label}")).0
    };
    let wires: Vec<WireId> = wires.iter().map(id).collect();
    let reached = car.reached_from(&[], &wires, reach);
    let parts = reached.parts.iter().filter_map(|id| car.part(*id)).map(|part| &*part.label);
    let wires = reached.wires.iter().filter_map(|id| car.wire(*id)).map(|wire| &*wire.label);
    parts.chain(wires).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_connection_is_the_wires_and_joints_of_one_piece_of_copper() {
    let car = loomwright_sketch::parse(SKETCH).expect("a sketch");
    assert_eq!(names(&car, &["W6"], Reach::Connection), "J2 W5 W6 W7");
    assert_eq!(names(&car, &["W8"], Reach::Connection), "E1 W8 W9");
    assert_eq!(names(&car, &["W3"], Reach::Connection), "J1 W1 W2 W3");
    assert_eq!(names(&car, &["W10"], Reach::Connection), "W10");
}

#[test]
fn a_circuit_goes_on_through_parts_to_supply_and_earth_and_leaves_its_neighbours_out() {
    let car = loomwright_sketch::parse(SKETCH).expect("a sketch");
    let lamps = "B1 J1 F1 S1 J2 H1 H2 E1 W1 W2 W4 W5 W6 W7 W8 W9";
    for wire in ["W4", "W5", "W7"] {
        assert_eq!(names(&car, &[wire], Reach::Circuit), lamps, "from {wire}");
    }
    assert_eq!(names(&car, &["W10"], Reach::Circuit), "B1 J1 F2 H3 E2 W1 W3 W10 W11");
}

#[test]
fn a_connector_joins_each_way_by_itself() {
    let car = loomwright_sketch::parse(
        "car 12 V negative earth
connector-2 X1
lamp H1 21 W
wire W1 X1.a1 H1.1 1 mm2 1 m red
wire W2 X1.b1 loose 1 mm2 1 m red
wire W3 X1.a2 H1.2 1 mm2 1 m black
",
    );
    let car = car.expect("a sketch");
    assert_eq!(names(&car, &["W1"], Reach::Connection), "X1 W1 W2");
}
