//! What a part reads by itself on the bench.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, Part, PartId, PartType};

use super::Check;
use super::ohms::{METER_ADDS, OF_READING, ohms_words, plain_ohms};
use loomwright_electrics::rig::{Ohms, Rig};

/// Readings of one part; a switch with many positions is tried in the first few.
const MOST: usize = 4;

pub(super) fn checks(car: &Car, id: PartId) -> Vec<Check> {
    let (Some(part), Some(known)) = (car.part(id), car.type_of(id)) else { return Vec::new() };
    let bench = Bench { car, id, part, known };
    let rows = known.elements.iter().flat_map(|element| bench.element(element));
    rows.take(MOST).collect()
}

struct Bench<'a> {
    car: &'a Car,
    id: PartId,
    part: &'a Part,
    known: &'a PartType,
}

impl Bench<'_> {
    fn element(&self, element: &Element) -> Vec<Check> {
        let rest = BTreeMap::new();
        match element {
            Element::Fuse { between: [a, b], .. } => {
                vec![self.row([a, b], &rest, "the fuse itself, in its holder")]
            }
            Element::Filament { between: [a, b], .. } => {
                vec![self.row([a, b], &rest, "bulb in, cold")]
            }
            Element::Relay { coil: [a, b], at_rest, pulled_in, .. } => {
                let coil = self.row([a, b], &rest, "at rest");
                let contacts = at_rest.iter().chain(pulled_in).filter_map(|group| group.get(..2));
                let contacts =
                    contacts.map(|pair| self.row([&pair[0], &pair[1]], &rest, "at rest"));
                std::iter::once(coil).chain(contacts).collect()
            }
            Element::Contacts { control, joins, .. } => self.contacts(control, joins),
            _ => Vec::new(),
        }
    }

    fn contacts(&self, key: &Name, joins: &BTreeMap<Name, Vec<Vec<Name>>>) -> Vec<Check> {
        let Some(control) = self.known.control(key) else { return Vec::new() };
        let name = self.part.control(self.known, key);
        // The pair of the first position that joins any, tried in every position.
        let pair = control.positions.iter().find_map(|position| {
            joins.get(&position.name)?.iter().find_map(|group| group.get(..2))
        });
        let Some(pair) = pair else { return Vec::new() };
        let rows = control.positions.iter().map(|position| {
            let set = BTreeMap::from([(name.to_owned(), position.name.clone())]);
            self.row([&pair[0], &pair[1]], &set, &format!("at {}", position.name))
        });
        rows.collect()
    }

    fn row(&self, [a, b]: [&Name; 2], set: &BTreeMap<String, String>, stands: &str) -> Check {
        let rig = Rig::alone(self.car, self.id);
        let ohms = rig.ohms_between((self.id, a), (self.id, b), set);
        let label = &self.part.label;
        let (expected, band) = match ohms {
            Ohms::Open => ("no reading".to_owned(), "no reading: over 100 kΩ".to_owned()),
            Ohms::Reads(ohms) => (
                ohms_words(ohms),
                format!(
                    "{} to {}",
                    plain_ohms((ohms * (1.0 - OF_READING) - METER_ADDS).max(0.0)),
                    ohms_words(ohms * (1.0 + OF_READING) + METER_ADDS)
                ),
            ),
        };
        Check {
            set: stands.to_owned(),
            red: format!("{label}, terminal {a}"),
            black: format!("{label}, terminal {b}"),
            reads: "ohms",
            expected,
            band,
            otherwise: "It is another part than the one drawn, or its terminals are in another order: read the marks on \
                        it, and do not fit it before you know."
                .to_owned(),
        }
    }
}
