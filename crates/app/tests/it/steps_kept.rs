//! What was worked in Try stays: steps that give way to others, and controls while the car is drawn on.

use egui::{Key, Modifiers};
use loomwright_app::action::Action;

use crate::window::Window;

fn put(window: &mut Window, position: &str) {
    let (control, position) = position.split_once(": ").expect("a control and its position");
    let ctx = window.harness.ctx.clone();
    let work = Action::Work(control.to_owned(), position.to_owned());
    window.harness.state_mut().act(&ctx, work);
    window.run();
}

/// The roadster with three steps made, of which two are taken back.
fn gone_back() -> Window {
    let mut window = Window::trying(crate::cars::roadster());
    for position in ["ignition: on", "Wiper switch: on", "Driving-lamp switch: on"] {
        put(&mut window, position);
    }
    for _ in 0..2 {
        window.key(Modifiers::NONE, Key::Comma);
    }
    assert_eq!((window.trial().moves.len(), window.trial().undone.len()), (1, 2));
    window
}

fn record(window: &Window) -> Vec<String> {
    let record = window.trial().record();
    record.into_iter().map(|step| step.control).collect()
}

#[test]
fn later_steps_that_give_way_to_another_are_told_and_brought_back() {
    let mut window = gone_back();
    put(&mut window, "Driving-lamp switch: on");
    let (all, other) =
        (["ignition", "Wiper switch", "Driving-lamp switch"], ["ignition", "Driving-lamp switch"]);
    assert_eq!(record(&window), other);
    assert!(window.says("2 later steps are put aside"));
    window.click("Bring back 2 steps");
    assert_eq!(record(&window), all);
    assert_eq!(window.trial().moves.len(), 1, "it stands where it was gone on from");
    // What took their place is put aside in its turn.
    window.click("Bring back 1 step");
    assert_eq!(record(&window), other);
}

#[test]
fn the_next_step_worked_by_hand_leaves_the_later_ones_as_they_are() {
    let mut window = gone_back();
    put(&mut window, "Wiper switch: on");
    assert_eq!((window.trial().moves.len(), window.trial().undone.len()), (2, 1));
    assert!(!window.says("put aside") && !window.says("Bring back"));
}

#[test]
fn the_controls_stand_as_they_were_left_when_try_is_come_back_to() {
    let mut window = Window::trying(crate::cars::roadster());
    put(&mut window, "ignition: on");
    window.key(Modifiers::COMMAND, Key::Num1);
    window.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(window.trial().position("ignition").expect("it is there").name, "on");
    assert!(window.says("The controls stand as you left them"));
    window.key(Modifiers::NONE, Key::Backspace);
    window.key(Modifiers::COMMAND, Key::Num1);
    window.key(Modifiers::COMMAND, Key::Num2);
    assert!(!window.says("The controls stand as you left them"), "all is at rest");
}
