//! A window in which nothing happens paints nothing: no frame is asked for, in any mode.

use std::time::Duration;

use egui::ViewportId;
use loomwright_app::action::Action;
use loomwright_app::command::Command;
use loomwright_app::state::Selection;
use loomwright_app::tool::new_part;
use loomwright_circuit::{Car, Edit, Point, SheetId, Standing, Vehicle};

use crate::saving::act;
use crate::window::Window;

/// How long the window would sleep after its last frame.
fn sleeps(window: &mut Window) -> Duration {
    window.run();
    window.rest();
    // One frame more than anything asks for.
    window.harness.step();
    window.harness.output().viewport_output[&ViewportId::ROOT].repaint_delay
}

fn check(car: Car) {
    let mut window = Window::on(car);
    assert_eq!(sleeps(&mut window), Duration::MAX, "as opened");
    let part = *window.car().parts().keys().next().expect("it has parts");
    act(&mut window, Action::Select(Selection::part(part)));
    assert_eq!(sleeps(&mut window), Duration::MAX, "with a part selected");
    act(&mut window, Action::Command(Command::Try));
    assert_eq!(sleeps(&mut window), Duration::MAX, "in Try, at rest");
}

#[test]
fn a_window_in_which_nothing_happens_asks_for_no_frame() {
    check(crate::cars::roadster());
}

#[test]
fn nor_does_one_with_a_large_sheet() {
    let mut car = Car::new(Vehicle::default());
    let at = |n: u32| Point::new(f64::from(n % 40) * 30.0, f64::from(n / 40) * 30.0);
    let lamp = |n| Edit::Place(new_part("lamp", SheetId(1), at(n), Standing::AsFound));
    // So many that the sheet is laid out in full by a thread.
    let patch = car.plan(Edit::All((0..1_300).map(lamp).collect())).expect("there is room");
    car.apply(&patch);
    check(car);
}
