//! Random circuits against a dense solver, and against the laws that every circuit keeps.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Anchor, Car, PartId};
use loomwright_electrics::{Network, Settled, Solution, assumed};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

use crate::rig::Rig;

/// A random circuit of joints on a tree, with resistors and more wires between them.
#[derive(Debug, Clone)]
struct Random {
    joints: usize,
    tree: Vec<(usize, f64, f64)>,
    wires: Vec<(usize, usize, f64, f64)>,
    resistors: Vec<(usize, usize, f64)>,
}

fn random() -> impl Strategy<Value = Random> {
    (2_usize..25).prop_flat_map(|joints| {
        let size = || prop_oneof![Just(0.5), Just(1.0), Just(2.5), Just(16.0)];
        let length = || 0.0_f64..6.0;
        let link = (0..joints, size(), length());
        let wire = (0..joints, 0..joints, size(), length());
        let resistor = (0..joints, 0..joints, 0.05_f64..2_000.0);
        (
            proptest::collection::vec(link, joints - 1),
            proptest::collection::vec(wire, 0..20),
            proptest::collection::vec(resistor, 1..20),
        )
            .prop_map(move |(tree, wires, resistors)| Random {
                joints,
                tree,
                wires,
                resistors,
            })
    })
}

impl Random {
    /// Battery plus on the first joint, minus on the last; every joint hangs on an earlier one by a wire.
    fn rig(&self) -> Rig {
        let mut rig = Rig::new();
        rig.part("B1", "battery", &[]);
        let joint = |idx: usize| format!("J{idx}.1");
        for idx in 0..self.joints {
            rig.part(&format!("J{idx}"), "joint", &[]);
        }
        rig.cable("B1.+", &joint(0), Some(16.0), Some(0.5));
        rig.part("R", "resistor", &[("ohms", 10.0)]);
        rig.wire(&joint(self.joints - 1), "R.1");
        rig.wire("R.2", "B1.-");
        for (idx, (to, mm2, m)) in self.tree.iter().enumerate() {
            rig.cable(&joint(idx + 1), &joint(to % (idx + 1)), Some(*mm2), Some(*m));
        }
        for (a, b, mm2, m) in &self.wires {
            if a != b {
                rig.cable(&joint(*a), &joint(*b), Some(*mm2), Some(*m));
            }
        }
        for (idx, (a, b, ohms)) in self.resistors.iter().enumerate() {
            rig.part(&format!("R{idx}"), "resistor", &[("ohms", *ohms)]);
            rig.wire(&joint(*a), &format!("R{idx}.1"));
            rig.wire(&joint(*b), &format!("R{idx}.2"));
        }
        rig
    }
}

/// Volts of every terminal by dense LU, straight from the rows of the car: a second way to the same answer.
fn dense(car: &Car) -> BTreeMap<(PartId, String), f64> {
    let mut number: BTreeMap<(PartId, String), usize> = BTreeMap::new();
    for id in car.parts().keys() {
        for terminal in &car.type_of(*id).expect("type").terminals {
            let next = number.len();
            number.insert((*id, terminal.name.clone()), next);
        }
    }
    let n = number.len();
    let mut g = DMatrix::<f64>::zeros(n, n);
    let mut amps = DVector::<f64>::zeros(n);
    let mut branch = |a: usize, b: usize, ohms: f64, emf: f64| {
        let siemens = 1.0 / ohms;
        g[(a, a)] += siemens;
        g[(b, b)] += siemens;
        g[(a, b)] -= siemens;
        g[(b, a)] -= siemens;
        amps[a] += siemens * emf;
        amps[b] -= siemens * emf;
    };
    let at = |id: PartId, name: &str| number[&(id, name.to_owned())];
    let mut earth = 0;
    for (id, part) in car.parts() {
        match part.type_name.as_str() {
            "battery" => {
                let emf = assumed::battery_emf(12.0);
                branch(at(*id, "+"), at(*id, "-"), assumed::battery_ohms(12.0, 40.0), emf);
                earth = at(*id, "-");
            }
            "resistor" => branch(at(*id, "1"), at(*id, "2"), part.facts["ohms"], 0.0),
            _ => {}
        }
    }
    for wire in car.wires().values() {
        let place = |anchor: &Anchor| match anchor {
            Anchor::Terminal { part, terminal } => at(*part, terminal),
            Anchor::Loose { .. } => unreachable!("no loose ends here"),
        };
        let (size, length) = (wire.size.expect("size").square_mm(), wire.length.expect("length").0);
        let end = if size >= 10.0 { 0.0005 } else { 0.002 };
        // IEC 60028: 0.017241 Ω·mm²/m at 20 °C.
        let ohms = 0.017_241 * length / size + 2.0 * end;
        branch(place(&wire.from.at), place(&wire.to.at), ohms, 0.0);
    }
    let keep: Vec<usize> = (0..n).filter(|idx| *idx != earth).collect();
    let reduced = DMatrix::from_fn(n - 1, n - 1, |row, column| g[(keep[row], keep[column])]);
    let currents = DVector::from_fn(n - 1, |row, _| amps[keep[row]]);
    let solved = reduced.lu().solve(&currents).expect("all places hang together");
    let volts = |idx: usize| keep.iter().position(|kept| *kept == idx).map_or(0.0, |k| solved[k]);
    number.into_iter().map(|(terminal, idx)| (terminal, volts(idx))).collect()
}

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
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn volts_agree_with_a_dense_solver(random in random()) {
        let rig = random.rig();
        let solution = rig.network().at_rest().on;
        for ((part, terminal), expected) in dense(&rig.car) {
            let volts = solution.volts(part, &terminal).expect("joined").0;
            prop_assert!(
                (volts - expected).abs() <= 1e-9 * expected.abs().max(1e-3),
                "{part}.{terminal}: {volts} against {expected}"
            );
        }
    }

    #[test]
    fn a_way_of_the_current_loses_what_supplies_give(random in random()) {
        let rig = random.rig();
        let solution = rig.network().at_rest().on;
        for wire in rig.car.wires().keys() {
            let Some(path) = solution.path_of_wire(*wire) else { continue };
            let round: f64 = path.steps.iter().map(|step| step.lost.0).sum();
            prop_assert!(round.abs() < 1e-6, "{wire}: {round} V are left over: {path:?}");
            prop_assert!((path.lost().0 - assumed::battery_emf(12.0)).abs() < 1.5);
        }
    }

    #[test]
    fn a_longer_wire_never_carries_more(random in random(), by in 0.1_f64..10.0) {
        let mut rig = random.rig();
        let wire = *rig.car.wires().keys().next().expect("wire");
        let before = rig.network().at_rest().on.wire_amps(wire).expect("wire").0;
        rig.lengthen(wire, by);
        let after = rig.network().at_rest().on.wire_amps(wire).expect("wire").0;
        prop_assert!(after.abs() <= before.abs() * (1.0 + 1e-9));
    }

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
                    (Some(a), Some(b)) => prop_assert!((a - b).abs() < 1e-4, "{label}: {a}, {b}"),
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
const KINDS: [&str; 16] = [
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
];

const POLARISED: [&str; 3] = ["led-lamp", "diode", "battery"];

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
