//! Promises: judged in one state, and under single faults against the same car built with the fault in it.

use std::collections::BTreeSet;

use crate::rig::{car_of_sketch as car, part_of as part, wire_of as wire};
use loomwright_circuit::{Car, Edit, Promise, PromiseId, Version};
use loomwright_electrics::{
    Bound, BrokenPromise, Exploration, Fault, Instead, Network, PartState, WhatIf, explore,
};

fn explored(car: &Car) -> (Network, Exploration) {
    let network = Network::of(car, Version::After);
    let exploration = explore(&network, Bound::default(), &mut |_| true);
    assert!(exploration.is_complete);
    (network, exploration)
}

/// The one promise of a car.
fn promise(car: &Car) -> (PromiseId, &Promise) {
    let mut promises = car.promises().iter();
    let (id, promise) = promises.next().expect("a promise");
    assert!(promises.next().is_none(), "one promise");
    (*id, promise)
}

fn breakers(car: &Car, is_meant: fn(&Fault) -> bool) -> Vec<(Fault, BrokenPromise)> {
    let (network, exploration) = explored(car);
    let mut what_if = WhatIf::new(&network, &exploration);
    let promised = what_if.promised(car.promises());
    let faults = network.single_faults();
    what_if.breakers(&promised, promise(car).0, faults.iter().filter(|fault| is_meant(fault)))
}

fn is_fuse(fault: &Fault) -> bool {
    matches!(fault, Fault::FuseBlown(_))
}

fn is_touch(fault: &Fault) -> bool {
    matches!(fault, Fault::WireTouches(_))
}

/// Hazard warning that goes on whatever the key does, the horn on this fuse.
fn hazard(flasher: &str, horn_fuse: &str) -> Car {
    car(&hazard_sketch(flasher, horn_fuse))
}

fn hazard_sketch(flasher: &str, horn_fuse: &str) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 10 A
fuse F3 blade 10 A
ignition-switch S1
hazard-switch S2 \"hazard\"
{flasher} FL1
lamp HL 21 W
lamp HR 21 W
horn H1 42 W
push S4 \"horn\"
earth E1 body
wire W0 B1.- E1 16 mm2 0.3 m
wire W1 B1.+ S1.30 4 mm2 0.5 m
wire W2 S1.15 F1.1 2 mm2 1 m
wire W3 F1.2 S2.15 2 mm2 1 m
wire W4 B1.+ F2.1 2 mm2 0.3 m
wire W5 F2.2 S2.30 2 mm2 1 m
wire W6 S2.49 FL1.49 2 mm2 1 m
wire W7 FL1.49a S2.49a 2 mm2 1 m
wire W8 S2.L HL.1 2 mm2 1 m
wire W9 S2.R HR.1 2 mm2 1 m
wire W10 HL.2 B1.- 2 mm2 1 m
wire W11 HR.2 B1.- 2 mm2 1 m
wire W12 S2.31 B1.- 1 mm2 1 m
wire W13 {horn_fuse}.2 H1.1 2 mm2 1 m
wire W14 H1.2 S4.1 2 mm2 1 m
wire W15 S4.2 B1.- 2 mm2 1 m
wire W16 B1.+ F3.1 2 mm2 0.3 m
promise hazard=on : HL flashing, HR flashing
"
    )
}

const ELECTRONIC: &str = "flasher-electronic-2";

#[test]
fn hazard_warning_on_a_fuse_of_its_own_survives_every_other_fuse() {
    let car = hazard(ELECTRONIC, "F3");
    let found = breakers(&car, is_fuse);
    let fuses: Vec<&Fault> = found.iter().map(|(fault, _)| fault).collect();
    assert!(matches!(fuses[..], [Fault::FuseBlown(fuse)] if fuse.part == part(&car, "F2")));
    // Both lamps are dark from then on, though nothing is wrong with them.
    let broken = &found[0].1;
    assert_eq!(broken.claims.len(), 2);
    assert!(broken.claims.iter().all(|claim| claim.instead == Instead::Does(PartState::Dark)));
    assert!(!broken.is_own);
    // Whatever touches the metal in the horn's circuit, only the horn's fuse opens.
    let touches: BTreeSet<Fault> =
        breakers(&car, is_touch).into_iter().map(|(fault, _)| fault).collect();
    for label in ["W13", "W14"] {
        assert!(!touches.contains(&Fault::WireTouches(wire(&car, label))), "{label}");
    }
}

#[test]
fn hazard_warning_on_the_fuse_of_the_horn_goes_with_the_horn() {
    let car = hazard(ELECTRONIC, "F2");
    let touches = breakers(&car, is_touch);
    let found = touches.iter().find(|(fault, _)| *fault == Fault::WireTouches(wire(&car, "W13")));
    let broken = &found.expect("the horn's feed takes the hazard warning along").1;
    assert_eq!(broken.claims.len(), 2);
    assert!(broken.claims.iter().all(|claim| claim.instead == Instead::Does(PartState::Dark)));
    // The first visit that shows it is the first in which the hazard switch is on.
    let (network, exploration) = explored(&car);
    let (_, promise) = promise(&car);
    let is_asked = |visit: &usize| {
        network.is_asked(promise, &exploration.visits[*visit].settled.state.setting)
    };
    let first = (0..exploration.visits.len()).find(is_asked).expect("a visit");
    assert!(broken.claims.iter().all(|claim| claim.visit == first));
}

#[test]
fn a_promise_of_the_failed_lamp_itself_is_marked_so() {
    let is_lamp = |fault: &Fault| matches!(fault, Fault::LampFailed { .. });
    // An electronic flasher keeps time with one lamp less.
    let car = hazard(ELECTRONIC, "F3");
    let own = |found: &[(Fault, BrokenPromise)], label: &str| {
        let is_meant = |fault: &Fault| matches!(fault, Fault::LampFailed { part: failed, .. } if *failed == part(&car, label));
        let found = found.iter().find(|(fault, _)| is_meant(fault));
        found.map(|(_, broken)| (broken.is_own, broken.claims.len()))
    };
    let found = breakers(&car, is_lamp);
    assert_eq!(own(&found, "HL"), Some((true, 1)));
    // With one lamp alone a thermal one does not start, so the other lamp goes dark too.
    let thermal = hazard("flasher-thermal-2 ", "F3");
    let found = breakers(&thermal, is_lamp);
    assert_eq!(own(&found, "HL"), Some((false, 2)));
}

#[test]
fn broken_promises_are_those_of_the_car_built_with_the_wire_broken() {
    for car in [hazard(ELECTRONIC, "F3"), hazard("flasher-thermal-2 ", "F2")] {
        let found = breakers(&car, |fault| matches!(fault, Fault::WireBroken(_)));
        let found: BTreeSet<Fault> = found.into_iter().map(|(fault, _)| fault).collect();
        let mut expected = BTreeSet::new();
        for id in car.wires().keys() {
            let mut broken = car.clone();
            let patch = broken
                .plan(Edit::Erase { parts: vec![], wires: vec![*id] })
                .expect("a wire can go");
            broken.apply(&patch);
            let (network, exploration) = explored(&broken);
            let (_, promise) = promise(&broken);
            let is_broken = exploration.visits.iter().any(|visit| {
                network.is_asked(promise, &visit.settled.state.setting)
                    && promise.then.iter().any(|claim| visit.settled.breach(claim).is_some())
            });
            if is_broken {
                expected.insert(Fault::WireBroken(*id));
            }
        }
        assert!(expected.len() > 4 && expected.len() < car.wires().len());
        assert_eq!(found, expected);
    }
}

#[test]
fn a_claim_about_light_has_the_limits_of_the_word_for_it() {
    let mut met = BTreeSet::new();
    for tenths in 0..140 {
        let car = car(&format!(
            "car 12 V negative earth
battery B1 12 V 40 Ah
resistor R1 {} ohm
lamp H1 12 V 21 W
wire W1 B1.+ R1.1 2 mm2 0.3 m
wire W2 R1.2 H1.1 2 mm2 0.3 m
wire W3 H1.2 B1.- 2 mm2 0.3 m
promise : H1 lit
promise : H1 dark
",
            f64::from(tenths) / 5.0 + 0.01
        ));
        let rest = Network::of(&car, Version::After).at_rest();
        let lamp = part(&car, "H1");
        let reading = rest.on.part(lamp).expect("a lamp");
        let light = reading.elements[0].light.expect("light");
        let breaches: Vec<Option<Instead>> =
            car.promises().values().map(|promise| rest.breach(&promise.then[0])).collect();
        let instead = Some(Instead::Does(reading.state));
        let expected = match reading.state {
            PartState::Lit => [None, instead],
            PartState::Dim => [instead, instead],
            PartState::Dark => [instead, None],
            other => panic!("a lamp is {other:?}"),
        };
        assert_eq!(breaches, expected, "{light}");
        met.insert((reading.state, (0.005..0.01).contains(&light)));
    }
    // Half a hundredth to a hundredth of the light is seen.
    assert!(met.contains(&(PartState::Dim, true)), "{met:?}");
    assert_eq!(met.iter().map(|(state, _)| state).collect::<BTreeSet<_>>().len(), 3);
}

/// Why "flashing" says nothing of the rate: a sound car with a thermal flasher flashes at 85 a minute, but slower than
/// the 60 of UN R48 6.5.9 (`assets/reference/flashers.csv`) for as long as the starter pulls its volts down. A promise
/// holds in every setting, so that would break the hazard warning of a car with nothing wrong; the rate in settings
/// that last is judged of the flasher unit.
#[test]
fn a_thermal_flasher_keeps_its_promise_though_it_flashes_slowly_while_cranking() {
    let text = hazard_sketch("flasher-thermal-2", "F3");
    let car = car(&format!(
        "{text}starter M1 amps=250
wire W20 B1.+ M1.30 25 mm2 1 m
wire W21 S1.50 M1.50 2 mm2 1 m
wire W22 M1.31 B1.- 25 mm2 1 m
"
    ));
    let (network, exploration) = explored(&car);
    let (_, promise) = promise(&car);
    let mut rates: Vec<f64> = Vec::new();
    for visit in &exploration.visits {
        if network.is_asked(promise, &visit.settled.state.setting) {
            assert!(promise.then.iter().all(|claim| visit.settled.breach(claim).is_none()));
            let unit = visit.settled.on.part(part(&car, "FL1")).expect("the flasher");
            rates.push(unit.flashes_per_minute.expect("it is at work"));
        }
    }
    let band = 60.0..=120.0;
    assert!(rates.iter().any(|rate| band.contains(rate)), "{rates:?}");
    assert!(rates.iter().any(|rate| *rate < 60.0), "{rates:?}");
}
