//! Starters with their solenoid: two windings, cranking, chatter, and where the current goes home.

use loomwright_circuit::{EarthPolarity, WireId};
use loomwright_electrics::{Network, NoteKind, PartState, Settled};

use crate::motors::{each_car, published};
use crate::rig::{Rig, at, measure};

/// A starter on its key, the engine strapped to the body by cable of this size.
fn with_starter(rig: &mut Rig, live: &str, strap_mm2: f64) -> WireId {
    rig.part("S1", "ignition-switch", &[]);
    rig.part("M1", "starter", &[]);
    rig.part("E2", "engine-earth", &[]);
    rig.cable(live, "M1.30", Some(35.0), Some(0.8));
    rig.cable(live, "S1.30", Some(10.0), Some(0.5));
    rig.cable("S1.50", "M1.50", Some(10.0), Some(0.5));
    rig.cable("E1.1", "E2.1", Some(strap_mm2), Some(0.3))
}

fn starting(network: &Network) -> Settled {
    measure(network, &[("ignition", "start")])
}

/// Current into a terminal of the starter, without its sign.
fn into(rig: &Rig, settled: &Settled, terminal: &str) -> f64 {
    settled.on.terminal_amps(rig.id("M1"), terminal).expect("terminal").0.abs()
}

#[test]
fn a_starter_cranks_and_its_pull_winding_is_shorted_out() {
    each_car(|mut rig, volts, posts| {
        with_starter(&mut rig, posts[0], 25.0);
        let network = rig.network();
        let rest = network.at_rest();
        assert_eq!(rest.on.state(rig.id("M1")), Some(PartState::Out));
        let cranks = starting(&network);
        assert!(cranks.is_settled, "{volts} V");
        let reading = cranks.on.part(rig.id("M1")).expect("starter");
        let [solenoid, motor] = &reading.elements[..2] else { panic!("{reading:?}") };
        assert_eq!(solenoid.state, PartState::In);
        // On six volts the same cables lose twice the share, so that it turns slowly.
        let turns = if volts < 7.0 { PartState::Weak } else { PartState::Working };
        assert_eq!(motor.state, turns, "{volts} V: {motor:?}");
        // A 12 V starter of a small engine: 150 to 220 A (assets/reference/loads.csv, memory); others by equal power.
        let (least, most, _) = published("starter, type M35G / M35J, cranking small engine");
        let as_12_volts = volts / 12.0;
        assert!((least..=most).contains(&(motor.amps.0.abs() * as_12_volts)), "{motor:?}");
        // At least 9.6 V of a 12 V battery are left while cranking (practice).
        let left = rig.volts(&cranks.on, posts[0]).expect("volts").abs() / as_12_volts;
        assert!((9.0..12.3).contains(&left), "{volts} V: {left}");
        assert!(volts < 7.0 || left > 9.6, "{volts} V: {left}");
        // Terminal 50 carries the hold winding alone: 8 to 12 A in a 12 V car (loads.csv).
        let (least, most, _) = published("starter solenoid hold-in winding");
        let holds = into(&rig, &cranks, "50");
        if (volts - 12.0).abs() < 0.1 {
            assert!((0.8 * least..=most).contains(&holds), "{holds}");
        }
    });
}

#[test]
fn both_windings_pull_before_the_stud_is_joined() {
    // A starter whose contact is out for good (no cable at its stud): both windings stay fed through the motor.
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[("amp_hours", 60.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.cable("B1.-", "E1.1", Some(25.0), Some(0.4));
    with_starter(&mut rig, "B1.+", 25.0);
    let cable = rig.wire_between("B1.+", "M1.30");
    rig.unwire(cable);
    let network = rig.network();
    let on = starting(&network);
    assert_eq!(on.on.state(rig.id("M1")), Some(PartState::In));
    let motor = on.on.part(rig.id("M1")).expect("starter").elements[1].clone();
    // loads.csv (memory): pull-in winding 30 to 50 A, through a motor that it cannot turn.
    let (least, most, _) = published("starter solenoid pull-in winding");
    assert!((least..=most).contains(&motor.amps.0), "{motor:?}");
    assert!(motor.volts.0 < 1.5 && motor.state != PartState::Working, "{motor:?}");
    let (hold_least, hold_most, _) = published("starter solenoid hold-in winding");
    let both = into(&rig, &on, "50");
    assert!((least + hold_least..=most + hold_most).contains(&both), "{both}");
}

#[test]
fn the_solenoid_drops_out_when_50_is_released() {
    // Current then goes back from the stud through the pull winding and on through the hold winding, the other way
    // round in one of them: with as many turns they cancel (toyotaguru.us, "Ignition Switch In ON").
    each_car(|mut rig, volts, posts| {
        with_starter(&mut rig, posts[0], 25.0);
        let network = rig.network();
        let cranks = starting(&network);
        let released = network.moved(&cranks.state, &at(&network, &[("ignition", "on")]));
        assert!(released.is_settled, "{volts} V");
        assert_eq!(released.on.state(rig.id("M1")), Some(PartState::Out), "{volts} V");
        assert!(into(&rig, &released, "30") < 1e-6);
        // The moment after: whatever the resistances, the two pulls are equal and opposite.
        let instant = network.first_instant(&cranks, &released);
        assert!(instant.otherwise.is_empty());
    });
}

#[test]
fn it_chatters_on_a_bad_joint_and_that_is_said() {
    each_car(|mut rig, volts, posts| {
        let strap = with_starter(&mut rig, posts[0], 25.0);
        rig.unwire(strap);
        // On six volts the key's contact and wire take a good part of what the windings need.
        let bad_ohms = if volts < 7.0 { 0.018 } else { 0.06 * volts * volts / 144.0 };
        rig.part("R1", "resistor", &[("ohms", bad_ohms)]);
        rig.cable("E1.1", "R1.1", Some(25.0), Some(0.2));
        rig.cable("R1.2", "E2.1", Some(25.0), Some(0.2));
        let on = starting(&rig.network());
        assert!(!on.is_settled, "{volts} V: {:?}", on.on.part(rig.id("M1")));
        assert_eq!(on.on.state(rig.id("M1")), Some(PartState::Buzzing));
        let said = |note: &loomwright_electrics::Note| {
            note.kind == NoteKind::Buzzes && note.parts == [rig.id("M1")]
        };
        assert!(on.on.notes.iter().any(said));
        // With a tenth of that resistance it cranks, if slowly.
        rig.set(rig.id("R1"), "ohms", 0.1 * bad_ohms);
        let on = starting(&rig.network());
        assert!(on.is_settled && on.on.state(rig.id("M1")) == Some(PartState::In), "{volts} V");
    });
}

#[test]
fn a_locked_starter_takes_the_current_of_the_manual() {
    each_car(|mut rig, volts, posts| {
        with_starter(&mut rig, posts[0], 25.0);
        let network = rig.network().jammed(&[rig.id("M1")]);
        let on = starting(&network);
        let (least, most, _) = published("starter, type M35G / M35J, locked");
        let locked = into(&rig, &on, "30") * volts / 12.0;
        let motor = on.on.part(rig.id("M1")).expect("starter").elements[1].clone();
        assert_eq!(motor.state, PartState::Stalled);
        // Battery and cables are alike in all cars, and take more of 6 V than of 24.
        let [least, most] = if volts < 7.0 {
            [0.7 * least, most]
        } else if volts > 13.0 {
            [least, 1.5 * most]
        } else {
            [least, 1.1 * most]
        };
        assert!((least..=most).contains(&locked), "{volts} V: {locked}");
    });
}

#[test]
fn without_an_engine_strap_the_starter_goes_home_by_a_thin_wire() {
    for earth in [EarthPolarity::Negative, EarthPolarity::Positive] {
        let mut rig =
            if earth == EarthPolarity::Negative { Rig::new() } else { Rig::positive_earth() };
        let posts =
            if earth == EarthPolarity::Negative { ["B1.+", "B1.-"] } else { ["B1.-", "B1.+"] };
        rig.part("B1", "battery", &[("amp_hours", 60.0)]);
        rig.part("E1", "body-earth", &[]);
        rig.cable(posts[1], "E1.1", Some(25.0), Some(0.4));
        let strap = with_starter(&mut rig, posts[0], 25.0);
        // An oil-pressure gauge's earth, from the engine to the dash: 1 mm² and half a metre long.
        rig.part("E3", "engine-earth", &[]);
        rig.part("E4", "body-earth", &[]);
        let thin = rig.cable("E3.1", "E4.1", Some(1.0), Some(0.5));
        let amps = |rig: &Rig, wire| starting(&rig.network()).on.wire_amps(wire).expect("it").0;
        let (by_strap, beside) = (amps(&rig, strap).abs(), amps(&rig, thin).abs());
        assert!(by_strap > 150.0 && beside < 0.15 * by_strap, "{by_strap} and {beside} A");
        rig.unwire(strap);
        let home = amps(&rig, thin).abs();
        // By hand: the battery's EMF over itself, the cables, the motor standing and the thin wire: 12.66 V over
        // about 50 milliohm; cable of 1 mm² is good for 10 to 20 A.
        assert!((150.0..350.0).contains(&home), "{home} A");
    }
}
