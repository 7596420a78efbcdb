//! Switches that heat, impact or a key work: fans, fuel pumps and whole cars, in every voltage with either post earthed.

use loomwright_electrics::{Bound, Extremes, PartState, explore};

use crate::explored::assert_as_brute;
use crate::motors::{each_car, published};
use crate::rig::{Rig, at, measure};

#[test]
fn each_joins_its_leads_in_one_position_alone() {
    for (kind, key, closed) in [
        ("thermostat-switch", "coolant", "hot"),
        ("inertia-switch", "impact", "set"),
        ("isolator", "key", "on"),
        ("brake-switch", "pedal", "pressed"),
    ] {
        each_car(|mut rig, volts, posts| {
            rig.part_on("S1", kind, &[], &[(key, "it")]);
            rig.part("H1", "lamp", &[("watts", 21.0)]);
            rig.wire(posts[0], "S1.1");
            rig.wire("S1.2", "H1.1");
            rig.wire("H1.2", "E1.1");
            let network = rig.network();
            let explored = explore(&network, Bound::default(), &mut |_| true);
            assert_eq!(explored.visits.len(), 2);
            for visit in &explored.visits {
                let position = network.named(&visit.settled.state.setting)["it"].clone();
                let lit = visit.settled.on.state(rig.id("H1")) == Some(PartState::Lit);
                assert_eq!(lit, position == closed, "{kind} {volts} V {position}");
            }
        });
    }
}

/// A radiator fan by a relay, its coil fed by a switch and earthed by a thermostat switch.
fn with_fan(rig: &mut Rig, live: &str, volts: f64) {
    rig.part("F1", "fuse-blade", &[("amps", 20.0)]);
    rig.part("K1", "relay-make", &[]);
    rig.part("M1", "fan", &[("watts", 8.0 * volts)]);
    rig.part_on("S1", "switch", &[], &[("lever", "key")]);
    rig.part_on("S2", "thermostat-switch-earthing", &[], &[("coolant", "coolant")]);
    rig.part("E2", "engine-earth", &[]);
    rig.cable("E1.1", "E2.1", Some(16.0), Some(0.3));
    rig.cable(live, "F1.1", Some(3.0), Some(0.3));
    rig.cable("F1.2", "K1.30", Some(3.0), Some(0.5));
    rig.cable("K1.87", "M1.1", Some(3.0), Some(0.5));
    rig.cable("M1.2", "E1.1", Some(3.0), Some(0.5));
    rig.wire(live, "S1.1");
    rig.wire("S1.2", "K1.86");
    rig.wire("K1.85", "S2.1");
}

#[test]
fn a_fan_runs_hot_with_the_key_on_and_starts_with_its_inrush() {
    let (_, _, peak) = published("electric fan, 10-12 in");
    let peak = peak.expect("a peak");
    each_car(|mut rig, volts, posts| {
        with_fan(&mut rig, posts[0], volts);
        let network = rig.network();
        let cold = measure(&network, &[("key", "on")]);
        assert_eq!(cold.on.state(rig.id("K1")), Some(PartState::Out));
        // The lead of the thermostat is live through the coil: that proves fuse, coil and wire.
        let lead = rig.volts(&cold.on, "S2.1").expect("volts").abs();
        assert!(lead > 0.99 * volts, "{volts} V: {lead}");
        let hot = measure(&network, &[("key", "on"), ("coolant", "hot")]);
        let fan = hot.on.part(rig.id("M1")).expect("fan");
        assert_eq!(fan.state, PartState::Working, "{volts} V");
        let start = network.first_instant(&cold, &hot).on;
        let start = start.part(rig.id("M1")).expect("fan").amps.0.abs();
        // 30 A for a fan that runs on 6 to 10 A (loads.csv, practice); cables take their part on six volts.
        assert!((0.6 * peak..=1.1 * peak).contains(&start), "{volts} V: {start}");
        // Switched off it runs down by itself: nothing but its own relay's open contact is joined to it.
        let off = network.moved(&hot.state, &at(&network, &[("coolant", "hot")]));
        let instant = network.first_instant(&hot, &off);
        assert!(instant.otherwise.is_empty());
        let fan = instant.on.part(rig.id("M1")).expect("fan");
        assert!(fan.amps.0.abs() < 1e-3, "{fan:?}");
        assert_as_brute(&network);
    });
}

#[test]
fn a_jammed_fan_is_met_by_its_fuse() {
    each_car(|mut rig, volts, posts| {
        with_fan(&mut rig, posts[0], volts);
        let network = rig.network().jammed(&[rig.id("M1")]);
        let explored = explore(&network, Bound::default(), &mut |_| true);
        let fuse = Extremes::of(&network, &explored).fuses[0].greatest.expect("a current");
        assert!((20.0..34.0).contains(&fuse.value.0), "{volts} V: {fuse:?}");
        let shown = explored.visits[fuse.visit].settled.phase_of(&fuse).expect("it");
        assert_eq!(shown.state(rig.id("M1")), Some(PartState::Stalled));
    });
}

#[test]
fn a_competition_isolator_stops_a_running_engine() {
    // Reference circuit of the trade: main studs, a pair in the coil's feed, and a pair that earths the alternator's
    // side through about 3 ohm.
    for is_wired in [false, true] {
        each_car(|mut rig, volts, posts| {
            rig.part_on("S1", "isolator-6", &[], &[("key", "isolator")]);
            rig.part("S2", "ignition-switch", &[]);
            rig.part("L1", "ignition-coil", &[]);
            rig.part("G1", "alternator", &[]);
            rig.part("R1", "resistor", &[("ohms", 3.0)]);
            rig.part("E2", "engine-earth", &[]);
            rig.cable("E1.1", "E2.1", Some(16.0), Some(0.3));
            rig.cable(posts[0], "S1.1", Some(25.0), Some(0.4));
            rig.cable("S1.2", "G1.B+", Some(6.0), Some(0.6));
            rig.cable("S1.2", "S2.30", Some(3.0), Some(0.6));
            rig.wire("S1.2", "S1.5");
            rig.wire("S1.6", "R1.1");
            rig.wire("R1.2", "E1.1");
            if is_wired {
                rig.wire("S2.15", "S1.3");
                rig.wire("S1.4", "L1.15");
            } else {
                rig.wire("S2.15", "L1.15");
            }
            rig.wire("L1.1", "E2.1");
            let network = rig.network();
            let on = network.move_control(&network.at_rest().state, "ignition", "on").expect("on");
            let runs = network.move_control(&on.state, "engine", "running").expect("running");
            assert_eq!(runs.on.state(rig.id("G1")), Some(PartState::Gives), "{volts} V");
            let off = network.move_control(&runs.state, "isolator", "off").expect("off");
            let engine = network.named(&off.state.setting)["engine"].clone();
            // Without the coil's pair the alternator goes on feeding coil and car: the trap of the plain isolator.
            assert_eq!(engine, if is_wired { "stopped" } else { "running" }, "{volts} V");
            let left = rig.volts(&off.on, "G1.B+").unwrap_or(0.0).abs();
            assert_eq!(left < 0.01 * volts, is_wired, "{volts} V: {left}");
        });
    }
}

#[test]
fn an_inertia_switch_stops_the_pump() {
    each_car(|mut rig, volts, posts| {
        rig.part_on("S1", "inertia-switch", &[], &[("impact", "impact")]);
        rig.part("M1", "fuel-pump", &[]);
        rig.wire(posts[0], "S1.1");
        rig.wire("S1.2", "M1.1");
        rig.wire("M1.2", "E1.1");
        let network = rig.network();
        let runs = network.at_rest().on.part(rig.id("M1")).expect("pump");
        // An electronic pump takes 1 to 2 A in a 12 V car (loads.csv, practice); others by equal power.
        let amps = runs.amps.0.abs() * volts / 12.0;
        assert_eq!(runs.state, PartState::Working);
        assert!((1.0..=2.0).contains(&amps), "{volts} V: {amps}");
        let tripped = measure(&network, &[("impact", "tripped")]).on;
        assert_eq!(tripped.state(rig.id("M1")), Some(PartState::Idle));
    });
}

#[test]
fn usual_figures_of_fans_and_pumps_are_those_of_the_trade() {
    for (kind, name) in [
        ("fan", "electric fan, 10-12 in"),
        ("blower", "heater blower, single"),
        ("washer-pump", "windscreen washer pump"),
    ] {
        let (least, most, stall) = published(name);
        each_car(|mut rig, volts, posts| {
            rig.part("M1", kind, &[]);
            rig.cable(posts[0], "M1.1", Some(10.0), Some(0.5));
            rig.cable("M1.2", "E1.1", Some(10.0), Some(0.5));
            let network = rig.network();
            let amps = |network: &loomwright_electrics::Network| {
                let reading = network.at_rest().on.part(rig.id("M1")).expect("motor");
                reading.amps.0.abs() * volts / 12.0
            };
            let runs = amps(&network);
            assert!((least..=most).contains(&runs), "{kind} {volts} V: {runs}");
            let (held, stall) = (amps(&network.jammed(&[rig.id("M1")])), stall.expect("a stall"));
            assert!((0.75..1.25).contains(&(held / stall)), "{kind} {volts} V: {held}");
        });
    }
}
