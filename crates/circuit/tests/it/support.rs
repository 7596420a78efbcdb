//! Cars for the tests, with part types of their own so that the library may change.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{
    Car, Edit, EditError, End, Part, PartId, PartSeen, PartType, Placement, Point, SheetId,
    Standing, Wire, WireId,
};

pub(crate) const JOINT: &str = r#"{
    "name": "joint", "title": "Joint", "group": "joints", "teaches": "Where wires meet.", "stem": "Joint",
    "sketch": "joint J1", "terminals": [{"name": "1", "at": [0, 0], "leaves": "up"}],
    "elements": [{"is": "joined", "terminals": ["1"], "ohms": 0.001}],
    "outline": [{"draw": {"circle": {"centre": [0, 0], "radius": 0.8}}, "filled": true}]
}"#;

pub(crate) const TEST_LAMP: &str = r#"{
    "name": "test-lamp", "title": "Test lamp", "group": "lighting", "teaches": "Gives light.", "stem": "Lamp",
    "sketch": "test-lamp H1 21 W",
    "terminals": [
        {"name": "1", "at": [0, -5], "leaves": "up"},
        {"name": "2", "at": [0, 5], "leaves": "down"}
    ],
    "facts": [
        {"name": "watts", "title": "Power", "unit": "W", "usual": 21, "least": 0.5, "greatest": 150},
        {"name": "volts", "title": "Marked voltage", "unit": "V", "least": 5, "greatest": 30}
    ],
    "elements": [{"is": "filament", "between": ["1", "2"], "watts": "watts", "volts": "volts"}],
    "outline": [{"draw": {"circle": {"centre": [0, 0], "radius": 2.5}}}]
}"#;

pub(crate) const TEST_SWITCH: &str = r#"{
    "name": "test-switch", "title": "Test switch", "group": "switching", "teaches": "Joins two leads.",
    "stem": "Switch", "sketch": "test-switch S1",
    "terminals": [
        {"name": "1", "at": [0, -5], "leaves": "up"},
        {"name": "2", "at": [0, 5], "leaves": "down"}
    ],
    "controls": [{"key": "lever", "positions": [{"name": "off"}, {"name": "on"}]}],
    "elements": [{"is": "contacts", "control": "lever", "joins": {"on": [["1", "2"]]}, "amps": 10}],
    "outline": [{"draw": {"line": [[0, -5], [0, 5]]}}]
}"#;

pub(crate) fn part_type(text: &str) -> PartType {
    serde_json::from_str(text).expect("a part type")
}

/// A car that knows the types above.
pub(crate) fn empty_car() -> Car {
    let mut car = Car::default();
    for text in [JOINT, TEST_LAMP, TEST_SWITCH] {
        edit(&mut car, Edit::SetOwnType(Arc::new(part_type(text))));
    }
    car
}

pub(crate) fn edit(car: &mut Car, edit: Edit) {
    let patch = car.plan(edit).expect("an edit that the car takes");
    car.apply(&patch);
}

pub(crate) fn refused(car: &Car, edit: Edit) -> EditError {
    car.plan(edit).expect_err("an edit that the car refuses")
}

pub(crate) fn part(type_name: &str, label: &str, x: f64, y: f64) -> Part {
    Part {
        type_name: type_name.to_owned(),
        label: label.to_owned(),
        standing: Standing::AsFound,
        sheet: SheetId(1),
        place: Placement { at: Point::new(x, y), ..Placement::default() },
        facts: BTreeMap::new(),
        controls: BTreeMap::new(),
        seen: PartSeen::default(),
        roles: BTreeMap::new(),
        note: String::new(),
    }
}

pub(crate) fn place(car: &mut Car, row: Part) -> PartId {
    edit(car, Edit::Place(row));
    PartId(car.last_id())
}

pub(crate) fn run(car: &mut Car, from: (PartId, &str), to: (PartId, &str)) -> WireId {
    let wire = Wire::new("", End::terminal(from.0, from.1), End::terminal(to.0, to.1));
    edit(car, Edit::Run(wire));
    WireId(car.last_id())
}

/// A switch and a lamp below it, with a wire between them.
pub(crate) fn small_car() -> (Car, PartId, PartId, WireId) {
    let mut car = empty_car();
    let switch = place(&mut car, part("test-switch", "Reading light", 20.0, 20.0));
    let lamp = place(&mut car, part("test-lamp", "", 20.0, 50.0));
    let wire = run(&mut car, (switch, "2"), (lamp, "1"));
    (car, switch, lamp, wire)
}
