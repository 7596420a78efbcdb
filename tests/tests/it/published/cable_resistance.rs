//! Resistance of cable: ISO 6722 limits, resistivity, strand make-ups, temperature.

use loomwright_electrics::cable::{
    ISO_6722, RESISTIVITY, TEMPERATURE_COEFFICIENT, iso_6722, resistance, temperature_factor,
};
use loomwright_units::{Celsius, Metres, WireArea};

use super::table::{Row, rows, table, the_row};

const LIMIT: &str = "max_resistance_20C_mohm_per_m";

fn nominal(row: &Row) -> WireArea {
    WireArea::new(row.figure("nominal_area_mm2")).expect("an area")
}

/// mΩ of a metre at 20 °C, as the program computes it.
fn milliohms(area: WireArea) -> f64 {
    resistance(Metres(1.0), area, Celsius(20.0)).0 * 1e3
}

#[test]
fn limits_are_those_of_iso_6722() {
    // DIN ISO 6722-3 (seen) and ISO 6722-1:2011 (memory).
    for row in rows("cable_metric", "kind", "iso6722") {
        let limit = iso_6722(nominal(&row)).unwrap_or_else(|| panic!("none for {}", row.says()));
        row.agrees(LIMIT, limit.0 * 1e3, 1e-9);
    }
}

#[test]
fn every_limit_of_the_program_is_published() {
    let published = rows("cable_metric", "kind", "iso6722");
    for (square_mm, limit) in ISO_6722 {
        let is_it = |row: &&Row| row.figure("nominal_area_mm2") == square_mm;
        let row =
            published.iter().find(is_it).unwrap_or_else(|| panic!("{square_mm} mm² unpublished"));
        row.agrees(LIMIT, limit, 1e-9);
    }
}

#[test]
fn computed_resistance_keeps_the_limits_without_being_far_below() {
    // ISO 6722, IEC 60228 class 5 and a cable supplier's column: a limit leaves 2 to 21 % over bare copper of the
    // nominal area, for lay, drawing and tin.
    for row in table("cable_metric").iter().filter(|row| row.number(LIMIT).is_some()) {
        let share = row.figure(LIMIT) / milliohms(nominal(row));
        assert!((1.02..=1.21).contains(&share), "{share} over the computed one: {}", row.says());
    }
}

#[test]
fn strand_make_ups_have_their_area() {
    // Geometry: n π d² / 4, printed to three decimals. Worked example 8: 28/0.30 is 1.979 mm², 14/.012 in 1.022 mm².
    for row in table("cable_metric").iter().filter(|row| row.number("strands_n").is_some()) {
        let (count, diameter) = (row.text("strands_n"), row.text("strand_diameter_mm"));
        let area = WireArea::read(&format!("{count}/{diameter}")).expect("a strand make-up");
        row.agrees("geometric_area_mm2", area.square_mm(), 6e-4);
    }
    for row in table("cable_imperial") {
        let area = WireArea::read(row.text("code")).expect("a strand code");
        // Areas were worked out from the diameter as printed, to a tenth of a micrometre or to one micrometre.
        let printed = row.figure("strand_diameter_mm");
        let rounded = row.figure("strand_diameter_in") * 25.4 / printed;
        let tolerance = 6e-4 + (rounded * rounded - 1.0).abs() * area.square_mm();
        row.agrees("area_mm2", area.square_mm(), tolerance);
        row.agrees("strand_diameter_mm", row.figure("strand_diameter_in") * 25.4, 6e-5);
    }
}

#[test]
fn copper_is_that_of_iec_60028() {
    let resistivity = the_row("copper", "property", "resistivity_iacs");
    resistivity.agrees("value", RESISTIVITY * 1e-6, 1e-13);
    let rise = the_row("copper", "property", "temperature_coefficient");
    rise.agrees("value", TEMPERATURE_COEFFICIENT, 1e-9);
}

#[test]
fn hot_copper_agrees_with_the_other_form_of_the_law_memory() {
    // IEC 60364-5-54 annex A, from memory: R2 / R1 = (234.5 + T2) / (234.5 + T1).
    let offset = the_row("copper", "property", "temperature_offset_B");
    assert_eq!(offset.basis(), "memory");
    let b = offset.figure("value");
    for t in [-20.0, 0.0, 20.0, 50.0, 70.0, 105.0] {
        let other = (b + t) / (b + 20.0);
        let found = temperature_factor(Celsius(t));
        assert!((found - other).abs() < 1e-3, "{found} against {other} at {t} °C");
    }
}

#[test]
fn other_figures_for_copper_lie_within_four_per_cent() {
    // Handbooks calculate with rounder figures: 0.017 to 0.01786 Ω·mm²/m.
    for name in ["resistivity_best_commercial", "resistivity_engineering"] {
        let row = the_row("copper", "property", name);
        row.agrees("value", RESISTIVITY * 1e-6, 0.04 * RESISTIVITY * 1e-6);
    }
    for name in ["conductivity_iacs", "conductivity_engineering"] {
        let row = the_row("copper", "property", name);
        row.agrees("value", 1e6 / RESISTIVITY, 0.04 * 1e6 / RESISTIVITY);
    }
}
