//! What moves together, and where new rows come.

use egui::{Key, Modifiers};
use loomwright_app::action::{Action, BoardStep};
use loomwright_app::state::Selection;
use loomwright_circuit::{
    Anchor, Box2, Car, Edit, End, Note, Placement, Point, SheetId, Standing, Vehicle, Wire, WireId,
};

use crate::saving::act;
use crate::window::Window;

fn made(car: &mut Car, edit: Edit) -> u32 {
    let patch = car.plan(edit).expect("it is sound");
    car.apply(&patch);
    car.last_id()
}

fn lamp(car: &mut Car, x: f64, y: f64) -> loomwright_circuit::PartId {
    let at = Point::new(x, y);
    let part = loomwright_app::tool::new_part("lamp", SheetId(1), at, Standing::AsFound);
    let place = Placement { at, ..part.place };
    loomwright_circuit::PartId(made(car, Edit::Place(loomwright_circuit::Part { place, ..part })))
}

fn note(car: &mut Car, x: f64, y: f64) -> loomwright_circuit::NoteId {
    let (text, at) = ("As found".to_owned(), Point::new(x, y));
    let note = Note { sheet: SheetId(1), at, text, frame: None };
    loomwright_circuit::NoteId(made(car, Edit::AddNote(note)))
}

fn wire(car: &mut Car, from: Anchor, to: Anchor) -> WireId {
    WireId(made(car, Edit::Run(Wire::new("", End::at(from), End::at(to)))))
}

fn loose(x: f64, y: f64) -> Anchor {
    Anchor::Loose { sheet: SheetId(1), at: Point::new(x, y) }
}

#[test]
fn loose_ends_and_notes_that_are_selected_move_with_the_parts() {
    let mut car = Car::new(Vehicle::default());
    let part = lamp(&mut car, 60.0, 60.0);
    let terminal = Anchor::terminal(part, "1");
    let hanging = wire(&mut car, terminal.clone(), loose(60.0, 110.0));
    let lying = wire(&mut car, loose(90.0, 40.0), loose(120.0, 40.0));
    let left = wire(&mut car, terminal, loose(30.0, 110.0));
    let note = note(&mut car, 90.0, 60.0);
    let mut window = Window::on(car.clone());
    let selection =
        Selection { parts: [part].into(), wires: [hanging, lying].into(), notes: [note].into() };
    act(&mut window, Action::Select(selection));
    act(&mut window, Action::Board(BoardStep::Nudge(Point::new(10.0, 5.0))));
    let now = window.car();
    let ends = |id: WireId| now.wire(id).expect("a wire").ends().map(|end| end.at.clone());
    assert_eq!(ends(hanging)[1], loose(70.0, 115.0));
    assert_eq!(ends(lying), [loose(100.0, 45.0), loose(130.0, 45.0)]);
    assert_eq!(now.notes()[&note].at, Point::new(100.0, 65.0));
    assert_eq!(now.part(part).expect("the lamp").place.at, Point::new(70.0, 65.0));
    // What was not selected stays where it lies.
    assert_eq!(ends(left)[1], loose(30.0, 110.0));
    // It is one step.
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!((window.car().parts(), window.car().wires()), (car.parts(), car.wires()));
    assert_eq!(window.car().notes(), car.notes());
}

/// A place that the box around a wire covers, with nothing of the drawing near.
fn beside_a_line() -> (Window, Point) {
    let mut car = Car::new(Vehicle::default());
    let (a, b) = (lamp(&mut car, 40.0, 40.0), lamp(&mut car, 170.0, 130.0));
    let id = wire(&mut car, Anchor::terminal(a, "2"), Anchor::terminal(b, "1"));
    let window = Window::on(car);
    let line = window.line(id);
    let area = Box2::around(line.iter().copied()).expect("a line");
    let inner = area.grown(-35.0);
    let corners = [
        inner.min,
        inner.max,
        Point::new(inner.min.x, inner.max.y),
        Point::new(inner.max.x, inner.min.y),
    ];
    let distance = |at: &Point| {
        let of = |ends: &[Point]| {
            let stretch = Box2::around([ends[0], ends[1]]).expect("two places");
            let near = Point::new(
                at.x.clamp(stretch.min.x, stretch.max.x),
                at.y.clamp(stretch.min.y, stretch.max.y),
            );
            near.distance(*at)
        };
        line.windows(2).map(of).fold(f64::INFINITY, f64::min)
    };
    let far = corners.into_iter().max_by(|a, b| distance(a).total_cmp(&distance(b)));
    let far = far.expect("a corner").snapped(5.0);
    assert!(area.contains(far) && distance(&far) > 25.0, "{far:?} {line:?}");
    (window, far)
}

#[test]
fn a_new_note_comes_at_the_pointer_although_a_wire_goes_around_it() {
    let (mut window, at) = beside_a_line();
    window.harness.hover_at(window.at(at));
    window.run();
    window.key(Modifiers::NONE, Key::N);
    let note = window.car().notes().values().next().expect("a note");
    assert!(note.at.distance(at) < 2.5, "{:?} and not {at:?}", note.at);
}

#[test]
fn what_is_pasted_comes_at_the_pointer() {
    let (mut window, at) = beside_a_line();
    let first = *window.car().parts().keys().next().expect("a lamp");
    let clip = serde_json::to_string(&window.car().copy_with_notes(&[first], &[])).expect("JSON");
    window.harness.hover_at(window.at(at));
    window.run();
    window.harness.event(egui::Event::Paste(clip));
    window.run();
    let pasted = window.app().state.selection.only_part().expect("it is selected");
    let placed = window.car().part(pasted).expect("a lamp").place.at;
    assert!(placed.distance(at) < 5.0, "{placed:?} and not {at:?}");
}

#[test]
fn setting_many_parts_down_is_said_before_it_is_done() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::A);
    let (n_before, n_selected) =
        (window.car().parts().len(), window.app().state.selection.parts.len());
    assert!(n_selected >= 8, "{n_selected}");
    let ctx = window.harness.ctx.clone();
    let duplicate = Action::Command(loomwright_app::command::Command::Duplicate);
    window.harness.state_mut().act(&ctx, duplicate);
    let mut said = 0;
    for _ in 0..12 {
        window.harness.step();
        let is_said = window.says(&format!("Setting {n_selected} parts down"));
        said += usize::from(is_said);
        let is_done = window.car().parts().len() > n_before;
        assert!(!(is_said && is_done), "it is said until it is done");
        assert!(said > 0 || !is_done, "it is said first");
    }
    assert!(said > 0);
    assert_eq!(window.car().parts().len(), n_before + n_selected);
    assert!(window.app().state.selection.parts.len() == n_selected, "they are selected");
}
