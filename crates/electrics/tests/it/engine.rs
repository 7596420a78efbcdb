//! The engine that stops with its ignition, and the one that does not.

use loomwright_electrics::{Bound, Network, SettingError, Settled, explore};

use crate::explored::assert_as_brute;
use crate::rig::Rig;

/// Battery, key, coil behind the key, generator with its charge lamp on the key.
fn car(generator: &str) -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("E1", "engine-earth", &[]);
    rig.part("G1", generator, &[]);
    rig.part("S1", "ignition-switch", &[]);
    rig.part("L1", "ignition-coil", &[]);
    rig.part("H1", "warning-lamp", &[("watts", 2.2)]);
    rig.cable("B1.-", "E1.1", Some(16.0), Some(0.4));
    let (output, warning) = if generator == "dynamo" { ("A", "D") } else { ("B+", "IND") };
    rig.cable("B1.+", &format!("G1.{output}"), Some(6.0), Some(1.0));
    rig.cable("B1.+", "S1.30", Some(3.0), Some(1.0));
    rig.wire("S1.15", "L1.15");
    rig.wire("L1.1", "E1.1");
    rig.wire("S1.15", "H1.1");
    rig.wire("H1.2", &format!("G1.{warning}"));
    rig
}

/// The same with the coil on a relay that the key works.
fn with_relay() -> Rig {
    let mut rig = car("alternator");
    let old = rig.wire_between("S1.15", "L1.15");
    rig.unwire(old);
    rig.part("K1", "relay-make", &[("ohms", 85.0)]);
    rig.part("F1", "fuse-blade", &[("amps", 25.0)]);
    rig.wire("B1.+", "F1.1");
    rig.wire("F1.2", "K1.30");
    rig.wire("K1.87", "L1.15");
    rig.wire("S1.15", "K1.86");
    rig.wire("K1.85", "E1.1");
    rig
}

/// Moves by name from rest, each as "control=position".
fn after(network: &Network, moves: &[&str]) -> Settled {
    let mut now = network.at_rest();
    for step in moves {
        let (control, position) = step.split_once('=').expect("a move");
        let moved = network.move_control(&now.state, control, position);
        now = moved.unwrap_or_else(|error| panic!("{step}: {error:?}"));
    }
    now
}

fn stands(network: &Network, settled: &Settled) -> (String, String) {
    let positions = network.named(&settled.state.setting);
    (positions["ignition"].clone(), positions["engine"].clone())
}

fn followed(settled: &Settled) -> Vec<String> {
    settled.followed.iter().map(|step| format!("{}={}", step.control, step.position)).collect()
}

fn at(ignition: &str, engine: &str) -> (String, String) {
    (ignition.to_owned(), engine.to_owned())
}

const RUNNING: [&str; 2] = ["ignition=on", "engine=running"];

#[test]
fn the_engine_stops_with_the_key_where_the_key_feeds_the_coil() {
    for generator in ["dynamo", "alternator"] {
        let network = car(generator).network();
        let running = after(&network, &RUNNING);
        assert_eq!(stands(&network, &running), at("on", "running"));
        assert!(running.followed.is_empty());
        let off = network.move_control(&running.state, "ignition", "off").expect("key off");
        assert_eq!(stands(&network, &off), at("off", "stopped"));
        assert_eq!(followed(&off), ["engine=stopped"]);
        assert_eq!(off.state, network.at_rest().state);
        let explored = explore(&network, Bound::default(), &mut |_| true);
        assert!(explored.run_ons(&network).is_empty());
        assert_eq!(explored.settings, explored.visits.len() as u128);
    }
}

#[test]
fn the_charge_lamp_holds_an_ignition_relay_in() {
    // 65 ohm of lamp into 85 ohm of coil leave 8 V of 14, far over the drop-out of 1.5 V (TE Power Relay B data).
    let rig = with_relay();
    let network = rig.network();
    let mut off = after(&network, &RUNNING);
    off = network.move_control(&off.state, "ignition", "off").expect("key off");
    assert_eq!(stands(&network, &off), at("off", "running"));
    assert!(off.followed.is_empty() && network.runs_on(&off.state.setting));
    let held = rig.volts(&off.on, "K1.86").expect("volts");
    assert!((7.0..11.0).contains(&held), "{held}");
    // What else is worked there finds it running still; it can be stopped, and the key put on again.
    let idling = network.move_control(&off.state, "engine", "idling").expect("slower");
    assert!(network.runs_on(&idling.state.setting));
    let stopped = network.move_control(&off.state, "engine", "stopped").expect("stalled");
    assert_eq!(stopped.state, network.at_rest().state);
    let on = network.move_control(&off.state, "ignition", "on").expect("key on");
    assert_eq!(stands(&network, &on), at("on", "running"));

    let explored = explore(&network, Bound::default(), &mut |_| true);
    let run_ons = explored.run_ons(&network);
    assert_eq!(run_ons.len(), 2, "idling and running");
    assert_eq!(explored.visits.len() as u128, explored.settings + 2);
    let steps: Vec<String> = explored
        .moves_to(run_ons[0])
        .iter()
        .map(|step| format!("{}={}", step.control, step.position))
        .collect();
    assert_eq!(steps.last().map(String::as_str), Some("ignition=off"));
    assert_as_brute(&network);
}

#[test]
fn the_charge_lamp_on_the_relay_output_lets_it_stop() {
    // The published cure: feed the charge lamp from the relay's output.
    let mut rig = with_relay();
    let old = rig.wire_between("S1.15", "H1.1");
    rig.unwire(old);
    rig.wire("K1.87", "H1.1");
    let network = rig.network();
    let off = after(&network, &["ignition=on", "engine=running", "ignition=off"]);
    // The coil's own few ohms pull the charge lamp down.
    assert_eq!(stands(&network, &off), at("off", "stopped"));
    let explored = explore(&network, Bound::default(), &mut |_| true);
    assert!(explored.run_ons(&network).is_empty());
    assert_as_brute(&network);
}

#[test]
fn the_natural_order_of_starting_is_never_refused() {
    let network = car("dynamo").network();
    let cranking = ["ignition=on", "ignition=start", "engine=cranking"];
    let mut now = after(&network, &cranking);
    assert_eq!(stands(&network, &now), at("start", "cranking"));
    now = network.move_control(&now.state, "ignition", "on").expect("key let go");
    assert_eq!(stands(&network, &now), at("on", "idling"));
    assert_eq!(followed(&now), ["engine=idling"]);
    now = after(&network, &cranking);
    now = network.move_control(&now.state, "engine", "running").expect("it starts");
    assert_eq!(stands(&network, &now), at("on", "running"));
    assert_eq!(followed(&now), ["ignition=on"]);
    now = network.move_control(&now.state, "ignition", "start").expect("key held again");
    assert_eq!(stands(&network, &now), at("start", "cranking"));
    now = network.move_control(&now.state, "ignition", "off").expect("given up");
    assert_eq!(now.state, network.at_rest().state);
    let refused = network.move_control(&now.state, "engine", "running");
    assert!(
        matches!(refused, Err(SettingError::Impossible { .. })),
        "nothing starts it with the key off"
    );
    assert_as_brute(&network);
}

#[test]
fn an_engine_whose_coil_is_cut_off_stops() {
    let mut rig = car("alternator");
    let old = rig.wire_between("S1.15", "L1.15");
    rig.unwire(old);
    rig.part("S2", "switch", &[]);
    rig.wire("S1.15", "S2.1");
    rig.wire("S2.2", "L1.15");
    let network = rig.network();
    // With the hidden switch off it will not run, whatever the key does.
    let dead = after(&network, &RUNNING);
    assert_eq!(
        (stands(&network, &dead), followed(&dead)),
        (at("on", "stopped"), vec!["engine=stopped".to_owned()])
    );
    let mut now = after(&network, &["S2=on", "ignition=on", "engine=running"]);
    assert_eq!(stands(&network, &now), at("on", "running"));
    now = network.move_control(&now.state, "S2", "off").expect("cut");
    assert_eq!(stands(&network, &now), at("on", "stopped"));
    assert_as_brute(&network);
    // A coil that was taken out makes no sparks.
    let gone = network.without(&[rig.id("L1")]);
    let now = after(&gone, &["S2=on", "ignition=on", "engine=running"]);
    assert_eq!(stands(&gone, &now), at("on", "stopped"));
}

#[test]
fn without_an_ignition_coil_the_key_stops_the_engine() {
    let mut rig = with_relay();
    let id = rig.id("L1");
    rig.remove(id);
    let network = rig.network();
    let off = after(&network, &["ignition=on", "engine=running", "ignition=off"]);
    assert_eq!(off.state, network.at_rest().state);
    assert_as_brute(&network);
}
