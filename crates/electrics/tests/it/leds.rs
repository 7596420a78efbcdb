//! LED lamps with a resistor and with a regulator, in cars of every voltage with either post earthed.

use loomwright_electrics::PartState;

use crate::motors::each_car;

/// A lamp's current and light as shares of the marked ones, behind a resistance that takes so many volts at the marked
/// current.
fn shares(kind: &str, lost: f64) -> Vec<(f64, f64, f64)> {
    let mut found = Vec::new();
    each_car(|mut rig, volts, posts| {
        let marked = 4.0 / volts;
        rig.part("R1", "resistor", &[("ohms", (lost * volts / marked).max(0.001))]);
        rig.part("H1", kind, &[("watts", 4.0)]);
        rig.part("H2", kind, &[("watts", 4.0)]);
        let plus_is_live = posts[0] == "B1.+";
        let ends = if plus_is_live { ["+", "-"] } else { ["-", "+"] };
        rig.wire(posts[0], "R1.1");
        rig.wire("R1.2", &format!("H1.{}", ends[0]));
        rig.wire(&format!("H1.{}", ends[1]), "E1.1");
        // The second one is the wrong way round.
        rig.wire(posts[0], &format!("H2.{}", ends[1]));
        rig.wire(&format!("H2.{}", ends[0]), "E1.1");
        let on = rig.network().at_rest().on;
        assert_eq!(on.state(rig.id("H2")), Some(PartState::Blocks), "{kind} {volts} V");
        let lamp = on.part(rig.id("H1")).expect("lamp");
        let light = lamp.elements[0].light.expect("light");
        found.push((volts, lamp.amps.0.abs() / marked, light));
    });
    found
}

#[test]
fn a_resistor_lets_current_and_light_follow_the_volts() {
    for (volts, amps, light) in shares("led-lamp", 0.0) {
        // 12.66 V at rest for 12: with a knee at 0.55, (1.055 - 0.55) / 0.45.
        assert!((1.05..1.14).contains(&amps) && light > 1.0, "{volts} V: {amps}");
    }
    for (volts, amps, _) in shares("led-lamp", 0.2) {
        assert!((0.7..0.85).contains(&amps), "{volts} V: {amps}");
    }
}

#[test]
fn a_regulator_holds_the_current_until_the_volts_are_gone() {
    for lost in [0.0, 0.1, 0.2] {
        for (volts, amps, light) in shares("led-lamp-regulated", lost) {
            assert!((0.97..1.01).contains(&amps), "{volts} V, {lost} lost: {amps}");
            assert!((0.96..1.01).contains(&light), "{volts} V, {lost} lost: {light}");
        }
    }
    for (volts, amps, _) in shares("led-lamp-regulated", 0.4) {
        assert!((0.5..0.9).contains(&amps), "{volts} V: {amps}");
    }
}

#[test]
fn both_glow_from_a_leak() {
    // A tell-tale's worth of current through ten kilohm: the lamp has volts and next to no light (job practice: LED
    // lamps glow where a bulb stays dark).
    for kind in ["led-lamp", "led-lamp-regulated"] {
        for (volts, amps, light) in shares(kind, 30.0) {
            assert!(amps > 5e-3 && light < 0.1, "{kind} {volts} V: {amps} {light}");
        }
    }
}
