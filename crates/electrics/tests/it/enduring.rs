//! How long the battery lasts, what the generator puts back, who empties it.

use loomwright_electrics::Battery;
use loomwright_electrics::endurance::{balance, draws, endurance, standing_drain};

use crate::rig::{Rig, measure};

/// Loads of so many watts at 12 V, in proportion elsewhere, each behind a switch.
fn rig(mut rig: Rig, battery: &[(&str, f64)], watts: &[f64]) -> Rig {
    let share = rig.system_volts() / 12.0;
    let [live, earthed] = rig.posts();
    rig.part("B1", "battery", battery);
    rig.part("P", "joint", &[]);
    rig.part("M", "joint", &[]);
    rig.cable(&format!("B1.{live}"), "P.1", Some(16.0), Some(0.3));
    rig.cable("M.1", &format!("B1.{earthed}"), Some(16.0), Some(0.3));
    for (idx, watts) in watts.iter().enumerate() {
        let (load, switch) = (format!("R{idx}"), format!("S{idx}"));
        rig.part(&load, "heater", &[("watts", watts * share)]);
        rig.part(&switch, "switch", &[]);
        rig.wire("P.1", &format!("{switch}.1"));
        rig.wire(&format!("{switch}.2"), &format!("{load}.1"));
        rig.wire(&format!("{load}.2"), "M.1");
    }
    rig
}

#[test]
fn half_a_battery_lasts_ten_hours_in_every_car() {
    // 50 Ah, half usable, 30 W at 12 V: 10 h (practice). At 12.6 V the heater takes 2.6 A, a twentieth more.
    for empty in Rig::of_every_kind() {
        let rig = rig(empty, &[("amp_hours", 50.0)], &[30.0]);
        let network = rig.network();
        let on = measure(&network, &[("S0", "on")]);
        let found = endurance(&network, &on);
        assert_eq!(found.len(), 1);
        let (amps, hours) = (found[0].amps.0, found[0].hours.expect("it is drained"));
        assert!((2.5..2.7).contains(&amps), "{amps}");
        assert!((9.2..10.0).contains(&hours), "{hours}");
        let at_rest = endurance(&network, &network.at_rest())[0];
        assert!(at_rest.amps.0.abs() < 1e-4 && at_rest.hours.is_none(), "{at_rest:?}");
    }
}

#[test]
fn a_half_full_or_cold_battery_lasts_less_long() {
    let full = Battery::new(12.0, 50.0);
    let hours = |battery: Battery| battery.hours_to_no_start(2.0);
    assert!((hours(Battery { charge: 0.75, ..full }) / hours(full) - 0.5).abs() < 1e-9);
    assert_eq!(hours(Battery { charge: 0.4, ..full }), 0.0);
    assert!(hours(Battery { celsius: -10.0, ..full }) < 0.8 * hours(full));
    // Peukert: at ten times the marked rate, 63 % of the capacity with an exponent of 1.2.
    let share = 25.0 * full.hours_to_no_start(25.0) / (2.5 * full.hours_to_no_start(2.5));
    assert!((share - 0.630_957).abs() < 1e-6, "{share}");
    assert_eq!(full.hours_to_no_start(0.25), 10.0 * full.hours_to_no_start(2.5));
    assert_eq!(full.hours_to_no_start(0.0), f64::INFINITY);
}

#[test]
fn what_the_generator_gives_is_what_is_taken_and_what_goes_into_the_battery() {
    for (kind, idles) in [("dynamo", false), ("alternator", true)] {
        for empty in Rig::of_every_kind() {
            let mut rig = rig(empty, &[("amp_hours", 50.0), ("charge", 0.7)], &[60.0]);
            rig.part("G1", kind, &[]);
            rig.part("E1", "engine-earth", &[]);
            let output = if kind == "dynamo" { "A" } else { "B+" };
            rig.cable(&format!("G1.{output}"), "P.1", Some(6.0), Some(0.5));
            rig.cable("G1.E", "M.1", Some(6.0), Some(0.5));
            let network = rig.network();
            for (engine, gives) in [("stopped", false), ("idling", idles), ("running", true)] {
                let settled = measure(&network, &[("S0", "on"), ("engine", engine)]);
                let found = balance(&network, &settled);
                assert!(
                    (found.given.0 - found.taken.0 - found.into_batteries.0).abs() < 1e-9,
                    "{found:?}"
                );
                assert!((4.5..7.0).contains(&found.taken.0), "{kind} {engine}: {found:?}");
                assert_eq!(found.given.0 > 1.0, gives, "{kind} {engine}: {found:?}");
                let battery = endurance(&network, &settled)[0];
                assert!((battery.amps.0 + found.into_batteries.0).abs() < 1e-9);
                assert_eq!(battery.hours.is_some(), !gives);
                // 10 Ah used, and a seventh more to put back.
                let hours = found.hours_to_put_back(10.0);
                assert_eq!(hours.is_some(), gives);
                if let Some(hours) = hours {
                    assert!((hours * found.into_batteries.0 - 11.5).abs() < 1e-9);
                }
            }
        }
    }
}

#[test]
fn who_empties_the_battery_comes_greatest_first() {
    for empty in Rig::of_every_kind() {
        let mut rig = rig(empty, &[("amp_hours", 40.0)], &[12.0]);
        let share = rig.system_volts() / 12.0;
        // Wired round all switches: a clock and a radio.
        for (label, watts) in [("Clock", 0.5), ("Radio", 6.0)] {
            rig.part(label, "heater", &[("watts", watts * share)]);
            rig.wire("P.1", &format!("{label}.1"));
            rig.wire(&format!("{label}.2"), "M.1");
        }
        let network = rig.network();
        let drain = standing_drain(&network);
        let names: Vec<_> = drain.draws.iter().map(|(part, _)| *part).collect();
        assert_eq!(names, [rig.id("Radio"), rig.id("Clock")]);
        let total: f64 = drain.draws.iter().map(|(_, amps)| amps.0).sum();
        let battery = drain.batteries[0];
        // What is lost in wires is all that they do not explain.
        assert!((total / battery.amps.0 - 1.0).abs() < 0.01, "{total} of {}", battery.amps);
        // 0.57 A of 40 Ah, half of it: 35 h.
        assert!((33.0..37.0).contains(&battery.hours.expect("hours")), "{battery:?}");
        let on = measure(&network, &[("S0", "on")]);
        assert_eq!(draws(&network, &on)[0].0, rig.id("R0"));
    }
}

#[test]
fn a_flashing_lamp_takes_its_mean() {
    let mut rig = rig(Rig::new(), &[("amp_hours", 50.0)], &[]);
    rig.part("U1", "flasher-electronic-2", &[]);
    rig.part("H1", "lamp", &[("watts", 42.0)]);
    rig.wire("P.1", "U1.49");
    rig.wire("U1.49a", "H1.1");
    rig.wire("H1.2", "M.1");
    let network = rig.network();
    let settled = network.at_rest();
    let lit = settled.on.part(rig.id("H1")).expect("lamp").amps.0;
    let mean = endurance(&network, &settled)[0].amps.0;
    assert!(lit > 3.0 && (mean / lit - 0.5).abs() < 1e-3, "{mean} of {lit}");
}
