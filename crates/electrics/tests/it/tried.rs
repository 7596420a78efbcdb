//! A copy of a car with things wrong with it, and what a meter on it shows.

use approx::assert_relative_eq;
use loomwright_circuit::{PartId, WireId};
use loomwright_electrics::rig::{FLAT_CHARGE, Ohms, Rig as Copy, SHUNT_OHMS, Wrong};
use loomwright_electrics::{Battery, Fault, FuseRef, PartState, cable};
use loomwright_units::WireArea;

use crate::rig::{Rig, measure};

/// Battery, fuse, switch, lamp; the lamp's feed is two metres of 1 mm².
fn car(mut rig: Rig) -> Rig {
    let [live, earthed] = rig.posts();
    rig.part("B1", "battery", &[]);
    rig.part("F1", "fuse-blade", &[("amps", 15.0)]);
    rig.part("S1", "switch", &[]);
    rig.part("H1", "lamp", &[("watts", 21.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.part("E2", "body-earth", &[]);
    rig.wire(&format!("B1.{live}"), "F1.1");
    rig.wire("F1.2", "S1.1");
    rig.cable("S1.2", "H1.1", Some(1.0), Some(2.0));
    rig.wire("H1.2", "E1.1");
    rig.cable(&format!("B1.{earthed}"), "E2.1", Some(16.0), Some(0.4));
    rig
}

fn feed(rig: &Rig) -> WireId {
    let at_lamp = rig.id("H1");
    let is_feed =
        |id: &&WireId| rig.car.wire(**id).is_some_and(|wire| wire.to.at.part() == Some(at_lamp));
    *rig.car.wires().keys().find(is_feed).expect("the lamp is fed")
}

fn fuse(rig: &Rig) -> FuseRef {
    FuseRef { part: rig.id("F1"), between: ["1".to_owned(), "2".to_owned()] }
}

fn ohms(read: Ohms) -> f64 {
    match read {
        Ohms::Reads(ohms) => ohms,
        Ohms::Open => f64::INFINITY,
    }
}

fn at(part: PartId, terminal: &str) -> (PartId, &str) {
    (part, terminal)
}

#[test]
fn a_chafed_wire_carries_the_short_before_its_middle_and_the_lamp_behind_it() {
    let rig = car(Rig::new());
    let chafed = Wrong::Fault(Fault::WireTouches(feed(&rig)));
    let network = Copy::of(&rig.car).wrong(&chafed).network();
    let on = measure(&network, &[("S1", "on")]).on;
    let [near, far] = on.wire_end_amps(feed(&rig)).expect("the wire is there");
    let fuse = on.part(rig.id("F1")).expect("the fuse");
    let lamp = on.part(rig.id("H1")).expect("the lamp");
    // Kirchhoff: what the fuse passes enters the wire, what leaves it goes through the lamp.
    assert_relative_eq!(near.0, fuse.amps.0, max_relative = 1e-6);
    assert_relative_eq!(far.0, lamp.amps.0, epsilon = 1e-6);
    assert!(near.0 > 100.0 && far.0 < 2.0, "{near:?} {far:?}");
    assert_eq!(fuse.state, PartState::Opens);
    // A sound wire carries the same at both its ends.
    let sound = measure(&rig.network(), &[("S1", "on")]).on;
    let [near, far] = sound.wire_end_amps(feed(&rig)).expect("the wire is there");
    assert_relative_eq!(near.0, far.0);
}

#[test]
fn a_meter_on_a_cold_bulb_reads_a_twelfth_of_its_hot_resistance() {
    let rig = car(Rig::new());
    let lamp = rig.id("H1");
    let copy = || Copy::of(&rig.car).wrong(&Wrong::BatteryOff);
    let rest = rig.network().at_rest().state.setting;
    let read = copy().ohms_in(at(lamp, "1"), at(lamp, "2"), &rest);
    // 12 V squared over 21 W is 6.86 ohm hot; cold a twelfth of it (assets/reference/filament_law.csv).
    assert_relative_eq!(ohms(read), 144.0 / 21.0 / 12.0, max_relative = 0.02);
    // With the bulb out nothing is left between the terminals: the switch is off.
    let out = copy().wrong(&Wrong::BulbOut(lamp)).ohms_in(at(lamp, "1"), at(lamp, "2"), &rest);
    assert_eq!(out, Ohms::Open);
}

#[test]
fn a_meter_along_a_wire_reads_its_copper_and_its_ends() {
    let rig = car(Rig::new());
    let (switch, lamp) = (rig.id("S1"), rig.id("H1"));
    let rest = rig.network().at_rest().state.setting;
    let copy = Copy::of(&rig.car).wrong(&Wrong::BatteryOff);
    let read = ohms(copy.ohms_in(at(switch, "2"), at(lamp, "1"), &rest));
    // 2 m of 1 mm² at 17.241 mΩ/m (IEC 60028, assets/reference/copper.csv), and 2 mΩ at each crimp (practice).
    assert_relative_eq!(read, 2.0 * 0.017_241 + 2.0 * 0.002, max_relative = 0.02);
    // No more than the standard lets 1 mm² have: 18.5 mΩ/m (assets/reference/cable_metric.csv).
    let size = WireArea::new(1.0).expect("a size");
    assert!(read < 2.0 * cable::iso_6722(size).expect("listed").0 + 0.005);
}

#[test]
fn an_ammeter_in_place_of_the_fuse_reads_what_the_fuse_carried() {
    for rig in [car(Rig::new()), car(Rig::positive_earth())] {
        let before = measure(&rig.network(), &[("S1", "on")]).on;
        let carried = before.wire_amps(feed(&rig)).expect("the wire is there");
        let part = rig.id("F1");
        let copy = Copy::of(&rig.car)
            .wrong(&Wrong::FuseOut(fuse(&rig)))
            .with_ammeter(at(part, "1"), at(part, "2"));
        let meter = copy.ammeter().expect("the meter was put in");
        let on = measure(&copy.network(), &[("S1", "on")]).on;
        let reads = on.part(meter).expect("the meter").amps;
        // It flows into the red probe on a car with the minus post earthed, out of it on the other.
        assert_eq!(reads.0 > 0.0, before.volts(part, "1").expect("live").0 > 0.0);
        // Its own resistance, against some 7 ohm of the lamp, takes a little off.
        assert_relative_eq!(reads.0, carried.0, max_relative = SHUNT_OHMS / 6.0);
    }
}

#[test]
fn a_lead_that_hangs_free_stands_at_the_volts_of_its_other_end() {
    let rig = car(Rig::new());
    let off = Wrong::LeadOff { wire: feed(&rig), is_to: true };
    let network = Copy::of(&rig.car).wrong(&off).network();
    let on = measure(&network, &[("S1", "on")]).on;
    assert_eq!(on.state(rig.id("H1")), Some(PartState::Dark));
    let [near, far] = on.wire_volts(feed(&rig)).expect("the wire is live");
    assert_relative_eq!(near.0, far.0, epsilon = 1e-6);
    assert!(far.0 > 12.0);
    // The lamp's own terminal is earthed through the filament.
    assert_relative_eq!(on.volts(rig.id("H1"), "1").expect("joined").0, 0.0, epsilon = 1e-6);
}

#[test]
fn a_flat_battery_has_the_volts_of_its_charge_and_one_that_is_off_none() {
    let rig = car(Rig::new());
    let battery = rig.id("B1");
    let read = |wrong: Wrong| {
        let network = Copy::of(&rig.car).wrong(&wrong).network();
        network.at_rest().on.volts(rig.id("F1"), "1")
    };
    let flat = read(Wrong::BatteryFlat(battery)).expect("the fuse is joined to it");
    let listed = Battery { charge: FLAT_CHARGE, ..Battery::new(12.0, 40.0) };
    assert_relative_eq!(flat.0, listed.emf(), epsilon = 1e-3);
    assert!(read(Wrong::BatteryOff).is_none_or(|volts| volts.0.abs() < 1e-6));
}
