//! What cable may carry: the program's ratings against the published lists, kind by kind.

use std::collections::BTreeMap;

use loomwright_circuit::Insulation;
use loomwright_electrics::cable::{AMPS_A_STRAND, BATTERY_CABLE, PVC, THIN_WALL, rating};
use loomwright_units::WireArea;

use super::table::{Row, rows, table};

fn area(square_mm: f64) -> WireArea {
    WireArea::new(square_mm).expect("an area")
}

/// Lists of a kind with a current, by area printed to a hundredth of a mm²; where they differ, the lower.
fn lowest(lists: &[Row]) -> BTreeMap<String, &Row> {
    let mut lowest: BTreeMap<String, &Row> = BTreeMap::new();
    for row in lists.iter().filter(|row| row.number("continuous_current_A").is_some()) {
        let hundredths = format!("{:.2}", row.figure("nominal_area_mm2"));
        let known = lowest.entry(hundredths).or_insert(row);
        if row.figure("continuous_current_A") < known.figure("continuous_current_A") {
            *known = row;
        }
    }
    lowest
}

/// Every figure of the program is the lowest of the published ones of its size, and says how far to trust it.
fn program_agrees(figures: &[(f64, f64, &'static str)], lists: &[Row]) {
    let lowest = lowest(lists);
    for (square_mm, amps, basis) in figures {
        let row = lowest.get(&format!("{square_mm:.2}"));
        let row = row.unwrap_or_else(|| panic!("{square_mm} mm² is in no list"));
        row.agrees("continuous_current_A", *amps, 1e-9);
        let is_in_a_list_seen = lists.iter().any(|row| {
            row.basis() == "seen"
                && row.figure("nominal_area_mm2") == *square_mm
                && row.number("continuous_current_A") == Some(*amps)
        });
        let published = if is_in_a_list_seen { "seen" } else { row.basis() };
        assert_eq!(*basis, published, "{square_mm} mm²: {}", row.says());
    }
}

#[test]
fn thin_wall_cable_carries_what_the_lists_say_mostly_memory() {
    program_agrees(&THIN_WALL, &rows("cable_metric", "kind", "uk_thinwall"));
}

#[test]
fn ordinary_pvc_carries_what_the_lists_say_partly_memory() {
    let mut lists = rows("cable_metric", "kind", "uk_pvc_standard");
    let owners = rows("cable_metric", "kind", "conservative_list");
    // The trade's list begins at 0.65 mm²; an owners' list has the sizes about it.
    lists.extend(owners.into_iter().filter(|row| row.figure("nominal_area_mm2") < 1.0));
    program_agrees(&PVC, &lists);
}

#[test]
fn battery_cable_carries_what_vde_0298_4_says() {
    let mut lists = rows("cable_metric", "kind", "iso6722_normal_wall_pvc70");
    lists.retain(|row| row.figure("ambient_C") == 30.0);
    program_agrees(&BATTERY_CABLE, &lists);
}

#[test]
fn no_rating_stands_above_a_list_of_its_kind() {
    let kinds = [
        ("uk_thinwall", Insulation::ThinWall),
        ("uk_pvc_standard", Insulation::Pvc),
        ("uk_battery_cable", Insulation::Pvc),
    ];
    for (kind, insulation) in kinds {
        for row in rows("cable_metric", "kind", kind) {
            let Some(published) = row.number("continuous_current_A") else { continue };
            let found = rating(area(row.figure("nominal_area_mm2")), Some(insulation));
            assert!(found.amps.0 <= published, "{} A over {}", found.amps.0, row.says());
        }
    }
}

#[test]
fn the_fifties_gave_half_an_ampere_a_strand_larger_ones_practice() {
    // Makers' list of the 1950s (seen): 14/.012 7 A, 28/.012 14 A, 44/.012 22 A.
    let by_rule = |row: &Row| row.text("source").contains("0.5 A a strand");
    for row in table("cable_imperial") {
        let (Some(amps), "0.012") =
            (row.number("continuous_current_A"), row.text("strand_diameter_in"))
        else {
            continue;
        };
        if row.basis() == "seen" || by_rule(&row) {
            row.agrees("continuous_current_A", AMPS_A_STRAND * row.figure("strands_n"), 1e-9);
        }
        if row.basis() != "practice" {
            let found = rating(area(row.figure("area_mm2")), Some(Insulation::Cotton)).amps.0;
            assert!(found <= amps, "{found} A over {}", row.says());
        }
        if row.basis() == "seen" {
            let found = rating(area(row.figure("area_mm2")), Some(Insulation::Cotton));
            row.agrees("continuous_current_A", found.amps.0, 1e-9);
            assert_eq!(found.basis, "seen");
        }
    }
}

#[test]
fn an_unknown_cover_takes_the_lowest_of_all_lists() {
    let kinds = [Insulation::ThinWall, Insulation::Pvc, Insulation::Cotton];
    for row in table("cable_metric") {
        let area = area(row.figure("nominal_area_mm2"));
        let least = kinds.map(|kind| rating(area, Some(kind)).amps.0);
        let least = least.into_iter().fold(f64::INFINITY, f64::min);
        assert_eq!(rating(area, None).amps.0, least, "{}", row.says());
    }
}
