//! Cars without places are arranged legibly.

use loomwright_circuit::{Box2, PartId, SheetId, Standing, Turn};
use loomwright_drawing::{Options, Subject, arrange, lay_out};

use crate::samples::{Pad, driving_lamps};

/// The sample, with every part on one heap.
fn heap() -> Pad {
    let (sample, _) = driving_lamps();
    let mut pad = Pad::new("Heap");
    for part in sample.car.parts().values() {
        pad.part_with(&part.type_name, &part.label, [0.0, 0.0], Turn::None, part.standing);
    }
    for (label, from, to) in [
        ("W1", "Battery.+", "Fuse 1.1"),
        ("W2", "Fuse 1.2", "Driving-lamp relay.30"),
        ("W3", "Driving-lamp relay.87", "Joint 1.1"),
        ("W4", "Joint 1.1", "Left driving lamp.1"),
        ("W5", "Joint 1.1", "Right driving lamp.1"),
        ("W6", "Left driving lamp.2", "Wing earth.1"),
        ("W7", "Driving-lamp relay.85", "Relay earth.1"),
        ("W8", "Battery.-", "Battery earth.1"),
        ("W9", "Driving-lamp switch.2", "Driving-lamp relay.86"),
        ("W10", "Fuse 1.2", "Driving-lamp switch.1"),
        ("W11", "Right driving lamp.2", "@0,0"),
    ] {
        pad.wire(label, from, to, "blue", Standing::AsFound);
    }
    pad
}

fn arranged() -> Pad {
    let mut pad = heap();
    let patch = pad.car.plan(arrange(&pad.car)).expect("the arrangement can be planned");
    pad.car.apply(&patch);
    pad
}

#[test]
fn nothing_lies_on_anything_else() {
    let pad = arranged();
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    let boxes: Vec<(PartId, Box2)> = sheet
        .items
        .iter()
        .filter_map(|item| match item.subject {
            Subject::Part(id) => Some((id, item.bounds)),
            _ => None,
        })
        .collect();
    for (idx, (id, rect)) in boxes.iter().enumerate() {
        for (other, other_rect) in &boxes[idx + 1..] {
            assert!(!rect.meets(*other_rect), "{id} lies on {other}");
        }
    }
}

#[test]
fn feeds_stand_left_of_what_they_feed_or_in_a_row_above() {
    let pad = arranged();
    let at = |label: &str| {
        let (_, part) = pad.car.part_labelled(label).expect("it is in the sample");
        part.place.at
    };
    let way = [
        "Battery",
        "Fuse 1",
        "Driving-lamp switch",
        "Driving-lamp relay",
        "Joint 1",
        "Left driving lamp",
    ];
    for pair in way.windows(2) {
        let (feed, fed) = (at(pair[0]), at(pair[1]));
        let is_before = feed.x < fed.x || feed.y + 20.0 < fed.y;
        assert!(is_before, "{} stands after {}", pair[0], pair[1]);
    }
}

#[test]
fn arranging_twice_changes_nothing_more() {
    let pad = arranged();
    let patch = pad.car.plan(arrange(&pad.car)).expect("the arrangement can be planned");
    assert!(patch.is_empty(), "{:?}", patch.changes);
}

#[test]
fn a_long_row_is_folded_to_the_shape_of_a_page() {
    const N_LAMPS: usize = 14;
    let mut pad = Pad::new("Row");
    pad.part_with("battery", "Battery", [0.0, 0.0], Turn::None, Standing::AsFound);
    let mut from = "Battery.+".to_owned();
    for n in 1..=N_LAMPS {
        let label = format!("Lamp {n}");
        pad.part_with("lamp", &label, [0.0, 0.0], Turn::None, Standing::AsFound);
        pad.wire(&format!("W{n}"), &from, &format!("{label}.1"), "red", Standing::AsFound);
        from = format!("{label}.2");
    }
    let patch = pad.car.plan(arrange(&pad.car)).expect("the arrangement can be planned");
    pad.car.apply(&patch);
    let sheet = lay_out(&pad.car, SheetId(1), &Options::default());
    let bounds = sheet.bounds.expect("something is drawn");
    // In one row it would be some twenty times as wide as high; a page is half as wide again as high.
    assert!(bounds.width() < 4.0 * bounds.height(), "{bounds:?}");
    assert!(bounds.height() < 2.0 * bounds.width(), "{bounds:?}");
    let at = |n: usize| {
        let (_, part) = pad.car.part_labelled(&format!("Lamp {n}")).expect("it was put in");
        part.place.at
    };
    // Read as lines are: to the right, or down and back to the left.
    for n in 1..N_LAMPS {
        let (this, next) = (at(n), at(n + 1));
        assert!(next.x > this.x || next.y > this.y + 20.0, "lamp {n}: {this:?}, {next:?}");
    }
}
