//! Volts that a lamp may lose before the program says so.

use super::table::{Row, rows, table};
use crate::bench_car::Bench;

/// What a lamp may lose by the finding that it loses too much: a lamp on long thin wire.
fn limit(system_volts: u32, lamp: &str, fed: &str) -> f64 {
    let bench = Bench::of(&format!(
        "car {system_volts} V negative earth\nbattery B1 60 Ah\nfuse F1 blade 5 A\n{lamp}\n\
         wire W1 B1.+ F1.1 1 mm2 0.3 m\nwire W2 F1.2 H1.{fed} 0.13 mm2 20 m\n\
         wire W3 H1.{} B1.- 0.13 mm2 20 m\n",
        if fed == "1" { "2" } else { "31" }
    ));
    let findings = bench.judged().findings;
    let dim = findings.iter().find(|finding| finding.code == "VD01");
    let dim = dim.unwrap_or_else(|| panic!("{lamp} at {system_volts} V is not dim: {findings:#?}"));
    assert!(dim.figures["volts_lost"] > dim.figures["limit_volts"]);
    dim.figures["limit_volts"]
}

/// Published circuit, and a lamp of it with the terminal that is fed.
const LAMPS: [(&str, &str, &str); 3] = [
    ("lighting switch 30 to lamps under 15 W", "lamp H1 5 W", "1"),
    ("lighting switch 30 to lamps over 15 W", "lamp H1 21 W", "1"),
    ("lighting switch 30 to headlamps", "lamp H1 60/55 W", "56b"),
];

#[test]
fn lamps_may_lose_what_the_handbook_permits_memory() {
    // A handbook's table of permissible voltage drops, whole circuit, from memory: the same volts at 12 and at 24 V.
    for (circuit, lamp, fed) in LAMPS {
        let published = rows("voltage_drop", "circuit", circuit);
        assert_eq!(published.len(), 2);
        for row in published {
            assert_eq!(row.basis(), "memory");
            let system_volts = if row.figure("system_V") == 24.0 { 24 } else { 12 };
            row.agrees("whole_circuit_max_V", limit(system_volts, lamp, fed), 1e-9);
        }
    }
}

#[test]
fn lamps_of_a_6_volt_car_may_lose_half_practice() {
    let is_it = |row: &Row| row.text("circuit") == "6 V cars";
    let row = table("voltage_drop").into_iter().find(is_it).expect("a row for 6 V");
    assert_eq!(row.basis(), "practice");
    assert!(row.text("note").starts_with("halve the volts allowed on 12 V"), "{}", row.says());
    for (_, lamp, fed) in LAMPS {
        let [at_6, at_12] = [6, 12].map(|system_volts| limit(system_volts, lamp, fed));
        assert!((2.0 * at_6 - at_12).abs() < 1e-9, "{lamp}: {at_6} and {at_12} V");
    }
}
