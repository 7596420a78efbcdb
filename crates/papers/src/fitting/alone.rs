//! What a part reads by itself on the bench.

mod relay;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, Part, PartId, PartType};

use super::Check;
use super::ohms::{METER_ADDS, OF_READING, OPEN, TOLD_FROM_OHMS, ohms_words, plain_ohms};
use crate::solved::Solved;
use loomwright_electrics::rig::{Ohms, Rig};

/// A switch with many positions is tried in the first few.
const MOST: usize = 4;

pub(super) fn checks(car: &Car, solved: &Solved, id: PartId) -> Vec<Check> {
    let (Some(part), Some(known)) = (car.part(id), car.type_of(id)) else { return Vec::new() };
    let bench = Bench { car, solved, id, part, known };
    let elements = known.elements.iter().enumerate();
    let contacts =
        elements.clone().filter(|(_, element)| matches!(element, Element::Contacts { .. }));
    let contacts = contacts.flat_map(|(idx, element)| bench.element(idx, element)).take(MOST);
    let others = elements.filter(|(_, element)| !matches!(element, Element::Contacts { .. }));
    others.flat_map(|(idx, element)| bench.element(idx, element)).chain(contacts).collect()
}

struct Bench<'a> {
    car: &'a Car,
    solved: &'a Solved,
    id: PartId,
    part: &'a Part,
    known: &'a PartType,
}

impl Bench<'_> {
    fn element(&self, idx: usize, element: &Element) -> Vec<Check> {
        match element {
            Element::Fuse { between, .. } => vec![self.fuse(between)],
            Element::Filament { between: [a, b], .. } => vec![self.bulb(a, b)],
            Element::Relay { coil, pull_winding, at_rest, pulled_in, .. } => {
                let relay =
                    relay::Relay::new(idx, coil, [at_rest, pulled_in], pull_winding.is_some());
                self.relay(&relay)
            }
            Element::Contacts { control, joins, .. } => self.contacts(control, joins),
            _ => Vec::new(),
        }
    }

    /// The fuse in the hand: its holder stays empty until all leads are on.
    fn fuse(&self, between: &[Name; 2]) -> Check {
        let n_fuses = self.known.elements.iter().filter(|element| is_fuse(element)).count();
        let [a, b] = between;
        let which = match n_fuses {
            1 => self.part.label.clone(),
            _ => format!("{}, fuse of {a} and {b}", self.part.label),
        };
        let read = self.row(
            [a, b],
            &BTreeMap::new(),
            "the fuse in the hand; its holder stays empty",
            "No reading: it is blown. Read the number on it, too.",
        );
        Check { red: format!("{which}: one end"), black: "its other end".to_owned(), ..read }
    }

    fn bulb(&self, a: &Name, b: &Name) -> Check {
        let read = self.row(
            [a, b],
            &BTreeMap::new(),
            "bulb in, cold",
            "No reading: the filament is broken, or the bulb does not touch in its holder.",
        );
        // What no meter can tell from a short is not said to be told.
        let is_told = read.figure.is_none_or(|ohms| ohms >= TOLD_FROM_OHMS);
        let band = if is_told {
            read.band
        } else {
            format!("{}; tells only that it is whole, a short reads the same", read.band)
        };
        Check { band, ..read }
    }

    fn contacts(&self, key: &Name, joins: &BTreeMap<Name, Vec<Vec<Name>>>) -> Vec<Check> {
        let Some(control) = self.known.control(key) else { return Vec::new() };
        let name = self.part.control(self.known, key);
        // The pair of the first position that joins any, tried in every position.
        let pair = control.positions.iter().find_map(|position| {
            joins.get(&position.name)?.iter().find_map(|group| group.get(..2))
        });
        let Some(pair) = pair else { return Vec::new() };
        // The rest position last: so the switch is left in it.
        let positions = control.positions.iter().skip(1).chain(control.positions.first());
        let rows = positions.map(|position| {
            let set = BTreeMap::from([(name.to_owned(), position.name.clone())]);
            let how = format!("at {}", position.name);
            let otherwise = "The other way round: its terminals stand in another order than drawn, or it is another kind \
                             of switch. No reading in any position: it is dead. Do not fit it before you know.";
            self.row([&pair[0], &pair[1]], &set, &how, otherwise)
        });
        rows.collect()
    }

    fn row(
        &self,
        [a, b]: [&Name; 2],
        set: &BTreeMap<String, String>,
        how: &str,
        otherwise: &str,
    ) -> Check {
        let rig = Rig::alone(self.car, self.id);
        let ohms = rig.ohms_between((self.id, a), (self.id, b), set);
        self.reading([a, b], ohms, how, otherwise)
    }

    fn reading(&self, [a, b]: [&Name; 2], ohms: Ohms, how: &str, otherwise: &str) -> Check {
        let label = &self.part.label;
        let (expected, band) = bench_words(ohms);
        Check {
            how: how.to_owned(),
            red: format!("{label}, terminal {a}"),
            black: format!("{label}, terminal {b}"),
            reads: "ohms",
            expected,
            band,
            otherwise: otherwise.to_owned(),
            figure: ohms.figure(),
            ..Check::default()
        }
    }
}

fn is_fuse(element: &Element) -> bool {
    matches!(element, Element::Fuse { .. })
}

fn bench_words(ohms: Ohms) -> (String, String) {
    let Ohms::Reads(ohms) = ohms else {
        return ("no reading".to_owned(), OPEN.to_owned());
    };
    let most = ohms_words(ohms * (1.0 + OF_READING) + METER_ADDS);
    let band = if ohms < TOLD_FROM_OHMS {
        format!("no more than {most}")
    } else {
        format!("{} to {most}", plain_ohms(ohms * (1.0 - OF_READING) - METER_ADDS))
    };
    (ohms_words(ohms), band)
}
