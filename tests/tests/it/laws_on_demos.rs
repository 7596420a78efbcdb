//! Kirchhoff's current law and Tellegen's theorem on every demo car and reference circuit, in every reachable setting.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, PartId, Version};
use loomwright_electrics::{Bound, Network, NoteKind, Solution, explore};

use crate::repository::{files, read, shown};

/// Left over of a current, for each ampere that the battery could give: A.
const TOLERANCE: f64 = 1e-6;

/// Current that wires bring to each terminal, A.
fn brought(car: &Car, solution: &Solution) -> BTreeMap<(PartId, String), f64> {
    let mut brought: BTreeMap<(PartId, String), f64> = BTreeMap::new();
    for (id, wire) in car.wires().iter().filter(|(_, wire)| Version::After.has(wire.standing)) {
        let amps = solution.wire_amps(*id).expect("a wire of this version").0;
        for (end, amps) in [(&wire.from, -amps), (&wire.to, amps)] {
            match &end.at {
                Anchor::Terminal { part, terminal } => {
                    *brought.entry((*part, terminal.clone())).or_default() += amps;
                }
                Anchor::Loose { .. } => {
                    assert!(
                        amps.abs() < TOLERANCE,
                        "{amps} A leave the loose end of {}",
                        wire.label
                    );
                }
            }
        }
    }
    brought
}

/// Checks one phase of one state.
fn check(car: &Car, solution: &Solution, place: &str) {
    let scale = 1.0 + car.wires().keys().filter_map(|id| solution.wire_amps(*id)).fold(0.0, most);
    let near = |left: f64| left.abs() <= TOLERANCE * scale;
    // Kirchhoff at every terminal: what the wires bring, the part takes.
    let mut taken: BTreeMap<PartId, f64> = BTreeMap::new();
    for ((part, terminal), brought) in brought(car, solution) {
        let label = &car.part(part).expect("a part").label;
        let takes = solution.terminal_amps(part, &terminal).expect("a terminal").0;
        let left = brought - takes;
        assert!(near(left), "{left} A of {brought} A are lost at {label}.{terminal}, {place}");
        *taken.entry(part).or_default() += brought;
    }
    // What enters a part leaves it, unless it is bolted to metal; and what enters the metal leaves it.
    let mut into_metal = 0.0;
    for (part, amps) in taken {
        let part_type = car.type_of(part).expect("a type");
        let is_bolted = part_type.elements.iter().any(|row| matches!(row, Element::Earth { .. }));
        let label = &car.part(part).expect("a part").label;
        assert!(is_bolted || near(amps), "{amps} A stay in {label}, {place}");
        into_metal += if is_bolted { amps } else { 0.0 };
    }
    assert!(near(into_metal), "{into_metal} A stay in the metal, {place}");
    // Tellegen: what supplies give, the rest takes.
    let balance = solution.power_balance().0;
    assert!(balance.abs() <= 30.0 * TOLERANCE * scale, "{balance} W are left over, {place}");
}

fn most(most: f64, amps: loomwright_units::Amps) -> f64 {
    most.max(amps.0.abs())
}

/// Checks a car in every state that moves from rest lead to; gives their number.
fn walk(car: &Car, name: &str) -> usize {
    let network = Network::of(car, Version::After);
    let exploration = explore(&network, Bound::default(), &mut |_| true);
    assert!(exploration.is_complete, "{name} has too many states");
    for visit in &exploration.visits {
        let setting = network.named(&visit.settled.state.setting);
        let phases = std::iter::once(&visit.settled.on).chain(&visit.settled.off);
        for (phase, solution) in phases.enumerate() {
            let place = format!("{name}, phase {phase}, {setting:?}");
            let has_failed = solution.notes.iter().any(|note| note.kind == NoteKind::NotConverged);
            assert!(!has_failed, "no answer: {place}");
            check(car, solution, &place);
        }
    }
    exploration.visits.len()
}

#[test]
fn every_reference_circuit_keeps_the_laws_in_every_setting() {
    let sketches = files("crates/rules/tests/it/sound", ".sketch");
    assert!(sketches.len() >= 25, "only {} reference circuits", sketches.len());
    for path in sketches {
        let car =
            loomwright_sketch::parse(&read(&path)).unwrap_or_else(|errors| panic!("{errors}"));
        assert!(walk(&car, &shown(&path)) >= 1);
    }
}

#[test]
fn every_demo_car_keeps_the_laws_in_every_setting() {
    for path in files("demo-projects", ".loom.json") {
        let text = read(&path);
        let car = loomwright_circuit::load(text.as_bytes())
            .unwrap_or_else(|error| panic!("{}: {error}", shown(&path)));
        assert!(walk(&car, &shown(&path)) > 1);
    }
}
