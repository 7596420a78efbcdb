//! A part type tried on the bench: its controls worked, a meter at its terminals.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::part_type::{ContactTable, ControlType, Element, Position};
use loomwright_circuit::{
    Car, Edit, Name, PartId, PartType, Point, SheetId, Standing, SystemVoltage, Vehicle,
};
use loomwright_electrics::rig::ohms_on_the_bench;

use crate::own_type::Set;
use crate::texts::PartWords;
use crate::tool::new_part;

/// More terminals than this are not measured each against each.
pub const BENCH_MOST: usize = 16;
/// Less than this, ohm, is metal to metal: contacts, fuses and links, not a filament (practice: the least that a meter
/// tells from its own leads is a tenth of an ohm).
const JOINED_OHMS: f64 = 0.05;

/// Where the red and the black probe are, and what the meter shows, ohm.
pub type Reading = (String, String, f64);

/// What the bench shows with the controls as they are set.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tried {
    /// The controls by name, with their positions and where each stands.
    pub controls: Vec<(String, Vec<Position>, String)>,
    /// The relays that are pulled in, by the two ends of the coil.
    pub relays_in: BTreeSet<[Name; 2]>,
    /// Terminals that are metal to metal.
    pub joined: Vec<Vec<String>>,
    /// What else reads between two terminals, the red probe first, ohm.
    pub reads: Vec<Reading>,
    /// Whether it could be tried.
    pub is_tried: bool,
    /// What the two probes read, ohm; nothing where it is open.
    pub between: Option<f64>,
}

/// Tries a part type that is fit for a car; with what is not, the bench stays empty.
pub fn tried(row: &PartType, volts: SystemVoltage, set: &Set, probes: [usize; 2]) -> Tried {
    let (benched, relays) = benched(row);
    let controls: Vec<_> = benched
        .controls
        .iter()
        .map(|control| {
            let stands = set.get(&control.key).cloned();
            let rest = || control.positions.first().map(|it| it.name.clone()).unwrap_or_default();
            let is_known = |it: &String| control.positions.iter().any(|known| known.name == *it);
            let stands = stands.filter(is_known).unwrap_or_else(rest);
            (control.key.clone(), control.positions.clone(), stands)
        })
        .collect();
    let is_in = |key: &String| {
        let known = controls.iter().find(|(name, ..)| name == key);
        known.is_some_and(|(_, _, stands)| stands == PartWords::pulled_in())
    };
    let relays_in =
        relays.into_iter().filter(|(key, _)| is_in(key)).map(|(_, coil)| coil).collect();
    let Some((car, part)) = on_the_bench(benched, volts) else {
        return Tried { controls, relays_in, ..Tried::default() };
    };
    let set: BTreeMap<String, String> =
        controls.iter().map(|(name, _, stands)| (name.clone(), stands.clone())).collect();
    let ohms = |red: &str, black: &str| ohms_on_the_bench(&car, part, [red, black], &set);
    let names: Vec<&str> = row.terminals.iter().map(|terminal| &*terminal.name).collect();
    let between = match probes.map(|idx| names.get(idx)) {
        [Some(red), Some(black)] if red != black => ohms(red, black),
        _ => None,
    };
    let (joined, reads) =
        if names.len() > BENCH_MOST { (Vec::new(), Vec::new()) } else { all(&names, ohms) };
    Tried { controls, relays_in, joined, reads, is_tried: true, between }
}

/// Each terminal against each other.
fn all(
    names: &[&str],
    ohms: impl Fn(&str, &str) -> Option<f64>,
) -> (Vec<Vec<String>>, Vec<Reading>) {
    let mut groups: Vec<BTreeSet<usize>> = (0..names.len()).map(|idx| [idx].into()).collect();
    let mut reads = Vec::new();
    for red in 0..names.len() {
        for black in red + 1..names.len() {
            let is_one = groups.iter().any(|group| group.contains(&red) && group.contains(&black));
            if is_one {
                continue;
            }
            let reading = ohms(names[red], names[black]).map(|ohms| (red, black, ohms));
            // What passes one way only is found by changing the probes.
            let reading = reading.or_else(|| Some((black, red, ohms(names[black], names[red])?)));
            match reading {
                Some((_, _, ohms)) if ohms < JOINED_OHMS => merge(&mut groups, red, black),
                Some(reading) => reads.push(reading),
                None => {}
            }
        }
    }
    let group_of = |idx: usize| groups.iter().position(|group| group.contains(&idx));
    let mut seen = BTreeSet::new();
    // Between the same two groups one reading says it all.
    reads.retain(|(red, black, _)| seen.insert((group_of(*red), group_of(*black))));
    let named = |idx: &usize| names[*idx].to_owned();
    let joined = groups.iter().filter(|group| group.len() > 1);
    let joined = joined.map(|group| group.iter().map(named).collect()).collect();
    let reads = reads.into_iter().map(|(red, black, ohms)| (named(&red), named(&black), ohms));
    (joined, reads.collect())
}

fn merge(groups: &mut Vec<BTreeSet<usize>>, a: usize, b: usize) {
    let (meeting, mut apart): (Vec<_>, Vec<_>) =
        groups.drain(..).partition(|group| group.contains(&a) || group.contains(&b));
    apart.push(meeting.into_iter().flatten().collect());
    apart.sort();
    *groups = apart;
}

/// The type as it is put on the bench: every control by its own name, and relays moved by hand, each by a control that is
/// listed with the relay's coil.
fn benched(row: &PartType) -> (PartType, Vec<(String, [Name; 2])>) {
    let mut row =
        PartType { name: "on-the-bench".to_owned(), impossible: Vec::new(), ..row.clone() };
    for control in &mut row.controls {
        control.shared = Some(control.key.clone());
        control.driven = false;
    }
    let mut moved = Vec::new();
    let mut relays: Vec<(String, [Name; 2])> = Vec::new();
    let n_relays = row.elements.iter().filter_map(Element::coil).count();
    for element in &mut row.elements {
        let Element::Relay { coil, ohms, at_rest, pulled_in, amps, .. } = element else { continue };
        let key = if n_relays > 1 {
            PartWords::numbered_relay_control(relays.len() + 1)
        } else {
            PartWords::relay_control().to_owned()
        };
        relays.push((key.clone(), coil.clone()));
        let position = |name: &str| Position { name: name.to_owned(), springs_to: None };
        let names = [PartWords::at_rest(), PartWords::pulled_in()];
        row.controls.push(ControlType {
            key: key.clone(),
            shared: Some(key.clone()),
            positions: names.map(position).to_vec(),
            driven: false,
            make_before_break: false,
        });
        let groups = [at_rest.clone(), pulled_in.clone()];
        let joins: ContactTable = names.map(str::to_owned).into_iter().zip(groups).collect();
        moved.push(Element::Contacts { control: key, joins, amps: amps.clone() });
        *element = Element::Resistor { between: coil.clone(), ohms: ohms.clone() };
    }
    row.elements.extend(moved);
    (row, relays)
}

/// A car with nothing but the part.
fn on_the_bench(mut row: PartType, volts: SystemVoltage) -> Option<(Car, PartId)> {
    // Keys of controls that the bench gives are words, not names of files.
    let mut controls: BTreeMap<String, String> = BTreeMap::new();
    for (n, control) in row.controls.iter_mut().enumerate() {
        let key = format!("bench-{n}");
        let before = std::mem::replace(&mut control.key, key.clone());
        controls.insert(before, key);
    }
    for element in &mut row.elements {
        if let Element::Contacts { control, .. } = element {
            control.clone_from(controls.get(control)?);
        }
    }
    // What it is called does not matter here, and may still be missing.
    row.title.clone_from(&row.name);
    row.stem.clone_from(&row.name);
    row.nicknames.clear();
    row.outline.clear();
    let name = row.name.clone();
    let mut car = Car::new(Vehicle { voltage: volts, ..Vehicle::default() });
    let part = new_part(&name, SheetId(1), Point::default(), Standing::AsFound);
    let edit = Edit::All(vec![Edit::SetOwnType(Arc::new(row)), Edit::Place(part)]);
    let patch = car.plan(edit).ok()?;
    car.apply(&patch);
    let part = *car.parts().keys().next()?;
    Some((car, part))
}
