//! Cars of any size, made up for counting work and for benches.

use crate::rig::Rig;

/// Switched controls besides the indicator stalk: 2^9 · 3 = 1,536 settings.
const CONTROLS: usize = 9;

/// Wires of one ordinary circuit.
const WIRES_A_CIRCUIT: usize = 8;

/// A car of about so many wires: fused and switched lamp circuits, every fourth by a relay, and indicators.
///
/// # Panics
/// Fewer than 50 wires.
pub(crate) fn car(wires: usize) -> Rig {
    car_of(wires, CONTROLS)
}

/// The same with so many switched controls besides the indicator stalk.
pub(crate) fn car_of(wires: usize, controls: usize) -> Rig {
    let mut rig = Rig::new();
    rig.part("Battery", "battery", &[]);
    rig.part("Strap", "body-earth", &[]);
    rig.cable("Battery.-", "Strap.1", Some(25.0), Some(0.5));
    rig.part("Bus 0", "joint", &[]);
    rig.cable("Battery.+", "Bus 0.1", Some(10.0), Some(0.8));
    indicators(&mut rig);
    let circuits = wires.checked_sub(18).expect("50 wires at least") / WIRES_A_CIRCUIT;
    for idx in 0..circuits {
        circuit(&mut rig, idx, controls);
    }
    rig
}

/// Fuse, flasher, stalk and two lamps a side: 12 wires.
fn indicators(rig: &mut Rig) {
    rig.part("Flasher fuse", "fuse-blade", &[("amps", 10.0)]);
    rig.part("Flasher", "flasher-electronic-3", &[]);
    rig.part("Stalk", "indicator-stalk", &[]);
    rig.part("Flasher earth", "body-earth", &[]);
    rig.wire("Bus 0.1", "Flasher fuse.1");
    rig.wire("Flasher fuse.2", "Flasher.49");
    rig.wire("Flasher.49a", "Stalk.49a");
    rig.wire("Flasher.31", "Flasher earth.1");
    for (side, ends) in [("L", ["front left", "rear left"]), ("R", ["front right", "rear right"])] {
        for end in ends {
            rig.part(end, "lamp", &[]);
            rig.part(&format!("{end} earth"), "body-earth", &[]);
            rig.wire(&format!("Stalk.{side}"), &format!("{end}.1"));
            rig.wire(&format!("{end}.2"), &format!("{end} earth.1"));
        }
    }
}

fn circuit(rig: &mut Rig, idx: usize, controls: usize) {
    let name = |what: &str| format!("{what} {idx}");
    let at = |what: &str, terminal: &str| format!("{what} {idx}.{terminal}");
    // Eight circuits hang on each joint of the feed.
    let bus = idx / 8;
    if idx.is_multiple_of(8) && bus > 0 {
        rig.part(&format!("Bus {bus}"), "joint", &[]);
        rig.cable(&format!("Bus {}.1", bus - 1), &format!("Bus {bus}.1"), Some(10.0), Some(0.4));
    }
    rig.part(&name("Fuse"), "fuse-blade", &[("amps", 15.0)]);
    let control = format!("control {}", idx % controls);
    rig.part_on(&name("Switch"), "switch", &[], &[("lever", &control)]);
    rig.part(&name("Joint"), "joint", &[]);
    rig.part(&name("Left"), "lamp", &[]);
    rig.part(&name("Right"), "lamp", &[("watts", 5.0)]);
    rig.part(&name("Earth"), "body-earth", &[]);
    rig.wire(&format!("Bus {bus}.1"), &at("Fuse", "1"));
    rig.wire(&at("Fuse", "2"), &at("Switch", "1"));
    if idx % 4 == 3 {
        rig.part(&name("Relay"), "relay-make", &[]);
        rig.wire(&at("Switch", "2"), &at("Relay", "86"));
        rig.wire(&at("Relay", "85"), &at("Earth", "1"));
        rig.wire(&at("Fuse", "2"), &at("Relay", "30"));
        rig.wire(&at("Relay", "87"), &at("Joint", "1"));
    } else {
        rig.wire(&at("Switch", "2"), &at("Joint", "1"));
    }
    for lamp in ["Left", "Right"] {
        rig.wire(&at("Joint", "1"), &at(lamp, "1"));
        rig.wire(&at(lamp, "2"), &at("Earth", "1"));
    }
}
