//! Room made on a sheet.

use loomwright_circuit::{
    Anchor, Car, Edit, End, Note, NoteId, Point, Room, SheetId, Wire, WireId,
};

use crate::support::{edit, refused, small_car};

const SHEET: SheetId = SheetId(1);

fn room(from: f64, by: f64) -> Room {
    Room { from, by }
}

fn made(car: &mut Car, across: &[Room], down: &[Room]) {
    edit(car, Edit::MakeRoom { sheet: SHEET, across: across.to_vec(), down: down.to_vec() });
}

#[test]
fn what_lies_beyond_the_line_moves_and_all_else_stays() {
    // A switch at 20, 20 with a lamp at 20, 50.
    let (mut car, switch, lamp, _) = small_car();
    made(&mut car, &[room(20.0, 5.0)], &[room(20.0, 10.0), room(45.0, 2.5)]);
    assert_eq!(car.part(switch).expect("switch").place.at, Point::new(20.0, 20.0));
    assert_eq!(car.part(lamp).expect("lamp").place.at, Point::new(20.0, 62.5));
}

#[test]
fn a_hand_drawn_wire_keeps_its_shape_and_stays_joined() {
    let (mut car, _, lamp, wire) = small_car();
    // From 20, 25 out to the right and down to 20, 45.
    let corners = [[20.0, 30.0], [60.0, 30.0], [60.0, 40.0], [20.0, 40.0]].map(Point::from);
    let drawn = Wire { route: corners.to_vec(), ..car.wire(wire).expect("wire").clone() };
    edit(&mut car, Edit::SetWire(wire, drawn));
    made(&mut car, &[room(40.0, 10.0)], &[room(35.0, 5.0)]);
    let wider = [[20.0, 30.0], [70.0, 30.0], [70.0, 45.0], [20.0, 45.0]].map(Point::from);
    assert_eq!(car.wire(wire).expect("wire").route, wider);
    // The line runs between the lamp's origin and its terminal: the terminal stays with its part.
    let mut cut = car.clone();
    made(&mut cut, &[], &[room(52.0, 7.5)]);
    let end = |car: &Car| car.pos_on_sheet(&Anchor::terminal(lamp, "1")).expect("terminal").1;
    assert_eq!(end(&cut) - end(&car), Point::new(0.0, 7.5));
    let route = &cut.wire(wire).expect("wire").route;
    assert_eq!(route.last().map(|last| last.x), Some(end(&cut).x));
}

#[test]
fn loose_ends_and_frames_go_along() {
    let (mut car, switch, ..) = small_car();
    let loose = Anchor::Loose { sheet: SHEET, at: Point::new(50.0, 20.0) };
    edit(&mut car, Edit::Run(Wire::new("", End::terminal(switch, "1"), End::at(loose))));
    let wire = WireId(car.last_id());
    let frame = Note {
        sheet: SHEET,
        at: Point::new(10.0, 10.0),
        text: "Dashboard".to_owned(),
        frame: Some(Point::new(30.0, 20.0)),
    };
    edit(&mut car, Edit::AddNote(frame));
    let note = NoteId(car.last_id());
    made(&mut car, &[room(25.0, 5.0)], &[]);
    let end = car.pos_on_sheet(&car.wire(wire).expect("wire").to.at).map(|(_, at)| at);
    assert_eq!(end, Some(Point::new(55.0, 20.0)));
    let note = car.notes().get(&note).expect("note");
    assert_eq!((note.at, note.frame), (Point::new(10.0, 10.0), Some(Point::new(35.0, 20.0))));
}

#[test]
fn room_is_made_on_a_sheet_that_is_there_and_never_taken() {
    let (car, ..) = small_car();
    for by in [-2.5, f64::NAN, f64::INFINITY] {
        let edit = Edit::MakeRoom { sheet: SHEET, across: vec![room(0.0, by)], down: Vec::new() };
        assert!(refused(&car, edit).to_string().contains("0 mm or more"));
    }
    let elsewhere = Edit::MakeRoom { sheet: SheetId(9), across: Vec::new(), down: Vec::new() };
    assert!(refused(&car, elsewhere).to_string().contains("no sheet S9"));
    let far = Edit::MakeRoom { sheet: SHEET, across: vec![room(0.0, 1e9)], down: Vec::new() };
    assert!(refused(&car, far).to_string().contains("origin"));
}
