//! Kirchhoff's current law and Tellegen's theorem on every demo car and reference circuit, in every reachable setting.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, PartId, Version, WireId};
use loomwright_electrics::{Bound, Network, Note, NoteKind, Solution, explore};

use crate::repository::{files, read, shown};

/// Left over of a current, for each ampere that the battery could give: A.
const TOLERANCE: f64 = 1e-6;
/// Left over of a power, for the same: W.
const WATTS: f64 = 3e-5;

/// Current that wires bring to each terminal, A.
fn brought(car: &Car, version: Version, solution: &Solution) -> BTreeMap<(PartId, String), f64> {
    let mut brought: BTreeMap<(PartId, String), f64> = BTreeMap::new();
    for (id, wire) in car.wires().iter().filter(|(_, wire)| version.has(wire.standing)) {
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
fn check(car: &Car, version: Version, solution: &Solution, place: &str) {
    let scale = 1.0 + car.wires().keys().filter_map(|id| solution.wire_amps(*id)).fold(0.0, most);
    let near = |left: f64| left.abs() <= TOLERANCE * scale;
    // Kirchhoff at every terminal: what the wires bring, the part takes.
    let mut taken: BTreeMap<PartId, f64> = BTreeMap::new();
    for ((part, terminal), brought) in brought(car, version, solution) {
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
    // Tellegen: what supplies give, the rest takes; as the program sums it, and by the readings of parts and wires.
    let balance = solution.power_balance().0;
    assert!(balance.abs() <= WATTS * scale, "{balance} W are left over, {place}");
    let left = watts(car, version, solution);
    assert!(left.abs() <= WATTS * scale, "{left} W are left over by the readings, {place}");
}

/// What all parts and wires take, less what supplies give, W.
fn watts(car: &Car, version: Version, solution: &Solution) -> f64 {
    let parts = car.parts().keys().filter_map(|id| solution.part(*id));
    let in_parts: f64 = parts.flat_map(|part| part.elements).map(|element| element.watts.0).sum();
    let in_wire = |id: &WireId| {
        let [from, to] = solution.wire_volts(*id)?;
        Some(((from - to) * solution.wire_amps(*id)?).0)
    };
    let wires = car.wires().iter().filter(|(_, wire)| version.has(wire.standing));
    in_parts + wires.filter_map(|(id, _)| in_wire(id)).sum::<f64>()
}

fn most(most: f64, amps: loomwright_units::Amps) -> f64 {
    most.max(amps.0.abs())
}

/// Checks a car before and after its alteration in every state that moves from rest lead to; gives their number.
fn walk(car: &Car, name: &str) -> usize {
    let in_version = |version: Version| {
        let network = Network::of(car, version);
        let exploration = explore(&network, Bound::default(), &mut |_| true);
        assert!(exploration.is_complete, "{name} has too many states");
        for visit in &exploration.visits {
            let setting = network.named(&visit.settled.state.setting);
            let phases = std::iter::once(&visit.settled.on).chain(&visit.settled.off);
            for (phase, solution) in phases.enumerate() {
                let place = format!("{name}, {version:?}, phase {phase}, {setting:?}");
                let is_last = |note: &Note| note.kind == NoteKind::NotConverged;
                assert!(!solution.notes.iter().any(is_last), "no answer: {place}");
                check(car, version, solution, &place);
            }
        }
        exploration.visits.len()
    };
    in_version(Version::Before) + in_version(Version::After)
}

#[test]
fn every_reference_circuit_keeps_the_laws_in_every_setting() {
    let sketches = files("crates/rules/tests/it/sound", ".sketch");
    assert!(sketches.len() >= 25, "only {} reference circuits", sketches.len());
    for path in sketches {
        let car =
            loomwright_sketch::parse(&read(&path)).unwrap_or_else(|errors| panic!("{errors}"));
        assert!(walk(&car, &shown(&path)) >= 2);
    }
}

#[test]
fn every_demo_car_keeps_the_laws_in_every_setting() {
    let demos = files("demo-projects", ".loom.json");
    assert!(demos.len() >= 3, "only {} demo cars", demos.len());
    for path in demos {
        let text = read(&path);
        let car = loomwright_circuit::load(text.as_bytes())
            .unwrap_or_else(|error| panic!("{}: {error}", shown(&path)));
        assert!(walk(&car, &shown(&path)) >= 4);
    }
}
