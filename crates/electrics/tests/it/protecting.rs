//! Fuses, links and breakers in a circuit.

use loomwright_electrics::PartState;

use crate::rig::Rig;

/// A part type and its figures.
type Device = (&'static str, &'static [(&'static str, f64)]);

/// A battery, a protecting device and a resistor that takes so many amps, in a row; what the device does.
fn does(mut rig: Rig, device: Device, amps: f64) -> (PartState, f64) {
    let volts = rig.system_volts();
    rig.part("B1", "battery", &[("volts", volts), ("amp_hours", 50.0)]);
    rig.part("F1", device.0, device.1);
    rig.part("R1", "resistor", &[("ohms", volts / amps)]);
    let [live, earthed] = rig.posts();
    rig.cable(&format!("B1.{live}"), "F1.1", Some(16.0), Some(0.3));
    rig.cable("F1.2", "R1.1", Some(16.0), Some(0.3));
    rig.cable("R1.2", &format!("B1.{earthed}"), Some(16.0), Some(0.3));
    let on = rig.network().at_rest().on;
    let reading = on.part(rig.id("F1")).expect("there");
    let element = &reading.elements[0];
    let opens = matches!(reading.state, PartState::Opens | PartState::Cycles);
    assert_eq!(element.opens_within.is_some(), opens);
    assert_eq!(element.opens_after.is_some(), opens);
    assert!(element.opens_after <= element.opens_within);
    (reading.state, reading.amps.0.abs())
}

#[test]
fn every_device_holds_what_it_carries_and_opens_above() {
    let devices: [(Device, f64, PartState); 5] = [
        (("fuse-blade", &[("amps", 10.0)]), 10.0, PartState::Opens),
        (("fuse-torpedo", &[("amps", 8.0)]), 8.0, PartState::Opens),
        (("breaker", &[("amps", 15.0)]), 15.0, PartState::Cycles),
        (("breaker-manual", &[("amps", 15.0)]), 15.0, PartState::Opens),
        // 1 mm²: about 16 A by thin-wall lists, and 96 A melt it in the end.
        (("fusible-link", &[("square_mm", 1.0)]), 16.0, PartState::Opens),
    ];
    for ((name, facts), carries, opens) in devices {
        let over = if name == "fusible-link" { 9.5 } else { 3.0 };
        for rig in Rig::of_every_kind() {
            let (state, amps) = does(rig, (name, facts), 0.9 * carries);
            assert_eq!(state, PartState::Holds, "{name} at {amps} A");
            assert!(amps > 0.7 * carries, "{name}: {amps} A");
        }
        for rig in Rig::of_every_kind() {
            let (state, amps) = does(rig, (name, facts), over * carries);
            assert_eq!(state, opens, "{name} at {amps} A");
        }
    }
}

/// SAE J553: a breaker carries its rating, and opens within an hour at 135 % of it; between the two nobody can tell.
#[test]
fn a_breaker_over_its_rating_and_under_what_opens_it_may_open() {
    for name in ["breaker", "breaker-manual"] {
        let rig = Rig::of_every_kind().remove(0);
        let (state, amps) = does(rig, (name, &[("amps", 15.0)]), 18.0);
        assert!(amps > 15.0 && amps < 1.35 * 15.0, "{name}: {amps} A");
        assert_eq!(state, PartState::MayOpen, "{name} at {amps} A");
    }
}

#[test]
fn a_link_takes_what_its_maker_says_before_its_size() {
    let facts: &'static [(&str, f64)] = &[("square_mm", 1.0), ("carries", 30.0)];
    let rig = || Rig::of_every_kind().remove(2);
    assert_eq!(does(rig(), ("fusible-link", facts), 150.0).0, PartState::Holds);
    assert_eq!(does(rig(), ("fusible-link", &facts[..1]), 150.0).0, PartState::Opens);
}
