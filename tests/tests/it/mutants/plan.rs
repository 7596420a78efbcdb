//! A car as plain branches between numbered places, for a judge of its own: no rule, and not the program's solver.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{
    EarthPlace, Element, Figure, FlasherFamily, FuseFamily, LoadFamily,
};
use loomwright_circuit::{
    Anchor, Body, Car, EarthPolarity, Insulation, Part, PartId, PartType, SystemVoltage, Version,
    WireId,
};

/// Copper: what one metre of one mm² has, ohm (IEC 60028 at 20 °C).
const RHO: f64 = 0.017_241;
/// Joints at both ends of a wire, ohm (practice).
const JOINTS: f64 = 0.004;
/// A switch contact, ohm (practice).
const CONTACT: f64 = 0.01;
/// A fuse in its holder, ohm (practice).
const FUSE: f64 = 0.006;

/// A consumer: a part and which of its elements.
pub(crate) type LoadId = (PartId, usize);

/// What lies between two places.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kind {
    /// A resistance, S.
    Fixed(f64),
    /// A battery: EMF with the plus post first, V, and its conductance, S.
    Source(f64, f64),
    /// Tungsten: W, V.
    Filament(f64, f64),
    /// Lets current from the first place to the second only: threshold, V, and conductance beyond it, S.
    OneWay(f64, f64),
    /// Joined in some positions of a control.
    Contact { control: usize, closed: u32 },
    /// Joined by a relay, while it is in or while it is out.
    Relay { relay: usize, when_in: bool },
    /// A flasher's contact, looked at while lit; with an earth of its own it works only by that.
    Flasher { earth: Option<usize> },
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Branch {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) kind: Kind,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Coil {
    pub(crate) from: usize,
    pub(crate) to: usize,
    pub(crate) pulls_in: f64,
    pub(crate) drops_out: f64,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Load {
    pub(crate) id: LoadId,
    pub(crate) branch: usize,
    pub(crate) volts: f64,
    /// Does nothing the wrong way round.
    pub(crate) has_a_right_way: bool,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Fuse {
    pub(crate) branch: usize,
    pub(crate) carries: f64,
    /// Multiples of what it carries, with the longest that it takes to open there, s.
    pub(crate) gates: &'static [(f64, f64)],
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Lead {
    pub(crate) id: WireId,
    pub(crate) branch: usize,
    pub(crate) square_mm: f64,
    /// What it carries all day, A.
    pub(crate) rated: f64,
}

/// A car laid out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plan {
    pub(crate) places: usize,
    pub(crate) branches: Vec<Branch>,
    pub(crate) coils: Vec<Coil>,
    pub(crate) loads: Vec<Load>,
    pub(crate) fuses: Vec<Fuse>,
    pub(crate) leads: Vec<Lead>,
    /// Controls: their name and positions.
    pub(crate) controls: Vec<(String, Vec<String>)>,
    pub(crate) body: usize,
    /// Where volts are counted from.
    pub(crate) reference: usize,
}

/// ISO 8820-3 (as SAE J1284): the longest that a blade fuse may take.
const BLADE: &[(f64, f64)] = &[(1.35, 1800.0), (1.6, 50.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1)];
/// UL 248-14.
const GLASS: &[(f64, f64)] = &[(1.35, 3600.0), (2.0, 120.0)];
/// Old British glass, in multiples of half its marking: opens in the end at its marking (taken as for other glass),
/// soon a little above it.
const BRITISH: &[(f64, f64)] = &[(2.0, 120.0), (2.333, 1.0)];
/// DIN 72581-1 (practice).
const TORPEDO: &[(f64, f64)] = &[(1.5, 3600.0), (2.5, 120.0)];
/// SAE J553.
const BREAKER: &[(f64, f64)] = &[(1.35, 3600.0), (2.0, 60.0)];

/// UK suppliers' lists for ordinary PVC (towing supplier's guidance) and DIN VDE 0298-4 from 16 mm²: mm², A.
const PVC: [(f64, f64); 13] = [
    (0.5, 5.0),
    (0.75, 7.0),
    (1.0, 8.75),
    (1.5, 12.75),
    (2.0, 17.5),
    (2.5, 21.75),
    (3.0, 25.5),
    (4.5, 35.0),
    (6.0, 42.0),
    (10.0, 70.0),
    (16.0, 98.0),
    (25.0, 129.0),
    (50.0, 198.0),
];
/// Thin-wall cable, ISO 6722 class B.
const THIN_WALL: [(f64, f64); 9] = [
    (0.5, 11.0),
    (0.75, 14.0),
    (1.0, 16.5),
    (1.5, 21.0),
    (2.0, 25.0),
    (3.0, 33.0),
    (4.0, 39.0),
    (6.0, 50.0),
    (10.0, 70.0),
];

/// Between two rows of a list, in proportion.
fn rated(square_mm: f64, insulation: Option<Insulation>) -> f64 {
    let rows: &[(f64, f64)] = if insulation == Some(Insulation::ThinWall) && square_mm <= 10.0 {
        &THIN_WALL
    } else {
        &PVC
    };
    let above = rows.iter().position(|row| row.0 >= square_mm - 1e-9).unwrap_or(rows.len() - 1);
    let (low, high) = (rows[above.saturating_sub(1)], rows[above]);
    if above == 0 || square_mm >= high.0 {
        return high.1;
    }
    low.1 + (high.1 - low.1) * (square_mm - low.0) / (high.0 - low.0)
}

struct Builder<'a> {
    car: &'a Car,
    plan: Plan,
    places: BTreeMap<(PartId, String), usize>,
    volts: f64,
    engine: usize,
}

impl Plan {
    /// Lays out a car; nothing if it holds what this judge knows no law for.
    pub(crate) fn of(car: &Car) -> Option<Self> {
        let volts = match car.vehicle().voltage {
            SystemVoltage::Six => 6.0,
            SystemVoltage::Twelve => 12.0,
            SystemVoltage::TwentyFour => 24.0,
        };
        let plan = Self { places: 2, ..Self::default() };
        let mut builder = Builder { car, plan, places: BTreeMap::new(), volts, engine: 1 };
        // A wiper moves its own control, and a starter's current is for seconds: other laws than these.
        let is_other = |part: &Part| {
            part.type_name.starts_with("wiper") || part.type_name.starts_with("starter")
        };
        if car.parts().values().any(is_other) {
            return None;
        }
        for control in car.controls() {
            let positions = control.positions.iter().map(|position| position.name.clone());
            builder.plan.controls.push((control.name, positions.collect()));
        }
        let is_there = |standing| Version::After.has(standing);
        for (id, part) in car.parts().iter().filter(|(_, part)| is_there(part.standing)) {
            let part_type = car.type_of(*id)?;
            for (element_idx, element) in part_type.elements.iter().enumerate() {
                builder.element(*id, (part, part_type), (element_idx, element))?;
            }
        }
        for (id, wire) in car.wires().iter().filter(|(_, wire)| is_there(wire.standing)) {
            let [from, to] = wire.ends().map(|end| match &end.at {
                Anchor::Terminal { part, terminal } => Some(builder.place(*part, terminal)),
                Anchor::Loose { .. } => None,
            });
            let (Some(from), Some(to)) = (from, to) else { continue };
            let square_mm = wire.size.map_or(1.0, |size| size.square_mm());
            let ohms = RHO * wire.length.map_or(1.0, |length| length.0) / square_mm + JOINTS;
            let branch = builder.branch(from, to, Kind::Fixed(1.0 / ohms));
            let rated = rated(square_mm, wire.insulation);
            builder.plan.leads.push(Lead { id: *id, branch, square_mm, rated });
        }
        Some(builder.plan)
    }
}

impl Builder<'_> {
    fn place(&mut self, part: PartId, terminal: &str) -> usize {
        let next = self.plan.places;
        let place = *self.places.entry((part, terminal.to_owned())).or_insert(next);
        self.plan.places = self.plan.places.max(place + 1);
        place
    }

    fn branch(&mut self, from: usize, to: usize, kind: Kind) -> usize {
        self.plan.branches.push(Branch { from, to, kind });
        self.plan.branches.len() - 1
    }

    /// Joins every terminal of a group to the first.
    fn joined(&mut self, part: PartId, group: &[String], kind: Kind) {
        let first = self.place(part, &group[0]);
        for terminal in &group[1..] {
            let to = self.place(part, terminal);
            self.branch(first, to, kind);
        }
    }

    /// What a figure comes to; volts that nobody states are the car's.
    fn figure(&self, (part, part_type): (&Part, &PartType), figure: &Figure) -> Option<f64> {
        match figure {
            Figure::Number(number) => Some(*number),
            Figure::Fact(name) => {
                let known = part.fact(part_type, name);
                known.or_else(|| (name == "volts").then_some(self.volts))
            }
        }
    }

    fn ends(&mut self, id: PartId, between: [&String; 2]) -> [usize; 2] {
        between.map(|name| self.place(id, name))
    }

    fn element(
        &mut self,
        id: PartId,
        of: (&Part, &PartType),
        (element_idx, element): (usize, &Element),
    ) -> Option<()> {
        let figure = |builder: &Self, row: &Figure| builder.figure(of, row);
        match element {
            Element::Battery { plus, minus, volts, amp_hours, .. } => {
                let (volts, amp_hours) = (figure(self, volts)?, figure(self, amp_hours)?);
                self.battery(id, [plus, minus], volts, amp_hours);
            }
            Element::Joined { terminals, .. } => {
                self.joined(id, terminals, Kind::Fixed(1.0 / CONTACT));
            }
            Element::Earth { terminal, place, ohms } => {
                let ohms = figure(self, ohms)?;
                self.earth(id, terminal, *place, ohms)?;
            }
            Element::Resistor { between: [from, to], ohms } => {
                let siemens = 1.0 / figure(self, ohms)?;
                let [from, to] = self.ends(id, [from, to]);
                self.branch(from, to, Kind::Fixed(siemens));
            }
            Element::Filament { watts, volts, .. }
            | Element::Led { watts, volts, either_way: false, .. }
            | Element::Load { watts, volts, .. } => {
                let (watts, volts) = (figure(self, watts)?, figure(self, volts)?);
                self.load((id, element_idx), element, watts, volts);
            }
            Element::Diode { anode, cathode, .. } => {
                let [from, to] = self.ends(id, [anode, cathode]);
                self.branch(from, to, Kind::OneWay(0.7, 20.0));
            }
            Element::Fuse { .. } => self.fuse(id, of, element)?,
            Element::Contacts { control, joins, .. } => {
                self.contacts(id, of.0.control(of.1, control), joins);
            }
            Element::Relay { .. } => self.relay(id, of, element)?,
            // When a thermal one works depends on how much hangs on it: not a law of this judge.
            Element::Flasher { family: FlasherFamily::Thermal, .. } => return None,
            Element::Flasher { feed, lamps, earth, pilot, .. } => {
                self.flasher(id, [feed, lamps], earth.as_ref(), pilot.as_ref());
            }
            _ => return None,
        }
        Some(())
    }

    fn battery(&mut self, id: PartId, posts: [&String; 2], volts: f64, amp_hours: f64) {
        let [plus, minus] = self.ends(id, posts);
        let ohms = 0.0075 * (volts / 12.0) * (50.0 / amp_hours);
        self.branch(plus, minus, Kind::Source(12.66 / 12.0 * volts, 1.0 / ohms));
        self.plan.reference = match self.car.vehicle().earth {
            EarthPolarity::Negative => minus,
            EarthPolarity::Positive => plus,
        };
    }

    fn fuse(&mut self, id: PartId, of: (&Part, &PartType), element: &Element) -> Option<()> {
        let Element::Fuse { between: [from, to], family, carries, blows, .. } = element else {
            return None;
        };
        let blows = blows.as_ref().and_then(|blows| self.figure(of, blows));
        let (carries, gates) = match (family, self.figure(of, carries), blows) {
            (FuseFamily::Glass, None, Some(blows)) => (blows / 2.0, BRITISH),
            (FuseFamily::Glass, Some(carries), _) => (carries, GLASS),
            (FuseFamily::Blade, Some(carries), _) => (carries, BLADE),
            (FuseFamily::Torpedo, Some(carries), _) => (carries, TORPEDO),
            (FuseFamily::Breaker | FuseFamily::ManualBreaker, Some(carries), _) => {
                (carries, BREAKER)
            }
            _ => return None,
        };
        let [from, to] = self.ends(id, [from, to]);
        let branch = self.branch(from, to, Kind::Fixed(1.0 / FUSE));
        self.plan.fuses.push(Fuse { branch, carries, gates });
        Some(())
    }

    fn relay(&mut self, id: PartId, of: (&Part, &PartType), element: &Element) -> Option<()> {
        let Element::Relay { coil: [from, to], ohms, volts, pull_winding: None, .. } = element
        else {
            return None;
        };
        let Element::Relay { pull_in, drop_out, at_rest, pulled_in, .. } = element else {
            return None;
        };
        let volts = volts.as_ref().and_then(|volts| self.figure(of, volts)).unwrap_or(self.volts);
        // The usual coil takes about 1.7 W, whatever its volts.
        let is_stated = matches!(ohms, Figure::Fact(name) if of.0.facts.contains_key(name));
        let usual = 85.0 * (volts / 12.0).powi(2);
        let ohms = if is_stated { self.figure(of, ohms)? } else { usual };
        let pulls_in = self.figure(of, pull_in)? * volts;
        let drops_out = self.figure(of, drop_out)? * volts;
        let [from, to] = self.ends(id, [from, to]);
        self.branch(from, to, Kind::Fixed(1.0 / ohms));
        self.plan.coils.push(Coil { from, to, pulls_in, drops_out });
        let relay = self.plan.coils.len() - 1;
        for (groups, when_in) in [(at_rest, false), (pulled_in, true)] {
            for group in groups {
                self.joined(id, group, Kind::Relay { relay, when_in });
            }
        }
        Some(())
    }

    fn flasher(
        &mut self,
        id: PartId,
        contact: [&String; 2],
        earth: Option<&String>,
        pilot: Option<&String>,
    ) {
        let [feed, lamps] = self.ends(id, contact);
        let earth = earth.map(|name| self.place(id, name));
        if let Some(earth) = earth {
            // Its electronics take a little, so that an open earth has the volts of the feed.
            self.branch(feed, earth, Kind::Fixed(0.002));
        }
        self.branch(feed, lamps, Kind::Flasher { earth });
        if let Some(pilot) = pilot {
            let pilot = self.place(id, pilot);
            self.branch(lamps, pilot, Kind::Fixed(1.0 / CONTACT));
        }
    }

    fn load(&mut self, id: LoadId, element: &Element, watts: f64, volts: f64) {
        let (between, kind) = match element {
            Element::Filament { between: [from, to], .. } => {
                ([from, to], Kind::Filament(watts, volts))
            }
            // From a threshold on, up to the marked current at the marked volts.
            Element::Led { anode, cathode, .. } => {
                ([anode, cathode], Kind::OneWay(0.5 * volts, watts / volts / (0.5 * volts)))
            }
            Element::Load { between: [from, to], .. } => {
                ([from, to], Kind::Fixed(watts / volts / volts))
            }
            _ => return,
        };
        let has_a_right_way =
            matches!(element, Element::Load { family: LoadFamily::Electronics, .. });
        let [from, to] = self.ends(id.0, between);
        let branch = self.branch(from, to, kind);
        self.plan.loads.push(Load { id, branch, volts, has_a_right_way });
    }

    fn earth(&mut self, id: PartId, terminal: &str, place: EarthPlace, ohms: f64) -> Option<()> {
        let metal = match place {
            EarthPlace::Body if self.car.vehicle().body == Body::Steel => self.plan.body,
            // A body that carries no current joins none of its earth points.
            EarthPlace::Body => {
                self.plan.places += 1;
                self.plan.places - 1
            }
            EarthPlace::Engine => self.engine,
            EarthPlace::Battery => return None,
        };
        let terminal = self.place(id, terminal);
        self.branch(terminal, metal, Kind::Fixed(1.0 / ohms.max(1e-4)));
        Some(())
    }

    fn contacts(&mut self, id: PartId, control: &str, joins: &BTreeMap<String, Vec<Vec<String>>>) {
        let controls = &self.plan.controls;
        let control = controls.iter().position(|(name, _)| name == control).expect("a control");
        for (position, groups) in joins {
            let positions = &self.plan.controls[control].1;
            let at = positions.iter().position(|name| name == position).expect("a position");
            for group in groups.clone() {
                self.joined(id, &group, Kind::Contact { control, closed: 1 << at });
            }
        }
    }
}
