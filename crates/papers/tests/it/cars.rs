//! Invented cars to print.

use std::collections::BTreeMap;

use loomwright_circuit::{
    Car, Change, EarthPolarity, End, Fitting, Insulation, Part, PartId, PartSeen, Patch, Placement,
    Point, Row, RowId, Sheet, SheetId, Standing, SystemVoltage, Turn, Vehicle, Wire, WireColour,
    WireId,
};
use loomwright_electrics::Move;
use loomwright_rules::{Finding, Level, NotChecked, PromiseRow, Report};
use loomwright_units::{Metres, WireArea};

/// A car under construction.
pub(crate) struct Pad {
    pub(crate) car: Car,
    last_id: u32,
    sheet: SheetId,
}

impl Pad {
    pub(crate) fn new(vehicle: Vehicle, title: &str) -> Self {
        let mut pad = Self { car: Car::new(vehicle), last_id: 1, sheet: SheetId(1) };
        pad.put(RowId::Sheet(SheetId(1)), Row::Sheet(Sheet { title: title.to_owned() }));
        pad
    }

    pub(crate) fn put(&mut self, row: RowId, after: Row) {
        let change = Change { row, before: None, after: Some(after) };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last_id });
    }

    /// Goes on, on another sheet.
    pub(crate) fn sheet(&mut self, title: &str) {
        self.last_id += 1;
        self.sheet = SheetId(self.last_id);
        self.put(RowId::Sheet(self.sheet), Row::Sheet(Sheet { title: title.to_owned() }));
    }

    pub(crate) fn part(
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
        self.put(RowId::Part(id), Row::Part(part));
        id
    }

    /// Runs a wire; `cable` is colour, mm² and m in one text: "blue/yellow 2 1.35".
    pub(crate) fn wire(
        &mut self,
        label: &str,
        from: (PartId, &str),
        to: (PartId, &str),
        cable: &str,
        standing: Standing,
    ) -> WireId {
        let mut fields = cable.split(' ');
        let mut next = || fields.next().filter(|field| *field != "?");
        self.last_id += 1;
        let id = WireId(self.last_id);
        let end = |(part, terminal): (PartId, &str), fitting| End {
            fitting,
            ..End::terminal(part, terminal)
        };
        let mut wire = Wire::new(
            label,
            end(from, Some(Fitting::Blade63)),
            end(to, (standing == Standing::ToFit).then_some(Fitting::RingM5)),
        );
        wire.standing = standing;
        wire.colour = next().map(|colour| WireColour::read(colour).unwrap());
        wire.size = next().map(|size| WireArea::read(size).unwrap());
        wire.length = next().map(|length| Metres(length.parse().unwrap()));
        wire.insulation = wire.size.map(|_| Insulation::ThinWall);
        self.put(RowId::Wire(id), Row::Wire(wire));
        id
    }
}

pub(crate) fn vehicle() -> Vehicle {
    Vehicle {
        name: "Curlew roadster".to_owned(),
        purpose: "A pair of driving lamps on a relay, that light with the main beam only."
            .to_owned(),
        ..Vehicle::default()
    }
}

/// One circuit: two driving lamps on a relay.
pub(crate) fn driving_lamps() -> Car {
    use Standing::{AsFound, ToFit, ToRemove};
    let mut pad = Pad::new(vehicle(), "Driving lamps");
    let battery = pad.part("battery", "Battery", [20.0, 90.0], Turn::default(), AsFound);
    let earth = pad.part("battery-earth", "Battery earth", [20.0, 115.0], Turn::default(), AsFound);
    let fuse = pad.part("fuse-blade", "Driving-lamp fuse", [45.0, 40.0], Turn::default(), ToFit);
    let relay = pad.part("relay-make", "Driving-lamp relay", [90.0, 35.0], Turn::default(), ToFit);
    let switch = pad.part("switch", "Driving-lamp switch", [45.0, 70.0], Turn::default(), ToFit);
    let left = pad.part("lamp", "Left driving lamp", [140.0, 30.0], Turn::default(), ToFit);
    let right = pad.part("lamp", "Right driving lamp", [140.0, 60.0], Turn::default(), ToFit);
    let left_earth =
        pad.part("body-earth", "Left wing earth", [160.0, 40.0], Turn::default(), ToFit);
    let right_earth =
        pad.part("body-earth", "Right wing earth", [160.0, 75.0], Turn::default(), ToFit);
    let relay_earth = pad.part("body-earth", "Bulkhead earth", [115.0, 20.0], Turn::Half, ToFit);
    pad.wire("W1", (battery, "+"), (fuse, "1"), "brown 2.5 0.4", ToFit);
    pad.wire("W2", (battery, "-"), (earth, "1"), "black 16 0.35", AsFound);
    pad.wire("W3", (fuse, "2"), (relay, "30"), "purple 2.5 0.25", ToFit);
    pad.wire("W4", (fuse, "2"), (switch, "1"), "purple 1 1.2", ToFit);
    pad.wire("W5", (switch, "2"), (relay, "86"), "blue/yellow 1 1.35", ToFit);
    pad.wire("W6", (relay, "85"), (relay_earth, "1"), "black 1 0.2", ToFit);
    pad.wire("W7", (relay, "87"), (left, "1"), "blue/yellow 2 1.1", ToFit);
    pad.wire("W8", (relay, "87"), (right, "1"), "blue/yellow 2 2.2", ToFit);
    pad.wire("W9", (left, "2"), (left_earth, "1"), "black 2 0.5", ToFit);
    pad.wire("W10", (right, "2"), (right_earth, "1"), "black 2 ?", ToFit);
    pad.wire("W11", (switch, "2"), (left, "1"), "? ? ?", ToRemove);
    pad.car
}

/// A whole car of `n` like circuits on one sheet, in columns of twelve, and one circuit on a sheet of its own.
pub(crate) fn whole_car(n: usize) -> Car {
    let mut pad = Pad::new(
        Vehicle { earth: EarthPolarity::Positive, voltage: SystemVoltage::Six, ..vehicle() },
        "Whole car",
    );
    let covers = ["red", "green/white", "light green/brown", "white/blue", "slate/red", "yellow"];
    let standings = [Standing::AsFound, Standing::ToFit, Standing::AsFound, Standing::ToRemove];
    for idx in 0..n {
        let (x, y) = ((idx / 12) as f64 * 170.0, (idx % 12) as f64 * 30.0);
        let number = |k: usize| format!("W{}", idx * 3 + k);
        let standing = standings[idx % 4];
        let fuse =
            pad.part("fuse-glass", &format!("Fuse {idx}"), [x, y], Turn::default(), standing);
        let switch = pad.part(
            "switch",
            &format!("Switch of circuit {idx}"),
            [x + 55.0, y],
            Turn::default(),
            standing,
        );
        let lamp =
            pad.part("lamp", &format!("Lamp {idx}"), [x + 105.0, y], Turn::default(), standing);
        let earth = pad.part(
            "body-earth",
            &format!("Earth {idx}"),
            [x + 135.0, y + 7.5],
            Turn::default(),
            standing,
        );
        let cable = format!(
            "{} 1 {}",
            covers[idx % covers.len()].replace(' ', "-"),
            1.0 + idx as f64 / 10.0
        );
        pad.wire(&number(1), (fuse, "2"), (switch, "1"), &cable, standing);
        pad.wire(&number(2), (switch, "2"), (lamp, "1"), &cable, standing);
        pad.wire(&number(3), (lamp, "2"), (earth, "1"), "black 1 0.3", standing);
        if idx >= 12 {
            let other = pad.car.part_labelled(&format!("Lamp {}", idx - 12)).unwrap().0;
            pad.wire(&format!("T{idx}"), (other, "2"), (fuse, "1"), "black 1 0.8", standing);
        }
    }
    pad.sheet("Horn");
    let horn = pad.part("horn", "Horn", [40.0, 0.0], Turn::default(), Standing::AsFound);
    let push = pad.part("push", "Horn push", [0.0, 0.0], Turn::default(), Standing::AsFound);
    pad.wire("W900", (push, "2"), (horn, "1"), "purple/black 1 1", Standing::AsFound);
    pad.car
}

/// Words that a careless page would take for its own markup, cannot break, or has no letters for.
pub(crate) const WEIRD: [&str; 9] = [
    "#panic(\"boo\") #[x]",
    "$ x^2 $ _a_ *b* `c`",
    "say \"it\" \\ 'is' \\n {so}",
    "= Heading\n- list\n+ list",
    "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaftslampe",
    "wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
    "פנס ימני מצד שמאל",
    "Lamp 💡 👨‍👩‍👧 end",
    "<left@lamp> ~ // no comment /* nor this */ https://lamp.invalid/a?b=c",
];

/// Weird words wherever people may write any.
pub(crate) fn weird() -> Car {
    let mut pad = Pad::new(
        Vehicle {
            name: WEIRD.join(" "),
            purpose: WEIRD.join(" / "),
            notes: WEIRD.join("\n"),
            ..vehicle()
        },
        WEIRD[0],
    );
    let mut last = None;
    for (idx, words) in WEIRD.iter().enumerate() {
        let at = [0.0, idx as f64 * 40.0];
        let lamp = pad.part("lamp", words, at, Turn::default(), Standing::ToFit);
        if let Some(last) = last {
            let number = format!("{}{}", &words.chars().take(30).collect::<String>(), idx);
            let id = pad.wire(&number, (last, "2"), (lamp, "1"), "green 1 1", Standing::ToFit);
            let mut wire = pad.car.wire(id).unwrap().clone();
            (*words).clone_into(&mut wire.note);
            pad.put(RowId::Wire(id), Row::Wire(wire));
        }
        last = Some(lamp);
    }
    pad.car
}

fn moved((control, position): (&str, &str)) -> Move {
    Move { control: control.to_owned(), position: position.to_owned() }
}

/// A report with one finding of each level on the first rows of a car.
pub(crate) fn report(car: &Car) -> Report {
    let parts: Vec<_> = car.parts().keys().copied().take(2).collect();
    let wires: Vec<_> = car.wires().keys().copied().take(2).collect();
    let finding = |level, title: &'static str, says: &str| Finding {
        code: "LD01",
        rule: "wire-over-its-size",
        level,
        title,
        says: says.to_owned(),
        advice: "Fit cable of 2.5 mm² thin wall, or a fuse of 10 A at the battery".to_owned(),
        parts: if level == Level::Fault { Vec::new() } else { parts.clone() },
        wires: wires.clone(),
        moves: [("ignition", "on"), ("lighting", "head")].map(moved).into(),
        setting: BTreeMap::new(),
        figures: BTreeMap::new(),
        source: "BS 6862-1:1971, table 2, thin wall at 30 °C",
        fixes: Vec::new(),
        no_fix: None,
        unknown: Vec::new(),
        fault: None,
        band: loomwright_rules::Band::Whole,
        origin: loomwright_rules::Origin::NotAsked,
        accepted: None,
    };
    let promise = |promise: &str, holds, says: &str| PromiseRow {
        promise: promise.to_owned(),
        holds,
        says: says.to_owned(),
        is_certain: true,
    };
    Report {
        reaches: loomwright_rules::Needs::Faults,
        findings: vec![
            finding(Level::Danger, "Wire over its limit", "W1 carries 31.2 A and is good for 29 A"),
            finding(
                Level::Fault,
                "Loose end",
                "W2 ends in nothing, so the left driving lamp has no earth",
            ),
            finding(
                Level::Advice,
                "Same colour twice",
                "W7 and W8 are both blue/yellow at one terminal",
            ),
        ],
        not_checked: vec![NotChecked {
            code: "LD02",
            says: "not checked: whether W10 loses too many volts; its length is not known"
                .to_owned(),
        }],
        promises: vec![
            promise("With ignition at off: Left driving lamp dark", Some(true), "in all 12 states"),
            promise("With horn at pressed: Horn working", Some(false), "Horn is idle"),
            promise("With hazard at on: Flasher working", None, "no switch is called 'hazard'"),
        ],
        settings: 1536,
        states: 1712,
        is_complete: true,
        is_exact: true,
        ..Report::default()
    }
}
