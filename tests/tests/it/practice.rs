//! Facts of the trade, all marked `practice` and none from a single source: indicators, hazard warning, colours.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Insulation, PartId};
use loomwright_electrics::{Network, PartState, Settled, cable};
use loomwright_rules::Level;
use loomwright_units::WireArea;

use crate::bench_car::{Bench, settled};

/// Four indicators with hazard warning by a switch of several poles and one flasher, in the usual colours: brown live
/// and unfused, green from a fuse behind the key, green/brown to the stalk, green/red left, green/white right, black
/// earth, red/white for the panel lamp. Indicator and hazard leads are 1 mm² thin-wall.
const ONE_FLASHER: &str = r#"
car 12 V negative earth
battery B1 12 V 50 Ah
alternator G1
earth E1 body
earth E2 body
earth E3 engine
ignition-switch S1
fuse F1 blade 10 A
fuse F2 blade 15 A
fuse F3 blade 10 A
hazard-switch S2 "hazard"
flasher-electronic-3 FL1 watts=84
indicator-stalk S3 "indicators"
lighting-switch S4 "lighting"
lamp "Left front indicator" 21 W
lamp "Left rear indicator" 21 W
lamp "Right front indicator" 21 W
lamp "Right rear indicator" 21 W
warning-lamp "Indicator tell-tale" watts=2.2
lamp "Left tail lamp" 5 W
lamp "Panel lamp" 2.2 W
warning-lamp "Charge lamp" watts=2.2
wire W90 S1.15 "Charge lamp".1 1 mm2 0.5 m thin-wall white
wire W91 "Charge lamp".2 G1.IND 1 mm2 1.5 m thin-wall brown/yellow
wire W1 B1.- E1 25 mm2 0.4 m black
wire W2 B1.+ S1.30 4 mm2 0.8 m pvc brown
wire W3 S1.15 F1.1 2 mm2 0.5 m pvc white
wire W4 F1.2 S2.15 1 mm2 1 m thin-wall green
wire W5 B1.+ F2.1 2 mm2 0.3 m pvc brown
wire W6 F2.2 S2.30 1 mm2 1.2 m thin-wall purple
wire W7 S2.49 FL1.49 1 mm2 0.5 m thin-wall green
wire W8 FL1.49a S2.49a 1 mm2 0.5 m thin-wall green/brown
wire W9 FL1.49a S3.49a 1 mm2 0.8 m thin-wall green/brown
wire W10 FL1.31 E2 1 mm2 0.5 m thin-wall black
wire W11 S3.L "Left front indicator".1 1 mm2 1.5 m thin-wall green/red
wire W12 "Left front indicator".1 "Left rear indicator".1 1 mm2 3 m thin-wall green/red
wire W13 S3.R "Right front indicator".1 1 mm2 1.5 m thin-wall green/white
wire W14 "Right front indicator".1 "Right rear indicator".1 1 mm2 3 m thin-wall green/white
wire W15 S2.L "Left front indicator".1 1 mm2 1.5 m thin-wall green/red
wire W16 S2.R "Right front indicator".1 1 mm2 1.5 m thin-wall green/white
wire W17 S2.31 E2 1 mm2 0.5 m thin-wall black
wire W18 "Left front indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W19 "Left rear indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W20 "Right front indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W21 "Right rear indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W22 B1.+ F3.1 2 mm2 0.3 m pvc brown
wire W23 F3.2 S4.30 2 mm2 1 m pvc purple
wire W24 S4.58 "Left tail lamp".1 1 mm2 3 m thin-wall red
wire W25 S4.58 "Panel lamp".1 1 mm2 0.5 m thin-wall red/white
wire W26 "Left tail lamp".2 E2 1 mm2 0.4 m thin-wall black
wire W27 "Panel lamp".2 E2 1 mm2 0.4 m thin-wall black
wire W28 G1.B+ B1.+ 6 mm2 1 m pvc brown
wire W29 E1 E3 25 mm2 0.5 m black
wire W92 "Left front indicator".1 "Indicator tell-tale".1 1 mm2 1 m thin-wall green/red
wire W93 "Indicator tell-tale".2 "Right front indicator".1 1 mm2 1 m thin-wall green/white
"#;

/// The same with a flasher of its own for hazard warning, white/orange to it and green/light-green from it, by
/// change-over switches in the leads to the lamps.
const TWO_FLASHERS: &str = r#"
car 12 V negative earth
battery B1 12 V 50 Ah
earth E1 body
ignition-switch S1
fuse F1 blade 10 A
fuse F2 blade 10 A
switch-changeover S2 "hazard"
switch-changeover S4 "hazard"
flasher-thermal-2 FL1 watts=42
flasher-electronic-2 FL2 watts=84
indicator-stalk S3 "indicators"
lamp "Left front indicator" 21 W
lamp "Left rear indicator" 21 W
lamp "Right front indicator" 21 W
lamp "Right rear indicator" 21 W
warning-lamp "Indicator tell-tale" watts=2.2
earth E2 body
wire W1 B1.- E1 25 mm2 0.4 m black
wire W2 B1.+ S1.30 4 mm2 0.8 m pvc brown
wire W3 S1.15 F1.1 2 mm2 0.5 m pvc white
wire W4 F1.2 FL1.B 1 mm2 1 m thin-wall green
wire W5 B1.+ F2.1 2 mm2 0.3 m pvc brown
wire W6 F2.2 FL2.49 1 mm2 1.2 m thin-wall white/orange
wire W7 FL1.L S3.49a 1 mm2 0.5 m thin-wall green/brown
wire W8 FL2.49a S2.3 1 mm2 0.5 m thin-wall green/light-green
wire W9 FL2.49a S4.3 1 mm2 0.5 m thin-wall green/light-green
wire W10 S3.L S2.2 1 mm2 0.5 m thin-wall green/red
wire W11 S2.1 "Left front indicator".1 1 mm2 1.5 m thin-wall green/red
wire W12 "Left front indicator".1 "Left rear indicator".1 1 mm2 3 m thin-wall green/red
wire W13 S3.R S4.2 1 mm2 0.5 m thin-wall green/white
wire W14 S4.1 "Right front indicator".1 1 mm2 1.5 m thin-wall green/white
wire W15 "Right front indicator".1 "Right rear indicator".1 1 mm2 3 m thin-wall green/white
wire W18 "Left front indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W19 "Left rear indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W20 "Right front indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W21 "Right rear indicator".2 E2 1 mm2 0.4 m thin-wall black
wire W92 "Left front indicator".1 "Indicator tell-tale".1 1 mm2 1 m thin-wall green/red
wire W93 "Indicator tell-tale".2 "Right front indicator".1 1 mm2 1 m thin-wall green/white
"#;

/// Sketch, hazard's position on, and the lead that feeds the indicators while hazard warning is off.
const CARS: [(&str, &str, &str); 2] = [(ONE_FLASHER, "on", "W4"), (TWO_FLASHERS, "b", "W7")];

const LAMPS: [&str; 4] = [
    "Left front indicator",
    "Left rear indicator",
    "Right front indicator",
    "Right rear indicator",
];

/// Which of the four indicators flash.
fn flashing(bench: &Bench, settled: &Settled) -> Vec<&'static str> {
    let flashes = |lamp: &&str| settled.on.state(bench.part(lamp)) == Some(PartState::Flashing);
    LAMPS.into_iter().filter(flashes).collect()
}

/// A car with one piece of its sketch written otherwise.
fn altered(sketch: &str, was: &str, becomes: &str) -> Bench {
    assert_eq!(sketch.matches(was).count(), 1, "'{was}'");
    Bench::of(&sketch.replace(was, becomes))
}

fn codes(bench: &Bench) -> Vec<&'static str> {
    bench.judged().findings.iter().map(|finding| finding.code).collect()
}

fn fuses(bench: &Bench) -> Vec<PartId> {
    let is_fuse = |id: &PartId| {
        let elements = bench.car.type_of(*id).map(|row| &row.elements);
        elements.is_some_and(|rows| rows.iter().any(|row| matches!(row, Element::Fuse { .. })))
    };
    bench.car.parts().keys().copied().filter(is_fuse).collect()
}

#[test]
fn both_cars_are_sound() {
    for (sketch, ..) in CARS {
        let report = Bench::of(sketch).judged();
        let bad: Vec<_> =
            report.findings.iter().filter(|finding| finding.level <= Level::Fault).collect();
        assert!(bad.is_empty(), "{bad:#?}");
    }
}

#[test]
fn one_square_millimetre_of_thin_wall_is_ample_for_indicators_and_hazard_warning_practice() {
    let thin_wall = cable::rating(WireArea::new(1.0).expect("an area"), Some(Insulation::ThinWall));
    assert_eq!((thin_wall.amps.0, thin_wall.basis), (16.5, "memory"));
    for (sketch, on, _) in CARS {
        let bench = Bench::of(sketch);
        let with_hazard = [("hazard", on), ("ignition", "on")];
        for positions in [&[("indicators", "left"), ("ignition", "on")], &with_hazard] {
            let settled = bench.at(positions);
            assert!(!flashing(&bench, &settled).is_empty(), "{positions:?}");
            for (id, wire) in bench.car.wires() {
                if wire.insulation == Some(Insulation::ThinWall) {
                    let amps = settled.on.wire_amps(*id).expect("a current").0.abs();
                    assert!(
                        amps <= thin_wall.amps.0 / 2.0,
                        "{amps} A in {} is not ample",
                        wire.label
                    );
                }
            }
        }
        let codes = codes(&bench);
        assert!(!codes.contains(&"CA01") && !codes.contains(&"PR01"), "{codes:?}");
    }
}

#[test]
fn the_currents_are_those_of_the_trade_practice() {
    // Indicators one side 3.3 to 4.0 A with a pilot, hazard warning 6.4 to 7.6 A: loads table, practice.
    let bench = Bench::of(ONE_FLASHER);
    for (positions, feed, range) in [
        ([("ignition", "on"), ("indicators", "left")], "W4", 3.3..=4.0),
        ([("ignition", "off"), ("hazard", "on")], "W6", 6.4..=7.6),
    ] {
        let amps = bench.amps(&bench.at(&positions), feed);
        assert!(range.contains(&amps), "{amps} A");
    }
}

#[test]
fn the_usual_colours_are_silent_practice() {
    for (sketch, ..) in CARS {
        let report = Bench::of(sketch).judged();
        let found: Vec<&str> = report
            .findings
            .iter()
            .filter(|finding| finding.code == "CO01")
            .map(|finding| finding.says.as_str())
            .collect();
        assert!(found.is_empty(), "{found:?}");
    }
}

#[test]
fn other_colours_for_the_same_jobs_are_told_practice() {
    let wrong = [
        ("W11 S3.L \"Left front indicator\".1 1 mm2 1.5 m thin-wall green/red", "green/white"),
        ("W13 S3.R \"Right front indicator\".1 1 mm2 1.5 m thin-wall green/white", "green/red"),
        ("W9 FL1.49a S3.49a 1 mm2 0.8 m thin-wall green/brown", "green/red"),
        ("W25 S4.58 \"Panel lamp\".1 1 mm2 0.5 m thin-wall red/white", "green/red"),
        ("W5 B1.+ F2.1 2 mm2 0.3 m pvc brown", "green"),
        ("W5 B1.+ F2.1 2 mm2 0.3 m pvc brown", "black"),
        ("W19 \"Left rear indicator\".2 E2 1 mm2 0.4 m thin-wall black", "brown"),
    ];
    for (line, colour) in wrong {
        let (before, _) = line.rsplit_once(' ').expect("a colour");
        let becomes = format!("{before} {colour}");
        let label = line.split(' ').next().expect("a label");
        let bench = altered(ONE_FLASHER, line, &becomes);
        let report = bench.judged();
        let wire = bench.wire(label);
        let is_told = report
            .findings
            .iter()
            .any(|finding| finding.code == "CO01" && finding.wires.contains(&wire));
        assert!(is_told, "{becomes}: {:#?}", report.findings);
    }
}

#[test]
fn hazard_warning_breaks_the_indicator_feed_and_the_stalk_cannot_disturb_it_practice() {
    for (sketch, on, feed) in CARS {
        let bench = Bench::of(sketch);
        for key in ["off", "on"] {
            let steady = bench.at(&[("hazard", on), ("ignition", key)]);
            for stalk in ["off", "left", "right"] {
                let settled = bench.at(&[("hazard", on), ("ignition", key), ("indicators", stalk)]);
                let place = format!("key {key}, stalk {stalk}");
                assert_eq!(flashing(&bench, &settled), LAMPS, "{place}");
                let amps = bench.amps(&settled, feed);
                assert!(amps < 1e-3, "{amps} A still flow to the indicators, {place}");
                for lamp in LAMPS {
                    let amps = |settled: &Settled| {
                        settled.on.part(bench.part(lamp)).expect("a reading").amps.0
                    };
                    // The stalk may put a second way beside the first, never take the current away.
                    let change = amps(&settled) / amps(&steady) - 1.0;
                    assert!(change.abs() < 0.02, "{lamp} by {change}, {place}");
                }
            }
        }
    }
}

#[test]
fn the_stalk_alone_flashes_its_own_side_with_the_key_on() {
    for (sketch, ..) in CARS {
        let bench = Bench::of(sketch);
        for (stalk, side) in [("left", &LAMPS[..2]), ("right", &LAMPS[2..])] {
            let on = bench.at(&[("ignition", "on"), ("indicators", stalk)]);
            assert_eq!(flashing(&bench, &on), side);
            let off = bench.at(&[("indicators", stalk)]);
            assert!(flashing(&bench, &off).is_empty());
        }
    }
}

#[test]
fn hazard_warning_works_with_the_key_off_and_any_other_fuse_blown_practice() {
    for (sketch, on, _) in CARS {
        let bench = Bench::of(sketch);
        let own = bench.part("F2");
        let at = |network: &Network, key| settled(network, &[("hazard", on), ("ignition", key)]);
        for key in ["off", "on"] {
            for fuse in fuses(&bench) {
                let blown = bench.network.without(&[fuse]);
                let expected: &[&str] = if fuse == own { &[] } else { &LAMPS };
                let label = &bench.car.part(fuse).expect("a fuse").label;
                assert_eq!(
                    flashing(&bench, &at(&blown, key)),
                    expected,
                    "{label} blown, key {key}"
                );
            }
        }
        assert!(fuses(&bench).len() >= 2);
        assert!(!codes(&bench).contains(&"IN02"));
    }
}

#[test]
fn hazard_warning_that_hangs_on_the_key_or_on_another_fuse_is_told_practice() {
    let by_key = altered(TWO_FLASHERS, "W5 B1.+ F2.1", "W5 S1.15 F2.1");
    assert!(flashing(&by_key, &by_key.at(&[("hazard", "b")])).is_empty());
    assert!(codes(&by_key).contains(&"IN02"));
    let by_other_fuse = altered(ONE_FLASHER, "W6 F2.2 S2.30", "W6 F3.2 S2.30");
    assert!(codes(&by_other_fuse).contains(&"IN03"));
}
