//! Random networks of resistances and batteries: against dense LU of a general library, and against the theorems that
//! hold for such networks alone.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, EarthPolarity, PartId};
use loomwright_electrics::{PartState, Settled, Solution, assumed};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

use crate::rig::Rig;

/// Joints on a tree of wires, and everything of fixed resistance between them.
#[derive(Debug, Clone)]
struct Random {
    joints: usize,
    tree: Vec<(usize, f64, f64)>,
    wires: Vec<(usize, usize, f64, f64)>,
    resistors: Vec<(usize, usize, f64)>,
    /// Kind, and the joints of its two terminals: from [`PAIRS`].
    pairs: Vec<(usize, usize, usize)>,
    /// Joint of an earth point, and whether it is bolted to the engine.
    earths: Vec<(usize, bool)>,
    /// Joint of the live post of each battery beside the first, whose other post is earthed; Ah.
    batteries: Vec<(usize, f64)>,
    has_strap: bool,
    is_positive: bool,
    /// Whether switches are on.
    are_on: bool,
}

/// Parts of two terminals: type and figure.
const PAIRS: [(&str, &[(&str, f64)]); 4] = [
    ("switch", &[]),
    ("bullet-connector", &[]),
    ("fuse-blade", &[("amps", 10.0)]),
    ("resistor", &[("ohms", 3.3)]),
];

fn random() -> impl Strategy<Value = Random> {
    (2_usize..25).prop_flat_map(|joints| {
        let size = || prop_oneof![Just(0.5), Just(1.0), Just(2.5), Just(16.0)];
        let length = || 0.0_f64..6.0;
        let joint = || 0..joints;
        let rows = (
            proptest::collection::vec((joint(), size(), length()), joints - 1),
            proptest::collection::vec((joint(), joint(), size(), length()), 0..20),
            proptest::collection::vec((joint(), joint(), 0.05_f64..2_000.0), 1..20),
            proptest::collection::vec((0..PAIRS.len(), joint(), joint()), 0..12),
            proptest::collection::vec((joint(), any::<bool>()), 0..6),
            proptest::collection::vec((joint(), 20.0_f64..90.0), 0..3),
        );
        let facts = (any::<bool>(), any::<bool>(), any::<bool>());
        (rows, facts).prop_map(move |(rows, (has_strap, is_positive, are_on))| {
            let (tree, wires, resistors, pairs, earths, batteries) = rows;
            Random {
                joints,
                tree,
                wires,
                resistors,
                pairs,
                earths,
                batteries,
                has_strap,
                is_positive,
                are_on,
            }
        })
    })
}

impl Random {
    /// The first battery's live post on the first joint, the other on the last; every joint hangs on an earlier one.
    fn rig(&self) -> Rig {
        let mut rig = if self.is_positive { Rig::positive_earth() } else { Rig::new() };
        let [live, earthed] = if self.is_positive { ["-", "+"] } else { ["+", "-"] };
        let joint = |idx: usize| format!("J{idx}.1");
        rig.part("B1", "battery", &[]);
        for idx in 0..self.joints {
            rig.part(&format!("J{idx}"), "joint", &[]);
        }
        rig.cable(&format!("B1.{live}"), &joint(0), Some(16.0), Some(0.5));
        rig.part("R", "resistor", &[("ohms", 10.0)]);
        rig.wire(&joint(self.joints - 1), "R.1");
        rig.wire("R.2", &format!("B1.{earthed}"));
        for (idx, (to, mm2, m)) in self.tree.iter().enumerate() {
            rig.cable(&joint(idx + 1), &joint(to % (idx + 1)), Some(*mm2), Some(*m));
        }
        for (a, b, mm2, m) in self.wires.iter().filter(|(a, b, ..)| a != b) {
            rig.cable(&joint(*a), &joint(*b), Some(*mm2), Some(*m));
        }
        for (idx, (a, b, ohms)) in self.resistors.iter().enumerate() {
            between(&mut rig, &format!("R{idx}"), ("resistor", &[("ohms", *ohms)]), [*a, *b]);
        }
        for (idx, (kind, a, b)) in self.pairs.iter().enumerate() {
            between(&mut rig, &format!("X{idx}"), PAIRS[*kind], [*a, *b]);
        }
        for (idx, (at, is_engine)) in self.earths.iter().enumerate() {
            let kind = if *is_engine { "engine-earth" } else { "body-earth" };
            rig.part(&format!("E{idx}"), kind, &[]);
            // A resistance in the way, so that not everything is a short.
            rig.part(&format!("L{idx}"), "resistor", &[("ohms", 2.0)]);
            rig.wire(&joint(*at), &format!("L{idx}.1"));
            rig.wire(&format!("L{idx}.2"), &format!("E{idx}.1"));
        }
        for (idx, (at, amp_hours)) in self.batteries.iter().enumerate() {
            let label = format!("B{}", idx + 2);
            rig.part(&label, "battery", &[("amp_hours", *amp_hours)]);
            rig.wire(&format!("{label}.{live}"), &joint(*at));
            rig.part(&format!("S{idx}"), "body-earth", &[]);
            rig.wire(&format!("{label}.{earthed}"), &format!("S{idx}.1"));
        }
        rig.part("Main", "body-earth", &[]);
        rig.cable(&format!("B1.{earthed}"), "Main.1", Some(16.0), Some(0.4));
        if self.has_strap {
            rig.part("Block", "engine-earth", &[]);
            rig.part("Bell", "body-earth", &[]);
            rig.cable("Block.1", "Bell.1", Some(16.0), Some(0.3));
        }
        rig
    }

    /// From rest, all switches as they are.
    fn solved(&self, rig: &Rig) -> Settled {
        let network = rig.network();
        let mut setting = network.rest();
        setting.0.fill(u8::from(self.are_on));
        network.moved(&network.at_rest().state, &setting)
    }
}

fn between(rig: &mut Rig, label: &str, (kind, facts): (&str, &[(&str, f64)]), ends: [usize; 2]) {
    rig.part(label, kind, facts);
    for (terminal, joint) in [1, 2].into_iter().zip(ends) {
        rig.wire(&format!("J{joint}.1"), &format!("{label}.{terminal}"));
    }
}

/// A branch of the second way to the answer: ends, ohm, and EMF from the second end to the first.
struct Branch {
    ends: [usize; 2],
    ohms: f64,
    emf: f64,
    /// What a battery sets against being charged.
    takes: Option<f64>,
}

/// All branches, straight from the rows of the car; the two kinds of metal come after the terminals.
fn branches(car: &Car, are_on: bool) -> (BTreeMap<(PartId, String), usize>, Vec<Branch>, usize) {
    let mut number: BTreeMap<(PartId, String), usize> = BTreeMap::new();
    for id in car.parts().keys() {
        for terminal in &car.type_of(*id).expect("type").terminals {
            let next = number.len();
            number.insert((*id, terminal.name.clone()), next);
        }
    }
    let at = |id: PartId, name: &str| number[&(id, name.to_owned())];
    let [body, engine] = [number.len(), number.len() + 1];
    let mut branches = Vec::new();
    let mut earth = None;
    for (id, part) in car.parts() {
        let mut put = |ends, ohms| branches.push(Branch { ends, ohms, emf: 0.0, takes: None });
        let pair = || [at(*id, "1"), at(*id, "2")];
        match part.type_name.as_str() {
            "battery" => {
                let amp_hours = part.facts.get("amp_hours").copied().unwrap_or(40.0);
                let is_positive = car.vehicle().earth == EarthPolarity::Positive;
                earth = earth.or_else(|| Some(at(*id, if is_positive { "+" } else { "-" })));
                branches.push(Branch {
                    ends: [at(*id, "+"), at(*id, "-")],
                    ohms: assumed::battery_ohms(12.0, amp_hours),
                    emf: assumed::battery_emf(12.0),
                    takes: Some(assumed::battery_charge_ohms(12.0, amp_hours)),
                });
            }
            "resistor" => put(pair(), part.facts["ohms"]),
            "switch" if are_on => put(pair(), assumed::SWITCH_CONTACT_OHMS),
            "bullet-connector" => put(pair(), 2.0 * assumed::JOINED_TERMINAL_OHMS),
            // 7.70 milliohm at 10 A, of the fuse maker's data.
            "fuse-blade" => put(pair(), 7.70e-3 + assumed::FUSE_HOLDER_OHMS),
            "body-earth" => put([at(*id, "1"), body], assumed::EARTH_POINT_OHMS),
            "engine-earth" => put([at(*id, "1"), engine], assumed::EARTH_POINT_OHMS),
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
        let ends = [place(&wire.from.at), place(&wire.to.at)];
        branches.push(Branch { ends, ohms, emf: 0.0, takes: None });
    }
    (number, branches, earth.expect("a battery"))
}

/// Volts of every terminal that hangs on the reference, by dense LU: a second way to the same answer. Batteries are
/// taken to give, and the sums done again until each gives or takes as it was taken to.
fn dense(car: &Car, are_on: bool) -> BTreeMap<(PartId, String), Option<f64>> {
    let (number, branches, earth) = branches(car, are_on);
    let n = number.len() + 2;
    let mut is_home = vec![false; n];
    is_home[earth] = true;
    for _ in 0..n {
        for branch in &branches {
            let [a, b] = branch.ends;
            let either = is_home[a] || is_home[b];
            (is_home[a], is_home[b]) = (either, either);
        }
    }
    let keep: Vec<usize> = (0..n).filter(|idx| *idx != earth && is_home[*idx]).collect();
    let place: BTreeMap<usize, usize> = keep.iter().enumerate().map(|(k, at)| (*at, k)).collect();
    let mut is_taking = vec![false; branches.len()];
    let volts = loop {
        let mut g = DMatrix::<f64>::zeros(keep.len(), keep.len());
        let mut amps = DVector::<f64>::zeros(keep.len());
        for (branch, is_taking) in branches.iter().zip(&is_taking) {
            let siemens = 1.0 / branch.takes.filter(|_| *is_taking).unwrap_or(branch.ohms);
            let [a, b] = branch.ends.map(|end| place.get(&end).copied());
            for (at, sign) in [(a, 1.0), (b, -1.0)] {
                let Some(at) = at else { continue };
                g[(at, at)] += siemens;
                amps[at] += sign * siemens * branch.emf;
            }
            if let (Some(a), Some(b)) = (a, b) {
                g[(a, b)] -= siemens;
                g[(b, a)] -= siemens;
            }
        }
        let solved = g.lu().solve(&amps).expect("all places hang together");
        let volts = |at: usize| place.get(&at).map_or(0.0, |k| solved[*k]);
        let takes = |branch: &Branch| {
            branch.takes.is_some() && volts(branch.ends[0]) - volts(branch.ends[1]) > branch.emf
        };
        let now: Vec<bool> = branches.iter().map(takes).collect();
        if now == is_taking {
            break (0..n).map(volts).collect::<Vec<f64>>();
        }
        is_taking = now;
    };
    let of = |at: usize| is_home[at].then(|| volts[at]);
    number.into_iter().map(|(terminal, at)| (terminal, of(at))).collect()
}

fn volts_of(rig: &Rig, solution: &Solution) -> Vec<Option<f64>> {
    let parts = rig.car.parts().keys();
    let terminals = parts.flat_map(|id| {
        let part_type = rig.car.type_of(*id).expect("type");
        part_type.terminals.iter().map(move |terminal| (*id, terminal.name.clone()))
    });
    terminals.map(|(id, name)| solution.volts(id, &name).map(|volts| volts.0)).collect()
}

proptest! {
    #![proptest_config(crate::throws::cases(96))]

    /// Nodal analysis, by another library's linear algebra.
    #[test]
    fn volts_agree_with_a_dense_solver(random in random()) {
        let rig = random.rig();
        let solution = random.solved(&rig).on;
        for ((part, terminal), expected) in dense(&rig.car, random.are_on) {
            let volts = solution.volts(part, &terminal).map(|volts| volts.0);
            match (volts, expected) {
                (Some(volts), Some(expected)) => prop_assert!(
                    (volts - expected).abs() <= 1e-9 * expected.abs().max(1e-3),
                    "{}.{terminal}: {volts} against {expected}",
                    rig.car.part(part).expect("part").label
                ),
                (volts, expected) => prop_assert_eq!(volts, expected),
            }
        }
    }

    /// Kirchhoff's voltage law.
    #[test]
    fn a_way_of_the_current_loses_what_supplies_give(random in random()) {
        let random = Random { batteries: Vec::new(), ..random };
        let rig = random.rig();
        let solution = random.solved(&rig).on;
        for wire in rig.car.wires().keys() {
            let Some(path) = solution.path_of_wire(*wire) else { continue };
            let round: f64 = path.steps.iter().map(|step| step.lost.0).sum();
            prop_assert!(round.abs() < 1e-6, "{wire}: {round} V are left over: {path:?}");
            prop_assert!((path.lost().0 - assumed::battery_emf(12.0)).abs() < 1.5);
        }
    }

    /// Monotony: by Thévenin's theorem the current in a branch falls as its resistance grows.
    #[test]
    fn a_longer_wire_never_carries_more(
        random in random(),
        by in 0.1_f64..10.0,
        which in any::<proptest::sample::Index>(),
    ) {
        let mut rig = random.rig();
        let wires: Vec<_> = rig.car.wires().keys().copied().collect();
        let wire = *which.get(&wires);
        let before = random.solved(&rig).on.wire_amps(wire).expect("wire").0;
        rig.lengthen(wire, by);
        let after = random.solved(&rig).on.wire_amps(wire).expect("wire").0;
        prop_assert!(after.abs() <= before.abs() * (1.0 + 1e-9) + 1e-12, "{before}, then {after}");
    }

    /// Superposition: what two batteries do together is what the changes of each do by themselves.
    #[test]
    fn changes_of_two_supplies_add_up(
        random in random(),
        at in any::<proptest::sample::Index>(),
        changes in (0.98_f64..1.02, 0.98_f64..1.02),
    ) {
        let second = (at.index(random.joints), 40.0);
        let random = Random { batteries: vec![second], ..random };
        let mut rig = random.rig();
        let mut with = |shares: [f64; 2]| {
            for (label, share) in ["B1", "B2"].into_iter().zip(shares) {
                // EMF goes with the marked volts; so does the resistance, unless the capacity does too.
                let id = rig.id(label);
                rig.set(id, "volts", 12.0 * share);
                rig.set(id, "amp_hours", 40.0 * share);
            }
            let solution = random.solved(&rig).on;
            let gives = |label| solution.state(rig.id(label)) == Some(PartState::Gives);
            (volts_of(&rig, &solution), gives("B1") && gives("B2"))
        };
        let (one, other) = changes;
        let all = [[1.0, 1.0], [one, 1.0], [1.0, other], [one, other]].map(&mut with);
        // One that is charged has another resistance.
        prop_assume!(all.iter().all(|(_, are_giving)| *are_giving));
        let [none, first, second, both] = all.map(|(volts, _)| volts);
        for idx in 0..none.len() {
            let (Some(none), Some(first)) = (none[idx], first[idx]) else { continue };
            let (Some(second), Some(both)) = (second[idx], both[idx]) else { continue };
            prop_assert!((both - none - (first - none) - (second - none)).abs() < 1e-9);
        }
    }

    /// The same car with its rows in another order.
    #[test]
    fn the_order_of_rows_does_not_matter(random in random(), dice in any::<u64>()) {
        // Of several batteries, the first is the one that volts count from.
        let random = Random { batteries: Vec::new(), ..random };
        let rig = random.rig();
        let shuffled = rig.shuffled(dice);
        let (one, other) = (random.solved(&rig).on, random.solved(&shuffled).on);
        for (id, part) in rig.car.parts() {
            for terminal in &rig.car.type_of(*id).expect("type").terminals {
                let volts = one.volts(*id, &terminal.name).map(|volts| volts.0);
                let again = other.volts(shuffled.id(&part.label), &terminal.name);
                match (volts, again.map(|volts| volts.0)) {
                    (Some(a), Some(b)) => {
                        prop_assert!((a - b).abs() <= 1e-12 * a.abs().max(1.0), "{a} and {b}");
                    }
                    (a, b) => prop_assert_eq!(a, b),
                }
            }
        }
    }
}
