//! A sheet laid out at once shows all that the sheet laid out in full shows.

use std::collections::BTreeSet;
use std::sync::Arc;

use loomwright_circuit::{Car, Edit, End, PartId, Point, SheetId, Wire, WireId};
use loomwright_drawing::{Item, Options, Sheet, Subject, lay_out, lay_out_at_once};

use crate::samples::{driving_lamps, rows};

fn edited(car: &Car, edit: Edit) -> Car {
    let mut after = car.clone();
    after.apply(&car.plan(edit).expect("the sample can be edited so"));
    after
}

fn subjects(sheet: &Sheet) -> BTreeSet<Subject> {
    sheet.items.iter().map(|item| item.subject).collect()
}

/// Lays the change out at once and in full, and holds the one to the other.
fn at_once(before: &Car, edit: Edit, sheet: SheetId) -> (Sheet, Sheet) {
    let options = Options { has_heading: true, ..Options::default() };
    let previous = lay_out(before, sheet, &options);
    let after = edited(before, edit);
    let laid = lay_out_at_once((before, &after), sheet, &options, &previous);
    let settled = lay_out(&after, sheet, &options);
    assert_eq!(subjects(&laid), subjects(&settled));
    let terminals = |sheet: &Sheet| -> BTreeSet<String> {
        sheet.terminals.iter().map(|terminal| format!("{terminal:?}")).collect()
    };
    assert_eq!(terminals(&laid), terminals(&settled));
    assert_eq!(laid.routes.keys().collect::<Vec<_>>(), settled.routes.keys().collect::<Vec<_>>());
    for (id, line) in &laid.routes {
        let settled = &settled.routes[id];
        assert_eq!((line.first(), line.last()), (settled.first(), settled.last()), "{id}");
    }
    (previous, laid)
}

#[test]
fn what_is_not_touched_stays_and_what_is_moved_together_keeps_its_shape() {
    let (pad, sheet) = rows(200);
    // The first rows of five parts, and the fuse of the next.
    let parts: Vec<PartId> = pad.car.parts().keys().copied().take(51).collect();
    let by = Point::new(5.0, -12.5);
    let (previous, laid) = at_once(&pad.car, Edit::Move { parts: parts.clone(), by }, sheet);
    let is_moved = |end: &End| match &end.at {
        loomwright_circuit::Anchor::Terminal { part, .. } => parts.contains(part),
        loomwright_circuit::Anchor::Loose { .. } => false,
    };
    for (id, wire) in pad.car.wires() {
        let shifted: Vec<Point> = previous.routes[id].iter().map(|at| *at + by).collect();
        match wire.ends().map(is_moved) {
            [true, true] => assert_eq!(*laid.routes[id], *shifted, "{id}"),
            [false, false] => assert_eq!(laid.routes[id], previous.routes[id], "{id}"),
            _ => {}
        }
    }
    let of = |sheet: &Sheet, subject: Subject| {
        sheet.items.iter().find(|item| item.subject == subject).map(|item| item.bounds)
    };
    let [first, last] = [parts[0], *pad.car.parts().keys().last().expect("parts")];
    for subject in [Subject::Part(last), Subject::Label(last)] {
        assert_eq!(of(&laid, subject), of(&previous, subject));
    }
    let label = of(&previous, Subject::Label(first)).expect("a name");
    assert_eq!(of(&laid, Subject::Label(first)).map(|area| area.min), Some(label.min + by));
}

#[test]
fn what_comes_and_what_goes_is_shown() {
    let (pad, sheet) = driving_lamps();
    let wires: Vec<WireId> = pad.car.wires().keys().copied().collect();
    let part = |label: &str| pad.car.part_labelled(label).expect("a part of the sample").0;
    let [fuse, switch] = ["Fuse 1", "Driving-lamp switch"].map(part);
    let wire = Wire::new("W20", End::terminal(fuse, "2"), End::terminal(switch, "1"));
    at_once(&pad.car, Edit::Run(wire), sheet);
    at_once(&pad.car, Edit::Erase { parts: vec![fuse], wires: vec![wires[5]] }, sheet);
    at_once(&pad.car, Edit::Turn(vec![part("Driving-lamp relay")]), sheet);
    // The wire that goes on, on another sheet, keeps its mark.
    at_once(&pad.car, Edit::Move { parts: vec![switch], by: Point::new(0.0, 20.0) }, sheet);
}

#[test]
fn a_sheet_that_nothing_changed_stays_as_it_is() {
    let (pad, sheet) = driving_lamps();
    let options = Options::default();
    let previous = lay_out(&pad.car, sheet, &options);
    assert_eq!(lay_out_at_once((&pad.car, &pad.car), sheet, &options, &previous), previous);
}

#[test]
fn a_sheet_laid_out_in_full_shares_what_stands_as_it_was_shown() {
    let (pad, sheet) = rows(200);
    let parts: Vec<PartId> = pad.car.parts().keys().copied().take(5).collect();
    let options = Options::default();
    let previous = lay_out(&pad.car, sheet, &options);
    let after = edited(&pad.car, Edit::Move { parts, by: Point::new(5.0, 0.0) });
    let shown = lay_out_at_once((&pad.car, &after), sheet, &options, &previous);
    let fresh = lay_out(&after, sheet, &options);
    let shared = fresh.clone().sharing(&shown);
    assert_eq!(shared, fresh, "it is the same sheet");
    let is_kept =
        |item: &&Arc<Item>| shown.items.iter().any(|it| Arc::ptr_eq(&it.prims, &item.prims));
    let n_kept = shared.items.iter().filter(is_kept).count();
    assert!(n_kept * 10 > shared.items.len() * 9, "{n_kept} of {}", shared.items.len());
    assert_eq!(fresh.items.iter().filter(is_kept).count(), 0);
}
