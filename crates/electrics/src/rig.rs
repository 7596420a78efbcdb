//! A copy of a car that is taken apart for a test: batteries opened, fuses pulled, leads taken off, things gone wrong,
//! a meter or a lamp put in.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

use loomwright_circuit::part_type::{Element, FlasherFamily, LoadFamily};
use loomwright_circuit::{
    Anchor, Car, Change, EarthPolarity, End, Part, PartId, PartSeen, PartType, Patch, Placement,
    Row, RowId, SheetId, Standing, Version, Wire, WireId,
};
use loomwright_units::{Metres, WireArea};

use crate::{Fault, Losses, Network, Setting, Solution};

pub use bench::CoilFed;
use parts::{METER, SERIES, meter, series};
pub use wrong::{FLAT_CHARGE, Wrong};

mod bench;
mod parts;
mod wrong;

/// What a meter set to ohms shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ohms {
    /// A resistance.
    Reads(f64),
    /// Nothing joins the probes.
    Open,
}

impl Ohms {
    /// The resistance, where there is one.
    pub fn figure(self) -> Option<f64> {
        match self {
            Self::Reads(ohms) => Some(ohms),
            Self::Open => None,
        }
    }
}

/// More than this, ohm, reads as open on the ranges that people use in a car.
const OPEN_FROM: f64 = 1e6;
/// In series with the meter's own battery, ohm: a meter tests with a milliampere or two (practice), so filaments read
/// as cold as they are.
const METER_OHMS: f64 = 1000.0;
/// Resistance of a meter set to amps with its two leads, ohm (practice: 0.01 to 0.03 on the 10 A range).
pub const SHUNT_OHMS: f64 = 0.02;
/// Watts of the lamp that stands in for a fuse at the first power-up (practice: a stop-lamp bulb).
pub const LAMP_WATTS: f64 = 21.0;

/// A bulb that takes less of the meter's current than this, as a share, is not in the way.
const LEAST_SHARE: f64 = 1e-3;

/// A wire of the rig: so short and thick that it does not count.
static LEAD: LazyLock<(Option<WireArea>, Metres)> =
    LazyLock::new(|| (WireArea::new(120.0).ok(), Metres(0.01)));

/// A copy of a car that tests are made on.
#[derive(Debug, Clone)]
pub struct Rig {
    car: Car,
    last_id: u32,
    losses: Losses,
    /// What is wrong with it, beside what its car shows.
    faults: Vec<Fault>,
    /// Parts that are taken out, whose terminals stay.
    out: Vec<PartId>,
}

impl Rig {
    /// A copy of a car.
    pub fn of(car: &Car) -> Self {
        let ids = car.parts().keys().map(|id| id.0).chain(car.wires().keys().map(|id| id.0));
        Self::new(car.clone(), ids.max().unwrap_or(0) + 1000)
    }

    fn new(car: Car, last_id: u32) -> Self {
        let (faults, out) = (Vec::new(), Vec::new());
        Self { car, last_id, losses: Losses::USUAL, faults, out }
    }

    /// Loses so much in copper, joints, earths and battery.
    #[must_use]
    pub fn losing(mut self, losses: Losses) -> Self {
        self.losses = losses;
        self
    }

    /// The car after the alteration, as it stands in the rig.
    pub fn network(&self) -> Network {
        let mut network = Network::with_losses(&self.car, Version::After, self.losses);
        if !self.faults.is_empty() {
            network = network.with_faults(&self.faults);
        }
        if self.out.is_empty() { network } else { network.without(&self.out) }
    }

    /// Joins two places with a meter set to amps.
    #[must_use]
    pub fn with_ammeter(mut self, red: (PartId, &str), black: (PartId, &str)) -> Self {
        self.add_type(series());
        let shunt = self.part(SERIES, &[("ohms", SHUNT_OHMS)]);
        self.join((shunt, "1"), red);
        self.join((shunt, "2"), black);
        self
    }

    /// The ammeter that was put in last.
    pub fn ammeter(&self) -> Option<PartId> {
        let parts = self.car.parts().iter().rev();
        parts.into_iter().find(|(_, part)| part.type_name == SERIES).map(|(id, _)| *id)
    }

    /// A terminal at an end of a wire: the one that it is on, or one of its own where it hangs free.
    pub fn end_of(&mut self, wire: WireId, is_to: bool) -> Option<(PartId, String)> {
        let before = self.car.wire(wire)?.clone();
        let end = if is_to { &before.to } else { &before.from };
        if let Anchor::Terminal { part, terminal } = &end.at {
            return Some((*part, terminal.clone()));
        }
        let lug = self.part("joint", &[]);
        let mut after = before.clone();
        let end = if is_to { &mut after.to } else { &mut after.from };
        end.at = Anchor::terminal(lug, "1");
        self.change(RowId::Wire(wire), Some(Row::Wire(before)), Some(Row::Wire(after)));
        Some((lug, "1".to_owned()))
    }

    /// Leaves wires off.
    #[must_use]
    pub fn without(mut self, wires: &BTreeSet<WireId>) -> Self {
        for id in wires {
            let before = self.car.wire(*id).cloned().map(Row::Wire);
            self.change(RowId::Wire(*id), before, None);
        }
        self
    }

    /// Takes the leads off the posts of every battery, yet leaves each post's leads together.
    #[must_use]
    pub fn without_batteries(mut self) -> Self {
        let is_battery = |element: &Element| matches!(element, Element::Battery { .. });
        for id in parts_with(&self.car, is_battery) {
            self.open(id, is_battery);
        }
        self
    }

    /// Pulls the fuses that the alteration brings.
    #[must_use]
    pub fn without_new_fuses(mut self) -> Self {
        let is_fuse = |element: &Element| matches!(element, Element::Fuse { .. });
        for id in parts_with(&self.car, is_fuse) {
            if self.car.part(id).is_some_and(|part| part.standing == Standing::ToFit) {
                self.open(id, is_fuse);
            }
        }
        self
    }

    /// Takes the bulbs of these parts out.
    #[must_use]
    pub fn without_bulbs(mut self, lamps: &[PartId]) -> Self {
        for id in lamps {
            self.open(*id, is_bulb);
        }
        self
    }

    /// Unplugs electronic flasher units: what they are from feed to lamps without a feed, only their maker knows.
    #[must_use]
    pub fn without_electronic_flashers(mut self) -> (Self, Vec<PartId>) {
        let flashers = parts_with(&self.car, is_electronic_flasher);
        for id in &flashers {
            self.open(*id, is_electronic_flasher);
        }
        (self, flashers)
    }

    /// Parts the contact breakers: no current passes an ignition coil.
    #[must_use]
    pub fn with_breakers_open(mut self) -> Self {
        for id in parts_with(&self.car, is_ignition_coil) {
            self.open(id, is_ignition_coil);
        }
        self
    }

    /// Puts a lamp in place of a fuse.
    #[must_use]
    pub fn with_lamp_for_fuse(mut self, id: PartId, [a, b]: [&str; 2]) -> (Self, PartId) {
        self.open(id, |element| match element {
            Element::Fuse { between: [from, to], .. } => from == a && to == b,
            _ => false,
        });
        let lamp = self.lamp();
        self.join((lamp, "1"), (id, a));
        self.join((lamp, "2"), (id, b));
        (self, lamp)
    }

    /// Puts a lamp between the earthed post of the battery and all leads that were on it.
    #[must_use]
    pub fn with_lamp_in_earth_lead(mut self, post: (PartId, &str)) -> (Self, PartId) {
        let lamp = self.lamp();
        for (id, wire) in &self.car.wires().clone() {
            let mut moved = wire.clone();
            for end in [&mut moved.from, &mut moved.to] {
                if is_at(end, post) {
                    end.at = End::terminal(lamp, "2").at;
                }
            }
            if moved != *wire {
                let before = Some(Row::Wire(wire.clone()));
                self.change(RowId::Wire(*id), before, Some(Row::Wire(moved)));
            }
        }
        self.join((lamp, "1"), post);
        (self, lamp)
    }

    /// One part by itself, on the bench.
    pub fn alone(car: &Car, id: PartId) -> Self {
        let mut rig = Self::new(Car::new(car.vehicle().clone()), id.0 + 1000);
        for part_type in car.own_types().values() {
            let row = Row::OwnType(Arc::clone(part_type));
            rig.change(RowId::OwnType(part_type.name.clone()), None, Some(row));
        }
        let part = car.part(id).cloned().map(Row::Part);
        rig.change(RowId::Part(id), None, part);
        rig
    }

    /// What a meter shows between a place and the clamp of the earth lead, the batteries being off and all controls
    /// at rest.
    pub fn ohms_to_earth_clamp(self, place: (PartId, &str), post: (PartId, &str)) -> Ohms {
        self.ohms_between(place, post, &BTreeMap::new())
    }

    /// The same between any two places, with controls put into these positions.
    pub fn ohms_between(
        self,
        place: (PartId, &str),
        post: (PartId, &str),
        set: &BTreeMap<String, String>,
    ) -> Ohms {
        self.metered(place, post, set).0
    }

    /// The same, and the lamps whose bulbs the meter's current passes.
    pub fn metered(
        self,
        place: (PartId, &str),
        post: (PartId, &str),
        set: &BTreeMap<String, String>,
    ) -> (Ohms, Vec<PartId>) {
        self.metered_where(place, post, |network| {
            network.setting(set).ok().filter(|_| !set.is_empty())
        })
    }

    /// The same with the controls in a setting of the car.
    pub fn ohms_in(self, red: (PartId, &str), black: (PartId, &str), setting: &Setting) -> Ohms {
        self.metered_where(red, black, |_| Some(setting.clone())).0
    }

    fn metered_where(
        self,
        place: (PartId, &str),
        post: (PartId, &str),
        setting: impl FnOnce(&Network) -> Option<Setting>,
    ) -> (Ohms, Vec<PartId>) {
        let is_negative = self.car.vehicle().earth == EarthPolarity::Negative;
        let mut rig = self;
        rig.add_type(meter());
        rig.add_type(series());
        let meter = rig.part(METER, &[]);
        let (at_place, at_post) = if is_negative { ("+", "-") } else { ("-", "+") };
        let series = rig.part(SERIES, &[("ohms", METER_OHMS)]);
        rig.join((meter, at_place), (series, "1"));
        rig.join((series, "2"), place);
        rig.join((meter, at_post), post);
        let network = rig.network();
        // Relays that were in have dropped out with the battery off.
        let rest = network.at_rest();
        let settled = match setting(&network) {
            Some(setting) => network.moved(&rest.state, &setting),
            None => rest,
        };
        let amps = |id: PartId| settled.on.part(id).map_or(0.0, |reading| reading.amps.0.abs());
        let passed = amps(series) * LEAST_SHARE;
        let lamps = parts_with(&rig.car, is_bulb).into_iter();
        let lamps = lamps.filter(|id| passed > 0.0 && amps(*id) > passed).collect();
        (read(&settled.on, series, place, post), lamps)
    }

    fn open(&mut self, id: PartId, is_out: impl Fn(&Element) -> bool) {
        let Some(known) = self.car.type_of(id).cloned() else { return };
        let Some(part) = self.car.part(id).cloned() else { return };
        // A type for each part: what one of a kind has lost, another may still have.
        let name = format!("{}-without-{}", known.name, id.0);
        let mut opened = PartType { name: name.clone(), ..(*known).clone() };
        opened.elements.retain(|element| !is_out(element));
        self.add_type(opened);
        let after = Part { type_name: name, ..part.clone() };
        self.change(RowId::Part(id), Some(Row::Part(part)), Some(Row::Part(after)));
    }

    fn add_type(&mut self, part_type: PartType) {
        let name = part_type.name.clone();
        self.change(RowId::OwnType(name), None, Some(Row::OwnType(Arc::new(part_type))));
    }

    fn part(&mut self, type_name: &str, facts: &[(&str, f64)]) -> PartId {
        self.last_id += 1;
        let id = PartId(self.last_id);
        let part = Part {
            type_name: type_name.to_owned(),
            label: format!("{type_name} {}", self.last_id),
            standing: Standing::AsFound,
            sheet: self.car.sheets().keys().next().copied().unwrap_or(SheetId(1)),
            place: Placement::default(),
            facts: facts.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect(),
            controls: BTreeMap::default(),
            seen: PartSeen::default(),
            roles: BTreeMap::default(),
            note: String::new(),
        };
        self.change(RowId::Part(id), None, Some(Row::Part(part)));
        id
    }

    /// The lamp that stands in for a fuse.
    fn lamp(&mut self) -> PartId {
        self.part("lamp", &[("watts", LAMP_WATTS)])
    }

    fn join(&mut self, from: (PartId, &str), to: (PartId, &str)) {
        self.last_id += 1;
        let id = WireId(self.last_id);
        let mut wire = Wire::new(
            format!("rig {}", self.last_id),
            End::terminal(from.0, from.1),
            End::terminal(to.0, to.1),
        );
        (wire.size, wire.length) = (LEAD.0, Some(LEAD.1));
        self.change(RowId::Wire(id), None, Some(Row::Wire(wire)));
    }

    fn change(&mut self, row: RowId, before: Option<Row>, after: Option<Row>) {
        let change = Change { row, before, after };
        self.car.apply(&Patch { changes: vec![change], last_id: self.last_id });
    }
}

/// What a meter set to ohms shows between two terminals of a part by itself, the red probe first, with its controls in
/// these positions; nothing where it shows no reading.
pub fn ohms_on_the_bench(
    car: &Car,
    part: PartId,
    [red, black]: [&str; 2],
    set: &BTreeMap<String, String>,
) -> Option<f64> {
    Rig::alone(car, part).ohms_between((part, red), (part, black), set).figure()
}

fn is_bulb(element: &Element) -> bool {
    matches!(element, Element::Filament { .. })
}

fn is_electronic_flasher(element: &Element) -> bool {
    matches!(element, Element::Flasher { family: FlasherFamily::Electronic, .. })
}

fn is_ignition_coil(element: &Element) -> bool {
    matches!(element, Element::Load { family: LoadFamily::IgnitionCoil, .. })
}

fn is_at(end: &End, (part, terminal): (PartId, &str)) -> bool {
    end.at == End::terminal(part, terminal).at
}

fn parts_with(car: &Car, is_it: impl Fn(&Element) -> bool) -> Vec<PartId> {
    let has =
        |id: &&PartId| car.type_of(**id).is_some_and(|known| known.elements.iter().any(&is_it));
    car.parts().keys().filter(has).copied().collect()
}

/// Volts between the probes over what flows through the meter.
fn read(solution: &Solution, series: PartId, place: (PartId, &str), post: (PartId, &str)) -> Ohms {
    let volts =
        |(part, terminal): (PartId, &str)| solution.volts(part, terminal).map(|volts| volts.0);
    let amps = solution.part(series).map_or(0.0, |reading| reading.amps.0.abs());
    let (Some(at_place), Some(at_post)) = (volts(place), volts(post)) else { return Ohms::Open };
    let ohms = (at_place - at_post).abs() / amps.max(f64::MIN_POSITIVE);
    if ohms >= OPEN_FROM { Ohms::Open } else { Ohms::Reads(ohms) }
}
