//! The first instant after a move: inrush, starting, and motors that run down.

use loomwright_electrics::PartState;

use crate::motors::{each_car, published};
use crate::rig::{Rig, at, measure};

/// Least and greatest of a row of the published laws of filaments.
fn filament_row(name: &str) -> (f64, f64) {
    let rows = include_str!("../../../../assets/reference/filament_law.csv");
    let row = rows.lines().find(|row| row.starts_with(name)).expect("a row");
    let cells: Vec<&str> = row.split(',').collect();
    (cells[3].parse().expect("low"), cells[4].parse().expect("high"))
}

#[test]
fn a_cold_lamp_takes_ten_to_sixteen_times_its_current() {
    let (least, most) = filament_row("hot/cold resistance");
    each_car(|mut rig, volts, posts| {
        rig.part("S1", "switch", &[]);
        rig.part("H1", "lamp", &[("watts", 5.0)]);
        rig.cable(posts[0], "S1.1", Some(6.0), Some(0.2));
        rig.cable("S1.2", "H1.1", Some(6.0), Some(0.2));
        rig.cable("H1.2", "E1.1", Some(6.0), Some(0.2));
        let network = rig.network();
        let (rest, on) = (network.at_rest(), measure(&network, &[("S1", "on")]));
        let instant = network.first_instant(&rest, &on).on.part(rig.id("H1")).expect("lamp");
        let hot = on.on.part(rig.id("H1")).expect("lamp");
        let share = instant.amps.0 / hot.amps.0;
        assert!((least..=most).contains(&share), "{volts} V: {share}");
        // It does not shine yet; and one that is switched off still does.
        assert_eq!((instant.state, hot.state), (PartState::Dark, PartState::Lit));
        let off = network.first_instant(&on, &rest).on.part(rig.id("H1")).expect("lamp");
        assert!(off.elements[0].light.is_some_and(|light| light > 0.9));
        assert!(off.amps.0.abs() < 1e-9, "{off:?}");
    });
}

#[test]
fn a_motor_starts_with_its_stall_current() {
    // assets/reference/loads.csv: an electric fan's inrush is two to four times its running current (practice).
    let (least, most, peak) = published("electric fan, 10-12 in");
    let peak = peak.expect("a peak");
    let amps = 0.5 * (least + most);
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[("amp_hours", 60.0)]);
    rig.part("S1", "switch", &[]);
    rig.part("M1", "motor", &[("watts", 12.0 * amps), ("stall", peak / amps)]);
    rig.cable("B1.+", "S1.1", Some(6.0), Some(0.5));
    rig.cable("S1.2", "M1.1", Some(6.0), Some(0.5));
    rig.cable("M1.2", "B1.-", Some(6.0), Some(0.5));
    let network = rig.network();
    let (rest, on) = (network.at_rest(), measure(&network, &[("S1", "on")]));
    let motor = |solution: loomwright_electrics::Solution| solution.part(rig.id("M1")).expect("it");
    let (start, runs) = (motor(network.first_instant(&rest, &on).on), motor(on.on.clone()));
    assert_eq!((start.state, runs.state), (PartState::Stalled, PartState::Working));
    let share = start.amps.0 / runs.amps.0;
    assert!((2.0..=4.0).contains(&share), "{share}");
    assert_eq!(motor(network.first_instant(&on, &rest).on).state, PartState::Idle);
}

/// An ignition relay, and a blower and a lamp on the wire that works its coil, all behind a switch.
fn with_blower(rig: &mut Rig, live: &str, volts: f64) {
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-make", &[]);
    rig.part("M1", "motor", &[("watts", 5.0 * volts)]);
    rig.part("H1", "lamp", &[("watts", 2.2)]);
    rig.part("H2", "lamp", &[("watts", 21.0)]);
    rig.wire(live, "S1.1");
    rig.wire(live, "K1.30");
    for part in ["K1.86", "M1.1", "H1.1"] {
        rig.wire("S1.2", part);
    }
    rig.wire("K1.87", "H2.1");
    for part in ["K1.85", "M1.2", "H1.2", "H2.2"] {
        rig.wire(part, "E1.1");
    }
}

#[test]
fn a_blower_that_runs_down_holds_the_ignition_relay_in() {
    each_car(|mut rig, volts, posts| {
        with_blower(&mut rig, posts[0], volts);
        let network = rig.network();
        let on = measure(&network, &[("S1", "on")]);
        let off = network.moved(&on.state, &at(&network, &[("S1", "off")]));
        assert_eq!(off.on.state(rig.id("K1")), Some(PartState::Out));
        let instant = network.first_instant(&on, &off);
        assert_eq!(instant.otherwise, [rig.id("K1")], "{volts} V");
        assert_eq!(instant.on.state(rig.id("K1")), Some(PartState::In));
        assert_eq!(instant.on.state(rig.id("H2")), Some(PartState::Lit));
        // The blower feeds the coil and the lamp beside it: a fifth of the marked volts are lost at its full current,
        // so that its EMF is four fifths of them, and it lights what it is joined to.
        let blower = instant.on.part(rig.id("M1")).expect("motor");
        assert_eq!(blower.state, PartState::Gives);
        assert!((0.7..0.9).contains(&(blower.volts.0.abs() / volts)), "{blower:?}");
        let tell_tale = instant.on.part(rig.id("H1")).expect("lamp");
        assert!(tell_tale.amps.0.abs() > 0.7 * 2.2 / volts, "{tell_tale:?}");
        // Without the blower the relay lets go at once.
        let without = network.without(&[rig.id("M1")]);
        let on = measure(&without, &[("S1", "on")]);
        let off = without.moved(&on.state, &at(&without, &[("S1", "off")]));
        let instant = without.first_instant(&on, &off);
        assert!(instant.otherwise.is_empty());
        assert_eq!(instant.on.state(rig.id("K1")), Some(PartState::Out));
    });
}

#[test]
fn a_jammed_blower_holds_nothing() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[("amp_hours", 60.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.cable("B1.-", "E1.1", Some(25.0), Some(0.4));
    with_blower(&mut rig, "B1.+", 12.0);
    let network = rig.network().jammed(&[rig.id("M1")]);
    let on = measure(&network, &[("S1", "on")]);
    let off = network.moved(&on.state, &at(&network, &[("S1", "off")]));
    assert!(network.first_instant(&on, &off).otherwise.is_empty());
}
