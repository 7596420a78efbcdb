//! From the elements of a part type to branches.

use loomwright_circuit::part_type::{Drives, Element, Figure, LedDriver, LoadFamily, Position};
use loomwright_circuit::{Control, Name, Part, PartId, PartType};

use crate::assumed;
use crate::breaker::{self, BreakerRow};
use crate::build::Builder;
use crate::coil::starter_amps;
use crate::engine::CoilRow;
use crate::fuse::Rating;
use crate::law::Law;
use crate::motor::{self, Motor};
use crate::network::{
    BranchRef, ByEngine, Closed, ElementRow, Kind, LawBranch, Place, PlaceName, Switch, small,
};

/// One part whose elements are being placed.
pub(super) struct Placing<'b> {
    pub builder: &'b mut Builder,
    pub id: PartId,
    pub part: &'b Part,
    pub part_type: &'b PartType,
    /// The row being filled.
    pub row: ElementRow,
}

/// Places the elements of a part, in the order of its type.
pub(crate) fn place_elements(builder: &mut Builder, id: PartId, part: &Part, part_type: &PartType) {
    for element in &part_type.elements {
        let row = ElementRow {
            part: id,
            kind: Kind::LeftOut,
            ends: [0; 2],
            names: [Name::new(), Name::new()],
            branches: Vec::new(),
        };
        let mut placing = Placing { builder, id, part, part_type, row };
        let kind = placing.element(element);
        placing.row.kind = kind.unwrap_or(Kind::LeftOut);
        if kind.is_none() {
            placing.builder.without_figure.insert(id);
        }
        let row = placing.row;
        builder.tables.elements.push(row);
    }
}

impl Placing<'_> {
    /// Places an element. Nothing where a figure or terminal it needs is missing.
    fn element(&mut self, element: &Element) -> Option<Kind> {
        match element {
            Element::Battery { plus, minus, .. } => self.battery([plus, minus], element),
            Element::Generator { plus, minus, .. } => self.generator([plus, minus], element),
            Element::Dynamo { .. } => self.dynamo(element),
            Element::ControlBox { .. } => self.control_box(element),
            Element::Joined { terminals, ohms } => self.joined(terminals, ohms),
            Element::Earth { terminal, place, ohms } => {
                let [at, _] = self.ends([terminal, terminal])?;
                let earths = self.builder.losses.earths;
                let ohms = self.lossy(ohms, assumed::EARTH_POINT_OHMS, earths);
                if let Some(metal) = self.builder.metal(*place) {
                    self.fixed(at, metal, ohms);
                }
                Some(Kind::Earth)
            }
            Element::Resistor { between, ohms } => {
                self.resistance(between, self.figure(ohms).filter(|ohms| *ohms >= 0.0)?)?;
                Some(Kind::Resistor)
            }
            Element::Meter { between, ohms, .. } => {
                self.resistance(between, self.figure(ohms).filter(|ohms| *ohms >= 0.0)?)?;
                Some(Kind::Meter)
            }
            Element::Filament { between, watts, volts } => self.filament(between, watts, volts),
            Element::Led { anode, cathode, watts, volts, either_way, driver } => {
                let [a, b] = self.ends([anode, cathode])?;
                let (watts, volts) = self.marked(watts, volts)?;
                let law = match driver {
                    LedDriver::Resistor => Law::led(watts, volts, *either_way),
                    LedDriver::ConstantCurrent => Law::regulated_led(watts, volts, *either_way),
                };
                self.law(a, b, law);
                Some(Kind::Led { volts, amps: watts / volts, either_way: *either_way })
            }
            Element::Diode { anode, cathode, amps } => {
                let [a, b] = self.ends([anode, cathode])?;
                let amps = amps.as_ref().and_then(|amps| Self::positive(self.figure(amps)));
                self.law(a, b, Law::diode(amps.unwrap_or(assumed::DIODE_AMPS)));
                Some(Kind::Diode)
            }
            Element::Fuse { between, .. } => self.fuse(between, element),
            Element::Contacts { control, joins, amps } => self.contacts(control, joins, amps),
            Element::Relay { .. } => self.relay(element),
            Element::Flasher { .. } => self.flasher(element),
            Element::Load { between, watts, volts, stall, drives, .. } if element.is_motor() => {
                self.motor(between, watts, volts, stall.as_ref(), *drives)
            }
            Element::Motor { between, volts, .. } => self.starter(element, between, volts),
            Element::Load { between, family, watts, volts, .. } => {
                self.load(between, *family, watts, volts)
            }
        }
    }

    /// A figure of the element, if it is known and finite. Marked volts are the car's where none are given.
    pub(super) fn figure(&self, figure: &Figure) -> Option<f64> {
        let value = match figure {
            Figure::Number(value) => Some(*value),
            Figure::Fact(name) => self
                .part
                .fact(self.part_type, name)
                .or_else(|| (name == "volts").then_some(self.builder.tables.system_volts)),
        };
        value.filter(|value| value.is_finite())
    }

    pub(super) fn positive(value: Option<f64>) -> Option<f64> {
        value.filter(|value| *value > 0.0)
    }

    /// Resistance of a joint or earth point: as the part states it, or else the usual one as many times over as the
    /// car's losses say.
    fn lossy(&self, figure: &Figure, otherwise: f64, losses: f64) -> f64 {
        let ohms = self.figure(figure).filter(|ohms| *ohms >= 0.0).unwrap_or(otherwise);
        let is_stated = matches!(figure, Figure::Fact(name) if self.part.facts.contains_key(name));
        if is_stated { ohms } else { losses * ohms }
    }

    /// Marked watts and volts, both above zero.
    fn marked(&self, watts: &Figure, volts: &Figure) -> Option<(f64, f64)> {
        Some((Self::positive(self.figure(watts))?, Self::positive(self.figure(volts))?))
    }

    pub(super) fn ends(&mut self, names: [&Name; 2]) -> Option<[Place; 2]> {
        let places = [self.place(names[0])?, self.place(names[1])?];
        self.row.ends = places;
        self.row.names = names.map(Clone::clone);
        Some(places)
    }

    pub(super) fn place(&self, name: &str) -> Option<Place> {
        self.builder.place(self.id, name)
    }

    pub(super) fn fixed(&mut self, a: Place, b: Place, ohms: f64) -> usize {
        let branch = self.builder.fixed(a, b, ohms);
        self.row.branches.push(BranchRef::Fixed(branch));
        branch
    }

    pub(super) fn law(&mut self, a: Place, b: Place, law: Law) {
        self.law_by_engine(a, b, law, None);
    }

    pub(super) fn law_by_engine(
        &mut self,
        a: Place,
        b: Place,
        law: Law,
        by_engine: Option<ByEngine>,
    ) {
        let laws = &mut self.builder.tables.laws;
        self.row.branches.push(BranchRef::Law(laws.len()));
        laws.push(LawBranch { a, b, slot: 0, law, by_engine });
    }

    pub(super) fn switch(
        &mut self,
        a: Place,
        b: Place,
        ohms: f64,
        closed: Closed,
        joins: [Name; 2],
    ) -> usize {
        let element = self.builder.tables.elements.len();
        let switches = &mut self.builder.tables.switches;
        let idx = switches.len();
        self.row.branches.push(BranchRef::Switch(idx));
        let siemens = 1.0 / ohms.max(assumed::LEAST_OHMS);
        switches.push(Switch { a, b, slot: 0, siemens, closed, element, joins });
        idx
    }

    pub(super) fn resistance(&mut self, between: &[Name; 2], ohms: f64) -> Option<usize> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        Some(self.fixed(a, b, ohms))
    }

    fn joined(&mut self, terminals: &[Name], ohms: &Figure) -> Option<Kind> {
        let joints = self.builder.losses.joints;
        let ohms = self.lossy(ohms, assumed::JOINED_TERMINAL_OHMS, joints);
        let ohms = ohms.max(assumed::LEAST_OHMS);
        let places: Vec<Place> =
            terminals.iter().map(|name| self.place(name)).collect::<Option<_>>()?;
        let (first, last) = (terminals.first()?, terminals.last()?);
        self.ends([first, last])?;
        match places[..] {
            [_] => {}
            [a, b] => drop(self.fixed(a, b, 2.0 * ohms)),
            _ => {
                let hubs = self.builder.tables.elements.len();
                let copper = self.builder.new_place(PlaceName::Hub(self.id, small(hubs)));
                for place in places {
                    self.fixed(place, copper, ohms);
                }
            }
        }
        Some(Kind::Joined)
    }

    fn filament(&mut self, between: &[Name; 2], watts: &Figure, volts: &Figure) -> Option<Kind> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        let (watts, volts) = self.marked(watts, volts)?;
        self.law(a, b, Law::Filament { volts, amps: watts / volts });
        Some(Kind::Filament { volts })
    }

    fn fuse(&mut self, between: &[Name; 2], element: &Element) -> Option<Kind> {
        let rating = Rating::of_element(self.part, self.part_type, element);
        if rating.is_none() {
            self.builder.without_figure.insert(self.id);
        }
        let cold = rating.map_or(0.0, |rating| rating.cold().0);
        let holder = self.builder.losses.joints * assumed::FUSE_HOLDER_OHMS;
        if rating.is_some_and(Rating::is_breaker) {
            self.breaker(between, cold + holder)?;
        } else {
            self.resistance(between, cold + holder)?;
        }
        Some(Kind::Fuse { rating })
    }

    /// A breaker's strip, and its contact in a row with it.
    fn breaker(&mut self, between: &[Name; 2], ohms: f64) -> Option<()> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        let tables = &mut self.builder.tables;
        let element = tables.elements.len();
        let own = &self.part.label;
        let is_taken = tables.controls.iter().any(|control| control.name == *own);
        let name = if is_taken { format!("{own} {}", between[0]) } else { own.clone() };
        let position = |name: &str| Position { name: name.to_owned(), springs_to: None };
        let positions = breaker::POSITIONS.map(position).into();
        let control = tables.controls.len();
        tables.controls.push(Control { name, positions, works: vec![(self.id, Name::new())] });
        tables.breakers.push(BreakerRow { control, element });
        let within = self.builder.new_place(PlaceName::Hub(self.id, small(element)));
        self.fixed(a, within, ohms);
        let closed = Closed::At { control, positions: vec![true, false] };
        self.switch(within, b, assumed::LEAST_OHMS, closed, between.clone());
        Some(())
    }

    fn load(
        &mut self,
        between: &[Name; 2],
        family: LoadFamily,
        watts: &Figure,
        volts: &Figure,
    ) -> Option<Kind> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        let volts = Self::positive(self.figure(volts))?;
        let watts = self.figure(watts).filter(|watts| *watts >= 0.0)?;
        let is_polarised = family == LoadFamily::Electronics;
        // Nothing is plugged into the socket, or the consumer is switched off within.
        if watts > 0.0 && is_polarised {
            let least_volts = assumed::ELECTRONICS_LEAST_SHARE * volts;
            self.law(a, b, Law::Power { watts, least_volts });
        } else if watts > 0.0 {
            let branch = self.fixed(a, b, volts * volts / watts);
            if family == LoadFamily::IgnitionCoil {
                self.builder.tables.coils.push(CoilRow { branch, volts });
            }
        }
        Some(Kind::Load { volts, is_polarised })
    }

    /// A motor, by its power at marked volts.
    fn motor(
        &mut self,
        between: &[Name; 2],
        watts: &Figure,
        volts: &Figure,
        stall: Option<&Figure>,
        drives: Drives,
    ) -> Option<Kind> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        let (watts, volts) = self.marked(watts, volts)?;
        let stall = stall.and_then(|stall| Self::positive(self.figure(stall)));
        let motor = Motor::of(volts, watts / volts, stall.unwrap_or(motor::STALL), drives);
        self.law(a, b, Law::Motor(motor));
        Some(Kind::Motor { volts })
    }

    /// A starter's motor, by its currents turning the engine and held.
    fn starter(&mut self, element: &Element, between: &[Name; 2], volts: &Figure) -> Option<Kind> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        let volts = Self::positive(self.figure(volts))?;
        let [runs, held] = starter_amps(self.part, self.part_type, element, volts)?;
        let stall = held / motor::LOCKED_VOLTS / runs;
        self.law(a, b, Law::Motor(Motor::of(volts, runs, stall, Drives::Steady)));
        Some(Kind::Motor { volts })
    }
}
