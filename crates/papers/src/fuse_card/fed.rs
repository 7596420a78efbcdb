//! What each fuse feeds, and what stops with that: consumers, and of lamps with several filaments each by itself.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Name, PartId, PartType};
use loomwright_electrics::{
    Bound, Fault, FuseRef, Network, PartState, WhatIf, look_around, protection,
};

use crate::fitting::place_of;
use crate::solved::is_consumer;
use crate::words;

/// A consumer: the part, and which of its elements.
type Consumer = (PartId, usize);

/// What a fuse feeds.
#[derive(Debug, Default)]
pub(super) struct Fed {
    /// What its current goes through.
    itself: BTreeSet<Consumer>,
    /// What stops with that, fed through another fuse.
    with_it: BTreeSet<Consumer>,
}

impl Fed {
    /// "Driving-lamp relay; and stopped with it: Left driving lamp, Right driving lamp".
    pub(super) fn words(&self, car: &Car) -> String {
        let listed = |consumers| names(car, consumers).join(", ");
        match (self.itself.is_empty(), self.with_it.is_empty()) {
            (true, true) => "nothing that stops without it".to_owned(),
            (false, true) => listed(&self.itself),
            (true, false) => listed(&self.with_it),
            (false, false) => {
                format!("{}; and stopped with it: {}", listed(&self.itself), listed(&self.with_it))
            }
        }
    }
}

/// Labels, as people count; of a part that has more consumers than these, each by its trade word and its terminal:
/// "Left tail lamp stop (54)".
fn names(car: &Car, consumers: &BTreeSet<Consumer>) -> Vec<String> {
    let mut by_part: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    for (part, element) in consumers {
        by_part.entry(*part).or_default().push(*element);
    }
    let mut names: Vec<String> = Vec::new();
    for (id, elements) in by_part {
        let (Some(part), Some(known)) = (car.part(id), car.type_of(id)) else { continue };
        if elements.len() == consumers_in(known).count() {
            names.push(part.label.clone());
        } else {
            names.extend(elements.iter().map(|idx| format!("{} {}", part.label, one(known, *idx))));
        }
    }
    names.sort_by(|a, b| words::by_count(a, b));
    names
}

/// One consumer of several: "stop (54)", by the terminal that it shares with none of the others.
fn one(known: &PartType, element: usize) -> String {
    let own = known.elements[element].terminals();
    let is_shared = |name: &Name| {
        let has = |idx: usize| known.elements[idx].terminals().contains(&name);
        consumers_in(known).any(|idx| idx != element && has(idx))
    };
    let terminal = own.iter().find(|name| !is_shared(name)).or_else(|| own.first());
    let Some(terminal) = terminal else { return String::new() };
    match known.terminal(terminal).map_or("", |terminal| terminal.says.as_str()) {
        "" => format!("({terminal})"),
        says => format!("{says} ({terminal})"),
    }
}

/// The elements of a type that use current.
fn consumers_in(known: &PartType) -> impl Iterator<Item = usize> {
    let elements = known.elements.iter().enumerate();
    elements.filter(|(_, element)| uses(element)).map(|(idx, _)| idx)
}

fn uses(element: &Element) -> bool {
    is_consumer(element) || matches!(element, Element::Flasher { .. } | Element::Meter { .. })
}

/// The consumers of a part that are on all of these terminals.
fn on(car: &Car, id: PartId, terminals: &[Name]) -> Vec<Consumer> {
    let Some(known) = car.type_of(id) else { return Vec::new() };
    let is_on = |idx: &usize| {
        let own = known.elements[*idx].terminals();
        terminals.iter().all(|name| own.contains(&name))
    };
    consumers_in(known).filter(is_on).map(|idx| (id, idx)).collect()
}

/// What stops in some setting with each fuse out: what a way through switches and coils could feed on paper says
/// nothing of that. What stops and hangs on another fuse stops only because of what this one feeds.
pub(super) fn feeds(car: &Car, network: &Network) -> BTreeMap<FuseRef, Fed> {
    let guarded = guarded(car, network);
    let stopped = stopped(car, network);
    let of_fuse = |fuse: &FuseRef| {
        let none = BTreeSet::new();
        let stops = stopped.get(fuse).unwrap_or(&none);
        let guards = guarded.get(fuse).unwrap_or(&none);
        // In a half-drawn car nothing works that could stop; then what a fuse guards is told.
        if stops.is_empty() {
            return Fed { itself: guards.clone(), with_it: BTreeSet::new() };
        }
        let (itself, with_it) = stops.iter().copied().partition(|consumer: &Consumer| {
            let hangs_on_other =
                guarded.iter().any(|(other, guards)| other != fuse && guards.contains(consumer));
            guards.contains(consumer) || !hangs_on_other
        });
        Fed { itself, with_it }
    };
    let fuses: BTreeSet<&FuseRef> = stopped.keys().chain(guarded.keys()).collect();
    fuses.into_iter().map(|fuse| (fuse.clone(), of_fuse(fuse))).collect()
}

/// What stops in some setting with each fuse out.
fn stopped(car: &Car, network: &Network) -> BTreeMap<FuseRef, BTreeSet<Consumer>> {
    let exploration = look_around(network, Bound::default(), &mut |_states| true);
    let mut what_if = WhatIf::new(network, &exploration);
    let mut feeds: BTreeMap<FuseRef, BTreeSet<Consumer>> = BTreeMap::new();
    for fault in network.single_faults() {
        let Fault::FuseBlown(fuse) = &fault else { continue };
        let stops = what_if.of(&fault).stops.into_iter();
        let gone = stops.filter(|effect| !matches!(effect.now, PartState::Dim | PartState::Weak));
        let fed = gone.flat_map(|effect| on(car, effect.part, &effect.between)).collect();
        feeds.insert(fuse.clone(), fed);
    }
    feeds
}

/// What the wires that each fuse guards go to.
fn guarded(car: &Car, network: &Network) -> BTreeMap<FuseRef, BTreeSet<Consumer>> {
    let mut feeds: BTreeMap<FuseRef, BTreeSet<Consumer>> = BTreeMap::new();
    for (wire, guard) in protection(network) {
        let Some(wire) = car.wire(wire) else { continue };
        let places = wire.ends().into_iter().filter_map(|end| place_of(&end.at));
        let fed: Vec<Consumer> =
            places.flat_map(|(part, terminal)| on(car, part, &[terminal])).collect();
        for fuse in guard.fuses {
            feeds.entry(fuse).or_default().extend(&fed);
        }
    }
    feeds
}

#[cfg(test)]
mod tests {
    use loomwright_circuit::Version;

    use super::*;

    /// What each fuse of a car is said to feed.
    fn told(sketch: &str) -> Vec<String> {
        let car = loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let network = Network::of(&car, Version::After);
        feeds(&car, &network).values().map(|fed| fed.words(&car)).collect()
    }

    #[test]
    fn of_a_lamp_with_two_filaments_only_the_one_that_a_fuse_feeds_is_named() {
        let car = "car 12 V negative earth
battery B1 12 V 40 Ah
earth E1 body
earth E2 body
fuse F1 blade 10 A
fuse F2 blade 5 A
switch S1 \"brake\" released: ; pressed: 1-2
switch S2 \"lamps\" off: ; on: 1-2
lamp-stop-tail H1 stop_watts=21 tail_watts=5
wire W1 B1.+ F1.1 2 mm2 0.2 m
wire W2 B1.+ F2.1 2 mm2 0.2 m
wire W3 F1.2 S1.1 1 mm2 1 m
wire W4 F2.2 S2.1 1 mm2 1 m
wire W5 S1.2 H1.54 1 mm2 1 m
wire W6 S2.2 H1.58 1 mm2 1 m
wire W7 H1.31 E1 1 mm2 1 m
wire W8 B1.- E2 16 mm2 1 m
";
        assert_eq!(told(car), ["H1 stop (54)", "H1 tail (58)"]);
        // Where one fuse feeds both, the lamp's own name says it.
        let both = car.replace("W4 F2.2", "W4 F1.2");
        assert_eq!(told(&both)[0], "H1");
    }
}
