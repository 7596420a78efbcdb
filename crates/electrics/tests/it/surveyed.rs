//! Extremes without visiting all states, against those of all states.

use std::collections::BTreeMap;

use loomwright_electrics::{Bound, Brackets, Exploration, Extremes, Network, explore, survey};

use proptest::prelude::*;

use crate::fleet;
use crate::rig::Rig;
use crate::witnesses::assert_by_readings;

const ALL: Bound = Bound { states: 100_000 };

fn surveyed(network: &Network) -> Exploration {
    survey(network, ALL, &mut |_| true)
}

/// The figures of extremes, in the order of the network.
fn figures(network: &Network, exploration: &Exploration) -> Vec<(String, Option<f64>)> {
    let extremes = Extremes::of(network, exploration);
    let mut figures = Vec::new();
    for (wire, met) in &extremes.wires {
        figures.push((format!("{wire}"), Some(met.value.0)));
        let reversed = extremes.reversed.get(wire).map_or(0.0, |met| met.value.0);
        figures.push((format!("{wire} reversed"), Some(reversed)));
    }
    for contact in &extremes.contacts {
        let name = format!("{} {:?}", contact.part, contact.joins);
        figures.push((name, contact.greatest.map(|met| met.value.0)));
    }
    for fuse in &extremes.fuses {
        figures.push((format!("{}", fuse.part), fuse.greatest.map(|met| met.value.0)));
    }
    for load in &extremes.loads {
        for (what, met) in
            [("most", load.greatest), ("least", load.least), ("cranking", load.least_cranking)]
        {
            let name = format!("{} {:?} {what}", load.part, load.between);
            figures.push((name, met.map(|met| met.value.0)));
        }
    }
    figures
}

/// Extremes by labels, which do not depend on the order of rows.
fn by_label(rig: &Rig, survey: &Exploration) -> BTreeMap<String, f64> {
    let extremes = Extremes::of(&rig.network(), survey);
    let label = |part| rig.car.part(part).expect("part").label.clone();
    let mut figures = BTreeMap::new();
    for (wire, met) in &extremes.wires {
        figures.insert(rig.car.wire(*wire).expect("wire").label.clone(), met.value.0);
    }
    for load in &extremes.loads {
        for (what, met) in [("most", load.greatest), ("least", load.least)] {
            let name = format!("{} {what}", label(load.part));
            figures.extend(met.map(|met| (name, met.value.0)));
        }
    }
    figures
}

/// How far the figures of a survey may be off in these tests, proved and with doubts: a share, and an absolute part.
const OFF: [(f64, f64); 2] = [(1e-6, 1e-6), (0.15, 0.25)];

/// Figures that differ, with that of the survey and the true one.
fn differences(network: &Network, survey: &Exploration, all: &Exploration) -> Vec<String> {
    let pairs = figures(network, survey).into_iter().zip(figures(network, all));
    let (share, beside) = OFF[usize::from(!survey.is_exact())];
    let differs = |((name, one), (_, other)): ((String, Option<f64>), (String, Option<f64>))| match (
        one, other,
    ) {
        (Some(a), Some(b)) if (a - b).abs() <= share * a.abs().max(b.abs()) + beside => None,
        (None, None) => None,
        // What flows back is promised of exact surveys alone.
        _ if !survey.is_exact() && name.ends_with("reversed") => None,
        _ => Some(format!("{name}: {one:?} surveyed, {other:?} in all")),
    };
    pairs.filter_map(differs).collect()
}

/// Readings of more visits are not gone through in these tests.
const MOST_READ: usize = 120;

fn assert_as_all(network: &Network) -> (Exploration, Exploration) {
    let survey = surveyed(network);
    let all = explore(network, ALL, &mut |_| true);
    assert!(all.is_complete);
    let differences = differences(network, &survey, &all);
    assert!(differences.is_empty(), "{:?} {differences:#?}", survey.doubts);
    if survey.is_exact() {
        assert_eq!(survey.states, all.visits.len() as u128);
    }
    for exploration in [&survey, &all] {
        if exploration.visits.len() < MOST_READ {
            assert_by_readings(network, exploration);
        }
    }
    for (idx, visit) in survey.visits.iter().enumerate() {
        let mut now = network.at_rest().state;
        for step in survey.moves_to(idx) {
            let moved = network.move_control(&now, &step.control, &step.position);
            now = moved.expect("a move that was made").state;
        }
        assert_eq!(now, visit.settled.state, "the moves lead there");
    }
    assert_within_brackets(network, &survey, &all);
    (survey, all)
}

/// The figures of all states lie between those met and what is proved of them.
fn assert_within_brackets(network: &Network, survey: &Exploration, all: &Exploration) {
    let [met, truth] = [survey, all].map(|of| Extremes::of(network, of));
    let brackets = Brackets::of(network, survey, &met);
    let room = |bound: f64| bound * (1.0 + 1e-6) + 1e-6;
    for (wire, amps) in &truth.wires {
        let bound = brackets.wires.get(wire).map_or(0.0, |bound| bound.0);
        assert!(amps.value.0 <= room(bound), "{wire}: {amps:?} over {bound} A");
    }
    let contacts = truth.contacts.iter().zip(&brackets.contacts);
    let fuses = truth.fuses.iter().zip(&brackets.fuses);
    let greatest = contacts.map(|(contact, bound)| (contact.greatest, bound));
    for (amps, bound) in greatest.chain(fuses.map(|(fuse, bound)| (fuse.greatest, bound))) {
        let amps = amps.map_or(0.0, |met| met.value.0);
        assert!(amps <= room(bound.0), "{amps} A over {bound:?}");
    }
    for (load, bound) in truth.loads.iter().zip(&brackets.loads) {
        let greatest = load.greatest.map_or(0.0, |met| met.value.0);
        assert!(greatest <= room(bound.greatest.0), "{load:?} over {bound:?}");
        for (met, bound) in [(load.least, bound.least), (load.least_cranking, bound.least_cranking)]
        {
            let (Some(met), Some(bound)) = (met, bound) else { continue };
            assert!(bound.0 <= room(met.value.0), "{load:?} under {bound:?}");
        }
    }
}

#[test]
fn a_whole_car_is_known_from_a_small_share_of_its_states() {
    let (survey, all) = assert_as_all(&fleet::car(120).network());
    assert!(survey.is_exact(), "{:?}", survey.doubts);
    assert!(survey.visits.len() * 4 < all.visits.len(), "{}", survey.visits.len());
}

/// A random car: circuits on a chain of joints, some behind the ignition switch, some by relays, some joined crosswise.
#[derive(Debug, Clone)]
pub(crate) struct Random {
    circuits: Vec<Circuit>,
    /// Wires between the joints of two circuits.
    crossed: Vec<(usize, usize)>,
    /// None, a dynamo, an alternator, or one whose charge lamp is a light-emitting diode.
    generator: usize,
    has_second_feed: bool,
    has_indicators: bool,
    breaker: usize,
    is_positive: bool,
}

#[derive(Debug, Clone)]
struct Circuit {
    bus: usize,
    control: usize,
    is_relayed: bool,
    /// Index of the flasher before its switch; none above.
    flasher: usize,
    loads: Vec<usize>,
    earth: usize,
}

const LOADS: [(&str, f64); 5] =
    [("lamp", 21.0), ("lamp", 55.0), ("motor", 60.0), ("led-lamp", 3.0), ("heater", 120.0)];

const FLASHERS: [(&str, [&str; 2]); 2] =
    [("flasher-thermal-3", ["B", "L"]), ("flasher-electronic-2", ["49", "49a"])];

pub(crate) fn random() -> impl Strategy<Value = Random> {
    let circuit = (
        0_usize..4,
        0_usize..6,
        any::<bool>(),
        0_usize..6,
        proptest::collection::vec(0..LOADS.len(), 1..4),
        0_usize..6,
    )
        .prop_map(|(bus, control, is_relayed, flasher, loads, earth)| Circuit {
            bus,
            control,
            is_relayed,
            flasher,
            loads,
            earth,
        });
    (
        proptest::collection::vec(circuit, 3..9),
        proptest::collection::vec((0_usize..9, 0_usize..9), 0..2),
        0_usize..4,
        proptest::bool::weighted(0.2),
        proptest::bool::weighted(0.2),
        0_usize..12,
        any::<bool>(),
    )
        .prop_map(
            |(circuits, crossed, generator, second_feed, indicators, breaker, is_positive)| {
                Random {
                    circuits,
                    crossed,
                    generator,
                    has_second_feed: second_feed,
                    has_indicators: indicators,
                    breaker,
                    is_positive,
                }
            },
        )
}

impl Random {
    pub(crate) fn rig(&self) -> Rig {
        let mut rig = if self.is_positive { Rig::positive_earth() } else { Rig::new() };
        let [live, earthed] = if self.is_positive { ["B.-", "B.+"] } else { ["B.+", "B.-"] };
        rig.part("B", "battery", &[]);
        rig.part("Strap", "body-earth", &[]);
        rig.cable(earthed, "Strap.1", Some(16.0), Some(0.5));
        for idx in 0..4 {
            rig.part(&format!("Bus {idx}"), "joint", &[]);
            rig.part(&format!("Point {idx}"), "body-earth", &[]);
        }
        rig.cable(live, "Bus 0.1", Some(10.0), Some(1.0));
        match self.breaker {
            1 => breaker(&mut rig, ["Bus 0.1", "Bus 1.1"], 14.0),
            _ => drop(rig.cable("Bus 0.1", "Bus 1.1", Some(4.0), Some(0.5))),
        }
        rig.part("Ignition", "ignition-switch", &[]);
        rig.wire("Bus 1.1", "Ignition.30");
        rig.wire("Ignition.15", "Bus 2.1");
        match self.breaker {
            2 => breaker(&mut rig, ["Bus 2.1", "Bus 3.1"], 5.0),
            _ => drop(rig.cable("Bus 2.1", "Bus 3.1", Some(2.0), Some(0.7))),
        }
        if self.has_second_feed {
            rig.wire("Bus 0.1", "Bus 3.1");
        }
        match self.generator {
            0 => {}
            1 => generator(&mut rig, "dynamo", "warning-lamp"),
            2 => generator(&mut rig, "alternator", "warning-lamp"),
            _ => generator(&mut rig, "alternator", "led-lamp"),
        }
        if self.has_indicators {
            indicators(&mut rig);
        }
        for (idx, circuit) in self.circuits.iter().enumerate() {
            let device = match self.breaker {
                3 if idx == 0 => ("breaker", 3.0),
                4 if idx == 1 => ("breaker-manual", 5.0),
                _ => ("fuse-blade", 20.0),
            };
            circuit.put(&mut rig, idx, device);
        }
        let joint = |idx: usize| format!("Joint {}.1", idx % self.circuits.len());
        for (a, b) in &self.crossed {
            if joint(*a) != joint(*b) {
                rig.wire(&joint(*a), &joint(*b));
            }
        }
        rig
    }
}

/// A breaker between two places.
fn breaker(rig: &mut Rig, [from, to]: [&str; 2], amps: f64) {
    rig.part("Breaker", "breaker", &[("amps", amps)]);
    rig.cable(from, "Breaker.1", Some(4.0), Some(0.3));
    rig.cable("Breaker.2", to, Some(4.0), Some(0.3));
}

/// A thermal flasher behind the ignition switch, its stalk and a lamp a side: states with a dark phase.
fn indicators(rig: &mut Rig) {
    rig.part("Flasher", "flasher-thermal-2", &[]);
    rig.part("Stalk", "indicator-stalk", &[]);
    rig.wire("Bus 3.1", "Flasher.B");
    rig.wire("Flasher.L", "Stalk.49a");
    for side in ["L", "R"] {
        rig.part(side, "lamp", &[("watts", 42.0)]);
        rig.wire(&format!("Stalk.{side}"), &format!("{side}.1"));
        rig.wire(&format!("{side}.2"), "Point 1.1");
    }
}

/// A generator with its charge lamp.
fn generator(rig: &mut Rig, kind: &str, lamp: &str) {
    let terminals = |rig: &Rig, label: &str| -> Vec<String> {
        let part_type = rig.car.type_of(rig.id(label)).expect("type");
        part_type.terminals.iter().map(|terminal| terminal.name.clone()).collect()
    };
    rig.part("Generator", kind, &[]);
    rig.part("Charge", lamp, &[("watts", if lamp == "led-lamp" { 0.3 } else { 2.2 })]);
    let mut ends = terminals(rig, "Charge");
    if lamp == "led-lamp" && rig.posts() == ["-", "+"] {
        ends.reverse();
    }
    for name in terminals(rig, "Generator") {
        match name.as_str() {
            "A" | "B+" => rig.cable(&format!("Generator.{name}"), "Bus 1.1", Some(4.0), Some(0.6)),
            "D" | "IND" => {
                rig.wire("Bus 2.1", &format!("Charge.{}", ends[0]));
                rig.wire(&format!("Charge.{}", ends[1]), &format!("Generator.{name}"))
            }
            other => rig.wire(&format!("Generator.{other}"), "Point 0.1"),
        };
    }
}

impl Circuit {
    fn put(&self, rig: &mut Rig, idx: usize, (device, amps): (&str, f64)) {
        let name = |what: &str| format!("{what} {idx}");
        let at = |what: &str, terminal: &str| format!("{what} {idx}.{terminal}");
        rig.part(&name("Fuse"), device, &[("amps", amps)]);
        let control = format!("control {}", self.control);
        rig.part_on(&name("Switch"), "switch", &[], &[("lever", &control)]);
        rig.part(&name("Joint"), "joint", &[]);
        rig.wire(&format!("Bus {}.1", self.bus), &at("Fuse", "1"));
        if let Some((unit, [feed, lamps])) = FLASHERS.get(self.flasher) {
            rig.part(&name("Flasher"), unit, &[]);
            rig.wire(&at("Fuse", "2"), &at("Flasher", feed));
            rig.wire(&at("Flasher", lamps), &at("Switch", "1"));
        } else {
            rig.wire(&at("Fuse", "2"), &at("Switch", "1"));
        }
        // Some earth at a point of their own, others share one.
        let earth = if self.earth < 4 {
            format!("Point {}.1", self.earth)
        } else {
            rig.part(&name("Own"), "body-earth", &[]);
            at("Own", "1")
        };
        if self.is_relayed {
            rig.part(&name("Relay"), "relay-make", &[]);
            rig.wire(&at("Switch", "2"), &at("Relay", "86"));
            rig.wire(&at("Relay", "85"), &earth);
            rig.wire("Bus 0.1", &at("Relay", "30"));
            rig.wire(&at("Relay", "87"), &at("Joint", "1"));
        } else {
            rig.wire(&at("Switch", "2"), &at("Joint", "1"));
        }
        let is_positive = rig.car.vehicle().earth == loomwright_circuit::EarthPolarity::Positive;
        for (nth, load) in self.loads.iter().enumerate() {
            let (kind, watts) = LOADS[*load];
            let label = format!("Load {idx} {nth}");
            let id = rig.part(&label, kind, &[("watts", watts)]);
            let part_type = rig.car.type_of(id).expect("type");
            let mut ends: Vec<String> = part_type
                .terminals
                .iter()
                .map(|terminal| format!("{label}.{}", terminal.name))
                .collect();
            if is_positive && kind == "led-lamp" {
                ends.reverse();
            }
            rig.wire(&at("Joint", "1"), &ends[0]);
            rig.wire(&ends[1], &earth);
        }
    }
}

fn demo(bytes: &[u8]) -> Network {
    let car = loomwright_circuit::load(bytes).expect("it loads");
    Network::of(&car, loomwright_circuit::Version::After)
}

#[test]
fn demo_cars_are_known_from_a_share_of_their_states() {
    let roadster = demo(include_bytes!("../../../../demo-projects/curlew-roadster.loom.json"));
    let van = demo(include_bytes!("../../../../demo-projects/heron-van.loom.json"));
    for network in [roadster, van] {
        let (survey, all) = assert_as_all(&network);
        assert!(survey.visits.len() <= all.visits.len());
    }
}

proptest! {
    #![proptest_config(crate::throws::cases(24))]

    #[test]
    fn extremes_are_those_of_all_states(random in random()) {
        assert_as_all(&random.rig().network());
    }

}

proptest! {
    #![proptest_config(crate::throws::cases(6))]

    /// The same car with its rows in another order has the same extremes.
    #[test]
    fn the_order_of_rows_does_not_matter_to_a_survey(random in random(), dice in any::<u64>()) {
        let rig = random.rig();
        let shuffled = rig.shuffled(dice);
        let [one, other] = [&rig, &shuffled].map(|rig| {
            let survey = surveyed(&rig.network());
            (by_label(rig, &survey), survey.states, survey.is_exact())
        });
        prop_assert_eq!((one.1, one.2), (other.1, other.2));
        prop_assert_eq!(one.0.len(), other.0.len());
        let share = OFF[usize::from(!one.2)];
        for ((name, a), (again, b)) in one.0.iter().zip(&other.0) {
            prop_assert_eq!(name, again);
            prop_assert!((a - b).abs() <= share.0 * a.abs() + share.1, "{}: {} and {}", name, a, b);
        }
    }

    /// Nothing in a survey hangs on chance: no hash order, no thread.
    #[test]
    fn the_same_car_gives_the_same_bits_in_every_survey(random in random()) {
        let [one, other] = [(); 2].map(|()| surveyed(&random.rig().network()));
        prop_assert_eq!(one, other);
    }
}

#[test]
fn a_car_of_thirty_controls_and_a_thousand_million_settings_is_answered() {
    let network = fleet::car_of(260, 30).network();
    assert!(network.possible_settings() > 1_000_000_000);
    let survey = surveyed(&network);
    assert!(survey.is_exact(), "{:?}", survey.doubts);
    assert_eq!(survey.states, network.possible_settings());
    assert!(survey.visits.len() < 1_000, "{}", survey.visits.len());
}

#[test]
fn with_a_doubt_the_bracket_is_given_and_not_wide() {
    // Lamps that hang on two live places: fed from the fused bus as well as straight from the battery.
    let mut rig = fleet::car_of(82, 4);
    for (label, bus) in [("Second fuse", "Bus 0.1"), ("Third fuse", "Fuse 1.2")] {
        rig.part(label, "fuse-blade", &[("amps", 15.0)]);
        rig.wire(bus, &format!("{label}.1"));
        rig.part_on(&format!("{label} switch"), "switch", &[], &[("lever", "control 1")]);
        rig.wire(&format!("{label}.2"), &format!("{label} switch.1"));
        rig.wire(&format!("{label} switch.2"), "Joint 0.1");
    }
    let network = rig.network();
    let (survey, all) = assert_as_all(&network);
    assert!(!survey.is_exact());
    let (met, truth) = (Extremes::of(&network, &survey), Extremes::of(&network, &all));
    let brackets = Brackets::of(&network, &survey, &met);
    let live = truth.wires.iter().filter(|(_, amps)| amps.value.0 > 0.1);
    let widths: Vec<f64> = live.map(|(wire, amps)| brackets.wires[wire].0 / amps.value.0).collect();
    let narrow = widths.iter().filter(|width| **width < 1.5).count();
    assert!(narrow * 5 > widths.len() * 4, "{widths:.2?}");
    for (load, bound) in truth.loads.iter().zip(&brackets.loads) {
        let (Some(least), Some(bound)) = (load.least, bound.least) else { continue };
        assert!(bound.0 > 0.8 * least.value.0, "{bound:?} for {least:?}");
    }
}
