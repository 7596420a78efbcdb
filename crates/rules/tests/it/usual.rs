//! The usual promises: offered by what a car has, judged, and kept under each fuse out but their own.

use loomwright_circuit::{Car, Expectation, Version};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Evidence, Usual, judge_promises, usual_promises};

/// Hazard warning on a change-over switch; the feed behind the key has fuse F1, the other one F2.
const HAZARD: &str = include_str!("../../../../tests/corpus/sound/c01_hazard_change_over.sketch");

fn usual(car: &Car) -> Vec<Usual> {
    usual_promises(car, &Network::of(car, Version::After))
}

fn judged(car: &Car) -> Vec<(Usual, Option<bool>, String)> {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let usual = usual_promises(car, &network);
    let promises: Vec<_> = usual.iter().map(|usual| usual.promise.clone()).collect();
    let rows = judge_promises(car, &network, Evidence::of_states(&exploration), &promises);
    usual.into_iter().zip(rows).map(|(usual, row)| (usual, row.holds, row.says)).collect()
}

fn labels<'c>(car: &'c Car, usual: &Usual) -> Vec<&'c str> {
    let label = |id| car.part(id).map_or("?", |part| part.label.as_str());
    usual.promise.without.iter().map(|way| label(way.part)).collect()
}

#[test]
fn hazard_warning_is_promised_without_each_fuse_but_its_own_and_kept_in_a_sound_car() {
    let car = loomwright_sketch::parse(HAZARD).expect("a sketch");
    let judged = judged(&car);
    let (hazard, ..) = judged
        .iter()
        .find(|(usual, ..)| usual.about == "Hazard warning" && !usual.promise.without.is_empty())
        .expect("a promise of the hazard warning");
    // F2 alone feeds it; the key, the lever and every other fuse do not matter.
    assert_eq!(labels(&car, hazard), ["F1", "F3", "F4", "F5"]);
    assert_eq!(hazard.promise.when.len(), 1);
    for (usual, holds, says) in &judged {
        assert_eq!(*holds, Some(true), "{}: {says}", usual.about);
    }
}

#[test]
fn hazard_warning_that_hangs_on_the_fuse_of_the_key_is_broken_with_that_fuse_out() {
    // The feed that should be always live is taken from behind the fuse of the key.
    let text = HAZARD.replace("wire W5 B1.+ F2.1", "wire W5 F5.2 F2.1");
    let car = loomwright_sketch::parse(&text).expect("a sketch");
    let mut usual = usual(&car);
    let hazard = usual.iter_mut().find(|usual| !usual.promise.without.is_empty());
    let mut promise = hazard.expect("a promise of the hazard warning").promise.clone();
    // Its own fuses are both now, so neither is offered; asked for, it is seen.
    assert!(
        !promise.without.iter().any(|way| car.part(way.part).is_some_and(|it| it.label == "F5"))
    );
    promise.without.clear();
    let fuse = car.part_labelled("F5").expect("a fuse").0;
    promise.without.push(loomwright_circuit::FuseWay { part: fuse, terminal: None });
    let network = Network::of(&car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    let rows = judge_promises(&car, &network, Evidence::of_states(&exploration), &[promise]);
    assert_eq!(rows[0].holds, Some(false));
    assert!(rows[0].says.contains("with F5 out"), "{}", rows[0].says);
}

#[test]
fn what_a_car_has_not_is_not_promised_and_what_it_promises_is_not_offered_again() {
    let text = "car 12 V negative earth\nbattery B1 12 V 40 Ah\nfuse F1 blade 10 A\nbrake-switch S1\n\
                lamp \"Stop lamp\" 21 W role=stop\nwire W1 B1.+ F1.1 2 mm2 0.3 m pvc brown\n\
                wire W2 F1.2 S1.1 1.5 mm2 1 m pvc purple\nwire W3 S1.2 \"Stop lamp\".1 1.5 mm2 2 m pvc green/purple\n\
                wire W4 \"Stop lamp\".2 B1.- 1.5 mm2 2 m pvc black\n\
                promise brake=released : \"Stop lamp\" dark\n";
    let car = loomwright_sketch::parse(text).expect("a sketch");
    let usual = usual(&car);
    let musts: Vec<_> = usual.iter().map(|it| (it.about, it.promise.then[0].must)).collect();
    assert_eq!(musts, [("Stop lamps", Expectation::Lit)]);
}
