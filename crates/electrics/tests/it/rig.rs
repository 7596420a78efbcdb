//! Small cars for tests, made of the standard part types.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{
    Anchor, Body, Car, Change, EarthPolarity, End, Insulation, Part, PartId, PartSeen, PartType,
    Patch, Row, RowId, SheetId, Standing, SystemVoltage, Vehicle, Wire, WireId,
};
use loomwright_electrics::{Network, Setting, Settled, Solution, State};
use loomwright_units::{Metres, WireArea};

/// A car being put together, by labels.
pub(crate) struct Rig {
    pub(crate) car: Car,
    last: u32,
}

impl Rig {
    pub(crate) fn new() -> Self {
        Self::with(Vehicle::default())
    }

    pub(crate) fn positive_earth() -> Self {
        Self::with(Vehicle { earth: EarthPolarity::Positive, ..Vehicle::default() })
    }

    pub(crate) fn of_voltage(voltage: SystemVoltage) -> Self {
        Self::with(Vehicle { voltage, ..Vehicle::default() })
    }

    pub(crate) fn of_wood() -> Self {
        Self::with(Vehicle { body: Body::CarriesNoCurrent, ..Vehicle::default() })
    }

    /// An empty car of 6, 12 and 24 V, each with both earths.
    pub(crate) fn of_every_kind() -> Vec<Self> {
        let voltages = [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour];
        let earths = [EarthPolarity::Negative, EarthPolarity::Positive];
        let kinds = voltages.into_iter().flat_map(|voltage| earths.map(|earth| (voltage, earth)));
        let rig = |(voltage, earth)| Self::with(Vehicle { voltage, earth, ..Vehicle::default() });
        kinds.map(rig).collect()
    }

    /// Marked voltage of the car.
    pub(crate) fn system_volts(&self) -> f64 {
        self.car.vehicle().voltage.volts().0
    }

    /// The live post of the battery and the earthed one, by name.
    pub(crate) fn posts(&self) -> [&'static str; 2] {
        match self.car.vehicle().earth {
            EarthPolarity::Negative => ["+", "-"],
            EarthPolarity::Positive => ["-", "+"],
        }
    }

    pub(crate) fn with(vehicle: Vehicle) -> Self {
        Self { car: Car::new(vehicle), last: 1 }
    }

    fn put(&mut self, row: RowId, after: Row) {
        let change = Change { row, before: None, after: Some(after) };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last });
    }

    /// A part with its label, type and figures.
    pub(crate) fn part(&mut self, label: &str, type_name: &str, facts: &[(&str, f64)]) -> PartId {
        self.part_on(label, type_name, facts, &[])
    }

    /// The same, with names for its controls.
    pub(crate) fn part_on(
        &mut self,
        label: &str,
        type_name: &str,
        facts: &[(&str, f64)],
        controls: &[(&str, &str)],
    ) -> PartId {
        assert!(self.car.type_named(type_name).is_some(), "no part type {type_name}");
        self.last += 1;
        let id = PartId(self.last);
        let owned = |(key, name): &(&str, &str)| ((*key).to_owned(), (*name).to_owned());
        let part = Part {
            type_name: type_name.to_owned(),
            label: label.to_owned(),
            standing: Standing::AsFound,
            sheet: SheetId(1),
            place: loomwright_circuit::Placement::default(),
            facts: facts.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect(),
            controls: controls.iter().map(owned).collect(),
            roles: BTreeMap::default(),
            seen: PartSeen::default(),
            note: String::new(),
        };
        self.put(RowId::Part(id), Row::Part(part));
        id
    }

    /// Gives the car a part type of its own: a known one under another name, changed.
    pub(crate) fn own_type(&mut self, of: &str, name: &str, change: impl Fn(&mut PartType)) {
        let mut own = (**self.car.type_named(of).expect("a type")).clone();
        name.clone_into(&mut own.name);
        change(&mut own);
        self.put(RowId::OwnType(name.to_owned()), Row::OwnType(Arc::new(own)));
    }

    /// Sets a figure of a part.
    pub(crate) fn set(&mut self, part: PartId, fact: &str, value: f64) {
        let mut row = self.car.part(part).expect("part").clone();
        row.facts.insert(fact.to_owned(), value);
        self.put(RowId::Part(part), Row::Part(row));
    }

    /// Makes a wire longer, m.
    pub(crate) fn lengthen(&mut self, wire: WireId, by: f64) {
        let mut row = self.car.wire(wire).expect("wire").clone();
        row.length = row.length.map(|length| Metres(length.0 + by));
        self.put(RowId::Wire(wire), Row::Wire(row));
    }

    /// The wire between two terminals.
    pub(crate) fn wire_between(&self, from: &str, to: &str) -> WireId {
        let (from, to) = (self.end(from).at, self.end(to).at);
        let mut wires = self.car.wires().iter();
        let wire = wires.find(|(_, wire)| wire.from.at == from && wire.to.at == to);
        *wire.expect("a wire there").0
    }

    /// Takes a wire out.
    pub(crate) fn unwire(&mut self, wire: WireId) {
        let before = Row::Wire(self.car.wire(wire).expect("wire").clone());
        let change = Change { row: RowId::Wire(wire), before: Some(before), after: None };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last });
    }

    /// Takes a part out, with its wires.
    pub(crate) fn remove(&mut self, part: PartId) {
        let hangs = |wire: &&Wire| wire.ends().iter().any(|end| end.at.part() == Some(part));
        let wires = self.car.wires().iter().filter(|(_, wire)| hangs(wire));
        for id in wires.map(|(id, _)| *id).collect::<Vec<_>>() {
            self.unwire(id);
        }
        let before = Row::Part(self.car.part(part).expect("part").clone());
        let change = Change { row: RowId::Part(part), before: Some(before), after: None };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last });
    }

    /// The same car with ids given in another order, and so its rows.
    pub(crate) fn shuffled(&self, dice: u64) -> Self {
        let mut ids: Vec<u32> = self.car.parts().keys().map(|id| id.0).collect();
        ids.extend(self.car.wires().keys().map(|id| id.0));
        let mut order = ids.clone();
        // Another order for each dice: the high bits of a product with an odd number.
        order.sort_by_key(|id| u64::from(*id).wrapping_mul(dice | 1).rotate_left(32));
        let given: BTreeMap<u32, u32> = order.into_iter().zip(ids).collect();
        let mut shuffled = Self { car: Car::new(self.car.vehicle().clone()), last: self.last };
        for (id, part) in self.car.parts() {
            shuffled.put(RowId::Part(PartId(given[&id.0])), Row::Part(part.clone()));
        }
        for (id, wire) in self.car.wires() {
            let mut wire = wire.clone();
            for end in [&mut wire.from, &mut wire.to] {
                if let Anchor::Terminal { part, .. } = &mut end.at {
                    *part = PartId(given[&part.0]);
                }
            }
            shuffled.put(RowId::Wire(WireId(given[&id.0])), Row::Wire(wire));
        }
        shuffled
    }

    fn end(&self, end: &str) -> End {
        let (label, terminal) = end.rsplit_once('.').unwrap_or((end, "1"));
        let (part, _) = self.car.part_labelled(label).unwrap_or_else(|| panic!("no part {label}"));
        End::terminal(part, terminal)
    }

    /// A wire between two terminals: 2 mm², 1 m.
    pub(crate) fn wire(&mut self, from: &str, to: &str) -> WireId {
        self.cable(from, to, Some(2.0), Some(1.0))
    }

    pub(crate) fn cable(
        &mut self,
        from: &str,
        to: &str,
        mm2: Option<f64>,
        m: Option<f64>,
    ) -> WireId {
        self.last += 1;
        let id = WireId(self.last);
        let mut wire = Wire::new(format!("W{}", self.last), self.end(from), self.end(to));
        wire.size = mm2.map(|mm2| WireArea::new(mm2).expect("size"));
        wire.length = m.map(Metres);
        wire.insulation = Some(Insulation::Pvc);
        self.put(RowId::Wire(id), Row::Wire(wire));
        id
    }

    pub(crate) fn network(&self) -> Network {
        Network::of(&self.car, loomwright_circuit::Version::After)
    }

    pub(crate) fn id(&self, label: &str) -> PartId {
        self.car.part_labelled(label).expect("label").0
    }

    pub(crate) fn volts(&self, solution: &Solution, terminal: &str) -> Option<f64> {
        let (label, name) = terminal.rsplit_once('.').expect("terminal");
        solution.volts(self.id(label), name).map(|volts| volts.0)
    }
}

/// A setting by name.
pub(crate) fn at(network: &Network, positions: &[(&str, &str)]) -> Setting {
    let owned = |(control, at): &(&str, &str)| ((*control).to_owned(), (*at).to_owned());
    let positions: BTreeMap<String, String> = positions.iter().map(owned).collect();
    network.setting(&positions).expect("setting")
}

/// From rest to a setting at once.
pub(crate) fn measure(network: &Network, positions: &[(&str, &str)]) -> Settled {
    let rest = network.at_rest();
    network.moved(&rest.state, &at(network, positions))
}

/// One setting after the other, each by name, from rest.
pub(crate) fn follow(network: &Network, settings: &[&[(&str, &str)]]) -> Settled {
    let mut now = network.at_rest();
    for positions in settings {
        let state: State = now.state.clone();
        now = network.moved(&state, &at(network, positions));
    }
    now
}

/// The car that a sketch describes.
pub(crate) fn car_of_sketch(sketch: &str) -> Car {
    loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"))
}

/// The part with this label.
pub(crate) fn part_of(car: &Car, label: &str) -> PartId {
    car.part_labelled(label).unwrap_or_else(|| panic!("no part {label}")).0
}

/// The wire with this label.
pub(crate) fn wire_of(car: &Car, label: &str) -> WireId {
    let mut wires = car.wires().iter();
    *wires.find(|(_, wire)| wire.label == label).unwrap_or_else(|| panic!("no wire {label}")).0
}
