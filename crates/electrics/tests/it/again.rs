//! Exploring again after an edit, from what flowed before it.

use loomwright_electrics::{
    Bound, Earlier, Exploration, Extremes, Network, explore, look_around_again, survey,
    survey_again,
};

use proptest::prelude::*;

use crate::fleet;
use crate::rig::Rig;
use crate::surveyed::random;

const ALL: Bound = Bound { states: 100_000 };

fn figures(network: &Network, exploration: &Exploration) -> Vec<f64> {
    let extremes = Extremes::of(network, exploration);
    let amps = extremes.wires.values().map(|met| met.value.0);
    let volts = extremes.loads.iter().flat_map(|load| [load.greatest, load.least]);
    amps.chain(volts.map(|met| met.map_or(-1.0, |met| met.value.0))).collect()
}

/// Surveys before and after an edit; the second time anew and again. Returns the solver's iterations of both.
fn assert_same_again(mut rig: Rig, edit: impl FnOnce(&mut Rig)) -> [u64; 2] {
    let before = rig.network();
    let found = survey(&before, ALL, &mut |_| true);
    edit(&mut rig);
    let after = rig.network();
    let anew = survey(&after, ALL, &mut |_| true);
    let earlier = Earlier { network: &before, exploration: &found };
    let again = survey_again(&after, earlier, ALL, &mut |_| true);
    // Of states that weigh the same, either may be the one looked at.
    assert_eq!((again.states, again.is_exact()), (anew.states, anew.is_exact()));
    let [a, b] = [&anew, &again].map(|exploration| figures(&after, exploration));
    for (a, b) in a.iter().zip(&b) {
        assert!((a - b).abs() < 1e-6 * a.abs().max(1.0), "{a} anew, {b} again");
    }
    [anew.work.iterations, again.work.iterations]
}

#[test]
fn an_edit_that_changes_nothing_that_flows_is_found_at_a_look() {
    let [anew, again] = assert_same_again(fleet::car_of(98, 6), |rig| {
        rig.part("Spare", "joint", &[]);
    });
    assert!(again * 5 < anew, "{again} iterations against {anew}");
}

#[test]
fn an_edit_is_worked_out_where_it_touches() {
    let [anew, again] = assert_same_again(fleet::car_of(98, 6), |rig| {
        let wire = rig.wire_between("Joint 3.1", "Left 3.1");
        rig.lengthen(wire, 2.0);
    });
    assert!(again * 4 < 3 * anew, "{again} iterations against {anew}");
}

#[test]
fn parts_wires_switches_and_relays_may_come_and_go() {
    assert_same_again(fleet::car_of(82, 4), |rig| {
        rig.part("New fuse", "fuse-blade", &[("amps", 10.0)]);
        rig.part("New switch", "switch", &[]);
        rig.part("New relay", "relay-make", &[]);
        rig.part("New lamp", "lamp", &[("watts", 55.0)]);
        rig.part("New earth", "body-earth", &[]);
        for (from, to) in [
            ("Bus 0.1", "New fuse.1"),
            ("New fuse.2", "New switch.1"),
            ("New fuse.2", "New relay.30"),
            ("New switch.2", "New relay.86"),
            ("New relay.85", "New earth.1"),
            ("New relay.87", "New lamp.1"),
            ("New lamp.2", "New earth.1"),
        ] {
            rig.wire(from, to);
        }
    });
    assert_same_again(fleet::car_of(82, 4), |rig| {
        let relay = rig.id("Relay 3");
        rig.remove(relay);
        let switch = rig.id("Switch 1");
        rig.remove(switch);
    });
}

#[test]
fn all_states_again_are_all_states() {
    let mut rig = fleet::car_of(66, 3);
    let before = rig.network();
    let found = explore(&before, ALL, &mut |_| true);
    let lamp = rig.id("Left 0");
    rig.set(lamp, "watts", 55.0);
    let after = rig.network();
    let earlier = Earlier { network: &before, exploration: &found };
    let again = look_around_again(&after, earlier, ALL, &mut |_| true);
    let anew = explore(&after, ALL, &mut |_| true);
    assert!(again.is_complete);
    let states = |of: &Exploration| -> Vec<_> {
        of.visits.iter().map(|visit| visit.settled.state.clone()).collect()
    };
    assert_eq!(states(&again), states(&anew));
    for (a, b) in figures(&after, &again).iter().zip(figures(&after, &anew)) {
        assert!((a - b).abs() < 1e-6);
    }
}

proptest! {
    #![proptest_config(crate::throws::cases(24))]

    /// Cars with relays, flashers, breakers and generators, one of whose wires becomes longer.
    #[test]
    fn whatever_wire_becomes_longer_it_is_as_surveyed_anew(
        random in random(),
        nth in any::<proptest::sample::Index>(),
        metres in 0.05_f64..8.0,
    ) {
        let rig = random.rig();
        let wires: Vec<_> = rig.car.wires().keys().copied().collect();
        let wire = wires[nth.index(wires.len())];
        assert_same_again(rig, |rig| rig.lengthen(wire, metres));
    }
}

/// What [`loomwright_circuit::Car::flows_as`] leaves out of account is in no state: a demo car without its colours, under
/// other names and numbers, and brought by the alteration as a whole, is the same to the last bit.
#[test]
fn cars_that_flow_alike_have_the_same_states() {
    use loomwright_circuit::{Edit, Standing, Version};
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    let car = loomwright_circuit::load(bytes).expect("it loads");
    let mut other = car.clone();
    let mut change = |edit: Edit| {
        let mut next = other.clone();
        let patch = next.plan(edit).expect("an edit");
        next.apply(&patch);
        // Names of what has controls are left as they are.
        if next.flows_as(&other) {
            other = next;
        }
    };
    for (n, (id, wire)) in car.wires().iter().enumerate() {
        let mut wire = wire.clone();
        (wire.label, wire.colour) = (format!("X{n}"), None);
        if wire.standing == Standing::AsFound {
            wire.standing = Standing::ToFit;
        }
        change(Edit::SetWire(*id, wire));
    }
    for (n, (id, part)) in car.parts().iter().enumerate() {
        let mut part = part.clone();
        part.label = format!("Thing {n}");
        part.roles.clear();
        change(Edit::SetPart(*id, part));
    }
    let renamed = other.parts().values().filter(|part| part.label.starts_with("Thing")).count();
    assert!(renamed > 30 && other.wires().values().all(|wire| wire.colour.is_none()));
    let states = |car| explore(&Network::of(car, Version::After), ALL, &mut |_| true);
    let (was, is) = (states(&car), states(&other));
    assert!(was.visits.len() > 1000);
    assert_eq!(was, is);
}
