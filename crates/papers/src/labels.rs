//! Labels to cut out, two for each lead: as large as their cable is thick, so that one is read whichever way it lies.

use std::f64::consts::PI;

use loomwright_circuit::{Car, Insulation, Standing};
use loomwright_units::{WireArea, trimmed, with_decimals};
use serde::Serialize;

use crate::rows::{self, WireRow};
use crate::words;

/// A label for one end of a lead.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct LabelRow {
    pub(crate) number: String,
    pub(crate) letters: String,
    /// In words, main colour first.
    pub(crate) colour: String,
    pub(crate) size: String,
    /// Where this end goes, and where the other one is.
    pub(crate) here: String,
    pub(crate) there: String,
    /// How thick the cable is over its cover, mm; empty where not known.
    pub(crate) thick: String,
    /// The clear heat-shrink that goes over it, mm; empty for a flag.
    pub(crate) sleeve: String,
}

/// Labels of like size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct LabelGroup {
    /// For which cable, how high its print is, and what goes over it.
    pub(crate) says: String,
    /// Folded round the lead and stuck back to back, where the lead is too thin to read round it.
    pub(crate) is_flag: bool,
    /// Lines of print, one above the other round the cable.
    pub(crate) n_lines: usize,
    /// Room for a line, mm: half of the way round the cable, so that one always faces whoever looks.
    pub(crate) pitch: f64,
    /// Height of the letters' line, mm.
    pub(crate) print: f64,
    /// What is left blank to go under or round, mm.
    pub(crate) blank: f64,
    pub(crate) labels: Vec<LabelRow>,
}

/// Outside diameters of thin-wall cable, mm² and mm.
///
/// # Source
/// UK vehicle-cable suppliers' lists, ISO 6722 class B, as carried in `assets/reference/cable_metric.csv` (memory).
const THIN_WALL: [(f64, f64); 13] = [
    (0.35, 1.3),
    (0.5, 1.6),
    (0.75, 1.9),
    (1.0, 2.1),
    (1.5, 2.4),
    (2.0, 2.8),
    (2.5, 3.0),
    (3.0, 3.4),
    (4.0, 3.7),
    (4.5, 4.0),
    (6.0, 4.3),
    (8.5, 5.5),
    (10.0, 6.0),
];

/// The same of ordinary PVC up to 10 mm², and of battery cable above.
///
/// # Source
/// BS 6862-1 as suppliers list it (memory); from 16 mm² DIN ISO 6722-3, greatest diameters (seen); both as carried in
/// `assets/reference/cable_metric.csv`.
const PVC: [(f64, f64); 18] = [
    (0.65, 2.2),
    (1.0, 2.4),
    (1.5, 2.7),
    (2.0, 3.1),
    (2.5, 3.4),
    (3.0, 3.7),
    (4.5, 4.4),
    (6.0, 5.0),
    (7.0, 5.6),
    (8.5, 6.5),
    (10.0, 6.8),
    (16.0, 8.3),
    (25.0, 10.4),
    (35.0, 11.6),
    (50.0, 13.5),
    (70.0, 15.5),
    (95.0, 18.0),
    (120.0, 19.7),
];

/// How thick a cable is over its cover, mm: a size between two listed ones as the larger of them.
pub(crate) fn outside_mm(size: WireArea, insulation: Option<Insulation>) -> f64 {
    let thin = matches!(insulation, Some(Insulation::ThinWall)).then_some(THIN_WALL.as_slice());
    let rows = thin.into_iter().chain([PVC.as_slice()]).flatten();
    let found = rows.copied().find(|(listed, _)| *listed >= size.square_mm() - 1e-6);
    found.map_or(PVC[PVC.len() - 1].1, |(_, outside)| outside)
}

/// Of cable whose size is not known, mm.
const USUAL_MM: f64 = 3.0;
/// A line needs as much to be read at arm's length, mm (practice: letters of 1.3 mm, six points).
const LEAST_PITCH: f64 = 2.8;
/// And no line needs more, mm.
const MOST_PITCH: f64 = 8.0;
/// Up to this thickness, mm, a label goes round one and a half times, so that its first line shows on both sides.
const THIN_MM: f64 = 3.5;
/// Of its line, the letters with what hangs below them take as much.
const PRINT: f64 = 0.72;
/// Of that, a capital.
const CAPITAL: f64 = 0.7;
/// Where a label ends on itself, mm.
const LAP: f64 = 3.0;

/// Clear heat-shrink as it is sold, mm before it is shrunk to half (practice).
const SLEEVES: [f64; 9] = [1.6, 2.4, 3.2, 4.8, 6.4, 9.5, 12.7, 19.1, 25.4];
/// What the label and some play add to the cable, mm.
const PLAY: f64 = 0.6;

/// The clear heat-shrink for the labels of a cable so thick, mm; nothing where they are flags.
pub(crate) fn sleeve_mm(outside: Option<f64>) -> Option<f64> {
    let outside = outside.unwrap_or(USUAL_MM);
    let largest = SLEEVES[SLEEVES.len() - 1];
    let found = SLEEVES.into_iter().find(|sleeve| *sleeve >= outside + PLAY);
    (!is_flag(outside)).then(|| found.unwrap_or(largest))
}

fn half_round(outside: f64) -> f64 {
    PI * outside / 2.0
}

fn is_flag(outside: f64) -> bool {
    half_round(outside) < LEAST_PITCH
}

/// Labels of the leads to fit, thin cable first; of all wires where nothing is to fit.
pub(crate) fn labels(car: &Car) -> Vec<LabelGroup> {
    let wires = rows::wires(car);
    let is_altered = wires.iter().any(|row| row.standing == Standing::ToFit.words());
    let standing = if is_altered { Standing::ToFit } else { Standing::AsFound };
    let mut labelled: Vec<WireRow> =
        wires.into_iter().filter(|row| row.standing == standing.words()).collect();
    labelled.retain(|row| row.held.is_empty());
    let thick = |row: &WireRow| row.outside_mm.unwrap_or(0.0);
    labelled.sort_by(|a, b| thick(a).total_cmp(&thick(b)));
    labelled.chunk_by(|a, b| a.outside_mm == b.outside_mm).map(group).collect()
}

fn group(wires: &[WireRow]) -> LabelGroup {
    let known = wires.first().and_then(|row| row.outside_mm);
    let outside = known.unwrap_or(USUAL_MM);
    let is_flag = is_flag(outside);
    let pitch = if is_flag { MOST_PITCH } else { half_round(outside).min(MOST_PITCH) };
    let (n_lines, blank) = match outside {
        _ if is_flag => (2, 2.0 * half_round(outside)),
        ..=THIN_MM => (3, 0.0),
        _ => (2, LAP),
    };
    let print = PRINT * pitch.min(6.0);
    let mut cables: Vec<String> =
        wires.iter().map(|row| format!("{} mm² {}", row.size, row.insulation)).collect();
    cables.dedup();
    let cable = match known {
        Some(thick) => format!(
            "For cable {} mm thick ({}): ",
            with_decimals(thick, 1),
            words::listed(&cables, 6).trim()
        ),
        None => "For cable whose size is not known: ".to_owned(),
    };
    let sleeve = sleeve_mm(known);
    let over = match sleeve {
        Some(sleeve) => format!("clear heat-shrink {} mm over them", trimmed(sleeve, 1)),
        None => "too thin to read round it, so fold each round the lead and stick it back to back"
            .to_owned(),
    };
    LabelGroup {
        says: format!("{cable}numbers {} mm high, {over}.", with_decimals(print * CAPITAL, 1)),
        is_flag,
        n_lines,
        pitch,
        print,
        blank,
        labels: wires.iter().flat_map(|row| ends(row, sleeve)).collect(),
    }
}

fn ends(row: &WireRow, sleeve: Option<f64>) -> [LabelRow; 2] {
    let ends = [row.from.words(), row.to.words()];
    [(0, 1), (1, 0)].map(|(here, there)| LabelRow {
        number: row.number.clone(),
        letters: row.letters.clone(),
        colour: row.colour.clone(),
        size: row.size.clone(),
        here: ends[here].clone(),
        there: ends[there].clone(),
        thick: row.outside_mm.map_or_else(String::new, |thick| with_decimals(thick, 1)),
        sleeve: sleeve.map_or_else(String::new, |sleeve| trimmed(sleeve, 1)),
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    fn car(cables: &[&str]) -> Car {
        let wires = cables.iter().enumerate().map(|(idx, cable)| {
            format!("lamp H{idx} 5 W to fit\nwire W{idx} B1.+ H{idx}.1 {cable} red to fit\n")
        });
        let sketch = format!(
            "car 12 V negative earth\nbattery B1 12 V 40 Ah\n{}",
            wires.collect::<String>()
        );
        loomwright_sketch::parse(&sketch).unwrap_or_else(|errors| panic!("{errors}"))
    }

    #[test]
    fn cables_are_as_thick_as_the_published_list_says() {
        let list = include_str!("../../../assets/reference/cable_metric.csv");
        let mut reader = csv::Reader::from_reader(list.as_bytes());
        let rows = reader.deserialize().map(|row| row.expect("a row"));
        let rows: Vec<BTreeMap<String, String>> = rows.collect();
        let of = |kind: &str, area: f64| {
            let is_it = |row: &&BTreeMap<String, String>| {
                row["kind"] == kind && row["nominal_area_mm2"].parse() == Ok(area)
            };
            rows.iter().filter(is_it).find_map(|row| row["outside_diameter_mm"].parse::<f64>().ok())
        };
        for (area, outside) in THIN_WALL {
            assert_eq!(of("uk_thinwall", area), Some(outside), "{area}");
        }
        for (area, outside) in PVC {
            let kind = if area > 10.0 { "iso6722_normal_wall_pvc70" } else { "uk_pvc_standard" };
            assert_eq!(of(kind, area), Some(outside), "{area}");
        }
    }

    #[test]
    fn a_line_of_print_faces_whoever_looks_however_thin_the_cable_is() {
        let groups = labels(&car(&[
            "0.35 mm2 1 m thin-wall",
            "1 mm2 1 m thin-wall",
            "2 mm2 1 m thin-wall",
            "35 mm2 1 m pvc",
        ]));
        let [flag, thin, usual, thick] = groups.as_slice() else { panic!("{groups:?}") };
        // 0.35 mm² is 1.3 mm thick: half of the way round is 2 mm, and nobody reads that.
        assert!(flag.is_flag && flag.n_lines == 2 && flag.labels[0].sleeve.is_empty());
        for (group, outside) in [(thin, 2.1), (usual, 2.8)] {
            assert!(!group.is_flag);
            // Three lines are one and a half turns, and a line with its letters is half a turn at the most.
            assert_eq!(group.n_lines, 3);
            assert!((group.pitch - PI * outside / 2.0).abs() < 1e-9 && group.print < group.pitch);
        }
        assert!(thin.print < usual.print, "smaller print for thinner cable");
        assert_eq!((thick.n_lines, thick.pitch), (2, MOST_PITCH));
        assert!(thin.says.contains("2.1 mm thick (1 mm² thin-wall)"), "{}", thin.says);
        assert!(thin.says.contains("heat-shrink 3.2 mm"), "{}", thin.says);
    }

    #[test]
    fn a_sleeve_goes_over_the_label_and_grips_the_cable_once_shrunk() {
        for (_, outside) in THIN_WALL.into_iter().chain(PVC) {
            let Some(sleeve) = sleeve_mm(Some(outside)) else { continue };
            assert!(sleeve > outside && sleeve / 2.0 <= outside, "{outside}: {sleeve}");
        }
    }
}
