//! Breakers open and hold, fuses blow: what is said of each is so of it.

use loomwright_rules::Level;

use crate::lab::{car, judged};

/// A lamp of so many watts behind this device.
fn behind(device: &str, watts: f64) -> String {
    format!(
        "car 12 V negative earth
battery B1 12 V 50 Ah
{device}
heater \"Cab heater\" {watts} W
wire W1 B1.+ F1.1 4 mm2 0.3 m thin-wall brown
wire W2 F1.2 \"Cab heater\".1 4 mm2 1 m thin-wall purple
wire W3 \"Cab heater\".2 B1.- 4 mm2 1 m black
"
    )
}

fn said(sketch: &str, code: &str) -> Option<(Level, String)> {
    let report = judged(&car(sketch));
    let finding = report.findings.into_iter().find(|finding| finding.code == code)?;
    Some((finding.level, format!("{}; {}", finding.says, finding.advice)))
}

#[test]
fn a_breaker_between_its_rating_and_what_opens_it_may_hold() {
    // SAE J553: it carries its rating, and opens within an hour at 135 % of it.
    let (level, says) = said(&behind("breaker F1 10 A", 140.0), "PR04").expect("11 A through 10 A");
    assert_eq!(level, Level::Fault);
    assert!(says.contains("may hold or open") && says.contains("from 13.5 A on"), "{says}");
    assert!(says.contains("larger breaker") && !says.contains("ages"), "{says}");
    let (_, says) = said(&behind("breaker F1 10 A", 200.0), "PR04").expect("16 A through 10 A");
    assert!(says.contains("it opens within"), "{says}");
    let (_, says) = said(&behind("fuse F1 blade 10 A", 130.0), "PR04").expect("a fuse");
    assert!(says.contains("larger fuse"), "{says}");
}

#[test]
fn a_glass_fuse_too_large_by_either_reading_of_its_number_is_told() {
    let behind = |square_mm: &str, marking: &str| {
        behind(&format!("fuse F1 glass {marking}"), 40.0)
            .replace(
                "wire W2 F1.2 \"Cab heater\".1 4 mm2",
                &format!("wire W2 F1.2 \"Cab heater\".1 {square_mm} mm2"),
            )
            .replace("thin-wall purple", "pvc purple to fit")
    };
    // 50 A carries 25 A at the least, and 1 mm² of PVC 8.75 A.
    let (level, says) = said(&behind("1", "50 A"), "PR01").expect("too large by either");
    assert_eq!(level, Level::Danger);
    assert!(says.contains("25 A at the least, whichever way"), "{says}");
    // 15 A may carry 7.5 A, which such a wire bears.
    assert_eq!(said(&behind("1", "15 A"), "PR01"), None);
    assert!(said(&behind("1", "15 A"), "PR03").is_some());
}
