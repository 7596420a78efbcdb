//! Notes and frames on the sheet: painted, off the wires' way, and in the SVG.

use loomwright_circuit::{Edit, Note, Point, SheetId, Standing, Turn};
use loomwright_drawing::{Options, Page, Palette, Subject, lay_out, svg};

use crate::samples::Pad;

fn pad(notes: &[Note]) -> loomwright_circuit::Car {
    let mut pad = Pad::new("Noted");
    pad.part("lamp", "Lamp 1", [20.0, 20.0], Turn::None);
    pad.part("lamp", "Lamp 2", [160.0, 20.0], Turn::None);
    pad.wire("W1", "Lamp 1.2", "Lamp 2.1", "green", Standing::AsFound);
    let mut car = pad.car;
    for note in notes {
        let patch = car.plan(Edit::AddNote(note.clone())).expect("a note");
        car.apply(&patch);
    }
    car
}

#[test]
fn wires_run_around_a_note_and_through_a_frame() {
    let text = "Behind the dash\ntape renewed\nsee the bill\nof last year".to_owned();
    let note = Note { sheet: SheetId(1), at: Point::new(80.0, 14.0), text, frame: None };
    let car = pad(&[note]);
    let laid = lay_out(&car, SheetId(1), &Options::default());
    let item = laid.items.iter().find(|item| matches!(item.subject, Subject::Note(_)));
    let bounds = item.expect("the note").bounds;
    for line in laid.routes.values() {
        for ends in line.windows(2) {
            let leg = loomwright_circuit::Box2::around([ends[0], ends[1]]).expect("a box");
            assert!(!leg.meets(bounds), "{ends:?} through {bounds:?}");
        }
    }
    // A frame around the middle of a wire changes nothing of its way.
    let frame = Note {
        sheet: SheetId(1),
        at: Point::new(80.0, 0.0),
        text: "Dash".to_owned(),
        frame: Some(Point::new(30.0, 40.0)),
    };
    let framed = lay_out(&pad(&[frame]), SheetId(1), &Options::default());
    let bare = lay_out(&pad(&[]), SheetId(1), &Options::default());
    assert_eq!(framed.routes, bare.routes);
}

#[test]
fn every_line_of_a_note_is_in_the_svg() {
    let text = "First & second\n\nthird".to_owned();
    let note = Note { sheet: SheetId(1), at: Point::new(20.0, 60.0), text, frame: None };
    let laid = lay_out(&pad(&[note]), SheetId(1), &Options::default());
    let page = Page::around(&laid, 5.0);
    let out = svg(&laid, Palette::default(), &page);
    assert!(out.contains("First &amp; second") && out.contains("third"), "{out}");
    assert!(out.contains("<title>Note: First &amp; second</title>"));
}
