//! What a part reads by itself on the bench.

mod relay;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::{Element, Position};
use loomwright_circuit::{Car, Name, Part, PartId, PartType};

use super::Check;
use super::ohms::{METER_ADDS, OF_READING, OPEN, TOLD_FROM_OHMS, band, ohms_words};
use crate::solved::Solved;
use loomwright_electrics::rig::{Ohms, Rig};

/// Of a switch with many positions and terminals no more than this is tried.
const MOST: usize = 16;

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
            if self.part.type_name.starts_with("trailer") {
                "a trailer plugged in but not coupled, its wheels chocked, and left so for all tests until the engine runs: its plug comes out before the car is moved; its bulbs in, cold"
            } else {
                "bulb in, cold"
            },
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

    /// Every pair of terminals that a position joins: in each position that joins it, and in one that does not.
    fn contacts(&self, key: &Name, joins: &BTreeMap<Name, Vec<Vec<Name>>>) -> Vec<Check> {
        let Some(control) = self.known.control(key) else { return Vec::new() };
        let name = self.part.control(self.known, key);
        let of = |position: &Position| joins.get(&position.name).map_or(&[][..], Vec::as_slice);
        let mut pairs: Vec<[&Name; 2]> = Vec::new();
        for group in control.positions.iter().flat_map(of) {
            let next = group.windows(2).map(|pair| [&pair[0], &pair[1]]);
            pairs.extend(next.filter(|pair| !pairs.contains(pair)).collect::<Vec<_>>());
        }
        let is_joined = |position: &Position, pair: &[&Name; 2]| {
            of(position).iter().any(|group| pair.iter().all(|one| group.contains(one)))
        };
        // The rest position last: so the switch is left in it.
        let (rest, others) =
            control.positions.split_first().map_or((None, &[][..]), |(a, b)| (Some(a), b));
        let mut rows = Vec::new();
        for position in others.iter().chain(rest) {
            let is_parted_here = |pair: &&[&Name; 2]| {
                let parted = rest.into_iter().chain(others).find(|other| !is_joined(other, pair));
                parted.is_some_and(|parted| parted.name == position.name)
            };
            let told =
                pairs.iter().filter(|pair| is_joined(position, pair) || is_parted_here(pair));
            rows.extend(told.map(|pair| self.contact(*pair, name, position)));
        }
        rows
    }

    fn contact(&self, pair: [&Name; 2], control: &str, position: &Position) -> Check {
        let set = BTreeMap::from([(control.to_owned(), position.name.clone())]);
        let how = format!("at {}", position.name);
        let otherwise = "The other way round: its terminals stand in another order than drawn, or it is another kind of \
                         switch. No reading in any position: it is dead. Do not fit it before you know.";
        self.row(pair, &set, &how, otherwise)
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
    let band = if ohms < TOLD_FROM_OHMS {
        format!("no more than {}", ohms_words(ohms * (1.0 + OF_READING) + METER_ADDS))
    } else {
        band(ohms)
    };
    (ohms_words(ohms), band)
}
