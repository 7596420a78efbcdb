//! Contacts, relays and flashers.

use loomwright_circuit::Name;
use loomwright_circuit::part_type::{ContactTable, Element, Figure, FlasherFamily};

use crate::Coil;
use crate::assumed;
use crate::build::elements::Placing;
use crate::network::{Closed, FlasherRow, Kind, RelayRow, SecondWinding};
use crate::passing::with_steps;

impl Placing<'_> {
    pub(super) fn contacts(
        &mut self,
        key: &str,
        joins: &ContactTable,
        amps: &Figure,
    ) -> Option<Kind> {
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
        let own = self.part_type.control(key);
        let makes_before_it_breaks = own.is_some_and(|own| own.make_before_break);
        if makes_before_it_breaks && u8::try_from(2 * positions.len()).is_ok() {
            self.builder.tables.bridging.insert(control);
        }
        for (pair, positions) in pairs {
            let positions = with_steps(positions, makes_before_it_breaks);
            let closed = Closed::At { control, positions };
            self.contact(pair, self.builder.losses.joints * assumed::SWITCH_CONTACT_OHMS, closed)?;
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

    pub(super) fn relay(&mut self, element: &Element) -> Option<Kind> {
        let Element::Relay {
            coil, pull_winding, pull_in, drop_out, at_rest, pulled_in, amps, ..
        } = element
        else {
            return None;
        };
        let [a, b] = self.ends([&coil[0], &coil[1]])?;
        let system_volts = self.builder.tables.system_volts;
        let made = Coil::of(self.part, self.part_type, element, system_volts)?;
        let pull_in = self.figure(pull_in)?;
        let drop_out = self.figure(drop_out)?.min(pull_in);
        let branch = self.fixed(a, b, made.ohms);
        let second =
            match (pull_winding, Coil::second(self.part, self.part_type, element, system_volts)) {
                (Some(winding), Some(second)) => {
                    let [a, b] =
                        [self.place(&winding.between[0])?, self.place(&winding.between[1])?];
                    let branch = self.fixed(a, b, second.ohms);
                    Some(SecondWinding { branch, share: made.ohms / second.ohms })
                }
                _ => None,
            };
        // On its coil alone a relay with two windings has a part of the pull that all of them have.
        let whole = 1.0 + second.map_or(0.0, |second| second.share);
        let relay = self.builder.tables.relays.len();
        self.builder.tables.relays.push(RelayRow {
            element: self.builder.tables.elements.len(),
            branch,
            second,
            pull_in_volts: pull_in * made.volts * whole,
            drop_out_volts: drop_out * made.volts,
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
        let contact_ohms = self.builder.losses.joints * assumed::relay_contact_ohms(amps);
        for (pair, when_out, when_in) in pairs {
            let closed = Closed::Relay { relay, when_out, when_in };
            self.contact(pair, contact_ohms, closed)?;
        }
        Some(Kind::Relay { relay, amps })
    }

    pub(super) fn flasher(&mut self, element: &Element) -> Option<Kind> {
        let Element::Flasher { feed, lamps, earth, pilot, family, watts, most_watts, .. } = element
        else {
            return None;
        };
        let lamp_out_watts = match element {
            Element::Flasher { lamp_out_watts: Some(watts), .. } => self.figure(watts),
            _ => None,
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
            lamp_out_watts: lamp_out_watts.unwrap_or(0.0),
        };
        self.builder.tables.flashers.push(row(switch));
        if let Some((pilot, at)) = pilot.as_ref().and_then(|name| Some((name, self.place(name)?))) {
            let joins = [feed.clone(), pilot.clone()];
            let closed = Closed::Flasher(flasher + 1);
            let pilot = self.switch(at_feed, at, assumed::SWITCH_CONTACT_OHMS, closed, joins);
            self.builder.tables.flashers.push(FlasherRow { switch: pilot, ..row(switch) });
        }
        Some(Kind::Flasher { flasher })
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
