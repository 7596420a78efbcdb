//! Wipers that park themselves, the switch that they need, and the one that blows the fuse.

use loomwright_electrics::{
    Bound, Extremes, MetIn, Network, NoteKind, PartState, Settled, explore, survey,
};

use proptest::prelude::*;

use crate::explored::assert_as_brute;
use crate::motors::each_car;
use crate::rig::Rig;

/// A wiper motor behind a fuse and an on/off switch that stands for the ignition.
fn with_wiper(rig: &mut Rig, live: &str, motor: &str, switch: &str) {
    rig.part("F1", "fuse-blade", &[("amps", 10.0)]);
    rig.part_on("S1", "switch", &[], &[("lever", "key")]);
    rig.part_on("M1", motor, &[], &[("blade", "blade")]);
    rig.part_on("S2", switch, &[], &[("lever", "wipers")]);
    rig.wire(live, "F1.1");
    rig.wire("F1.2", "S1.1");
    rig.wire("S1.2", "M1.53a");
    rig.wire("S1.2", "S2.53a");
    rig.wire("S2.53", "M1.53");
    rig.wire("M1.31b", "S2.31b");
    rig.wire("M1.31", "E1.1");
    if motor == "wiper-motor-2" {
        rig.wire("S2.53b", "M1.53b");
    }
}

fn after(network: &Network, moves: &[&str]) -> Settled {
    let mut now = network.at_rest();
    for step in moves {
        let (control, position) = step.split_once('=').expect("a move");
        now = network.move_control(&now.state, control, position).expect("possible");
    }
    now
}

fn blade(network: &Network, settled: &Settled) -> String {
    network.named(&settled.state.setting)["blade"].clone()
}

fn motor_amps(rig: &Rig, settled: &Settled) -> f64 {
    settled.on.part(rig.id("M1")).expect("motor").elements[0].amps.0.abs()
}

#[test]
fn a_wiper_leaves_its_park_and_comes_back_to_it_in_every_car() {
    each_car(|mut rig, volts, posts| {
        with_wiper(&mut rig, posts[0], "wiper-motor", "wiper-switch");
        let network = rig.network();
        let rest = after(&network, &["key=on"]);
        assert_eq!((blade(&network, &rest).as_str(), rest.followed.len()), ("parked", 0));
        assert!(motor_amps(&rig, &rest) < 1e-3);
        let wipes = after(&network, &["key=on", "wipers=on"]);
        assert_eq!(blade(&network, &wipes), "away");
        assert_eq!(wipes.on.state(rig.id("M1")), Some(PartState::Working), "{volts} V");
        assert_eq!(wipes.followed.len(), 1, "{:?}", wipes.followed);
        // 24 W at marked volts.
        let amps = motor_amps(&rig, &wipes) * volts / 24.0;
        assert!((0.9..1.1).contains(&amps), "{volts} V: {amps}");
        // Switched off, it ran on by its park contact, and stands in its park with its ends joined.
        let off = network.move_control(&wipes.state, "wipers", "off").expect("off");
        assert_eq!(blade(&network, &off), "parked");
        assert!(motor_amps(&rig, &off) < 1e-3);
        let [on_its_way] = &off.passing[..] else { panic!("{} moments", off.passing.len()) };
        let home = rig.wire_between("M1.31b", "S2.31b");
        let amps = on_its_way.wire_amps(home).expect("wire").0.abs() * volts / 24.0;
        assert!((0.9..1.1).contains(&amps), "{volts} V: {amps}");
        // With the key off it stops where it is, and goes home when the key is turned on again.
        let dead = network.move_control(&wipes.state, "key", "off").expect("off");
        assert_eq!(blade(&network, &dead), "away");
        let dead = network.move_control(&dead.state, "wipers", "off").expect("off");
        assert_eq!(blade(&network, &dead), "away");
        let home = network.move_control(&dead.state, "key", "on").expect("on");
        assert_eq!(blade(&network, &home), "parked");
        assert_eq!(home.followed.len(), 1);
    });
}

#[test]
fn both_speeds_wipe_and_park() {
    each_car(|mut rig, volts, posts| {
        with_wiper(&mut rig, posts[0], "wiper-motor-2", "wiper-switch-2");
        let network = rig.network();
        for (speed, idx, watts) in [("slow", 0, 24.0), ("fast", 1, 33.0)] {
            let wipes = after(&network, &["key=on", &format!("wipers={speed}")]);
            assert_eq!(blade(&network, &wipes), "away");
            let reading = wipes.on.part(rig.id("M1")).expect("motor");
            let amps = reading.elements[idx].amps.0.abs() * volts / watts;
            assert!((0.9..1.1).contains(&amps), "{volts} V {speed}: {amps}");
            let off = network.move_control(&wipes.state, "wipers", "off").expect("off");
            assert_eq!(blade(&network, &off), "parked", "{speed}");
        }
    });
}

#[test]
fn exploring_reaches_the_blades_away_and_counts_the_way_home() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("E1", "body-earth", &[]);
    rig.cable("B1.-", "E1.1", Some(25.0), Some(0.4));
    with_wiper(&mut rig, "B1.+", "wiper-motor", "wiper-switch");
    let network = rig.network();
    assert_as_brute(&network);
    let explored = explore(&network, Bound::default(), &mut |_| true);
    let away = |idx: &usize| blade(&network, &explored.visits[*idx].settled) == "away";
    assert!((0..explored.visits.len()).any(|idx| away(&idx)));
    // The wire of the park contact carries something on the way home alone.
    let home = rig.wire_between("M1.31b", "S2.31b");
    let extremes = Extremes::of(&network, &explored);
    let met = extremes.wires[&home];
    assert!((1.8..2.2).contains(&met.value.0), "{met:?}");
    assert!(matches!(met.met_in, MetIn::Passing(_)), "{met:?}");
    let settled = &explored.visits[met.visit].settled;
    let shown = settled.phase_of(&met).expect("it").wire_amps(home).expect("wire").0.abs();
    assert!((shown - met.value.0).abs() < 1e-9);
    // A survey of the circuits one by one says that it cannot vouch for moments, or has been through all.
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let same = Extremes::of(&network, &surveyed).wires[&home].value.0;
    assert!((same / met.value.0 - 1.0).abs() < 1e-6, "{same}");
}

#[test]
fn the_wrong_switch_shorts_the_feed_at_every_turn() {
    // A switch that feeds the motor without parting it from its park contact: each time the blades pass their park, the
    // feed is earthed through it.
    each_car(|mut rig, volts, posts| {
        rig.part("F1", "fuse-blade", &[("amps", 10.0)]);
        rig.part_on("S1", "switch", &[], &[("lever", "wipers")]);
        rig.part_on("M1", "wiper-motor", &[], &[("blade", "blade")]);
        rig.part("J1", "joint", &[]);
        rig.wire(posts[0], "F1.1");
        rig.wire("F1.2", "M1.53a");
        rig.wire("F1.2", "S1.1");
        for terminal in ["S1.2", "M1.53", "M1.31b"] {
            rig.wire(terminal, "J1.1");
        }
        rig.wire("M1.31", "E1.1");
        let network = rig.network();
        let explored = explore(&network, Bound::default(), &mut |_| true);
        let fuse = Extremes::of(&network, &explored).fuses[0].greatest.expect("a current");
        assert!(fuse.value.0 > 60.0, "{volts} V: {fuse:?}");
        let shorted = |note: &&loomwright_electrics::Note| note.kind == NoteKind::Shorted;
        assert!(explored.notes().iter().any(shorted), "{volts} V");
        let met = explored.visits[fuse.visit].settled.phase_of(&fuse).expect("a solution");
        assert_eq!(met.state(rig.id("F1")), Some(PartState::Opens));
    });
}

#[test]
fn a_frozen_wiper_stands_and_takes_its_stall_current() {
    each_car(|mut rig, volts, posts| {
        with_wiper(&mut rig, posts[0], "wiper-motor", "wiper-switch");
        let network = rig.network().jammed(&[rig.id("M1")]);
        let on = after(&network, &["key=on", "wipers=on"]);
        assert_eq!(blade(&network, &on), "parked");
        let amps = motor_amps(&rig, &on) * volts / 24.0;
        assert!((4.5..6.5).contains(&amps), "{volts} V: {amps}");
    });
}

/// Two wipers, their switch and a relay in a random tangle.
fn tangle(wires: &[(usize, usize)]) -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part_on("M1", "wiper-motor", &[], &[("blade", "left")]);
    rig.part_on("M2", "wiper-motor-2", &[], &[("blade", "right")]);
    rig.part("S1", "wiper-switch", &[]);
    rig.part("K1", "relay-changeover", &[]);
    let mut points = vec!["B1.+".to_owned(), "B1.-".to_owned()];
    for (label, terminals) in [
        ("M1", &["53a", "31b", "53", "31"][..]),
        ("M2", &["53a", "31b", "53", "53b", "31"]),
        ("S1", &["53a", "31b", "53"]),
        ("K1", &["30", "87", "87a", "86", "85"]),
    ] {
        points.extend(terminals.iter().map(|terminal| format!("{label}.{terminal}")));
    }
    // Most often earthed, so that something turns.
    rig.wire("M1.31", "B1.-");
    rig.wire("M2.31", "B1.-");
    for (a, b) in wires {
        let (a, b) = (&points[a % points.len()], &points[b % points.len()]);
        if a != b {
            rig.wire(a, b);
        }
    }
    rig
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn exploring_and_single_moves_agree_however_wipers_are_wired(
        wires in proptest::collection::vec((0_usize..100, 0_usize..100), 4..24),
    ) {
        assert_as_brute(&tangle(&wires).network());
    }
}
