//! Cars as a hasty owner draws them: parts dropped close together or in rows, any turn and mirror, long names, leads run
//! straight across, and what the rules then offer put in where they put it.

use std::sync::Arc;

use loomwright_circuit::part_type::{ControlType, Element, Position, Terminal};
use loomwright_circuit::{
    Box2, Car, Edit, End, Library, Part, PartId, PartSeen, PartType, Placement, Point, RowId,
    SheetId, Standing, Turn, Vehicle, Version, Wire, WireColour, WireId,
};
use loomwright_drawing::{
    Options, Tag, TagShape, arranged, composed, lay_out, symbol_body, well_placed,
};
use loomwright_electrics::{Bound, Network, explore};
use loomwright_rules::{Level, Report, check_all};
use loomwright_units::WireArea;

/// Throws of a die that fall alike in every run.
pub(crate) struct Die(u64);

impl Die {
    pub(crate) fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x1357_9bdf)
    }

    pub(crate) fn throw(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % n as u64).expect("small")
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.throw(of.len())]
    }
}

/// The one sheet of these cars.
pub(crate) const SHEET: SheetId = SheetId(1);
/// Symbols are dropped as near to each other as this, mm.
const APART: f64 = 6.0;

const LAMP_NAMES: [&str; 8] = [
    "Driving lamp, near side",
    "Driving lamp, off side",
    "Long range lamp on the badge bar, near side",
    "Long range lamp on the badge bar, off side",
    "Spot lamp",
    "Reversing lamp beside the number plate",
    "Lamp under the dashboard for the map",
    "",
];
const SWITCH_NAMES: [&str; 4] =
    ["Switch for the driving lamps, under the steering column", "Dash switch", "", "Auxiliary"];
const COLOURS: [&str; 6] = ["blue/yellow", "brown", "black", "red/white", "light green/black", ""];
const SIZES: [f64; 5] = [0.5, 1.0, 1.5, 2.5, 16.0];

/// How this owner drops parts.
enum Habit {
    /// One below the other, in columns.
    Rows { pitch: f64 },
    /// Anywhere in a square of this side.
    Scatter { side: f64 },
}

struct Owner {
    die: Die,
    car: Car,
    habit: Habit,
    n_placed: usize,
}

/// A car; the same for the same seed.
pub(crate) fn car(seed: u64) -> Car {
    let mut die = Die::of(seed);
    let habit = if die.throw(2) == 0 {
        Habit::Rows { pitch: [15.0, 17.5, 20.0, 25.0][die.throw(4)] }
    } else {
        Habit::Scatter { side: [90.0, 120.0, 150.0][die.throw(3)] }
    };
    let mut owner = Owner { die, car: Car::new(Vehicle::default()), habit, n_placed: 0 };
    owner.draw();
    for _ in 0..4 {
        owner.take_advice();
    }
    owner.cut_in();
    owner.car
}

/// What the rules say of it, as tags on its sheet.
pub(crate) fn tags(car: &Car) -> Vec<Tag> {
    let report = report(car);
    let findings = report.findings.iter().enumerate();
    let tags = findings.map(|(idx, finding)| Tag {
        number: idx + 1,
        shape: match finding.level {
            Level::Danger => TagShape::Pointed,
            Level::Fault => TagShape::Square,
            Level::Advice => TagShape::Round,
        },
        part: finding.parts.first().copied(),
        wire: finding.wires.first().copied().filter(|_| finding.parts.is_empty()),
    });
    tags.collect()
}

fn report(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let explored = explore(&network, Bound::default(), &mut |_| true);
    check_all(car, &network, &explored)
}

impl Owner {
    fn draw(&mut self) {
        let battery = self.part("battery", "", Standing::AsFound);
        let earth = self.part("body-earth", "", Standing::AsFound);
        self.wire((battery, "+"), (earth, "1"), Standing::AsFound);
        let mut feeds = vec![(battery, "-".to_owned())];
        let n_switches = 1 + self.die.throw(3);
        for _ in 0..n_switches {
            let name = self.die.one(&SWITCH_NAMES);
            let own = self.own_type();
            let kind = self.die.one(&[
                "ignition-switch",
                "lighting-switch",
                "switch",
                "relay-make",
                "fuse-box-2",
                "indicator-stalk",
                own.as_str(),
            ]);
            let switch = self.part(kind, name, Standing::AsFound);
            let terminals = self.terminals(switch);
            let from = self.die.throw(feeds.len());
            let (source, terminal) = feeds[from].clone();
            self.wire((source, &terminal), (switch, &terminals[0]), Standing::AsFound);
            let others = terminals.into_iter().skip(1).map(|name| (switch, name));
            feeds.extend(others);
        }
        feeds.remove(0);
        self.lamps(&feeds, earth);
    }

    fn lamps(&mut self, feeds: &[(PartId, String)], earth: PartId) {
        let n_lamps = 2 + self.die.throw(4);
        let standing = self.die.one(&[Standing::ToFit, Standing::AsFound, Standing::ToFit]);
        let kinds =
            ["lamp", "lamp", "lamp-double", "lamp-stop-tail", "fan", "horn", "warning-lamp"];
        let kind = self.die.one(&kinds);
        let first_name = self.die.throw(LAMP_NAMES.len());
        for idx in 0..n_lamps {
            let kind = if self.die.throw(4) == 0 { self.die.one(&kinds) } else { kind };
            let standing = if self.die.throw(6) == 0 { Standing::ToRemove } else { standing };
            let lamp = self.part(kind, LAMP_NAMES[(first_name + idx) % LAMP_NAMES.len()], standing);
            let terminals = self.terminals(lamp);
            let from = self.die.throw(feeds.len());
            let (source, terminal) = feeds[from].clone();
            self.wire((source, &terminal), (lamp, &terminals[0]), standing);
            // Now and then its earth is forgotten, and the rules put one in.
            if self.die.throw(3) == 0
                && let Some(last) = terminals.last()
            {
                self.wire((lamp, last), (earth, "1"), standing);
            }
        }
    }

    /// A switch of the owner's own with many positions of long names.
    fn own_type(&mut self) -> String {
        let names = ["off", "parking", "side", "dipped", "main", "everything"];
        let n_positions = 3 + self.die.throw(4);
        let name = format!("own-switch-{n_positions}");
        let terminals = (1..=n_positions).map(|n| Terminal {
            name: n.to_string(),
            says: String::new(),
            at: Point::default(),
            leaves: loomwright_circuit::Direction::Left,
            ..Library::standard().get("switch").expect("embedded").terminals[0].clone()
        });
        let positions: Vec<_> = names[..n_positions]
            .iter()
            .map(|name| Position { name: (*name).to_owned(), springs_to: None })
            .collect();
        let joins = positions.iter().enumerate().skip(1).map(|(n, position)| {
            (position.name.clone(), vec![vec!["1".to_owned(), (n + 1).to_string()]])
        });
        let like = Library::standard().get("lighting-switch").expect("embedded");
        let mut own = PartType {
            name: name.clone(),
            terminals: terminals.collect(),
            controls: vec![ControlType {
                positions: positions.clone(),
                ..like.controls[0].clone()
            }],
            elements: like.elements.clone(),
            ..(**like).clone()
        };
        if let Some(Element::Contacts { joins: known, .. }) = own.elements.first_mut() {
            *known = joins.collect();
        }
        for (terminal, (at, leaves)) in own.terminals.clone().iter().zip(arranged(&own)) {
            let row = own.terminals.iter_mut().find(|row| row.name == terminal.name);
            let row = row.expect("its own terminal");
            (row.at, row.leaves) = (at, leaves);
        }
        (own.outline, own.glows) = composed(&own);
        self.edit(Edit::SetOwnType(Arc::new(own)));
        name
    }

    fn terminals(&self, part: PartId) -> Vec<String> {
        let kind = self.car.type_of(part).expect("a known type");
        kind.terminals.iter().map(|terminal| terminal.name.clone()).collect()
    }

    fn edit(&mut self, edit: Edit) -> Option<Vec<RowId>> {
        let patch = self.car.plan(edit).ok()?;
        let new = patch.changes.iter().filter(|change| change.before.is_none());
        let new = new.map(|change| change.row.clone()).collect();
        self.car.apply(&patch);
        Some(new)
    }

    /// Drops a part where it lies on no other.
    fn part(&mut self, kind: &str, label: &str, standing: Standing) -> PartId {
        let part_type = Arc::clone(self.car.type_named(kind).expect("a known type"));
        let mut try_again = 0.0;
        loop {
            let place = self.place(try_again, kind.ends_with("earth"));
            let body = symbol_body(&part_type, &place).grown(APART / 2.0);
            if self.bodies().iter().any(|other| other.meets(body)) {
                try_again += 1.0;
                continue;
            }
            self.n_placed += 1;
            let is_free = self.car.part_labelled(label).is_none();
            let label = if is_free { label.to_owned() } else { String::new() };
            let rows = self.edit(Edit::Place(part(kind, label, standing, place)));
            let placed = rows.expect("placing never fails").into_iter().find_map(|row| match row {
                RowId::Part(id) => Some(id),
                _ => None,
            });
            return placed.expect("a new part");
        }
    }

    fn bodies(&self) -> Vec<Box2> {
        let parts = self.car.parts().values();
        let body = |part: &Part| {
            let kind = self.car.type_named(&part.type_name).expect("a known type");
            symbol_body(kind, &part.place).grown(APART / 2.0)
        };
        parts.map(body).collect()
    }

    fn place(&mut self, again: f64, is_earth: bool) -> Placement {
        let at = match self.habit {
            Habit::Rows { pitch } => {
                let (column, row) = (self.n_placed / 5, self.n_placed % 5);
                Point::new(column as f64 * 45.0 + again * 5.0, row as f64 * pitch + again * 2.5)
            }
            Habit::Scatter { side } => {
                let side = side + again * 2.5;
                let mut along = || self.die.throw(1000) as f64 / 1000.0 * side;
                Point::new(along() * 1.3, along())
            }
        };
        let turns = [Turn::None, Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];
        let turn = if is_earth { Turn::None } else { self.die.one(&turns) };
        Placement { at: at.snapped(2.5), turn, mirror: self.die.throw(4) == 0 && !is_earth }
    }

    fn wire(&mut self, from: (PartId, &str), to: (PartId, &str), standing: Standing) {
        let mut wire = Wire::new("", End::terminal(from.0, from.1), End::terminal(to.0, to.1));
        wire.colour = WireColour::read(self.die.one(&COLOURS)).ok();
        wire.size = WireArea::new(self.die.one(&SIZES)).ok();
        wire.standing = standing;
        self.edit(Edit::Run(wire));
    }

    /// Takes the first offer of the rules that puts a part in.
    fn take_advice(&mut self) {
        let findings = report(&self.car).findings.into_iter();
        let fixes = findings.filter_map(|finding| finding.fixes.into_iter().next());
        let places: Vec<_> = fixes.filter(|fix| places_part(&fix.edit)).collect();
        if let Some(fix) = places.into_iter().next() {
            let laid = lay_out(&self.car, SHEET, &Options::default());
            let edit = well_placed(&self.car, SHEET, fix.edit, &laid);
            self.edit(edit);
        }
    }

    /// Puts a fuse into the middle of a wire.
    fn cut_in(&mut self) {
        let wires: Vec<WireId> = self.car.wires().keys().copied().collect();
        let wire = self.die.one(&wires);
        let laid = lay_out(&self.car, SHEET, &Options::default());
        let Some(line) = laid.routes.get(&wire) else { return };
        let longest =
            line.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
        let Some([a, b]) = longest.map(|pair| [pair[0], pair[1]]) else { return };
        if a.distance(b) < 25.0 {
            return;
        }
        let turn = if a.x == b.x { Turn::Quarter } else { Turn::None };
        let place = Placement { at: ((a + b) * 0.5).snapped(2.5), turn, mirror: false };
        let kind = self.car.type_named("fuse-blade").expect("embedded");
        let body = symbol_body(kind, &place).grown(2.0);
        if self.bodies().iter().any(|other| other.meets(body)) {
            return;
        }
        let is_back = a.x > b.x || a.y > b.y;
        let ends = if is_back { ["2", "1"] } else { ["1", "2"] }.map(str::to_owned);
        let part = Box::new(part("fuse-blade", String::new(), Standing::ToFit, place));
        self.edit(Edit::CutIn { wire, part, ends });
    }
}

fn places_part(edit: &Edit) -> bool {
    match edit {
        Edit::Place(_) => true,
        Edit::All(edits) => edits.iter().any(places_part),
        _ => false,
    }
}

fn part(kind: &str, label: String, standing: Standing, place: Placement) -> Part {
    Part {
        type_name: kind.to_owned(),
        label,
        standing,
        sheet: SHEET,
        place,
        facts: std::collections::BTreeMap::new(),
        controls: std::collections::BTreeMap::new(),
        seen: PartSeen::default(),
        roles: std::collections::BTreeMap::new(),
        note: String::new(),
    }
}
