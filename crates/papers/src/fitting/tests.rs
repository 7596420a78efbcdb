//! The order of fitting and its readings, against the solver and against Ohm's law.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Edit, PartId, Standing, Version, WireId};
use loomwright_electrics::{Network, filament};
use proptest::prelude::*;

use super::runs::{RunKind, Ways};
use super::{Stage, stages};
use crate::solved::Solved;
use loomwright_electrics::rig::{Ohms, Rig};

/// A car with one lamp; a pair of driving lamps on a relay is to fit.
const SKETCH: &str = "car 12 V negative earth
battery B1 12 V 48 Ah
earth E1 body
switch S1 \"lights\" off: ; main: 1-2
lamp H1 45 W
earth E2 body
wire W1 B1.+ S1.1 3 mm2 1 m brown
wire W2 S1.2 H1.1 2 mm2 2 m blue/white
wire W3 H1.2 E2 2 mm2 0.3 m black
wire W4 B1.- E1 35 mm2 0.3 m black
fuse F1 blade 15 A to fit
relay K1 12 V to fit
lamp H2 55 W to fit
earth E3 body to fit
earth E4 body to fit
wire W5 B1.+ F1.1 3 mm2 0.3 m brown to fit
wire W6 F1.2 K1.30 3 mm2 0.5 m purple to fit
wire W7 K1.87 H2.1 2 mm2 1.5 m blue/yellow to fit
wire W8 H2.2 E3 2 mm2 0.3 m black to fit
wire W9 S1.2 K1.86 1 mm2 1.2 m blue/white to fit
wire W10 K1.85 E4 1 mm2 0.3 m black to fit
promise lights=main : H2 lit
";

fn car(sketch: &str) -> Car {
    loomwright_sketch::parse(sketch).unwrap_or_else(|errors| panic!("{errors}"))
}

fn all(car: &Car) -> Vec<Stage> {
    stages(car, &Solved::of(car, Version::After))
}

fn part(car: &Car, label: &str) -> PartId {
    car.part_labelled(label).unwrap().0
}

#[test]
fn earths_come_first_then_the_consumers_and_the_supply_last() {
    let titles: Vec<String> = all(&car(SKETCH)).into_iter().map(|stage| stage.title).collect();
    insta::assert_snapshot!(titles.join("\n"), @r"
    Battery off
    Earths
    New parts
    From K1, terminal 87 to H2
    From F1, terminal 2 to K1
    From S1, terminal 2 to K1
    From B1, terminal + to F1
    All leads on, before the battery
    First power-up, through a lamp
    One at a time: K1
    One at a time: H2
    All together, then the key off
    By touch, after ten minutes
    ");
}

#[test]
fn a_car_without_alteration_or_battery_has_no_order() {
    let plain =
        SKETCH.lines().filter(|line| !line.contains("to fit")).collect::<Vec<_>>().join("\n");
    assert!(all(&car(&plain.replace("H2", "H1"))).is_empty());
    let unpowered = SKETCH.lines().filter(|line| !line.contains("B1")).collect::<Vec<_>>();
    assert!(all(&car(&unpowered.join("\n"))).is_empty());
}

#[test]
fn the_volts_of_a_consumer_are_the_solvers() {
    let car = car(SKETCH);
    let network = Network::of(&car, Version::After);
    let main = BTreeMap::from([("lights".to_owned(), "main".to_owned())]);
    let settled = network.moved(&network.at_rest().state, &network.setting(&main).unwrap());
    let volts = |terminal: &str| settled.on.volts(part(&car, "H2"), terminal).unwrap().0;
    let stage = all(&car).into_iter().find(|stage| stage.title.ends_with("time: H2")).unwrap();
    assert_eq!(stage.checks[0].expected, format!("{:.1} V", volts("1") - volts("2")));
    assert_eq!(stage.checks[1].expected, format!("{} V", crate::words::number(volts("2"), 2)));
    assert!(stage.checks.iter().all(|check| check.set == "lights at main; all else off"));
}

#[test]
fn red_and_black_change_places_with_the_earth_of_the_car() {
    let positive = SKETCH
        .replace("negative earth", "positive earth")
        .replace("B1.+", "B1.x")
        .replace("B1.-", "B1.+")
        .replace("B1.x", "B1.-");
    let stages = all(&car(&positive));
    assert!(stages[0].does.contains("off the plus post first"), "{}", stages[0].does);
    let lamp = stages.iter().find(|stage| stage.title.ends_with("time: H2")).unwrap();
    // The feed is at minus: the red probe goes to the lamp's return, and the meter reads upwards.
    assert_eq!(lamp.checks[0].red, "H2, terminal 2");
    assert!(!lamp.checks[0].expected.starts_with('-'), "{}", lamp.checks[0].expected);
}

#[test]
fn the_bulb_in_the_earth_lead_tells_a_short() {
    let seen = |sketch: &str| {
        let stages = all(&car(sketch));
        let stage = stages.iter().find(|stage| stage.title.contains("through a lamp")).unwrap();
        stage.checks.iter().map(|check| check.expected.clone()).collect::<Vec<_>>()
    };
    assert_eq!(seen(SKETCH), ["dark", "bright"]);
    // A lead straight to earth, past the fuse.
    let shorted = format!("{SKETCH}wire W11 B1.+ E2 2 mm2 0.3 m to fit\n");
    assert_eq!(seen(&shorted)[0], "bright");
    // Five watts of the twenty-one are what a glow is.
    let small =
        SKETCH.replace("lamp H1 45 W", "lamp H1 5 W").replace("lamp H2 55 W", "lamp H2 5 W");
    assert_eq!(seen(&small), ["dark", "a glow"]);
}

#[test]
fn ohms_are_those_of_ohms_law() {
    let car = car(SKETCH);
    let post = (part(&car, "B1"), "-");
    let rig = || Rig::of(&car).without_batteries().without_new_fuses();
    let Ohms::Reads(coil) = rig().ohms_to_earth_clamp((part(&car, "K1"), "86"), post) else {
        panic!("the coil is not open")
    };
    // K1's coil has its usual 85 ohm, and the headlamp lies beside it: W9 and W2 join them.
    let cold = 12.0 * 12.0 / 45.0 / filament::HOT_OVER_COLD;
    let both = 85.0 * cold / (85.0 + cold);
    assert!((coil - both).abs() < 0.06, "{coil} {both}");
    let alone = rig().without_bulbs().ohms_to_earth_clamp((part(&car, "K1"), "86"), post);
    let Ohms::Reads(alone) = alone else { panic!("the coil is not open") };
    assert!((alone - 85.0).abs() < 0.1, "{alone}");
    // With its fuse pulled, nothing leads from the relay's feed to earth.
    assert_eq!(rig().ohms_to_earth_clamp((part(&car, "K1"), "30"), post), Ohms::Open);
}

#[test]
fn a_lead_reads_what_its_copper_and_crimps_come_to() {
    let stages = all(&car(SKETCH));
    let lead =
        stages.iter().flat_map(|stage| &stage.checks).find(|check| check.red == "W7, one end");
    // 1.5 m of 2 mm² at 9.4 milliohm a metre (BS 6862 table, 28/0.30) is 13 to 14 milliohm; two new crimps add 4.
    let ohms: f64 = lead.unwrap().expected.trim_end_matches(" Ω").parse().unwrap();
    assert!((0.016..=0.019).contains(&ohms), "{ohms}");
}

#[test]
fn what_is_taken_out_has_a_stage_of_its_own() {
    let mut car = car(SKETCH);
    let wire = *car.wires().iter().find(|(_, wire)| wire.label == "W2").unwrap().0;
    let edit = Edit::Mark { parts: vec![], wires: vec![wire], standing: Standing::ToRemove };
    let patch = car.plan(edit).unwrap();
    car.apply(&patch);
    let stages = all(&car);
    assert_eq!(stages[1].title, "Take out what goes");
    assert_eq!(stages[1].leads.len(), 1);
    assert!(stages[1].checks.iter().any(|check| check.red == "S1, terminal 2"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// However the leads of the sketch are planned, each that is to fit is fitted in one stage, each that is to go is
    /// taken out in one, and a lead on the supply never before one that is not.
    #[test]
    fn every_lead_is_fitted_once(standings in prop::collection::vec(0..3_u8, 10)) {
        let mut car = car(SKETCH);
        let ids: Vec<WireId> = car.wires().keys().copied().collect();
        for (id, standing) in ids.iter().zip(standings) {
            let standing = [Standing::AsFound, Standing::ToFit, Standing::ToRemove][usize::from(standing)];
            let patch = car.plan(Edit::Mark { parts: vec![], wires: vec![*id], standing });
            if let Ok(patch) = patch { car.apply(&patch); }
        }
        let mut named: BTreeMap<String, usize> = BTreeMap::new();
        for lead in all(&car).iter().flat_map(|stage| &stage.leads) {
            *named.entry(lead.number.clone()).or_default() += 1;
        }
        for wire in car.wires().values() {
            let expected = usize::from(wire.standing != Standing::AsFound);
            prop_assert_eq!(named.get(&wire.label).copied().unwrap_or(0), expected, "{}", &wire.label);
        }
        let kinds: Vec<RunKind> = Ways::of(&car).runs().iter().map(super::runs::Run::kind).collect();
        prop_assert!(kinds.is_sorted());
    }
}
