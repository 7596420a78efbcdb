//! What single kinds of device do.

use loomwright_circuit::SystemVoltage;
use loomwright_electrics::{PartState, assumed};

use crate::rig::{Rig, at, measure};

/// Battery with both posts on joints `P` and `M`.
fn supply() -> Rig {
    let mut rig = Rig::new();
    rig.part("B1", "battery", &[]);
    rig.part("P", "joint", &[]);
    rig.part("M", "joint", &[]);
    rig.cable("B1.+", "P.1", Some(16.0), Some(0.3));
    rig.cable("B1.-", "M.1", Some(16.0), Some(0.3));
    rig
}

#[test]
fn two_lamps_in_series_share_by_their_law() {
    // A 21 W and a 5 W lamp in series: the small one takes nearly all; the large one stays dark, nearly cold.
    let mut rig = supply();
    rig.part("H1", "lamp", &[("watts", 21.0)]);
    rig.part("H2", "lamp", &[("watts", 2.2)]);
    rig.wire("P.1", "H1.1");
    rig.wire("H1.2", "H2.1");
    rig.wire("H2.2", "M.1");
    let on = rig.network().at_rest().on;
    let large = on.part(rig.id("H1")).expect("lamp");
    let small = on.part(rig.id("H2")).expect("lamp");
    assert_eq!((large.state, small.state), (PartState::Dark, PartState::Lit));
    assert!(large.volts.0 < 0.3, "{large:?}");
    // Equal currents on I = 12 x / (1 + k x²)^0.225, both ways.
    assert!((large.amps.0 - small.amps.0).abs() < 1e-9);
}

#[test]
fn a_led_lamp_blocks_the_wrong_way_round() {
    let mut rig = supply();
    rig.part("H1", "led-lamp", &[]);
    rig.part("H2", "led-lamp", &[]);
    rig.wire("P.1", "H1.+");
    rig.wire("H1.-", "M.1");
    rig.wire("P.1", "H2.-");
    rig.wire("H2.+", "M.1");
    let on = rig.network().at_rest().on;
    assert_eq!(on.state(rig.id("H1")), Some(PartState::Lit));
    assert_eq!(on.state(rig.id("H2")), Some(PartState::Blocks));
    assert!((on.part(rig.id("H1")).expect("lamp").watts.0 - 4.0).abs() < 1.0);
}

#[test]
fn a_diode_passes_one_way() {
    let mut rig = supply();
    rig.part("D1", "diode", &[]);
    rig.part("D2", "diode", &[]);
    for (diode, [from, to], lamp) in [("D1", ["a", "k"], "H1"), ("D2", ["k", "a"], "H2")] {
        rig.part(lamp, "lamp", &[("watts", 5.0)]);
        rig.wire("P.1", &format!("{diode}.{from}"));
        rig.wire(&format!("{diode}.{to}"), &format!("{lamp}.1"));
        rig.wire(&format!("{lamp}.2"), "M.1");
    }
    let on = rig.network().at_rest().on;
    assert_eq!(on.state(rig.id("H1")), Some(PartState::Lit));
    assert_eq!(on.state(rig.id("H2")), Some(PartState::Dark));
    assert_eq!(on.state(rig.id("D2")), Some(PartState::Blocks));
    let drop = on.part(rig.id("D1")).expect("diode").volts.0;
    assert!((0.6..1.0).contains(&drop), "{drop}");
}

#[test]
fn the_charge_lamp_is_lit_until_the_engine_runs() {
    let mut rig = supply();
    rig.part("G1", "alternator", &[]);
    rig.part("S1", "ignition-switch", &[]);
    rig.part("H1", "warning-lamp", &[]);
    rig.part("E1", "engine-earth", &[]);
    rig.wire("P.1", "S1.30");
    rig.wire("S1.15", "H1.1");
    rig.wire("H1.2", "G1.IND");
    rig.cable("G1.B+", "P.1", Some(6.0), Some(0.5));
    rig.cable("E1.1", "M.1", Some(16.0), Some(0.3));
    let network = rig.network();
    let on = measure(&network, &[("ignition", "on")]);
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Lit));
    // One to three volts at the indicator terminal (shop practice: NY about 1 to 3 V with the key on).
    let volts = rig.volts(&on.on, "G1.IND").expect("volts");
    assert!((0.8..3.0).contains(&volts), "{volts}");
    let running = measure(&network, &[("ignition", "on"), ("engine", "running")]);
    assert_eq!(running.on.state(rig.id("H1")), Some(PartState::Dark));
    assert_eq!(running.on.state(rig.id("G1")), Some(PartState::Gives));
    assert_eq!(running.on.state(rig.id("B1")), Some(PartState::Takes));
    // ACR alternators: 13.6 to 14.4 V at the battery (Triumph service bulletin, October 1972).
    let volts = rig.volts(&running.on, "B1.+").expect("volts");
    assert!((13.6..14.4).contains(&volts), "{volts}");
}

#[test]
fn a_dynamo_charges_with_either_post_earthed() {
    let figures = [false, true].map(|is_plus_earthed| {
        let mut rig = if is_plus_earthed { Rig::positive_earth() } else { Rig::new() };
        let [live, earthed] = if is_plus_earthed { ["-", "+"] } else { ["+", "-"] };
        rig.part("B1", "battery", &[]);
        rig.part("G1", "dynamo", &[("amps", 22.0)]);
        rig.part("S1", "ignition-switch", &[]);
        rig.part("L1", "ignition-coil", &[("watts", 45.0)]);
        rig.part("H1", "warning-lamp", &[("watts", 2.2)]);
        rig.part("E1", "engine-earth", &[]);
        rig.cable(&format!("B1.{earthed}"), "E1.1", Some(16.0), Some(0.4));
        rig.cable(&format!("B1.{live}"), "G1.A", Some(10.0), Some(1.3));
        rig.cable(&format!("B1.{live}"), "S1.30", Some(3.0), Some(1.0));
        rig.wire("S1.15", "L1.15");
        rig.wire("L1.1", "E1.1");
        rig.wire("S1.15", "H1.1");
        rig.wire("H1.2", "G1.D");
        let running = measure(&rig.network(), &[("ignition", "on"), ("engine", "running")]).on;
        assert_eq!(running.state(rig.id("G1")), Some(PartState::Gives));
        assert_eq!(running.state(rig.id("B1")), Some(PartState::Takes));
        assert_eq!(running.state(rig.id("H1")), Some(PartState::Dark));
        let sign = if is_plus_earthed { -1.0 } else { 1.0 };
        assert!(sign * rig.volts(&running, "G1.A").expect("volts") > 13.0);
        let part = |label| running.part(rig.id(label)).expect("part");
        assert!(part("G1").watts.0 < -100.0 && part("G1").amps.0.abs() < 22.0);
        [part("B1").amps.0, part("B1").volts.0, part("G1").amps.0, part("G1").volts.0]
    });
    for (one, other) in figures[0].iter().zip(figures[1]) {
        assert!((one - other).abs() < 1e-6, "{figures:?}");
    }
}

#[test]
fn a_generator_gives_no_more_than_it_can() {
    let mut rig = supply();
    rig.part("G1", "alternator", &[]);
    rig.part("E1", "engine-earth", &[]);
    rig.part("R1", "resistor", &[("ohms", 0.1)]);
    rig.cable("G1.B+", "P.1", Some(16.0), Some(0.5));
    rig.cable("E1.1", "M.1", Some(16.0), Some(0.3));
    rig.cable("R1.1", "P.1", Some(16.0), Some(0.3));
    rig.cable("R1.2", "M.1", Some(16.0), Some(0.3));
    rig.part("S1", "ignition-switch", &[]);
    let running = measure(&rig.network(), &[("ignition", "on"), ("engine", "running")]);
    let generator = running.on.part(rig.id("G1")).expect("generator");
    assert!((generator.amps.0 + 34.0).abs() < 0.05, "{generator:?}");
    assert_eq!(running.on.state(rig.id("B1")), Some(PartState::Gives));
}

/// Flasher with lamps of so many watts behind it.
fn flasher(type_name: &str, feed: &str, lamps: &str, watts: &[f64]) -> Rig {
    let mut rig = supply();
    rig.part("S1", "switch", &[]);
    rig.part("U1", type_name, &[]);
    rig.wire("P.1", &format!("U1.{feed}"));
    rig.wire(&format!("U1.{lamps}"), "S1.1");
    for (idx, watts) in watts.iter().enumerate() {
        rig.part(&format!("H{idx}"), "lamp", &[("watts", *watts)]);
        rig.wire("S1.2", &format!("H{idx}.1"));
        rig.wire(&format!("H{idx}.2"), "M.1");
    }
    rig
}

#[test]
fn a_thermal_flasher_flashes_with_its_own_load() {
    let rig = flasher("flasher-thermal-2", "B", "L", &[21.0, 21.0]);
    let network = rig.network();
    assert!(network.at_rest().off.is_none());
    assert_eq!(network.at_rest().on.state(rig.id("U1")), Some(PartState::Idle));
    let on = measure(&network, &[("S1", "on")]);
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Flashing));
    let unit = on.on.part(rig.id("U1")).expect("flasher");
    assert_eq!(unit.state, PartState::Flashing);
    // 60 to 120 a minute is what the law asks for (SI 1989/1796 Schedule 7, MOT inspection manual).
    let rate = unit.flashes_per_minute.expect("rate");
    assert!((60.0..120.0).contains(&rate), "{rate}");
    let off = on.off.expect("dark phase");
    assert_eq!(
        off.part(rig.id("H0")).expect("lamp").elements[0].light.map(|light| light < 1e-6),
        Some(true)
    );
}

#[test]
fn a_tell_tale_at_the_pilot_terminal_is_dark_until_the_flasher_works() {
    for (watts, works) in [(&[21.0, 21.0][..], true), (&[21.0], false)] {
        let mut rig = flasher("flasher-thermal-3", "B", "L", watts);
        rig.part("T1", "warning-lamp", &[]);
        rig.wire("U1.P", "T1.1");
        rig.wire("T1.2", "M.1");
        let network = rig.network();
        assert_eq!(network.at_rest().on.state(rig.id("T1")), Some(PartState::Dark));
        let on = measure(&network, &[("S1", "on")]);
        let wanted = if works { PartState::Flashing } else { PartState::Dark };
        assert_eq!(on.on.state(rig.id("T1")), Some(wanted));
    }
}

#[test]
fn a_thermal_flasher_with_a_lamp_out_stops() {
    let rig = flasher("flasher-thermal-2", "B", "L", &[21.0]);
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert!(on.off.is_none());
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Dark));
    // LED lamps draw still less.
    let mut rig = flasher("flasher-thermal-2", "B", "L", &[]);
    rig.part("H0", "led-lamp", &[]);
    rig.wire("S1.2", "H0.+");
    rig.wire("H0.-", "M.1");
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Dark));
}

#[test]
fn a_thermal_flasher_with_far_too_much_load_stays_lit() {
    let rig = flasher("flasher-thermal-2", "B", "L", &[21.0, 21.0, 21.0, 21.0]);
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert!(on.off.is_none());
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Lit));
    assert_eq!(on.on.state(rig.id("U1")), Some(PartState::Working));
}

#[test]
fn an_electronic_flasher_needs_its_earth() {
    let mut rig = flasher("flasher-electronic-3", "49", "49a", &[21.0, 5.0]);
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Dark));
    assert!(on.off.is_none());
    rig.wire("U1.31", "M.1");
    let on = measure(&rig.network(), &[("S1", "on")]);
    assert_eq!(on.on.state(rig.id("H0")), Some(PartState::Flashing));
    assert_eq!(on.on.state(rig.id("H1")), Some(PartState::Flashing));
}

#[test]
fn the_battery_follows_its_published_figures() {
    // 12.66 V at rest when charged (motorhome.com); 4 to 8 mΩ at 50 Ah (practice).
    assert!((assumed::battery_emf(12.0) - 12.66).abs() < 1e-12);
    assert!((0.004..=0.008).contains(&assumed::battery_ohms(12.0, 50.0)));
    assert!((0.003..=0.006).contains(&assumed::battery_ohms(6.0, 60.0)));
}

#[test]
fn an_impossible_setting_is_refused() {
    let mut rig = supply();
    rig.part("S1", "ignition-switch", &[]);
    rig.part("G1", "dynamo", &[]);
    let network = rig.network();
    let mut setting = network.rest();
    network.put(&mut setting, "engine", "cranking").expect("name");
    assert!(!network.is_possible(&setting));
    assert!(network.ruled_out(&setting).is_some());
    assert!(network.is_possible(&at(&network, &[("ignition", "on"), ("engine", "running")])));
}

#[test]
fn a_part_taken_out_carries_nothing() {
    let mut rig = supply();
    rig.part("F1", "fuse-blade", &[]);
    rig.part("H1", "lamp", &[]);
    let wire = rig.wire("P.1", "F1.1");
    rig.wire("F1.2", "H1.1");
    rig.wire("H1.2", "M.1");
    let network = rig.network();
    assert!(network.at_rest().on.wire_amps(wire).expect("wire").0 > 1.0);
    let blown = network.without(&[rig.id("F1")]).at_rest().on;
    assert!(blown.wire_amps(wire).expect("wire").0.abs() < 1e-12);
    assert_eq!(blown.part(rig.id("F1")), None);
    assert_eq!(blown.state(rig.id("H1")), Some(PartState::Dark));
    let dead = network.without(&[rig.id("B1")]).at_rest().on;
    assert_eq!(rig.volts(&dead, "F1.1").map(f64::abs), Some(0.0));
}

#[test]
fn a_relay_without_figures_has_the_coil_of_the_cars_voltage() {
    // TE Power Relay B data: 85 ohm for 12 V, 255 ohm for 24 V; 18 to 25 ohm for 6 V (relay makers' data, memory).
    let cases = [
        (SystemVoltage::Six, None, 18.0..=25.0),
        (SystemVoltage::Twelve, None, 84.9..=85.1),
        (SystemVoltage::TwentyFour, None, 254.9..=255.1),
        (SystemVoltage::TwentyFour, Some(("volts", 12.0)), 84.9..=85.1),
        (SystemVoltage::TwentyFour, Some(("ohms", 300.0)), 299.9..=300.1),
        (SystemVoltage::Six, Some(("ohms", 85.0)), 84.9..=85.1),
    ];
    for (voltage, fact, range) in cases {
        let mut rig = Rig::of_voltage(voltage);
        rig.part("B1", "battery", &[]);
        rig.part("K1", "relay-make", &fact.into_iter().collect::<Vec<_>>());
        rig.wire("B1.+", "K1.86");
        rig.wire("K1.85", "B1.-");
        let coil = rig.network().at_rest().on.part(rig.id("K1")).expect("relay");
        assert_eq!(coil.state, PartState::In);
        let ohms = coil.volts.0 / coil.amps.0;
        assert!(range.contains(&ohms), "{voltage:?}, {fact:?}: {ohms}");
    }
    // A 24 V relay does not pull in on 12 V.
    let mut rig = supply();
    rig.part("K1", "relay-make", &[("volts", 24.0)]);
    rig.wire("P.1", "K1.86");
    rig.wire("K1.85", "M.1");
    assert_eq!(rig.network().at_rest().on.state(rig.id("K1")), Some(PartState::Out));
}

#[test]
fn an_electronic_flasher_that_senses_a_dead_lamp_doubles_its_rate() {
    // NHTSA interpretation nht91-7.6: doubles with a lamp out by current sensing; others keep their rate.
    let rate = |least: f64, taken_out: &[&str]| {
        let mut rig = flasher("flasher-electronic-2", "49", "49a", &[21.0, 21.0]);
        let unit = rig.id("U1");
        rig.set(unit, "lamp_out_watts", least);
        let out: Vec<_> = taken_out.iter().map(|label| rig.id(label)).collect();
        let on = measure(&rig.network().without(&out), &[("S1", "on")]).on;
        on.part(unit).expect("flasher").flashes_per_minute.expect("rate")
    };
    assert!((rate(30.0, &["H1"]) / rate(30.0, &[]) - 2.0).abs() < 1e-9);
    assert!((rate(0.0, &["H1"]) / rate(0.0, &[]) - 1.0).abs() < 1e-9);
}

#[test]
fn an_empty_or_cold_battery_gives_less_in_every_car() {
    for kind in 0..6 {
        let volts = |facts: &[(&str, f64)]| {
            let mut rig = Rig::of_every_kind().remove(kind);
            let marked = rig.system_volts();
            let [live, earthed] = rig.posts();
            rig.part("B1", "battery", facts);
            rig.part("H1", "lamp", &[("watts", 10.0 * marked)]);
            rig.cable(&format!("B1.{live}"), "H1.1", Some(4.0), Some(1.0));
            rig.cable("H1.2", &format!("B1.{earthed}"), Some(4.0), Some(1.0));
            let on = rig.network().at_rest().on;
            on.part(rig.id("B1")).expect("there").volts.0.abs() / marked
        };
        let full = volts(&[]);
        assert_eq!(full, volts(&[("charge", 1.0), ("celsius", 20.0)]), "as drawn before");
        let half = volts(&[("charge", 0.5)]);
        let cold = volts(&[("celsius", -18.0)]);
        // 12.66 and 12.30 V at rest (motorhome.com), and what ten amps lose inside.
        assert!((full - half - (12.66 - 12.30) / 12.0).abs() < 4e-3, "{full} and {half}");
        assert!(cold < full - 4e-3 && cold > full - 1.2e-2, "{cold} and {full}");
    }
}
