//! Motors: running, weak, standing, jammed, in cars of every voltage with either post earthed.

use loomwright_circuit::{EarthPolarity, SystemVoltage, Vehicle};
use loomwright_electrics::PartState;

use crate::rig::Rig;

pub(crate) const VOLTAGES: [SystemVoltage; 3] =
    [SystemVoltage::Six, SystemVoltage::Twelve, SystemVoltage::TwentyFour];

/// Cars of 6, 12 and 24 V with either post earthed: their marked volts, and the live and the earthed post.
pub(crate) fn each_car(mut check: impl FnMut(Rig, f64, [&str; 2])) {
    for voltage in VOLTAGES {
        for earth in [EarthPolarity::Negative, EarthPolarity::Positive] {
            let mut rig = Rig::with(Vehicle { voltage, earth, ..Vehicle::default() });
            let posts =
                if earth == EarthPolarity::Positive { ["B1.-", "B1.+"] } else { ["B1.+", "B1.-"] };
            rig.part("B1", "battery", &[("amp_hours", 60.0)]);
            rig.part("E1", "body-earth", &[]);
            rig.cable(posts[1], "E1.1", Some(25.0), Some(0.4));
            check(rig, voltage.volts().0, posts);
        }
    }
}

/// Published running current (least and greatest) and stall current of the rows of this name.
pub(crate) fn published(name: &str) -> (f64, f64, Option<f64>) {
    let rows = include_str!("../../../../assets/reference/loads.csv");
    let row = rows.lines().find(|row| row.trim_start_matches('"').starts_with(name));
    let row = row.unwrap_or_else(|| panic!("no row {name}"));
    let rest = &row[name.len()..];
    let cells: Vec<&str> = rest[rest.find(",12,").expect("12 V")..].split(',').collect();
    let figure = |idx: usize| cells[idx].parse().expect("a figure");
    // After the system's volts: watts, least and greatest current, stall current.
    (figure(3), figure(4), cells[5].parse().ok())
}

#[test]
fn a_motor_takes_its_running_current_and_jammed_that_of_the_trade() {
    // assets/reference/loads.csv: running and stall currents (memory and practice).
    for name in [
        "wiper motor, type DR3A",
        "wiper motor, type 14W",
        "heater blower, single",
        "heater blower, two-speed high",
        "electric fan, 10-12 in",
        "electric fan, 14-16 in",
        "windscreen washer pump",
    ] {
        let (least, most, stall) = published(name);
        let stall = stall.expect("a stall current");
        let mut rig = Rig::new();
        rig.part("B1", "battery", &[("amp_hours", 60.0)]);
        let amps = 0.5 * (least + most);
        rig.part("M1", "motor", &[("watts", 12.0 * amps), ("stall", stall / amps)]);
        rig.cable("B1.+", "M1.1", Some(6.0), Some(0.5));
        rig.cable("M1.2", "B1.-", Some(6.0), Some(0.5));
        let network = rig.network();
        let running = network.at_rest().on.part(rig.id("M1")).expect("motor");
        assert_eq!(running.state, PartState::Working, "{name}");
        assert!((least..=most).contains(&running.amps.0), "{name}: {running:?}");
        let jammed = network.jammed(&[rig.id("M1")]).at_rest().on.part(rig.id("M1")).expect("it");
        assert_eq!(jammed.state, PartState::Stalled, "{name}");
        // The battery stands a little above and, loaded, a little below 12 V.
        assert!((jammed.amps.0 / stall - 1.0).abs() < 0.1, "{name}: {jammed:?}");
        // The usual share of the type is that of the trade's motors, the smallest and the strongest apart.
        rig.set(rig.id("M1"), "stall", 5.0);
        let usual = rig.network().jammed(&[rig.id("M1")]).at_rest().on;
        let usual = usual.part(rig.id("M1")).expect("motor").amps.0;
        assert!((0.7..1.6).contains(&(usual / stall)), "{name}: {usual} A against {stall} A");
    }
}

#[test]
fn a_motor_works_is_weak_or_stands_by_its_volts_in_every_car() {
    each_car(|mut rig, volts, posts| {
        rig.part("M1", "motor", &[("watts", 3.0 * volts)]);
        let feed = rig.cable(posts[0], "M1.1", Some(2.5), Some(1.0));
        rig.cable("M1.2", "E1.1", Some(2.5), Some(1.0));
        let motor = |rig: &Rig| rig.network().at_rest().on.part(rig.id("M1")).expect("motor");
        let running = motor(&rig);
        assert_eq!(running.state, PartState::Working, "{volts} V");
        assert!((running.amps.0.abs() / 3.0 - 1.0).abs() < 0.02, "{running:?}");
        assert_eq!(running.amps.0 < 0.0, posts[0] == "B1.-");
        // A wiper on a bad joint turns slowly and takes nearly the same current: torque decides it, not volts.
        rig.unwire(feed);
        rig.part("R1", "resistor", &[("ohms", volts / 9.0)]);
        rig.wire(posts[0], "R1.1");
        rig.wire("R1.2", "M1.1");
        let weak = motor(&rig);
        assert_eq!(weak.state, PartState::Weak, "{volts} V: {weak:?}");
        assert!((0.85..1.0).contains(&(weak.amps.0.abs() / 3.0)), "{weak:?}");
        // With more it stands, its armature in series with the joint.
        rig.set(rig.id("R1"), "ohms", volts / 2.0);
        let stands = motor(&rig);
        assert_eq!(stands.state, PartState::Stalled, "{volts} V: {stands:?}");
        let armature = volts / 3.0 / 5.0;
        let by_ohm = 12.66 / 12.0 * volts / (armature + volts / 2.0);
        assert!((stands.amps.0.abs() / by_ohm - 1.0).abs() < 0.05, "{stands:?} {by_ohm}");
    });
}

#[test]
fn only_the_jammed_motor_takes_its_stall_current() {
    each_car(|mut rig, volts, posts| {
        for name in ["M1", "M2"] {
            rig.part(name, "motor", &[("watts", 4.0 * volts), ("stall", 4.0)]);
            rig.cable(posts[0], &format!("{name}.1"), Some(4.0), Some(1.0));
            rig.cable(&format!("{name}.2"), "E1.1", Some(4.0), Some(1.0));
        }
        let network = rig.network();
        let jammed = network.jammed(&[rig.id("M1")]).at_rest().on;
        let amps = |label: &str| jammed.part(rig.id(label)).expect("motor").amps.0.abs();
        assert!((amps("M1") / 16.0 - 1.0).abs() < 0.1, "{}", amps("M1"));
        assert!((amps("M2") / 4.0 - 1.0).abs() < 0.05, "{}", amps("M2"));
        // A part that is no motor cannot jam.
        assert_eq!(network.jammed(&[rig.id("B1")]).at_rest(), network.at_rest());
    });
}
