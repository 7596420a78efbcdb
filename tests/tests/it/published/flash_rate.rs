//! Flash rate of every flasher with the lamps that it is made for.

use super::table::{Row, rows};
use crate::bench_car::Bench;

/// Flashers, each with the power it is made for.
const FLASHERS: [&str; 6] = [
    "flasher-thermal-2 FL watts=42",
    "flasher-thermal-3 FL watts=42",
    "flasher-electronic-2 FL watts=42",
    "flasher-electronic-3 FL watts=42",
    "flasher-electronic-2 FL watts=84",
    "flasher-electronic-3 FL watts=84",
];

/// The rate with two lamps of 21 W, with the engine standing or running.
fn rate(flasher: &str, system_volts: u32, engine: &str) -> f64 {
    let is_thermal = flasher.contains("thermal");
    let (feed, lamps) = if is_thermal { ("B", "L") } else { ("49", "49a") };
    let earth = if flasher.starts_with("flasher-electronic-3") {
        "wire W9 FL.31 E1 1 mm2 0.5 m"
    } else {
        ""
    };
    let bench = Bench::of(&format!(
        "car {system_volts} V negative earth\nbattery B1 50 Ah\nalternator G1\nearth E1 body\nearth E2 engine\n\
         {flasher}\nlamp H1 21 W\nlamp H2 21 W\n\
         wire W1 B1.+ FL.{feed} 2 mm2 1 m\nwire W2 FL.{lamps} H1.1 2 mm2 2 m\nwire W3 H1.1 H2.1 2 mm2 2 m\n\
         wire W4 H1.2 E1 2 mm2 0.3 m\nwire W5 H2.2 E1 2 mm2 0.3 m\nwire W6 B1.- E1 16 mm2 0.3 m\n\
         wire W7 G1.B+ B1.+ 6 mm2 1 m\nwire W8 E1 E2 16 mm2 0.3 m\n{earth}\n"
    ));
    let settled = bench.at(&[("engine", engine)]);
    let reading = settled.on.part(bench.part("FL")).expect("a reading");
    reading
        .flashes_per_minute
        .unwrap_or_else(|| panic!("{flasher} does not flash, engine {engine}"))
}

#[test]
fn flashers_with_their_lamps_keep_the_legal_rate_law_partly_memory() {
    // MOT inspection manual 1.5 and UN R48 6.5.9 (seen), SI 1989/1796 schedule 7 (memory): 60 to 120 a minute.
    let mut bands = rows("flashers", "item", "flash rate");
    bands.retain(|row: &Row| row.text("item") == "flash rate");
    assert!(bands.iter().any(|row| row.basis() == "seen"));
    for flasher in FLASHERS {
        for system_volts in [6, 12, 24] {
            for engine in ["stopped", "running"] {
                let rate = rate(flasher, system_volts, engine);
                for band in &bands {
                    let range = band.figure("min")..=band.figure("max");
                    let place = format!("{flasher}, {system_volts} V, engine {engine}: {rate}");
                    assert!(range.contains(&rate), "{place}, {}", band.says());
                }
            }
        }
    }
}

#[test]
fn an_electronic_flasher_keeps_its_rate_whatever_hangs_on_it() {
    // NHTSA interpretation nht91-7.6 (seen): constant rate.
    let row = super::table::the_row("flashers", "item", "electronic flasher");
    let rates = ["stopped", "running"].map(|engine| rate(FLASHERS[2], 12, engine));
    assert_eq!(rates[0], rates[1], "{}", row.says());
    assert_eq!(rates[0], rate(FLASHERS[4], 12, "stopped"), "{}", row.says());
}

#[test]
fn a_thermal_flasher_answers_to_its_load() {
    // arc-components.com and a post on flasher behaviour (seen): the rate depends on lamp current.
    let row = super::table::the_row("flashers", "item", "thermal flasher, load effect");
    let [idle, running] = ["stopped", "running"].map(|engine| rate(FLASHERS[0], 12, engine));
    assert!(running > idle, "{idle} and {running}: {}", row.says());
}

#[test]
fn a_thermal_flasher_with_one_lamp_out_slows_or_stops_practice() {
    let row = super::table::the_row("flashers", "item", "thermal flasher, one lamp out");
    assert_eq!(row.basis(), "practice");
    let sketch = "car 12 V negative earth\nbattery B1 50 Ah\nearth E1 body\nflasher-thermal-2 FL watts=42\n\
                  lamp H1 21 W\nlamp H2 21 W\nwire W1 B1.+ FL.B 2 mm2 1 m\nwire W2 FL.L H1.1 2 mm2 2 m\n\
                  wire W3 H1.1 H2.1 2 mm2 2 m\nwire W4 H1.2 E1 2 mm2 0.3 m\nwire W5 H2.2 E1 2 mm2 0.3 m\n\
                  wire W6 B1.- E1 16 mm2 0.3 m\n";
    let bench = Bench::of(sketch);
    let rate = |network: &loomwright_electrics::Network| {
        let settled = network.at_rest();
        settled.on.part(bench.part("FL")).expect("a reading").flashes_per_minute
    };
    let whole = rate(&bench.network).expect("two lamps flash");
    let left = rate(&bench.network.without(&[bench.part("H2")]));
    assert!(left.is_none_or(|left| left < 0.7 * whole), "{left:?} of {whole}: {}", row.says());
}
