//! Extremes over all states, and which fuse guards which wire.

use loomwright_electrics::{Bound, Extremes, explore, protection};

use crate::rig::Rig;

/// Battery, unfused lead to a bus, two fused circuits, a starter without a fuse.
fn car() -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("J1", "joint", &[]);
    rig.part("F1", "fuse-blade", &[("amps", 10.0)]);
    rig.part("F2", "fuse-blade", &[("amps", 15.0)]);
    rig.part("S1", "switch", &[]);
    rig.part("H1", "lamp", &[("watts", 55.0)]);
    rig.part("M1", "motor", &[("watts", 60.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.part("E2", "body-earth", &[]);
    rig
}

#[test]
fn wires_are_guarded_by_the_fuse_before_them() {
    let mut rig = car();
    let feed = rig.wire("B1.+", "J1.1");
    let to_fuse = rig.wire("J1.1", "F1.1");
    let to_switch = rig.wire("F1.2", "S1.1");
    let to_lamp = rig.wire("S1.2", "H1.1");
    let to_earth = rig.wire("H1.2", "E1.1");
    let to_motor = rig.wire("J1.1", "M1.1");
    let home = rig.wire("B1.-", "E2.1");
    let lone = rig.wire("F2.1", "M1.2");
    let guards = protection(&rig.network());
    for wire in [feed, to_fuse, to_motor] {
        assert!(guards[&wire].is_unfused && guards[&wire].can_be_live, "{wire}");
    }
    for wire in [to_switch, to_lamp] {
        assert!(!guards[&wire].is_unfused);
        assert_eq!(guards[&wire].fuses[0].part, rig.id("F1"));
        assert_eq!(guards[&wire].fuses.len(), 1);
    }
    for wire in [to_earth, home, lone] {
        assert!(!guards[&wire].can_be_live, "{wire}");
    }
}

#[test]
fn a_wire_with_two_feeds_has_both_fuses() {
    let mut rig = car();
    rig.wire("B1.+", "F1.1");
    rig.wire("B1.+", "F2.1");
    let first = rig.wire("F1.2", "S1.1");
    let second = rig.wire("F2.2", "S1.2");
    rig.wire("S1.2", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.wire("B1.-", "E2.1");
    let guards = protection(&rig.network());
    for wire in [first, second] {
        let fuses: Vec<_> = guards[&wire].fuses.iter().map(|fuse| fuse.part).collect();
        assert_eq!(fuses, [rig.id("F1"), rig.id("F2")], "the switch joins them");
    }
}

#[test]
fn extremes_say_where_they_were_met() {
    let mut rig = car();
    rig.part("S2", "switch", &[]);
    let feed = rig.cable("B1.+", "F1.1", Some(1.0), Some(2.0));
    rig.wire("F1.2", "S1.1");
    rig.wire("S1.2", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.wire("F1.2", "S2.1");
    rig.wire("S2.2", "M1.1");
    rig.wire("M1.2", "E1.1");
    rig.wire("B1.-", "E2.1");
    let network = rig.network();
    let explored = explore(&network, Bound::default(), &mut |_| true);
    let extremes = Extremes::of(&network, &explored);
    let both = extremes.wires[&feed];
    assert_eq!(explored.moves_to(both.visit).len(), 2);
    let mut greatest = 0.0_f64;
    for visit in &explored.visits {
        greatest = greatest.max(visit.settled.on.wire_amps(feed).expect("wire").0.abs());
    }
    assert_eq!(both.value.0, greatest);
    let lamp = extremes.loads.iter().find(|load| load.part == rig.id("H1")).expect("lamp");
    let (least, most) = (lamp.least.expect("lit once"), lamp.greatest.expect("lit once"));
    assert_eq!(explored.moves_to(least.visit).len(), 2);
    assert_eq!(explored.moves_to(most.visit).len(), 1);
    assert!(least.value.0 < most.value.0 && least.value.0 > 10.0);
    assert_eq!(lamp.least_cranking, None);
    let fuse = &extremes.fuses[0];
    assert_eq!((fuse.part, fuse.greatest.map(|met| met.visit)), (rig.id("F1"), Some(both.visit)));
    let contact = extremes.contacts.iter().find(|contact| contact.part == rig.id("S2"));
    assert!(contact.expect("contact").greatest.expect("closed").value.0 > 4.0);
    let spare = extremes.fuses.iter().find(|fuse| fuse.part == rig.id("F2")).expect("fuse");
    assert!(spare.greatest.expect("met").value.0 < 1e-9);
}

#[test]
fn a_load_without_its_feed_closed_has_no_least_volts() {
    let mut rig = car();
    // The lamp gets current only through the motor: alive through another consumer, never by its own feed.
    rig.wire("B1.+", "M1.1");
    rig.wire("M1.2", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.wire("B1.-", "E2.1");
    let network = rig.network();
    let explored = explore(&network, Bound::default(), &mut |_| true);
    let extremes = Extremes::of(&network, &explored);
    let lamp = extremes.loads.iter().find(|load| load.part == rig.id("H1")).expect("lamp");
    assert!(lamp.greatest.expect("met").value.0 > 5.0);
    assert_eq!(lamp.least, None);
}

#[test]
fn a_live_post_tied_to_earth_by_copper_is_still_a_source() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("E1", "body-earth", &[]);
    rig.part("E2", "body-earth", &[]);
    rig.part("F1", "fuse-blade", &[]);
    rig.part("H1", "lamp", &[]);
    let strap = rig.cable("B1.-", "E1.1", Some(16.0), Some(0.4));
    let feed = rig.wire("B1.+", "F1.1");
    let fused = rig.wire("F1.2", "H1.1");
    let earth = rig.wire("H1.2", "E2.1");
    let before = protection(&rig.network());
    let short = rig.wire("B1.+", "E2.1");
    let after = protection(&rig.network());
    assert!(after[&short].is_unfused && after[&short].can_be_live);
    assert!(after[&feed].is_unfused);
    assert_eq!((&after[&fused], &after[&strap]), (&before[&fused], &before[&strap]));
    assert!(
        !before[&earth].can_be_live && after[&earth].is_unfused,
        "it hangs on the live post now"
    );
}
