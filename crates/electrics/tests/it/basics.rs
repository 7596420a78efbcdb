//! Single circuits whose answer can be worked out by hand.

use loomwright_circuit::{PartId, SystemVoltage};
use loomwright_electrics::{NoteKind, PartState, SettingError};

use crate::rig::{Rig, follow, measure};

/// Battery, fuse, switch, lamp, earths.
fn lamp_circuit(mut rig: Rig) -> Rig {
    rig.part("B1", "battery", &[]);
    rig.part("F1", "fuse-blade", &[("amps", 15.0)]);
    rig.part("S1", "switch", &[]);
    rig.part("H1", "lamp", &[("watts", 55.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.part("E2", "body-earth", &[]);
    rig
}

fn wired() -> Rig {
    let mut rig = lamp_circuit(Rig::new());
    rig.wire("B1.+", "F1.1");
    rig.wire("F1.2", "S1.1");
    rig.wire("S1.2", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.cable("B1.-", "E2.1", Some(16.0), Some(0.4));
    rig
}

#[test]
fn a_lamp_lights_when_it_is_switched_on() {
    let rig = wired();
    let network = rig.network();
    let rest = network.at_rest();
    assert_eq!(rest.on.state(rig.id("H1")), Some(PartState::Dark));
    assert!(rig.volts(&rest.on, "S1.1").expect("volts") > 12.6);
    let on = measure(&network, &[("S1", "on")]);
    let lamp = on.on.part(rig.id("H1")).expect("lamp");
    assert_eq!(lamp.state, PartState::Lit);
    // 55 W at 12 V is 4.58 A; at 12.3 V a little more.
    assert!((4.5..4.8).contains(&lamp.amps.0), "{lamp:?}");
    assert!(lamp.volts.0 > 12.0 && lamp.volts.0 < 12.6);
    assert!(on.on.residual_amps < 1e-9 && on.on.iterations < 15, "{:?}", on.on);
    assert!(on.off.is_none() && on.is_settled);
    assert!(network.notes().is_empty(), "{:?}", network.notes());
}

#[test]
fn a_positive_earth_car_reads_negative() {
    let mut rig = lamp_circuit(Rig::positive_earth());
    rig.wire("B1.-", "F1.1");
    rig.wire("F1.2", "S1.1");
    rig.wire("S1.2", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.cable("B1.+", "E2.1", Some(16.0), Some(0.4));
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert!(rig.volts(&on.on, "H1.1").expect("volts") < -12.0);
    assert_eq!(rig.volts(&on.on, "B1.+"), Some(0.0));
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Lit));
}

#[test]
fn an_open_lamp_circuit_floats() {
    let mut rig = lamp_circuit(Rig::new());
    rig.wire("B1.+", "F1.1");
    rig.wire("S1.2", "H1.1");
    let settled = rig.network().at_rest();
    assert_eq!(rig.volts(&settled.on, "H1.1"), None);
    assert!(rig.volts(&settled.on, "F1.2").is_some());
    let afloat = rig
        .network()
        .notes()
        .iter()
        .any(|note| note.kind == NoteKind::Afloat && note.parts.contains(&rig.id("H1")));
    assert!(afloat);
    let lamp = settled.on.part(rig.id("H1")).expect("lamp");
    assert_eq!((lamp.amps.0, lamp.state), (0.0, PartState::Dark));
}

#[test]
fn an_empty_car_and_a_lone_wire_give_an_answer() {
    let rig = Rig::new();
    let settled = rig.network().at_rest();
    assert!(settled.is_settled);
    assert_eq!(rig.network().notes()[0].kind, NoteKind::NoSupply);
    let mut rig = Rig::new();
    rig.part("H1", "lamp", &[]);
    let wire = rig.cable("H1.1", "H1.2", None, None);
    let network = rig.network();
    let kinds: Vec<NoteKind> = network.notes().iter().map(|note| note.kind).collect();
    assert!(kinds.contains(&NoteKind::SizeAssumed) && kinds.contains(&NoteKind::LengthAssumed));
    assert_eq!(network.at_rest().on.wire_amps(wire).map(|amps| amps.0), Some(0.0));
}

#[test]
fn a_wire_without_length_is_a_short_one() {
    let mut rig = wired();
    let zero = rig.cable("S1.1", "S1.2", Some(120.0), Some(0.0));
    let on = rig.network().at_rest();
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Lit));
    assert!(on.on.wire_amps(zero).expect("wire").0 > 4.0);
}

#[test]
fn a_shorted_battery_gives_what_its_own_resistance_lets_it() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[("amp_hours", 50.0)]);
    let wire = rig.cable("B1.+", "B1.-", Some(16.0), Some(0.1));
    let settled = rig.network().at_rest();
    // 12.66 V over 7.5 mΩ inside, 0.108 mΩ of copper and two bolted ends of 0.5 mΩ.
    let expected = 12.66 / (0.0075 + 0.017_241 * 0.1 / 16.0 + 0.001);
    let amps = settled.on.wire_amps(wire).expect("wire").0;
    assert!((amps - expected).abs() < 1e-6 * expected, "{amps} against {expected}");
    let note = &settled.on.notes[0];
    assert_eq!(
        (note.kind, note.parts.clone(), note.wires.clone()),
        (NoteKind::Shorted, vec![rig.id("B1")], vec![wire])
    );
}

#[test]
fn a_fuse_says_when_it_opens() {
    let mut rig = wired();
    rig.wire("F1.2", "E1.1");
    let settled = rig.network().at_rest();
    let fuse = settled.on.part(rig.id("F1")).expect("fuse");
    assert_eq!(fuse.state, PartState::Opens);
    assert_eq!(fuse.elements[0].opens_within.map(|time| time.0), Some(0.1));
    let shorted = &settled.on.notes[0];
    assert_eq!(shorted.kind, NoteKind::Shorted);
    assert!(shorted.parts.contains(&rig.id("F1")));
}

#[test]
fn a_body_that_carries_no_current_joins_nothing() {
    let mut rig = lamp_circuit(Rig::of_wood());
    rig.wire("B1.+", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.wire("B1.-", "E2.1");
    let on = rig.network().at_rest();
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Dark));
    rig.wire("E1.1", "E2.1");
    let on = rig.network().at_rest();
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Lit));
}

fn relay_circuit(coil_feed: &str) -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-make", &[]);
    rig.part("H1", "lamp", &[("watts", 55.0)]);
    rig.part("E1", "body-earth", &[]);
    rig.wire("B1.+", "K1.30");
    rig.wire("B1.+", "S1.1");
    rig.wire("S1.2", coil_feed);
    rig.wire("K1.87", "H1.1");
    rig.wire("H1.2", "E1.1");
    rig.wire("K1.85", "E1.1");
    rig.cable("B1.-", "E1.1", Some(16.0), Some(0.4));
    rig
}

#[test]
fn a_relay_pulls_in_and_lights_its_lamp() {
    let rig = relay_circuit("K1.86");
    let network = rig.network();
    assert_eq!(network.at_rest().on.state(rig.id("K1")), Some(PartState::Out));
    let on = measure(&network, &[("S1", "on")]);
    assert_eq!(on.state.pulled_in, [true]);
    let relay = on.on.part(rig.id("K1")).expect("relay");
    assert_eq!(relay.state, PartState::In);
    // 85 Ω at 12.5 V.
    assert!((relay.amps.0 - 0.147).abs() < 0.003, "{relay:?}");
    assert!((relay.elements[0].contacts[0].amps.0 - 4.7).abs() < 0.15);
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Lit));
}

#[test]
fn a_relay_holds_itself_until_its_feed_goes() {
    // Self-holding: 87 feeds the coil; a push starts it; a second switch breaks it.
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("P1", "push", &[]);
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-make", &[]);
    rig.part("E1", "body-earth", &[]);
    rig.wire("B1.+", "S1.1");
    rig.wire("S1.2", "K1.30");
    rig.wire("S1.2", "P1.1");
    rig.wire("P1.2", "K1.86");
    rig.wire("K1.87", "K1.86");
    rig.wire("K1.85", "E1.1");
    rig.wire("B1.-", "E1.1");
    let network = rig.network();
    let run = |settings: &[&[(&str, &str)]]| follow(&network, settings).state.pulled_in[0];
    assert!(!run(&[&[("S1", "on")]]));
    assert!(run(&[&[("S1", "on")], &[("S1", "on"), ("P1", "pressed")]]));
    assert!(run(&[&[("S1", "on"), ("P1", "pressed")], &[("S1", "on")]]));
    assert!(!run(&[&[("S1", "on"), ("P1", "pressed")], &[("S1", "off")], &[("S1", "on")]]));
}

#[test]
fn between_its_two_thresholds_a_relay_stays_where_it_was() {
    // 85 Ω of coil behind 100 Ω: 5.8 V, under pull-in (7.2 V), over drop-out (2.4 V); a switch bridges the 100 Ω.
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("R1", "resistor", &[("ohms", 100.0)]);
    rig.part("S1", "switch", &[]);
    rig.part("K1", "relay-make", &[]);
    rig.wire("B1.+", "R1.1");
    rig.wire("R1.2", "K1.86");
    rig.wire("R1.1", "S1.1");
    rig.wire("R1.2", "S1.2");
    rig.wire("K1.85", "B1.-");
    let network = rig.network();
    assert_eq!(network.at_rest().state.pulled_in, [false]);
    let after = follow(&network, &[&[("S1", "on")], &[("S1", "off")]]);
    assert_eq!(after.state.pulled_in, [true]);
    assert!(after.is_settled);
}

#[test]
fn a_relay_that_breaks_its_own_coil_buzzes() {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("K1", "relay-changeover", &[]);
    rig.wire("B1.+", "K1.30");
    rig.wire("K1.87a", "K1.86");
    rig.wire("K1.85", "B1.-");
    let settled = rig.network().at_rest();
    assert!(!settled.is_settled);
    assert_eq!(settled.on.state(rig.id("K1")), Some(PartState::Buzzing));
    assert_eq!(settled.on.notes[0].kind, NoteKind::Buzzes);
    assert_eq!(settled.on.notes[0].parts, [rig.id("K1")]);
}

#[test]
fn two_relays_that_lock_each_other_out_come_to_rest() {
    // Each coil is fed through the other's rest contact: whichever is first wins, neither buzzes.
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("K1", "relay-changeover", &[]);
    rig.part("K2", "relay-changeover", &[]);
    rig.wire("B1.+", "K1.30");
    rig.wire("B1.+", "K2.30");
    rig.wire("K1.87a", "K2.86");
    rig.wire("K2.87a", "K1.86");
    rig.wire("K1.85", "B1.-");
    rig.wire("K2.85", "B1.-");
    let settled = rig.network().at_rest();
    assert!(settled.is_settled);
    assert_eq!(settled.state.pulled_in, [true, false]);
}

#[test]
fn controls_and_positions_are_known_by_name() {
    let network = wired().network();
    let mut positions = std::collections::BTreeMap::new();
    positions.insert("S2".to_owned(), "on".to_owned());
    let unknown = network.setting(&positions);
    let known = vec!["S1".to_owned()];
    assert_eq!(unknown, Err(SettingError::NoControl { control: "S2".to_owned(), known }));
    positions.clear();
    positions.insert("S1".to_owned(), "sideways".to_owned());
    assert!(matches!(network.setting(&positions), Err(SettingError::NoPosition { .. })));
}

#[test]
fn six_and_twenty_four_volt_cars_light_their_lamps() {
    for voltage in [SystemVoltage::Six, SystemVoltage::TwentyFour] {
        let mut rig = lamp_circuit(Rig::of_voltage(voltage));
        rig.cable("B1.+", "H1.1", Some(4.0), Some(0.5));
        rig.cable("H1.2", "B1.-", Some(4.0), Some(0.5));
        let lamp = rig.network().at_rest().on.part(rig.id("H1")).expect("lamp");
        assert_eq!(lamp.state, PartState::Lit);
        assert!((lamp.watts.0 - 55.0).abs() < 6.0, "{voltage:?}: {lamp:?}");
    }
}

#[test]
fn every_solve_says_what_has_no_supply() {
    let mut rig = Rig::new();
    rig.part("H1", "lamp", &[]);
    rig.part("E1", "body-earth", &[]);
    rig.wire("H1.2", "E1.1");
    let kinds = |rig: &Rig| -> Vec<(NoteKind, Vec<PartId>)> {
        let notes = rig.network().at_rest().on.notes;
        notes.into_iter().map(|note| (note.kind, note.parts)).collect()
    };
    assert_eq!(kinds(&rig), [(NoteKind::NoSupply, Vec::new())]);
    rig.part("B1", "battery", &[]);
    rig.wire("B1.-", "E1.1");
    assert_eq!(kinds(&rig), []);
    // A lamp and its switch with no way to the battery, and a lamp that two open contacts cut off.
    rig.part("H2", "lamp", &[]);
    rig.part("H3", "lamp", &[]);
    rig.part("S2", "switch-double-pole", &[]);
    rig.wire("H2.1", "H2.2");
    rig.wire("B1.+", "S2.1");
    rig.wire("S2.2", "H3.1");
    rig.wire("H3.2", "S2.4");
    rig.wire("S2.3", "B1.-");
    assert_eq!(kinds(&rig), [(NoteKind::Afloat, vec![rig.id("H2"), rig.id("H3")])]);
    let network = rig.network();
    let on = crate::rig::measure(&network, &[("S2", "on")]).on;
    let afloat: Vec<&Vec<PartId>> = on.notes.iter().map(|note| &note.parts).collect();
    assert_eq!(afloat, [&vec![rig.id("H2")]]);
}
