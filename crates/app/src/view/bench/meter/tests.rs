//! What the meter says of what it reads.

use super::*;

fn judged(taken: Option<&str>) -> MeterView {
    let mut view = MeterView {
        dial: Dial::Volts,
        probes: [Lead::Red, Lead::Black].map(|lead| ProbeView {
            lead,
            place: String::new(),
            short: String::new(),
            is_placed: true,
            is_in_hand: false,
            is_next: false,
        }),
        shows: String::new(),
        notes: Vec::new(),
        is_right: None,
        wants_battery_off: false,
        is_battery_off: false,
        outlines: false,
        to_earth: None,
    };
    let should = Some(Should::Between(11.9, 12.1));
    judge(&mut view, &Reading { shows: Shows::Volts(12.6), should }, taken);
    view
}

#[test]
fn more_volts_are_no_fault_where_a_fuse_was_only_pulled() {
    let view = judged(None);
    assert_eq!(view.is_right, Some(false));
    assert!(view.notes[0].ends_with(Meters::too_high()), "{:?}", view.notes);
    let view = judged(Some("Fuse 1 is out of its holder"));
    assert_eq!(view.is_right, None);
    assert!(view.notes[0].ends_with("Fuse 1 is out of its holder"), "{:?}", view.notes);
}

#[test]
fn the_ends_of_a_band_are_told_in_one_unit() {
    assert_eq!(between(Shows::Amps(0.0), 0.0, 0.178), "should be 0 A to 0.178 A");
    assert_eq!(between(Shows::Amps(0.0), 0.042, 1.7), "should be 0.042 A to 1.70 A");
    assert_eq!(between(Shows::Ohms(0.0), 950.0, 1_050.0), "should be 0.95 kΩ to 1.05 kΩ");
}
