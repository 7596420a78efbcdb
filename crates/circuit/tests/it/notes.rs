//! Notes on sheets: kept, refused, undone, and nothing to electricity.

use loomwright_circuit::{Edit, Note, NoteId, Point, SheetId, load, save};

use crate::support::{edit, refused, small_car};

fn note(text: &str, frame: Option<Point>) -> Note {
    Note { sheet: SheetId(1), at: Point::new(60.0, 20.0), text: text.to_owned(), frame }
}

#[test]
fn a_car_with_notes_is_written_in_version_3_and_reads_back() {
    let (mut car, ..) = small_car();
    let without = String::from_utf8(save(&car)).expect("text");
    assert!(without.contains("\"version\": 1") && !without.contains("notes"));
    edit(&mut car, Edit::AddNote(note("Earth strap renewed\n2024, see bill", None)));
    edit(&mut car, Edit::AddNote(note("Dashboard", Some(Point::new(40.0, 30.0)))));
    let text = String::from_utf8(save(&car)).expect("text");
    assert!(text.contains("\"version\": 3"), "{text}");
    assert_eq!(load(text.as_bytes()).as_ref(), Ok(&car));
    let wrong = text.replace(
        "\"sheet\": \"S1\", \"at\": [60, 20], \"text\": \"Dash",
        "\"sheet\": \"S7\", \"at\": [60, 20], \"text\": \"Dash",
    );
    assert_ne!(wrong, text);
    let says = load(wrong.as_bytes()).expect_err("no such sheet").to_string();
    assert!(says.contains("there is no sheet S7 in this car, at notes.N"), "{says}");
}

#[test]
fn notes_say_nothing_to_electricity() {
    let (car, ..) = small_car();
    let mut noted = car.clone();
    edit(&mut noted, Edit::AddNote(note("Seen", None)));
    assert!(noted.is_wired_as(&car));
}

#[test]
fn notes_are_rewritten_moved_copied_and_erased() {
    let (mut car, _, lamp, _) = small_car();
    edit(&mut car, Edit::AddNote(note("  Seen \n\n", None)));
    let id = NoteId(car.last_id());
    assert_eq!(car.notes()[&id].text, "  Seen");
    edit(&mut car, Edit::MoveNotes { notes: vec![id], by: Point::new(5.0, -5.0) });
    assert_eq!(car.notes()[&id].at, Point::new(65.0, 15.0));
    let clip = car.copy_with_notes(&[lamp], &[id]);
    let text = serde_json::to_string(&clip).expect("a clip has a JSON form");
    let clip = serde_json::from_str(&text).expect("and reads back");
    let standing = loomwright_circuit::Standing::AsFound;
    let by = Point::new(10.0, 10.0);
    edit(&mut car, Edit::Paste { clip, sheet: SheetId(1), by, standing });
    assert_eq!(car.notes().values().last().expect("the copy").at, Point::new(75.0, 25.0));
    let before = car.clone();
    let patch = car.plan(Edit::EraseNotes(vec![id])).expect("erasable");
    car.apply(&patch);
    assert!(!car.notes().contains_key(&id));
    car.apply(&patch.inverse());
    assert_eq!(car, before);
}

#[test]
fn a_note_that_cannot_stand_is_refused_with_a_sentence() {
    let (car, ..) = small_car();
    let says = |note: Note| refused(&car, Edit::AddNote(note)).to_string();
    assert_eq!(says(note(" \n ", None)), "a note must not be empty");
    assert_eq!(says(note(&"x".repeat(2001), None)), "a note must have at most 2000 characters");
    assert_eq!(says(note(&"x\n".repeat(61), None)), "a note must have at most 60 lines");
    let thin = Some(Point::new(2.0, 30.0));
    assert_eq!(says(note("Dash", thin)), "a frame must be at least 5 mm wide and high");
    let two = note("Dash\nboard", Some(Point::new(20.0, 30.0)));
    assert_eq!(says(two), "a frame's title must be one line without control characters");
    let far = Note { at: Point::new(f64::NAN, 0.0), ..note("Seen", None) };
    assert!(says(far).starts_with("a note must lie within"));
}
