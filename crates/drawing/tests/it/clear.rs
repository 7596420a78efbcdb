//! What must be seen on a sheet is not covered.

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Options, Sheet, Subject, lay_out};

use crate::samples::{Pad, driving_lamps, rows};

fn boxes(sheet: &Sheet, is_wanted: impl Fn(Subject) -> bool) -> Vec<(Subject, Box2)> {
    let items = sheet.items.iter().filter(|item| is_wanted(item.subject));
    items.map(|item| (item.subject, item.bounds)).collect()
}

fn assert_apart(boxes: &[(Subject, Box2)]) {
    for (idx, (subject, rect)) in boxes.iter().enumerate() {
        for (other, other_rect) in &boxes[idx + 1..] {
            assert!(!rect.meets(*other_rect), "{subject:?} covers {other:?}");
        }
    }
}

fn check(pad: &Pad, sheet: loomwright_circuit::SheetId) -> Sheet {
    let options = Options { has_heading: true, ..Options::default() };
    let sheet = lay_out(&pad.car, sheet, &options);
    assert_apart(&boxes(&sheet, |subject| matches!(subject, Subject::Flag(_))));
    for (subject, line) in &sheet.routes {
        for pair in line.windows(2) {
            let Point { x, y } = pair[1] - pair[0];
            assert!(x == 0.0 || y == 0.0, "{subject} runs askew: {pair:?}");
        }
    }
    sheet
}

#[test]
fn flags_stand_apart_and_wires_run_square() {
    let (pad, sheet) = driving_lamps();
    check(&pad, sheet);
    let (pad, sheet) = rows(60);
    check(&pad, sheet);
}

#[test]
fn the_same_car_gives_the_same_sheet() {
    let (pad, sheet) = driving_lamps();
    assert_eq!(check(&pad, sheet), check(&pad, sheet));
}
