//! Invented sheets, with part types of their own, so that these tests stand on this crate alone.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{
    Anchor, Car, Change, End, Part, PartId, PartSeen, PartType, Patch, Placement, Point, Row,
    RowId, Sheet, SheetId, Standing, Turn, Vehicle, Wire, WireColour, WireId,
};

const TYPES: &str = include_str!("types.json");

/// A car under construction.
pub(crate) struct Pad {
    pub(crate) car: Car,
    last_id: u32,
    parts: BTreeMap<String, PartId>,
    sheet: SheetId,
}

impl Pad {
    pub(crate) fn new(title: &str) -> Self {
        let mut pad = Self {
            car: Car::new(Vehicle::default()),
            last_id: 1,
            parts: BTreeMap::new(),
            sheet: SheetId(1),
        };
        pad.put(RowId::Sheet(SheetId(1)), Row::Sheet(Sheet { title: title.to_owned() }));
        let types: Vec<PartType> = serde_json::from_str(TYPES).expect("a sample is well formed");
        for part_type in types {
            let id = RowId::OwnType(part_type.name.clone());
            pad.put(id, Row::OwnType(Arc::new(part_type)));
        }
        pad
    }

    pub(crate) fn put(&mut self, row: RowId, after: Row) {
        let change = Change { row, before: None, after: Some(after) };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last_id });
    }

    /// Goes on, on another sheet.
    pub(crate) fn sheet(&mut self, title: &str) -> SheetId {
        self.last_id += 1;
        self.sheet = SheetId(self.last_id);
        self.put(RowId::Sheet(self.sheet), Row::Sheet(Sheet { title: title.to_owned() }));
        self.sheet
    }

    pub(crate) fn part(
        &mut self,
        type_name: &str,
        label: &str,
        at: [f64; 2],
        turn: Turn,
    ) -> PartId {
        self.part_with(type_name, label, at, turn, Standing::AsFound)
    }

    pub(crate) fn part_with(
        &mut self,
        type_name: &str,
        label: &str,
        at: [f64; 2],
        turn: Turn,
        standing: Standing,
    ) -> PartId {
        self.last_id += 1;
        let id = PartId(self.last_id);
        let part = Part {
            type_name: type_name.to_owned(),
            label: label.to_owned(),
            standing,
            sheet: self.sheet,
            place: Placement { at: Point::from(at), turn, mirror: false },
            facts: BTreeMap::new(),
            controls: BTreeMap::new(),
            seen: PartSeen::default(),
            roles: BTreeMap::new(),
            note: String::new(),
        };
        self.parts.insert(label.to_owned(), id);
        self.put(RowId::Part(id), Row::Part(part));
        id
    }

    /// Runs a wire: ends as "label.terminal", or "@x,y" for a loose end.
    pub(crate) fn wire(
        &mut self,
        label: &str,
        from: &str,
        to: &str,
        colour: &str,
        standing: Standing,
    ) -> WireId {
        self.last_id += 1;
        let id = WireId(self.last_id);
        let mut wire = Wire::new(label, self.end(from), self.end(to));
        wire.colour = WireColour::read(colour).ok();
        wire.standing = standing;
        self.put(RowId::Wire(id), Row::Wire(wire));
        id
    }

    fn end(&self, text: &str) -> End {
        if let Some(at) = text.strip_prefix('@') {
            let (x, y) = at.split_once(',').expect("a sample is well formed");
            let at = Point::new(
                x.parse().expect("a sample is well formed"),
                y.parse().expect("a sample is well formed"),
            );
            return End::at(Anchor::Loose { sheet: self.sheet, at });
        }
        let (label, terminal) = text.rsplit_once('.').expect("a sample is well formed");
        End::terminal(self.parts[label], terminal)
    }
}

/// Driving lamps on a relay: most kinds of part, a crossing, a loose end, another sheet, all standings.
pub(crate) fn driving_lamps() -> (Pad, SheetId) {
    use Standing::{AsFound, ToFit, ToRemove};
    let mut pad = Pad::new("Front lighting");
    pad.part("battery", "Battery", [40.0, 140.0], Turn::None);
    pad.part("earth", "Battery earth", [40.0, 165.0], Turn::None);
    pad.part("fuse", "Fuse 1", [70.0, 80.0], Turn::None);
    pad.part_with("relay", "Driving-lamp relay", [130.0, 75.0], Turn::None, ToFit);
    pad.part_with("joint", "Joint 1", [165.0, 80.0], Turn::None, ToFit);
    pad.part_with("lamp", "Left driving lamp", [200.0, 55.0], Turn::None, ToFit);
    pad.part_with("lamp", "Right driving lamp", [200.0, 105.0], Turn::None, ToFit);
    pad.part_with("earth", "Wing earth", [230.0, 70.0], Turn::None, ToFit);
    pad.part_with("earth", "Relay earth", [155.0, 40.0], Turn::Half, ToFit);
    pad.part("switch", "Driving-lamp switch", [110.0, 125.0], Turn::None);
    pad.part_with("lamp", "Fog lamp", [90.0, 150.0], Turn::None, ToRemove);
    pad.wire("W1", "Battery.+", "Fuse 1.1", "brown", AsFound);
    pad.wire("W2", "Fuse 1.2", "Driving-lamp relay.30", "purple", ToFit);
    pad.wire("W3", "Joint 1.1", "Left driving lamp.1", "blue/yellow", ToFit);
    pad.wire("W4", "Joint 1.1", "Right driving lamp.1", "blue/yellow", ToFit);
    pad.wire("W5", "Left driving lamp.2", "Wing earth.1", "black", ToFit);
    pad.wire("W6", "Right driving lamp.2", "@225,105", "black", ToFit);
    pad.wire("W7", "Driving-lamp relay.85", "Relay earth.1", "black", ToFit);
    pad.wire("W8", "Driving-lamp switch.1", "Driving-lamp relay.86", "blue/white", ToFit);
    pad.wire("W10", "Driving-lamp relay.87", "Joint 1.1", "blue/yellow", ToFit);
    pad.wire("W11", "Battery.-", "Battery earth.1", "black", AsFound);
    pad.wire("W12", "Fuse 1.2", "Fog lamp.1", "red/yellow", ToRemove);
    let first = SheetId(1);
    let second = pad.sheet("Switches");
    pad.part("switch", "Dip switch", [60.0, 60.0], Turn::None);
    pad.wire("W9", "Driving-lamp switch.2", "Dip switch.1", "blue/white", AsFound);
    let _ = second;
    (pad, first)
}

/// Rows of lamps, each fed over a fuse and a switch: a sheet of about `n_wires` wires.
pub(crate) fn rows(n_wires: usize) -> (Pad, SheetId) {
    let mut pad = Pad::new("Rows");
    let n_rows = n_wires / 5;
    let colours =
        ["green/red", "green/white", "red", "blue/white", "purple", "brown", "light green/brown"];
    for row in 0..n_rows {
        let (x, y) = ((row / 40) as f64 * 190.0, (row % 40) as f64 * 32.5);
        let colour = colours[row % colours.len()];
        pad.part("fuse", &format!("Fuse {row}"), [x, y], Turn::None);
        pad.part("switch", &format!("Switch {row}"), [x + 45.0, y + 10.0], Turn::None);
        pad.part("lamp", &format!("Lamp {row}"), [x + 95.0, y], Turn::None);
        pad.part("lamp", &format!("Repeater {row}"), [x + 95.0, y + 17.5], Turn::None);
        pad.part("earth", &format!("Earth {row}"), [x + 130.0, y + 10.0], Turn::None);
        let mut run = |n: usize, from: String, to: String| {
            pad.wire(&format!("W{}", row * 5 + n), &from, &to, colour, Standing::AsFound);
        };
        run(0, format!("Fuse {row}.2"), format!("Switch {row}.1"));
        run(1, format!("Switch {row}.2"), format!("Lamp {row}.1"));
        run(2, format!("Switch {row}.2"), format!("Repeater {row}.1"));
        run(3, format!("Lamp {row}.2"), format!("Earth {row}.1"));
        run(4, format!("Repeater {row}.2"), format!("Earth {row}.1"));
    }
    (pad, SheetId(1))
}
