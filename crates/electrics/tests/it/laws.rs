//! Random circuits of everything against the laws that every circuit keeps; see `dense.rs` for those of resistances.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Anchor, Car, PartId};
use loomwright_electrics::{Network, Settled, Solution};
use proptest::prelude::*;

use crate::rig::Rig;

/// What flows into a terminal by its wires enters the part there.
fn assert_kirchhoff(car: &Car, solution: &Solution) {
    let mut into: BTreeMap<(PartId, String), f64> = BTreeMap::new();
    let mut greatest = 0.0_f64;
    for (id, wire) in car.wires() {
        let amps = solution.wire_amps(*id).expect("wire").0;
        assert!(amps.is_finite());
        greatest = greatest.max(amps.abs());
        for (end, sign) in wire.ends().into_iter().zip([-1.0, 1.0]) {
            if let Anchor::Terminal { part, terminal } = &end.at {
                *into.entry((*part, terminal.clone())).or_default() += sign * amps;
            }
        }
    }
    for ((part, terminal), amps) in into {
        // The battery's earthed post is where all else is counted from; what it takes follows from the others.
        let entering = solution.terminal_amps(part, &terminal).expect("terminal").0;
        assert!(
            (amps - entering).abs() < 2e-9 + 1e-11 * greatest,
            "{part}.{terminal}: wires bring {amps}, {entering} enters"
        );
    }
}

/// No power is lost (Tellegen).
fn assert_power(solution: &Solution) {
    let lost = solution.power_balance().0;
    assert!(lost.abs() < 1e-7, "{lost} W are lost");
}

fn assert_lawful(car: &Car, settled: &Settled) {
    for solution in [Some(&settled.on), settled.off.as_ref()].into_iter().flatten() {
        assert_kirchhoff(car, solution);
        assert_power(solution);
    }
}

proptest! {
    #![proptest_config(crate::throws::cases(96))]

    #[test]
    fn currents_and_power_balance_in_circuits_with_everything_in_them(mixed in mixed()) {
        let rig = mixed.rig();
        let network = rig.network();
        assert_lawful(&rig.car, &network.at_rest());
        let mut setting = network.rest();
        for (at, control) in setting.0.iter_mut().zip(network.controls()) {
            *at = u8::try_from(control.positions.len() - 1).expect("few");
        }
        let moved = network.moved(&network.at_rest().state, &setting);
        assert_lawful(&rig.car, &moved);
        prop_assert!(moved.on.iterations < 80);
    }

    #[test]
    fn the_order_of_parts_does_not_matter(mixed in mixed()) {
        // Of several batteries, the first is the one that volts count from.
        let mixed = mixed.without("battery");
        let forward = mixed.rig();
        let mut reversed = mixed.clone();
        reversed.parts.reverse();
        let backward = reversed.rig();
        let (one, other) = (forward.network().at_rest(), backward.network().at_rest());
        for (label, type_name, ..) in mixed.labelled() {
            let part_type = forward.car.type_named(type_name).expect("type");
            for terminal in &part_type.terminals {
                let volts = |rig: &Rig, settled: &Settled| {
                    settled.on.volts(rig.id(&label), &terminal.name).map(|volts| volts.0)
                };
                let (a, b) = (volts(&forward, &one), volts(&backward, &other));
                match (a, b) {
                    (Some(a), Some(b)) => prop_assert!((a - b).abs() < 1e-7, "{label}: {a}, {b}"),
                    (a, b) => prop_assert_eq!(a, b),
                }
            }
        }
    }

    #[test]
    fn earthing_the_other_post_turns_every_sign(mixed in mixed()) {
        let (plain, mirrored) = (mixed.rig(), mixed.mirrored());
        for idx in 0..4 {
            let one = in_positions(&plain.network(), idx).on;
            let other = in_positions(&mirrored.network(), idx).on;
            assert_mirrored(&mixed, &plain, &one, &mirrored, &other);
        }
    }

    #[test]
    fn nothing_changes_in_the_instant_after_no_move(mixed in mixed()) {
        let rig = mixed.rig();
        let network = rig.network();
        for idx in 0..4 {
            let settled = in_positions(&network, idx);
            // A generator whose field comes and goes is never as it was.
            if !settled.is_settled {
                continue;
            }
            let instant = network.first_instant(&settled, &settled);
            prop_assert!(instant.otherwise.is_empty());
            for (id, wire) in rig.car.wires() {
                let one = settled.on.wire_amps(*id).expect("wire").0;
                let other = instant.on.wire_amps(*id).expect("wire").0;
                prop_assert!(
                    (one - other).abs() < 1e-5 * (1.0 + one.abs()),
                    "{}: {one} and then {other}",
                    wire.label
                );
            }
            assert_kirchhoff(&rig.car, &instant.on);
        }
    }

    #[test]
    fn the_same_input_gives_the_same_bits(mixed in mixed()) {
        let one = Network::of(&mixed.rig().car, loomwright_circuit::Version::After).at_rest();
        let other = Network::of(&mixed.rig().car, loomwright_circuit::Version::After).at_rest();
        prop_assert_eq!(one, other);
    }
}

/// From rest, every control in its position of this number, or its last: the engine stands, is cranked, idles, runs.
fn in_positions(network: &Network, idx: usize) -> Settled {
    let mut setting = network.rest();
    for (at, control) in setting.0.iter_mut().zip(network.controls()) {
        *at = u8::try_from(idx.min(control.positions.len() - 1)).expect("few");
    }
    network.moved(&network.at_rest().state, &setting)
}

/// Volts and currents of the one are those of the other with the sign turned.
fn assert_mirrored(mixed: &Mixed, plain: &Rig, one: &Solution, mirrored: &Rig, other: &Solution) {
    for (id, wire) in plain.car.wires() {
        // The two wires of a part that was turned round have changed places.
        let part = wire.from.at.part().and_then(|part| plain.car.part(part)).expect("part");
        if part.label != "B1" && POLARISED.contains(&part.type_name.as_str()) {
            continue;
        }
        let amps = one.wire_amps(*id).expect("wire").0;
        let turned = other.wire_amps(*id).expect("wire").0;
        assert!(
            (amps + turned).abs() < 1e-6 * (1.0 + amps.abs()),
            "{}: {amps} and {turned}",
            wire.label
        );
    }
    for idx in 0..mixed.joints {
        let label = format!("J{idx}.1");
        match (plain.volts(one, &label), mirrored.volts(other, &label)) {
            (Some(volts), Some(turned)) => assert!((volts + turned).abs() < 1e-4, "{label}"),
            (volts, turned) => assert_eq!(volts, turned),
        }
    }
    for (label, kind, _) in mixed.labelled() {
        if !matches!(kind, "dynamo" | "alternator" | "battery") {
            continue;
        }
        let (id, turned) = (plain.id(&label), mirrored.id(&label));
        let (one, other) = (one.part(id).expect("part"), other.part(turned).expect("part"));
        assert_eq!(one.state, other.state, "{label}");
        assert!((one.watts.0 - other.watts.0).abs() < 1e-5 * (1.0 + one.watts.0.abs()), "{label}");
    }
}

/// A random tangle: joints, and parts of every kind between them.
#[derive(Debug, Clone)]
struct Mixed {
    joints: usize,
    /// Index of the kind, then the joints that its terminals hang on.
    parts: Vec<(usize, Vec<usize>)>,
}

/// Kinds without memory or timing, so that the order of parts cannot choose between two rests.
const KINDS: [&str; 19] = [
    "lamp",
    "led-lamp",
    "diode",
    "switch",
    "fuse-blade",
    "resistor",
    "motor",
    "heater",
    "body-earth",
    "engine-earth",
    "socket",
    "lamp-double",
    "battery",
    "bullet-connector",
    "dynamo",
    "alternator",
    "fan",
    "wiper-motor",
    "led-lamp-regulated",
];

const POLARISED: [&str; 4] = ["led-lamp", "diode", "battery", "led-lamp-regulated"];

fn mixed() -> impl Strategy<Value = Mixed> {
    (2_usize..12).prop_flat_map(|joints| {
        let part = (0..KINDS.len(), proptest::collection::vec(0..joints, 3));
        proptest::collection::vec(part, 1..25).prop_map(move |parts| Mixed { joints, parts })
    })
}

impl Mixed {
    fn without(mut self, left_out: &str) -> Self {
        self.parts.retain(|(kind, _)| KINDS[*kind] != left_out);
        self
    }

    /// Parts in their own order, each with a label that does not depend on it.
    fn labelled(&self) -> Vec<(String, &'static str, &[usize])> {
        self.parts
            .iter()
            .map(|(kind, ends)| {
                let twins = self.parts.iter().filter(|other| *other == &(*kind, ends.clone()));
                let label = format!("{}-{}-{:?}", twins.count(), KINDS[*kind], ends);
                (label, KINDS[*kind], ends.as_slice())
            })
            .collect()
    }

    fn rig(&self) -> Rig {
        self.built(Rig::new(), false)
    }

    /// The same with plus earthed, and everything polarised the other way round.
    fn mirrored(&self) -> Rig {
        self.built(Rig::positive_earth(), true)
    }

    fn built(&self, mut rig: Rig, is_mirrored: bool) -> Rig {
        rig.part("B1", "battery", &[]);
        for idx in 0..self.joints {
            rig.part(&format!("J{idx}"), "joint", &[]);
        }
        let posts = if is_mirrored { ["B1.-", "B1.+"] } else { ["B1.+", "B1.-"] };
        rig.wire(posts[0], "J0.1");
        rig.wire(posts[1], "J1.1");
        for (label, kind, ends) in self.labelled() {
            // A second part of the same kind in the same place would have the same label.
            if rig.car.part_labelled(&label).is_some() {
                continue;
            }
            let id = rig.part(&label, kind, &[]);
            let part_type = Arc::clone(rig.car.type_of(id).expect("type"));
            let is_polarised = POLARISED.contains(&kind);
            let mut ends = ends[..part_type.terminals.len().min(ends.len())].to_vec();
            if is_mirrored && is_polarised {
                ends.reverse();
            }
            for (terminal, joint) in part_type.terminals.iter().zip(ends) {
                rig.wire(&format!("{label}.{}", terminal.name), &format!("J{joint}.1"));
            }
        }
        rig
    }
}
