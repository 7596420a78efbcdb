//! What is shown in Try is promised, stands in the list and the table, and is removed; each is one step.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::{Action, PromiseStep};
use loomwright_circuit::{Claim, Expectation, Moment, Promise};

use crate::window::Window;

fn trying() -> Window {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    window
}

fn press(window: &mut Window, role: Role, name: &str) {
    window.harness.get_by_role_and_label(role, name).click_accesskit();
    window.run();
}

fn has(window: &Window, text: &str) -> bool {
    window.harness.query_by_label(text).is_some()
}

fn promises(window: &Window) -> Vec<Promise> {
    window.car().promises().values().cloned().collect()
}

fn wanted(window: &Window, position: &str, claims: &[(&str, Expectation)]) -> Promise {
    let when =
        Moment { control: "Work-lamp switch".to_owned(), positions: vec![position.to_owned()] };
    let claims = claims.iter().map(|(label, must)| Claim {
        part: window.part(label),
        terminal: None,
        must: *must,
    });
    Promise { when: vec![when], without: Vec::new(), then: claims.collect() }
}

#[test]
fn what_is_shown_is_promised_in_one_step() {
    let mut window = trying();
    press(&mut window, Role::RadioButton, "Work-lamp switch: on");
    window.promise("Promise what is shown …");
    press(&mut window, Role::Button, "Promise");
    let lit = Expectation::Lit;
    let both = [("Left work lamp", lit), ("Right work lamp", lit)];
    assert_eq!(promises(&window), [wanted(&window, "on", &both)]);
    let says = "Work-lamp switch on: Left work lamp lit, Right work lamp lit";
    assert!(has(&window, says), "it stands in the list");
    assert!(has(&window, "kept"), "and is judged");
    press(&mut window, Role::RadioButton, "Work-lamp switch: off");
    assert!(has(&window, "not now"));
    let label = window.app().state.doc.history.next_undo().map(|step| step.label.clone());
    assert_eq!(label.as_deref(), Some("promise: Work-lamp switch on"));
    window.key(Modifiers::COMMAND, Key::Z);
    assert!(promises(&window).is_empty());
    assert!(!has(&window, says));
}

#[test]
fn enter_promises_and_space_ticks() {
    let mut window = trying();
    press(&mut window, Role::RadioButton, "Work-lamp switch: on");
    window.promise("Promise what is shown …");
    // With the keyboard at a tick it is no other key.
    window.harness.get_by_role_and_label(Role::CheckBox, "Right work lamp").focus();
    window.run();
    window.key(Modifiers::NONE, Key::Space);
    assert!(promises(&window).is_empty());
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(promises(&window), [wanted(&window, "on", &[("Left work lamp", Expectation::Lit)])]);
    assert!(!has(&window, "Promise what is shown?"));
    // At an answer it is that answer.
    press(&mut window, Role::RadioButton, "Work-lamp switch: off");
    window.promise("Promise what is shown …");
    window.harness.get_by_role_and_label(Role::Button, "Cancel").focus();
    window.run();
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(promises(&window).len(), 1);
    assert!(!has(&window, "Promise what is shown?"));
}

#[test]
fn of_a_selected_part_something_else_can_be_asked_than_it_does() {
    let mut window = trying();
    window.click("Part Left work lamp");
    window.promise("Promise what is shown …");
    // All is at rest, so that is the setting meant; the lamp is dark in it.
    press(&mut window, Role::RadioButton, "Left work lamp lit");
    press(&mut window, Role::Button, "Promise");
    let one = [("Left work lamp", Expectation::Lit)];
    assert_eq!(promises(&window), [wanted(&window, "off", &one)]);
    assert!(has(&window, "broken"), "it is not so");
}

#[test]
fn nothing_and_the_same_again_are_not_promised() {
    let mut window = trying();
    window.click("Part Left work lamp");
    window.promise("Promise what is shown …");
    press(&mut window, Role::CheckBox, "Left work lamp");
    press(&mut window, Role::Button, "Promise");
    assert!(has(&window, "Tick what must do something"));
    assert!(promises(&window).is_empty());
    press(&mut window, Role::CheckBox, "Left work lamp");
    press(&mut window, Role::Button, "Promise");
    assert_eq!(promises(&window).len(), 1);
    window.promise("Promise what is shown …");
    press(&mut window, Role::Button, "Promise");
    assert!(has(&window, "This is promised already"));
    assert_eq!(promises(&window).len(), 1);
}

#[test]
fn a_car_tells_each_of_its_consumers_by_what_it_does() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    let ctx = window.harness.ctx.clone();
    window.harness.state_mut().act(&ctx, Action::Promise(PromiseStep::Ask));
    let app = window.app();
    let Some(loomwright_app::state::Question::Promise(asked)) = &app.state.question else {
        panic!("the box is not open");
    };
    assert!(asked.when.iter().all(|(_, is_taken)| *is_taken), "all stand at rest");
    let trial = app.analysis.trial.as_ref().expect("the car is being tried");
    assert!(asked.then.len() > 5);
    for row in &asked.then {
        let keeps = trial.settled.breach(&row.claim).is_none();
        assert_eq!(keeps, row.does.is_none(), "{row:?}");
        assert!(row.choices.contains(&row.claim.must));
    }
}

#[test]
fn the_usual_promises_are_offered_with_what_they_come_to_and_made_in_one_step() {
    let text = include_str!("../../../../tests/corpus/sound/c03_driving_lamps.sketch");
    let car = loomwright_sketch::parse(text).expect("a sketch");
    let mut window = Window::on(car);
    window.check();
    window.key(Modifiers::COMMAND, Key::Num2);
    let before = window.car().promises().clone();
    // They are worked out after the findings; until then nothing is said of them.
    while window.app().analysis.checked.usual.is_none() {
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run();
    }
    window.promise("Offer the usual promises …");
    assert!(window.harness.query_all_by_label_contains("would be kept").count() > 0);
    let offered = window.harness.query_all_by_role(egui::accesskit::Role::CheckBox).count();
    assert!(offered > 1, "only {offered} offered");
    let first = window.harness.query_all_by_role(egui::accesskit::Role::CheckBox).next();
    let at = first.expect("a box to tick").rect().center();
    window.click_at(at, Modifiers::NONE);
    let make = match offered - 1 {
        1 => "Make 1 promise".to_owned(),
        n => format!("Make {n} promises"),
    };
    window.click(&make);
    assert_eq!(window.car().promises().len(), before.len() + offered - 1);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.car().promises(), before);
}

#[test]
fn the_first_click_after_escape_closed_the_box_works() {
    let mut window = trying();
    window.promise("Promise what is shown …");
    assert!(has(&window, "Promise what is shown?"));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(!has(&window, "Promise what is shown?"));
    window.promise("Promise what is shown …");
    assert!(has(&window, "Promise what is shown?"));
}
