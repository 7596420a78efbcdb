//! Building the graph from a car.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{
    ContactTable, EarthPlace, Element, Figure, LoadFamily, MeterFamily,
};
use loomwright_circuit::{
    Anchor, Body, Car, Control, EarthPolarity, Name, Part, PartId, PartType, Version,
};

use super::{BODY, ENGINE, Generator, Link, LinkKind, Load, LoadKind, Mask, Spot, Supply, Wiring};

impl<'a> Wiring<'a> {
    pub(crate) fn of(car: &'a Car, controls: &[Control], version: Version) -> Self {
        let mut wiring = Self {
            car,
            version,
            spots: vec![None, None],
            lookup: BTreeMap::new(),
            links: Vec::new(),
            around: Vec::new(),
            copper: Vec::new(),
            loads: Vec::new(),
            supplies: Vec::new(),
            generators: Vec::new(),
            pilots: Vec::new(),
            relays: Vec::new(),
            n_controls: controls.len(),
        };
        let mut batteries = Vec::new();
        let mut at_battery = Vec::new();
        for (id, part) in car.parts() {
            let Some(part_type) = car.type_named(&part.type_name) else { continue };
            if !version.has(part.standing) {
                continue;
            }
            for terminal in &part_type.terminals {
                let spot = wiring.spots.len();
                wiring.spots.push(Some((*id, &terminal.name)));
                wiring.lookup.insert((*id, &terminal.name), spot);
            }
            let row = Row { id: *id, part, part_type, controls };
            for (element_idx, element) in part_type.elements.iter().enumerate() {
                wiring.element(row, element_idx, element, &mut batteries, &mut at_battery);
            }
        }
        wiring.wires();
        wiring.index();
        wiring.batteries(&batteries);
        for spot in at_battery {
            if let Some(supply) = wiring.supplies.first() {
                let (earthed, part) = (supply.earthed, supply.part);
                wiring.link([spot, earthed], LinkKind::Copper(part));
            }
        }
        wiring.index();
        wiring
    }

    fn generator(&mut self, id: PartId, [plus, minus]: [&Name; 2], warning: Option<&Name>) {
        if let (Some(plus), Some(minus)) = (self.spot(id, plus), self.spot(id, minus)) {
            let warning = warning.and_then(|name| self.spot(id, name));
            self.generators.push(Generator { plus, minus, warning });
        }
    }

    /// A cut-out lets current out of the dynamo only, whichever post is earthed.
    fn cut_out(&mut self, id: PartId, dynamo: &str, output: &str) {
        let is_negative = self.car.vehicle().earth == EarthPolarity::Negative;
        let way = if is_negative { [dynamo, output] } else { [output, dynamo] };
        self.pass(id, way, LinkKind::Diode(id));
    }

    fn element(
        &mut self,
        row: Row<'_>,
        element_idx: usize,
        element: &Element,
        batteries: &mut Vec<(PartId, Spot, Spot)>,
        at_battery: &mut Vec<Spot>,
    ) {
        let id = row.id;
        match element {
            Element::Battery { plus, minus, .. } => {
                if let (Some(plus), Some(minus)) = (self.spot(id, plus), self.spot(id, minus)) {
                    batteries.push((id, plus, minus));
                }
            }
            Element::Generator { plus, minus, warning, .. } => {
                self.generator(id, [plus, minus], warning.as_ref());
            }
            Element::Dynamo { output, case, .. } => {
                self.generator(id, [output, case], Some(output));
            }
            Element::ControlBox { dynamo, output, .. } => self.cut_out(id, dynamo, output),
            Element::Joined { terminals, .. } => {
                for pair in terminals.windows(2) {
                    self.pass(id, [&pair[0], &pair[1]], LinkKind::Copper(id));
                }
            }
            Element::Earth { terminal, place, .. } => {
                if let Some(spot) = self.spot(id, terminal) {
                    let carries = self.car.vehicle().body == Body::Steel;
                    match place {
                        EarthPlace::Body if carries => {
                            self.link([spot, BODY], LinkKind::Copper(id));
                        }
                        EarthPlace::Body => {}
                        EarthPlace::Engine => self.link([spot, ENGINE], LinkKind::Copper(id)),
                        EarthPlace::Battery => at_battery.push(spot),
                    }
                }
            }
            Element::Resistor { between: [a, b], .. } => {
                self.pass(id, [a, b], LinkKind::Resistor(id));
            }
            Element::Diode { anode, cathode, .. } => {
                self.pass(id, [anode, cathode], LinkKind::Diode(id));
            }
            Element::Fuse { between: [a, b], .. } => {
                self.pass(id, [a, b], LinkKind::Fuse { part: id, element: element_idx });
            }
            Element::Contacts { control, joins, .. } => {
                self.contacts(row, element_idx, control, joins);
            }
            Element::Flasher { feed, lamps, pilot, .. } => {
                self.pilots.extend(pilot.as_ref().and_then(|name| self.spot(id, name)));
                self.pass(id, [feed, lamps], LinkKind::Flasher(id));
            }
            Element::Relay { .. }
            | Element::Filament { .. }
            | Element::Led { .. }
            | Element::Load { .. }
            | Element::Motor { .. }
            | Element::Meter { .. } => self.consumer(row, element_idx, element),
        }
    }

    fn consumer(&mut self, row: Row<'_>, element_idx: usize, element: &Element) {
        let marked = |watts: &Figure| row.figure(watts).unwrap_or(0.0);
        let mut marked_volts = self.car.vehicle().voltage.volts().0;
        let (between, kind, watts, is_polarised) = match element {
            Element::Filament { between: [a, b], watts, volts } => {
                marked_volts = row.figure(volts).unwrap_or(marked_volts);
                ([a, b], LoadKind::Filament, marked(watts), false)
            }
            Element::Led { anode, cathode, watts, volts, either_way, .. } => {
                marked_volts = row.figure(volts).unwrap_or(marked_volts);
                ([anode, cathode], LoadKind::Led, marked(watts), !either_way)
            }
            Element::Load { between: [a, b], family, watts, volts, .. } => {
                marked_volts = row.figure(volts).unwrap_or(marked_volts);
                let is_polarised = *family == LoadFamily::Electronics;
                ([a, b], LoadKind::Consumer(*family), marked(watts), is_polarised)
            }
            Element::Motor { between: [a, b], volts, .. } => {
                marked_volts = row.figure(volts).unwrap_or(marked_volts);
                let amps = loomwright_electrics::starter_amps(
                    row.part,
                    row.part_type,
                    element,
                    marked_volts,
                );
                let kind = LoadKind::Consumer(LoadFamily::Motor);
                ([a, b], kind, amps.map_or(0.0, |[runs, _]| runs * marked_volts), false)
            }
            Element::Meter { between: [a, b], family: MeterFamily::Voltmeter, .. } => {
                ([a, b], LoadKind::Voltmeter, 0.0, false)
            }
            Element::Meter { between: [a, b], .. } => {
                self.pass(row.id, [a, b], LinkKind::Ammeter(row.id));
                return;
            }
            Element::Relay { coil: [a, b], at_rest, pulled_in, .. } => {
                let control = self.n_controls + self.relays.len();
                self.relays.push((row.id, element_idx));
                let groups = at_rest.iter().map(|group| (1, group));
                let groups = groups.chain(pulled_in.iter().map(|group| (2, group)));
                self.contact_groups(row.id, element_idx, control, groups);
                let volts = self.car.vehicle().voltage.volts().0;
                let coil = loomwright_electrics::Coil::of(row.part, row.part_type, element, volts);
                let watts = coil.map_or(0.0, |coil| volts * volts / coil.ohms);
                marked_volts = coil.map_or(volts, |coil| coil.volts);
                ([a, b], LoadKind::Coil, watts, false)
            }
            _ => return,
        };
        if let (Some(a), Some(b)) = (self.spot(row.id, between[0]), self.spot(row.id, between[1])) {
            self.loads.push(Load {
                part: row.id,
                element: element_idx,
                ends: [a, b],
                kind,
                watts,
                volts: marked_volts,
                is_polarised,
            });
        }
    }

    fn contacts(&mut self, row: Row<'_>, element_idx: usize, key: &str, joins: &ContactTable) {
        let name = row.part.control(row.part_type, key);
        let Some(control) = row.controls.iter().position(|control| control.name == name) else {
            return;
        };
        let positions = row.controls[control].positions.iter().enumerate().take(64);
        let groups = positions.flat_map(|(position_idx, position)| {
            joins
                .get(&position.name)
                .into_iter()
                .flatten()
                .map(move |group| (1 << position_idx, group))
        });
        self.contact_groups(row.id, element_idx, control, groups);
    }

    fn contact_groups<'g>(
        &mut self,
        part: PartId,
        element: usize,
        control: usize,
        groups: impl Iterator<Item = (Mask, &'g Vec<Name>)>,
    ) {
        let mut pairs: BTreeMap<[Spot; 2], Mask> = BTreeMap::new();
        for (positions, group) in groups {
            let spots: Vec<Spot> = group.iter().filter_map(|name| self.spot(part, name)).collect();
            for (idx, &a) in spots.iter().enumerate() {
                for &b in &spots[idx + 1..] {
                    *pairs.entry([a.min(b), a.max(b)]).or_default() |= positions;
                }
            }
        }
        for (ends, positions) in pairs {
            self.link(ends, LinkKind::Contact { part, element, control, positions });
        }
    }

    fn wires(&mut self) {
        for (id, wire) in self.car.wires() {
            if !self.version.has(wire.standing) {
                continue;
            }
            let ends = wire.ends().map(|end| match &end.at {
                Anchor::Terminal { part, terminal } => self.spot(*part, terminal),
                Anchor::Loose { .. } => None,
            });
            let ends = ends.map(|spot| {
                spot.unwrap_or_else(|| {
                    self.spots.push(None);
                    self.spots.len() - 1
                })
            });
            self.link(ends, LinkKind::Wire(*id));
        }
    }

    /// Which post of each battery is earthed: as wired where that is plain, else as the vehicle says.
    fn batteries(&mut self, batteries: &[(PartId, Spot, Spot)]) {
        let hard = self.hard_joined(&[BODY, ENGINE]);
        for &(part, plus, minus) in batteries {
            let is_plus_live = match (hard[plus], hard[minus]) {
                (false, true) => true,
                (true, false) => false,
                _ => self.car.vehicle().earth == EarthPolarity::Negative,
            };
            let (live, earthed) = if is_plus_live { (plus, minus) } else { (minus, plus) };
            self.supplies.push(Supply { part, live, earthed, is_plus_live });
        }
    }

    fn pass(&mut self, part: PartId, [a, b]: [&str; 2], kind: LinkKind) {
        if let (Some(a), Some(b)) = (self.spot(part, a), self.spot(part, b)) {
            self.link([a, b], kind);
        }
    }

    fn link(&mut self, ends: [Spot; 2], kind: LinkKind) {
        self.links.push(Link { ends, kind });
    }

    fn index(&mut self) {
        self.around = vec![Vec::new(); self.spots.len()];
        for (link_idx, link) in self.links.iter().enumerate() {
            let [a, b] = link.ends;
            self.around[a].push((link_idx, b));
            self.around[b].push((link_idx, a));
        }
        self.number_copper();
    }

    /// Numbers what wires and copper alone join, each by its first spot.
    fn number_copper(&mut self) {
        self.copper = vec![usize::MAX; self.spots.len()];
        for first in 0..self.spots.len() {
            let mut queue = vec![first];
            while let Some(spot) = queue.pop() {
                if self.copper[spot] != usize::MAX {
                    continue;
                }
                self.copper[spot] = first;
                let is_copper = |link: usize| {
                    matches!(self.links[link].kind, LinkKind::Wire(_) | LinkKind::Copper(_))
                };
                let joined = self.around[spot].iter().filter(|(link, _)| is_copper(*link));
                queue.extend(joined.map(|(_, other)| *other));
            }
        }
    }
}

#[derive(Clone, Copy)]
struct Row<'b> {
    id: PartId,
    part: &'b Part,
    part_type: &'b PartType,
    controls: &'b [Control],
}

impl Row<'_> {
    fn figure(&self, figure: &Figure) -> Option<f64> {
        match figure {
            Figure::Number(number) => Some(*number),
            Figure::Fact(name) => self.part.fact(self.part_type, name),
        }
    }
}
