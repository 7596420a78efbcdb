//! Relays: coil and pull-in against the maker's data.

use loomwright_circuit::Library;
use loomwright_circuit::part_type::{Element, Figure};
use loomwright_electrics::PartState;

use super::table::the_row;
use crate::bench_car::Bench;

const RELAYS: [&str; 4] =
    ["relay-make", "relay-changeover", "relay-make-diode", "relay-changeover-diode"];

/// Ohms, pull-in and drop-out share of a relay as it comes.
fn usual(name: &str) -> [f64; 3] {
    let part_type = Library::standard().get(name).expect("a part type");
    let figure = |figure: &Figure| match figure {
        Figure::Number(number) => *number,
        Figure::Fact(name) => part_type.fact(name).and_then(|fact| fact.usual).expect("a figure"),
    };
    let coil = part_type.elements.iter().find_map(|element| match element {
        Element::Relay { ohms, pull_in, drop_out, .. } => {
            Some([figure(ohms), figure(pull_in), figure(drop_out)])
        }
        _ => None,
    });
    coil.expect("a relay")
}

#[test]
fn coils_are_as_in_the_data_sheet() {
    // TE Connectivity Power Relay B, coil 001 (seen): 85 Ω, pulls in at 8 V at the latest, drops out at 1.5 V at the
    // least; K type 001: 6.9 V and 1.2 V.
    let ohms = the_row("supply", "item", "relay coil B 001 resistance");
    let (pull_in, drop_out) = (
        the_row("supply", "item", "relay coil B 001 pull-in"),
        the_row("supply", "item", "relay coil B 001 drop-out"),
    );
    for name in RELAYS {
        let [coil_ohms, pull_in_share, drop_out_share] = usual(name);
        ohms.agrees("min", coil_ohms, 1e-9);
        assert!(12.0 * pull_in_share <= pull_in.figure("max"), "{name}: {}", pull_in.says());
        assert!(12.0 * drop_out_share >= drop_out.figure("min"), "{name}: {}", drop_out.says());
        assert!(drop_out_share < pull_in_share, "{name}");
    }
}

/// A relay's coil behind a resistance, from a battery.
fn behind(system_volts: u32, ohms: f64) -> (PartState, f64, f64) {
    let bench = Bench::of(&format!(
        "car {system_volts} V negative earth\nbattery B1 60 Ah\nrelay K1 {system_volts} V\nresistor R1 {ohms} ohm\n\
         wire W1 B1.+ R1.1 2 mm2 0.1 m\nwire W2 R1.2 K1.86 2 mm2 0.1 m\nwire W3 K1.85 B1.- 2 mm2 0.1 m\n"
    ));
    let rest = bench.network.at_rest();
    let volts = |terminal| rest.on.volts(bench.part("K1"), terminal).expect("joined").0;
    let state = rest.on.state(bench.part("K1")).expect("a state");
    (state, volts("86") - volts("85"), bench.amps(&rest, "W3"))
}

#[test]
fn a_relay_is_in_at_the_published_volts() {
    for (system_volts, coil, pull_in) in [(12, 85.0, "B 001"), (24, 255.0, "B 004")] {
        let row = the_row("supply", "item", &format!("relay coil {pull_in} pull-in"));
        let (_, emf, _) = behind(system_volts, 0.001);
        // A resistance that leaves the coil a tenth of a volt over what the maker asks for.
        let wanted = row.figure("max") + 0.1;
        let (state, volts, _) = behind(system_volts, coil * (emf / wanted - 1.0));
        assert!((volts - wanted).abs() < 0.05, "{volts}");
        assert_eq!(state, PartState::In, "at {volts} V: {}", row.says());
    }
}

#[test]
fn a_relay_stays_out_below_the_published_drop_out() {
    let row = the_row("supply", "item", "relay coil B 001 drop-out");
    let (_, emf, _) = behind(12, 0.001);
    let (state, volts, _) = behind(12, 85.0 * (emf / row.figure("min") - 1.0));
    assert_eq!(state, PartState::Out, "at {volts} V: {}", row.says());
}

#[test]
fn worked_example_20_current_of_a_coil() {
    // TE relay data: 85 Ω at 12 V, 141 mA, 1.69 W (printed 1.7 W). A charged battery gives 12.66 V.
    let (_, volts, amps) = behind(12, 0.001);
    assert!((amps * 12.0 / volts - 0.141).abs() < 5e-4, "{amps} A at {volts} V");
    let watts = amps * volts * (12.0 / volts) * (12.0 / volts);
    assert!((watts - 1.69).abs() < 5e-3, "{watts}");
}

#[test]
fn coils_of_other_voltages_are_as_in_the_data_sheet_six_volts_memory() {
    let at_24 = the_row("supply", "item", "relay coil B 004 resistance");
    let (_, volts, amps) = behind(24, 0.001);
    at_24.agrees("min", volts / amps, 1.0);
    let at_6 = the_row("supply", "item", "relay coil 6 V");
    assert_eq!(at_6.basis(), "memory");
    let (_, volts, amps) = behind(6, 0.001);
    assert!((at_6.figure("min")..=at_6.figure("max")).contains(&(volts / amps)), "{}", at_6.says());
}
