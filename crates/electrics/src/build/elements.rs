//! From the elements of a part type to branches.

use loomwright_circuit::part_type::{
    ContactTable, Element, Figure, FlasherFamily, FuseFamily, LoadFamily,
};
use loomwright_circuit::{Name, Part, PartId, PartType};
use loomwright_units::Amps;

use crate::assumed;
use crate::build::{Builder, LEFT_OUT};
use crate::fuse::Rating;
use crate::law::Law;
use crate::network::{
    BranchRef, Closed, ElementRow, FlasherRow, Kind, LawBranch, Place, RelayRow, Switch,
};

/// One part whose elements are being placed.
struct Placing<'b> {
    builder: &'b mut Builder,
    id: PartId,
    part: &'b Part,
    part_type: &'b PartType,
    /// The row being filled.
    row: ElementRow,
}

/// Places the elements of a part, in the order of its type.
pub(crate) fn place_elements(builder: &mut Builder, id: PartId, part: &Part, part_type: &PartType) {
    for element in &part_type.elements {
        let row = ElementRow {
            part: id,
            kind: LEFT_OUT,
            ends: [0; 2],
            names: [Name::new(), Name::new()],
            branches: Vec::new(),
        };
        let mut placing = Placing { builder, id, part, part_type, row };
        let kind = placing.element(element);
        placing.row.kind = kind.unwrap_or(LEFT_OUT);
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
            Element::Battery { plus, minus, volts, amp_hours } => {
                self.battery([plus, minus], volts, amp_hours)
            }
            Element::Generator { plus, minus, warning, volts, idle_amps, amps } => {
                self.generator([plus, minus], warning.as_deref(), [volts, idle_amps, amps])
            }
            Element::Joined { terminals, ohms } => self.joined(terminals, ohms),
            Element::Earth { terminal, place, ohms } => {
                let [at, _] = self.ends([terminal, terminal])?;
                let ohms = self.ohms(ohms, assumed::EARTH_POINT_OHMS);
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
            Element::Led { anode, cathode, watts, volts, either_way } => {
                let [a, b] = self.ends([anode, cathode])?;
                let (watts, volts) = self.marked(watts, volts)?;
                self.law(a, b, Law::led(watts, volts, *either_way));
                Some(Kind::Led { volts, amps: watts / volts, either_way: *either_way })
            }
            Element::Diode { anode, cathode, amps } => {
                let [a, b] = self.ends([anode, cathode])?;
                let amps = amps.as_ref().and_then(|amps| Self::positive(self.figure(amps)));
                self.law(a, b, Law::diode(amps.unwrap_or(assumed::DIODE_AMPS)));
                Some(Kind::Diode)
            }
            Element::Fuse { between, family, carries, blows } => {
                self.fuse(between, *family, carries, blows.as_ref())
            }
            Element::Contacts { control, joins, amps } => self.contacts(control, joins, amps),
            Element::Relay { .. } => self.relay(element),
            Element::Flasher { .. } => self.flasher(element),
            Element::Load { between, family, watts, volts } => {
                self.load(between, *family, watts, volts)
            }
        }
    }

    /// A figure of the element, if it is known and finite. Marked volts are the car's where none are given.
    fn figure(&self, figure: &Figure) -> Option<f64> {
        let value = match figure {
            Figure::Number(value) => Some(*value),
            Figure::Fact(name) => self
                .part
                .fact(self.part_type, name)
                .or_else(|| (name == "volts").then_some(self.builder.tables.system_volts)),
        };
        value.filter(|value| value.is_finite())
    }

    fn positive(value: Option<f64>) -> Option<f64> {
        value.filter(|value| *value > 0.0)
    }

    fn ohms(&self, figure: &Figure, otherwise: f64) -> f64 {
        self.figure(figure).filter(|ohms| *ohms >= 0.0).unwrap_or(otherwise)
    }

    /// Marked watts and volts, both above zero.
    fn marked(&self, watts: &Figure, volts: &Figure) -> Option<(f64, f64)> {
        Some((Self::positive(self.figure(watts))?, Self::positive(self.figure(volts))?))
    }

    fn ends(&mut self, names: [&Name; 2]) -> Option<[Place; 2]> {
        let places = [self.place(names[0])?, self.place(names[1])?];
        self.row.ends = places;
        self.row.names = names.map(Clone::clone);
        Some(places)
    }

    fn place(&self, name: &str) -> Option<Place> {
        self.builder.place(self.id, name)
    }

    fn fixed(&mut self, a: Place, b: Place, ohms: f64) -> usize {
        let branch = self.builder.fixed(a, b, ohms);
        self.row.branches.push(BranchRef::Fixed(branch));
        branch
    }

    fn law(&mut self, a: Place, b: Place, law: Law) {
        self.law_by_engine(a, b, law, None);
    }

    fn law_by_engine(
        &mut self,
        a: Place,
        b: Place,
        law: Law,
        by_engine: Option<(usize, Vec<Law>)>,
    ) {
        let laws = &mut self.builder.tables.laws;
        self.row.branches.push(BranchRef::Law(laws.len()));
        laws.push(LawBranch { a, b, slot: 0, law, by_engine });
    }

    fn switch(&mut self, a: Place, b: Place, ohms: f64, closed: Closed, joins: [Name; 2]) -> usize {
        let element = self.builder.tables.elements.len();
        let switches = &mut self.builder.tables.switches;
        let idx = switches.len();
        self.row.branches.push(BranchRef::Switch(idx));
        let siemens = 1.0 / ohms.max(assumed::LEAST_OHMS);
        switches.push(Switch { a, b, slot: 0, siemens, closed, element, joins });
        idx
    }

    fn resistance(&mut self, between: &[Name; 2], ohms: f64) -> Option<usize> {
        let [a, b] = self.ends([&between[0], &between[1]])?;
        Some(self.fixed(a, b, ohms))
    }

    fn battery(&mut self, posts: [&Name; 2], volts: &Figure, amp_hours: &Figure) -> Option<Kind> {
        let [plus, minus] = self.ends(posts)?;
        let volts = Self::positive(self.figure(volts))?;
        let amp_hours = Self::positive(self.figure(amp_hours))?;
        let siemens = |ohms: f64| 1.0 / ohms.max(assumed::LEAST_OHMS);
        let law = Law::Battery {
            emf: assumed::battery_emf(volts),
            gives: siemens(assumed::battery_ohms(volts, amp_hours)),
            takes: siemens(assumed::battery_charge_ohms(volts, amp_hours)),
        };
        self.law(plus, minus, law);
        let earthed = usize::from(!self.builder.tables.is_plus_earthed);
        let place = [plus, minus][earthed];
        self.builder.posts.push((place, self.id, posts[earthed].clone()));
        Some(Kind::Battery)
    }

    fn generator(
        &mut self,
        ends: [&Name; 2],
        warning: Option<&str>,
        [volts, idle_amps, amps]: [&Figure; 3],
    ) -> Option<Kind> {
        let [plus, minus] = self.ends(ends)?;
        let in_proportion = self.builder.tables.system_volts / 12.0;
        let volts = Self::positive(self.figure(volts))? * in_proportion;
        let amps = Self::positive(self.figure(amps))?;
        let idle_amps = Self::positive(self.figure(idle_amps));
        let running = Law::Source { volts, amps };
        let idling = idle_amps.map_or(Law::OPEN, |amps| Law::Source { volts, amps });
        let engine = self.engine();
        let laws = engine.map(|control| {
            let law = |name: &str| match name {
                "running" => running,
                "idling" => idling,
                _ => Law::OPEN,
            };
            let positions = &self.builder.tables.controls[control].positions;
            (control, positions.iter().map(|position| law(&position.name)).collect::<Vec<_>>())
        });
        let gives: Option<Vec<bool>> =
            laws.as_ref().map(|(_, laws)| laws.iter().map(|law| *law != Law::OPEN).collect());
        self.law_by_engine(plus, minus, Law::OPEN, laws);
        if let Some(warning) = warning {
            let at = self.place(warning)?;
            let joins = |other: &Name| [warning.to_owned(), other.clone()];
            match (engine, gives) {
                (Some(control), Some(gives)) => {
                    let stands = gives.iter().map(|gives| !gives).collect();
                    let stands = Closed::At { control, positions: stands };
                    let gives = Closed::At { control, positions: gives };
                    self.switch(at, plus, assumed::EXCITER_OHMS, gives, joins(ends[0]));
                    self.switch(at, minus, assumed::FIELD_OHMS, stands, joins(ends[1]));
                }
                _ => drop(self.fixed(at, minus, assumed::FIELD_OHMS)),
            }
        }
        Some(Kind::Generator)
    }

    /// The control that says whether the engine runs.
    fn engine(&self) -> Option<usize> {
        let own =
            self.part_type.controls.iter().find(|control| {
                control.key == "engine" || control.shared.as_deref() == Some("engine")
            });
        let name = own.map_or("engine", |own| self.part.control(self.part_type, &own.key));
        self.builder.tables.controls.iter().position(|control| control.name == name)
    }

    fn joined(&mut self, terminals: &[Name], ohms: &Figure) -> Option<Kind> {
        let ohms = self.ohms(ohms, assumed::JOINED_TERMINAL_OHMS).max(assumed::LEAST_OHMS);
        let places: Vec<Place> =
            terminals.iter().map(|name| self.place(name)).collect::<Option<_>>()?;
        let (first, last) = (terminals.first()?, terminals.last()?);
        self.ends([first, last])?;
        match places[..] {
            [_] => {}
            [a, b] => drop(self.fixed(a, b, 2.0 * ohms)),
            _ => {
                let copper = self.builder.new_place();
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

    fn fuse(
        &mut self,
        between: &[Name; 2],
        family: FuseFamily,
        carries: &Figure,
        blows: Option<&Figure>,
    ) -> Option<Kind> {
        let carries = self.figure(carries).map(Amps);
        let blows = blows.and_then(|blows| self.figure(blows)).map(Amps);
        let rating = Rating::of(family, carries, blows);
        if rating.is_none() {
            self.builder.without_figure.insert(self.id);
        }
        let cold = rating.map_or(0.0, |rating| rating.cold().0);
        self.resistance(between, cold + assumed::FUSE_HOLDER_OHMS)?;
        Some(Kind::Fuse { rating })
    }

    fn contacts(&mut self, key: &str, joins: &ContactTable, amps: &Figure) -> Option<Kind> {
        let name = self.part.control(self.part_type, key);
        let controls = &self.builder.tables.controls;
        let control = controls.iter().position(|control| control.name == name)?;
        let positions: Vec<Name> =
            controls[control].positions.iter().map(|position| position.name.clone()).collect();
        let mut pairs: Vec<([Name; 2], Vec<bool>)> = Vec::new();
        for (at, position) in positions.iter().enumerate() {
            for pair in joins.get(position).into_iter().flatten().flat_map(|group| star(group)) {
                let known = pairs.iter().position(|(known, _)| is_same(known, &pair));
                let idx = known.unwrap_or_else(|| {
                    pairs.push((pair, vec![false; positions.len()]));
                    pairs.len() - 1
                });
                pairs[idx].1[at] = true;
            }
        }
        for (pair, positions) in pairs {
            let closed = Closed::At { control, positions };
            self.contact(pair, assumed::SWITCH_CONTACT_OHMS, closed)?;
        }
        Some(Kind::Contacts { amps: Self::positive(self.figure(amps)) })
    }

    fn contact(&mut self, joins: [Name; 2], ohms: f64, closed: Closed) -> Option<usize> {
        let places = [self.place(&joins[0])?, self.place(&joins[1])?];
        if self.row.names[0].is_empty() {
            self.ends([&joins[0], &joins[1]])?;
        }
        Some(self.switch(places[0], places[1], ohms, closed, joins))
    }

    fn relay(&mut self, element: &Element) -> Option<Kind> {
        let Element::Relay { coil, ohms, pull_in, drop_out, at_rest, pulled_in, amps } = element
        else {
            return None;
        };
        let [a, b] = self.ends([&coil[0], &coil[1]])?;
        let ohms = Self::positive(self.figure(ohms))?;
        let pull_in = self.figure(pull_in)?;
        let drop_out = self.figure(drop_out)?.min(pull_in);
        let marked = self.part.fact(self.part_type, "volts").filter(|volts| *volts > 0.0);
        let marked = marked.unwrap_or(self.builder.tables.system_volts);
        let branch = self.fixed(a, b, ohms);
        let relay = self.builder.tables.relays.len();
        self.builder.tables.relays.push(RelayRow {
            element: self.builder.tables.elements.len(),
            branch,
            pull_in_volts: pull_in * marked,
            drop_out_volts: drop_out * marked,
        });
        let mut pairs: Vec<([Name; 2], bool, bool)> = Vec::new();
        let out = at_rest.iter().flat_map(|group| star(group)).map(|pair| (pair, true));
        let into = pulled_in.iter().flat_map(|group| star(group)).map(|pair| (pair, false));
        for (pair, is_out) in out.chain(into) {
            let known = pairs.iter().position(|(known, ..)| is_same(known, &pair));
            let idx = known.unwrap_or_else(|| {
                pairs.push((pair, false, false));
                pairs.len() - 1
            });
            if is_out {
                pairs[idx].1 = true;
            } else {
                pairs[idx].2 = true;
            }
        }
        let amps = Self::positive(self.figure(amps));
        let contact_ohms = assumed::relay_contact_ohms(amps);
        for (pair, when_out, when_in) in pairs {
            let closed = Closed::Relay { relay, when_out, when_in };
            self.contact(pair, contact_ohms, closed)?;
        }
        Some(Kind::Relay { relay, amps })
    }

    fn flasher(&mut self, element: &Element) -> Option<Kind> {
        let Element::Flasher { feed, lamps, earth, pilot, family, watts, most_watts } = element
        else {
            return None;
        };
        let [at_feed, at_lamps] = self.ends([feed, lamps])?;
        let watts = Self::positive(self.figure(watts))?;
        let most_watts = self.figure(most_watts)?.max(watts);
        let system_volts = self.builder.tables.system_volts;
        let is_thermal = *family == FlasherFamily::Thermal;
        let ohms = if is_thermal {
            assumed::THERMAL_FLASHER_SHARE * system_volts * system_volts / watts
        } else {
            assumed::ELECTRONIC_FLASHER_OHMS
        };
        let flasher = self.builder.tables.flashers.len();
        let closed = Closed::Flasher(flasher);
        let joins = [feed.clone(), lamps.clone()];
        let switch = self.switch(at_feed, at_lamps, ohms, closed, joins);
        let at_earth = earth.as_ref().and_then(|earth| self.place(earth));
        if let (Some(at_earth), false) = (at_earth, is_thermal) {
            let in_proportion = system_volts / 12.0;
            let ohms = assumed::ELECTRONIC_FLASHER_SUPPLY_OHMS * in_proportion;
            self.fixed(at_feed, at_earth, ohms);
        }
        let row = |switch| FlasherRow {
            switch,
            senses: switch,
            feed: at_feed,
            earth: at_earth,
            is_thermal,
            watts,
            most_watts,
        };
        if let Some((pilot, at)) = pilot.as_ref().and_then(|name| Some((name, self.place(name)?))) {
            let joins = [feed.clone(), pilot.clone()];
            let closed = Closed::Flasher(flasher + 1);
            let pilot = self.switch(at_feed, at, assumed::SWITCH_CONTACT_OHMS, closed, joins);
            self.builder.tables.flashers.push(row(switch));
            self.builder.tables.flashers.push(FlasherRow { switch: pilot, ..row(switch) });
        } else {
            self.builder.tables.flashers.push(row(switch));
        }
        Some(Kind::Flasher { flasher })
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
            self.fixed(a, b, volts * volts / watts);
        }
        Some(Kind::Load { volts, is_polarised })
    }
}

/// A group of joined terminals as pairs: its first terminal with each of the others.
fn star(group: &[Name]) -> Vec<[Name; 2]> {
    let Some((first, others)) = group.split_first() else { return Vec::new() };
    others.iter().map(|other| [first.clone(), other.clone()]).collect()
}

fn is_same(a: &[Name; 2], b: &[Name; 2]) -> bool {
    a == b || (a[0] == b[1] && a[1] == b[0])
}
