//! Wires run square, around parts, and stay where they are when others are edited.

use loomwright_circuit::{Box2, Part, Point, Row, RowId, SheetId, Standing, Turn, Version};
use loomwright_drawing::{
    Live, Options, Sheet, Subject, hit, lay_out, lay_out_again, lay_out_in_hand,
};
use proptest::prelude::*;

use crate::samples::{Pad, driving_lamps, rows};

/// Lamps on a lattice of cells, nudged and turned; a wire from each to the next.
fn chain(places: &[(usize, i8, i8, u8)]) -> Pad {
    let mut pad = Pad::new("Chain");
    for (idx, (cell, dx, dy, turn)) in places.iter().enumerate() {
        let at = [
            (cell % 5) as f64 * 40.0 + f64::from(*dx) * 2.5,
            (cell / 5) as f64 * 40.0 + f64::from(*dy) * 2.5,
        ];
        let turn = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters][usize::from(*turn)];
        pad.part("lamp", &format!("Lamp {idx}"), at, turn);
    }
    for idx in 1..places.len() {
        let (from, to) = (format!("Lamp {}.2", idx - 1), format!("Lamp {idx}.1"));
        pad.wire(&format!("W{idx}"), &from, &to, "green", Standing::AsFound);
    }
    pad
}

fn cells() -> impl Strategy<Value = Vec<(usize, i8, i8, u8)>> {
    let nudge = || prop::collection::vec((-2_i8..=2, -2_i8..=2, 0_u8..4), 12);
    (Just((0..25_usize).collect::<Vec<_>>()).prop_shuffle(), nudge()).prop_map(|(cells, nudges)| {
        let one = |(cell, (dx, dy, turn)): (usize, (i8, i8, u8))| (cell, dx, dy, turn);
        cells.into_iter().zip(nudges).map(one).collect()
    })
}

fn is_square(line: &[Point]) -> bool {
    line.windows(2).all(|pair| pair[0].x == pair[1].x || pair[0].y == pair[1].y)
}

/// Whether a stretch runs through the glass of a lamp.
fn runs_through(line: &[Point], lamp: Point) -> bool {
    let glass = Box2 { min: lamp, max: lamp }.grown(3.9);
    line.windows(2)
        .any(|pair| Box2::around(pair.iter().copied()).is_some_and(|stretch| stretch.meets(glass)))
}

fn laid(pad: &Pad) -> Sheet {
    lay_out(&pad.car, SheetId(1), &Options::default())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn wires_run_square_around_parts_and_meet_their_terminals(places in cells()) {
        let pad = chain(&places);
        let sheet = laid(&pad);
        for (id, line) in &sheet.routes {
            prop_assert!(is_square(line), "{id}: {line:?}");
            let wire = pad.car.wire(*id).expect("a wire of this car");
            let place = |end: &loomwright_circuit::End| {
                let loomwright_circuit::Anchor::Terminal { part, terminal } = &end.at else { return None };
                let found = sheet.terminals.iter().find(|(id, name, _)| id == part && **name == **terminal);
                found.map(|(.., at)| *at)
            };
            prop_assert_eq!(line.first().copied(), place(&wire.from));
            prop_assert_eq!(line.last().copied(), place(&wire.to));
            for part in pad.car.parts().values() {
                prop_assert!(!runs_through(line, part.place.at), "{id} runs through {}", part.label);
            }
        }
    }

    #[test]
    fn no_wire_runs_along_another(places in cells()) {
        let sheet = laid(&chain(&places));
        let stretches: Vec<_> = sheet
            .routes
            .iter()
            .flat_map(|(id, line)| line.windows(2).map(move |pair| (*id, pair[0], pair[1])))
            .collect();
        for (idx, (id, a, b)) in stretches.iter().enumerate() {
            for (other, c, d) in &stretches[idx + 1..] {
                let shared = |a: f64, b: f64, c: f64, d: f64| a.max(b).min(c.max(d)) - a.min(b).max(c.min(d));
                let is_level = a.y == b.y && c.y == d.y && a.y == c.y;
                let is_upright = a.x == b.x && c.x == d.x && a.x == c.x;
                let length = match (is_level, is_upright) {
                    (true, _) => shared(a.x, b.x, c.x, d.x),
                    (_, true) => shared(a.y, b.y, c.y, d.y),
                    _ => 0.0,
                };
                prop_assert!(id == other || length <= 0.0, "{id} lies on {other} for {length} mm");
            }
        }
    }
}

/// Moves a part of the sample, and gives back what it was.
fn nudge(pad: &mut Pad, label: &str, by: Point) -> Part {
    let (id, part) = pad.car.part_labelled(label).expect("it is in the sample");
    let before = part.clone();
    let mut part = part.clone();
    part.place.at = part.place.at + by;
    pad.put(RowId::Part(id), Row::Part(part));
    before
}

#[test]
fn wires_elsewhere_stay_when_a_part_moves() {
    let (mut pad, sheet) = rows(60);
    let before = lay_out(&pad.car, sheet, &Options::default());
    nudge(&mut pad, "Lamp 3", Point::new(0.0, 2.5));
    let after = lay_out(&pad.car, sheet, &Options::default());
    let changed: Vec<_> = before
        .routes
        .iter()
        .filter(|(id, line)| after.routes[id] != **line)
        .map(|(id, _)| pad.car.wires()[id].label.as_str())
        .collect();
    // The lamp's own wires, and at most those that share a terminal with them.
    assert!(changed.contains(&"W16") && changed.contains(&"W18"), "{changed:?}");
    assert!(
        changed.iter().all(|label| ["W16", "W17", "W18", "W19"].contains(label)),
        "{changed:?}"
    );
}

#[test]
fn every_reader_of_a_sheet_sees_the_same_ways() {
    let (pad, sheet) = driving_lamps();
    let plain = lay_out(&pad.car, sheet, &Options::default());
    let papers = Options {
        flag_height: Some(4.2),
        least_height: Some(3.4),
        has_sizes: true,
        flags_at_both_ends: true,
        ..Options::default()
    };
    let tried = Options {
        version: Some(Version::After),
        has_heading: true,
        live: Some(Live::default()),
        ..Options::default()
    };
    for options in [papers, tried] {
        let laid = lay_out(&pad.car, sheet, &options);
        assert!(!laid.routes.is_empty());
        for (id, line) in &laid.routes {
            assert_eq!(*line, plain.routes[id], "{id} under {options:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn no_edit_leaves_a_trace_once_it_is_undone(
        moves in prop::collection::vec((0_usize..12, -8_i8..=8, -8_i8..=8), 1..8)
    ) {
        let mut pad = chain(&std::array::from_fn::<_, 12, _>(|idx| (idx * 2, 0, 0, 0)));
        let first = laid(&pad);
        let mut shown = first.clone();
        let mut undo = Vec::new();
        for (lamp, dx, dy) in moves {
            let label = format!("Lamp {lamp}");
            let by = Point::new(f64::from(dx) * 2.5, f64::from(dy) * 2.5);
            undo.push(nudge(&mut pad, &label, by));
            shown = lay_out_again(&pad.car, SheetId(1), &Options::default(), &shown);
            prop_assert_eq!(&shown, &laid(&pad));
        }
        for part in undo.into_iter().rev() {
            let (id, _) = pad.car.part_labelled(&part.label).expect("it is in the sample");
            pad.put(RowId::Part(id), Row::Part(part));
            shown = lay_out_again(&pad.car, SheetId(1), &Options::default(), &shown);
        }
        prop_assert_eq!(shown, first);
    }
}

#[test]
fn while_a_part_is_in_the_hand_only_its_own_wires_follow() {
    let (mut pad, sheet) = driving_lamps();
    let before = lay_out(&pad.car, sheet, &Options::default());
    nudge(&mut pad, "Left driving lamp", Point::new(12.5, -20.0));
    let lamp = pad.car.part_labelled("Left driving lamp").expect("it is in the sample").0;
    let held = lay_out_in_hand(&pad.car, sheet, &Options::default(), &before);
    let mut n_moved = 0;
    for (id, line) in &held.routes {
        let wire = pad.car.wire(*id).expect("a wire of the sample");
        if wire.ends().iter().any(|end| end.at.part() == Some(lamp)) {
            assert_ne!(*line, before.routes[id], "{id} goes with the lamp");
            n_moved += 1;
        } else {
            assert_eq!(*line, before.routes[id], "{id} stays");
        }
    }
    assert_eq!(n_moved, 2);
    // Put down, it is as if nothing had ever been held.
    let down = lay_out_again(&pad.car, sheet, &Options::default(), &held);
    assert_eq!(down, lay_out(&pad.car, sheet, &Options::default()));
}

#[test]
fn pointing_finds_what_is_meant() {
    let (pad, sheet) = driving_lamps();
    let sheet = lay_out(&pad.car, sheet, &Options::default());
    let lamp = pad.car.part_labelled("Left driving lamp").expect("it is in the sample").0;
    assert_eq!(hit(&sheet, Point::new(200.0, 55.0), 1.0), Some(Subject::Part(lamp)));
    let (id, line) = sheet.routes.iter().next().expect("there are wires");
    let near_start = line[0] + (line[1] - line[0]) * (4.0 / line[0].distance(line[1]));
    assert_eq!(hit(&sheet, near_start, 1.0), Some(Subject::Wire(*id)));
    assert_eq!(hit(&sheet, Point::new(-500.0, 0.0), 1.0), None);
}

/// What lies on a free terminal looks joined to it.
#[test]
fn no_wire_passes_over_a_terminal_that_is_not_its_own() {
    for (turn, free) in [(Turn::Quarter, 7.5), (Turn::ThreeQuarters, -7.5)] {
        let mut pad = Pad::new("A socket in the way");
        pad.part("lamp", "Lamp 1", [0.0, 0.0], Turn::None);
        pad.part("lamp", "Lamp 2", [120.0, 0.0], Turn::None);
        pad.part("socket", "Socket", [60.0, free], turn);
        pad.wire("W1", "Lamp 1.2", "Lamp 2.1", "green", Standing::AsFound);
        let sheet = laid(&pad);
        let (socket, _) = pad.car.part_labelled("Socket").expect("the socket");
        let of_socket: Vec<Point> =
            sheet.terminals.iter().filter(|(id, ..)| *id == socket).map(|(.., at)| *at).collect();
        assert!(
            of_socket.iter().any(|at| at.y == 0.0),
            "one lies on the straight way: {of_socket:?}"
        );
        for line in sheet.routes.values() {
            for pair in line.windows(2) {
                let stretch = Box2::around(pair.iter().copied()).expect("a stretch");
                assert!(of_socket.iter().all(|at| !stretch.contains(*at)), "{line:?}");
            }
        }
    }
}
