//! The demo cars as files: they stand as the program itself would save them, and do what their README says.

use loomwright_circuit::{Car, Version, load, save};
use loomwright_electrics::{Bound, Network, explore};
use loomwright_rules::check_all;

const ROADSTER: &[u8] = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");
const VAN: &[u8] = include_bytes!("../../../demo-projects/heron-van.loom.json");
const LEARNER: &[u8] = include_bytes!("../../../demo-projects/learners-sheet.loom.json");
const README: &str = include_str!("../../../demo-projects/README.md");

fn car(bytes: &[u8]) -> Car {
    load(bytes).expect("a demo car loads")
}

#[test]
fn saving_a_demo_car_changes_no_byte() {
    for bytes in [ROADSTER, VAN, LEARNER] {
        assert!(save(&car(bytes)) == bytes, "not as the program saves it");
    }
}

#[test]
fn every_setting_is_reached_and_every_relay_comes_to_rest() {
    for (bytes, settings) in [(ROADSTER, 1728), (VAN, 432), (LEARNER, 2)] {
        for version in [Version::Before, Version::After] {
            let network = Network::of(&car(bytes), version);
            assert!(network.notes().is_empty(), "{:?}", network.notes());
            let explored = explore(&network, Bound::default(), &mut |_| true);
            assert!(explored.is_complete);
            if version == Version::After {
                assert_eq!(explored.settings, settings);
            }
            // Relays remember nothing here that outlasts a move, so there is one state a setting.
            assert_eq!(explored.visits.len() as u128, explored.settings);
            assert!(explored.visits.iter().all(|visit| visit.settled.is_settled));
        }
    }
    assert!(README.contains("1,728 settings"));
}

#[test]
fn every_wire_of_a_demo_car_is_fully_known() {
    for bytes in [ROADSTER, VAN, LEARNER] {
        for wire in car(bytes).wires().values() {
            let is_known = wire.colour.is_some()
                && wire.size.is_some()
                && wire.insulation.is_some()
                && wire.length.is_some()
                && wire.ends().iter().all(|end| end.fitting.is_some());
            assert!(is_known, "{}", wire.label);
        }
    }
}

#[test]
fn promises_hold_but_for_the_one_that_the_readme_names() {
    let verdicts = |bytes| {
        let car = car(bytes);
        let network = Network::of(&car, Version::After);
        let explored = explore(&network, Bound::default(), &mut |_| true);
        check_all(&car, &network, &explored).promises
    };
    for bytes in [ROADSTER, LEARNER] {
        let rows = verdicts(bytes);
        assert!(rows.iter().all(|row| row.holds == Some(true)), "{rows:#?}");
    }
    let rows = verdicts(VAN);
    let broken: Vec<_> = rows.iter().filter(|row| row.holds != Some(true)).collect();
    assert_eq!(broken.len(), 1, "{rows:#?}");
    assert!(broken[0].promise.starts_with("With Hazard switch at on and ignition at off"));
    assert_eq!(broken[0].holds, Some(false));
}
