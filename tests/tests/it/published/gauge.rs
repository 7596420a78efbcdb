//! American gauges: the formula of ASTM B258 and a published table.

use loomwright_electrics::cable::resistance;
use loomwright_units::{Celsius, Metres, WireArea};

use super::table::{Row, table};

fn gauges() -> Vec<Row> {
    let rows = table("cable_awg");
    assert_eq!(rows.len(), 28);
    rows
}

fn area(row: &Row) -> WireArea {
    WireArea::read(&format!("{} AWG", row.text("gauge"))).expect("a gauge")
}

#[test]
fn gauges_follow_the_formula_of_astm_b258() {
    // d = 0.127 mm · 92^((36 − n) / 39), printed to four decimals. Worked examples 6 and 7: 16 AWG and 10 AWG.
    for row in gauges() {
        let square_mm = area(&row).square_mm();
        row.agrees("computed_area_mm2", square_mm, 6e-5);
        let diameter_mm = (square_mm * 4.0 / std::f64::consts::PI).sqrt();
        row.agrees("computed_diameter_mm", diameter_mm, 6e-5);
        let by_number = WireArea::awg(row.text("n").parse().expect("a number")).expect("a gauge");
        assert_eq!(by_number, area(&row), "{}", row.says());
    }
}

#[test]
fn gauges_have_the_resistance_of_the_formula_and_of_the_table() {
    for row in gauges() {
        let milliohms = resistance(Metres(1.0), area(&row), Celsius(20.0)).0 * 1e3;
        row.agrees("computed_resistance_20C_mohm_per_m", milliohms, 6e-5);
        // The table read prints Ω/km to two decimals, and its own diameters differ by up to 0.3 %.
        let published = row.figure("published_resistance_ohm_per_km");
        row.agrees("published_resistance_ohm_per_km", milliohms, 0.006 + 0.004 * published);
        let diameter_mm = (area(&row).square_mm() * 4.0 / std::f64::consts::PI).sqrt();
        row.agrees("published_diameter_mm", diameter_mm, 0.003 * diameter_mm);
    }
}
