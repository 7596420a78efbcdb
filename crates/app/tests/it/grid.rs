//! The truth table of promises is written in place, by mouse and by keyboard; each change is one step.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::state::{Mode, Question};
use loomwright_circuit::{Expectation, Promise};

use crate::window::Window;

/// Hazard warning on a fuse of its own, and a lamp that the key feeds.
const CAR: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
fuse F1 blade 10 A
fuse F2 blade 10 A
ignition-switch S1
hazard-switch S2 \"hazard\"
flasher-electronic-2 FL1
lamp \"Left indicator\" 21 W
lamp \"Right indicator\" 21 W
lamp \"Cigar lamp\" 5 W
wire W1 B1.+ S1.30 4 mm2 0.5 m
wire W2 S1.15 F1.1 2 mm2 1 m
wire W3 F1.2 S2.15 2 mm2 1 m
wire W4 B1.+ F2.1 2 mm2 0.3 m
wire W5 F2.2 S2.30 2 mm2 1 m
wire W6 S2.49 FL1.49 2 mm2 1 m
wire W7 FL1.49a S2.49a 2 mm2 1 m
wire W8 S2.L \"Left indicator\".1 2 mm2 1 m
wire W9 S2.R \"Right indicator\".1 2 mm2 1 m
wire W10 \"Left indicator\".2 B1.- 2 mm2 1 m
wire W11 \"Right indicator\".2 B1.- 2 mm2 1 m
wire W12 S2.31 B1.- 1 mm2 1 m
wire W13 F1.2 \"Cigar lamp\".1 2 mm2 1 m
wire W14 \"Cigar lamp\".2 B1.- 2 mm2 1 m
promise hazard=on ignition=off : \"Left indicator\" flashing
promise hazard=off : \"Left indicator\" dark
";

const FLASHES: &str = "Left indicator with hazard on, ignition off: flashing, kept";

/// The table of that car, every promise judged.
fn table() -> Window {
    table_of(CAR)
}

fn table_of(text: &str) -> Window {
    let mut window = Window::on(loomwright_sketch::parse(text).expect("a sketch"));
    window.check();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.promise("All as a table …");
    window
}

fn press(window: &mut Window, name: &str) {
    window.harness.get_by_role_and_label(Role::Button, name).click_accesskit();
    window.run();
}

fn tick(window: &mut Window, name: &str) {
    window.harness.get_by_role_and_label(Role::CheckBox, name).click_accesskit();
    window.run();
}

fn focus(window: &mut Window, name: &str) {
    window.harness.get_by_role_and_label(Role::Button, name).focus();
    window.run();
}

fn has(window: &Window, name: &str) -> bool {
    window.harness.query_by_label(name).is_some()
}

fn assert_has(window: &Window, name: &str) {
    let cells = window.harness.query_all_by_label_contains(" with ");
    let known: Vec<String> = cells.filter_map(|cell| cell.accesskit_node().label()).collect();
    assert!(has(window, name), "no '{name}' among {known:#?}");
}

fn promises(window: &Window) -> Vec<Promise> {
    window.car().promises().values().cloned().collect()
}

fn step(window: &Window) -> Option<String> {
    window.app().state.doc.history.next_undo().map(|step| step.label.clone())
}

#[test]
fn every_cell_tells_part_setting_what_is_asked_and_how_it_is_kept() {
    let window = table();
    assert_has(&window, FLASHES);
    assert_has(&window, "Left indicator with hazard off: dark, kept");
}

#[test]
fn a_cell_is_changed_by_a_list_and_taken_back() {
    let mut window = table();
    let before = promises(&window);
    press(&mut window, FLASHES);
    press(&mut window, "dark");
    assert_eq!(promises(&window)[0].then[0].must, Expectation::Dark);
    let label = "promise: Left indicator dark with hazard on, ignition off";
    assert_eq!(step(&window).as_deref(), Some(label));
    window.check();
    assert_has(&window, "Left indicator with hazard on, ignition off: dark, broken");
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(promises(&window), before);
    window.check();
    assert_has(&window, FLASHES);
    window.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(promises(&window)[0].then[0].must, Expectation::Dark);
}

#[test]
fn the_keyboard_goes_from_cell_to_cell_and_writes() {
    let mut window = table();
    focus(&mut window, FLASHES);
    window.key(Modifiers::NONE, Key::L);
    assert_eq!(promises(&window)[0].then[0].must, Expectation::Lit);
    window.key(Modifiers::NONE, Key::F);
    assert_eq!(promises(&window)[0].then[0].must, Expectation::Flashing);
    window.key(Modifiers::NONE, Key::ArrowDown);
    window.key(Modifiers::NONE, Key::F);
    assert_eq!(promises(&window)[1].then[0].must, Expectation::Flashing);
    // A letter that is no word of a lamp's, and a way on that is not there, do nothing.
    let before = promises(&window);
    for key in [Key::W, Key::ArrowDown, Key::ArrowRight] {
        window.key(Modifiers::NONE, key);
    }
    assert_eq!(promises(&window), before);
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::D);
    assert_eq!(promises(&window)[0].then[0].must, Expectation::Dark);
}

#[test]
fn a_part_is_asked_for_and_gets_a_column() {
    let mut window = table();
    press(&mut window, "Add a part");
    assert!(has(&window, "Cigar lamp"));
    window.harness.get_by_label("Find a part for a column").focus();
    window.run();
    window.harness.event(egui::Event::Text("right".to_owned()));
    window.run();
    assert!(!has(&window, "Cigar lamp"));
    press(&mut window, "Right indicator");
    let cell = "Right indicator with hazard on, ignition off: anything";
    focus(&mut window, cell);
    window.key(Modifiers::NONE, Key::F);
    window.check();
    assert_has(&window, "Right indicator with hazard on, ignition off: flashing, kept");
    assert_eq!(promises(&window)[0].then.len(), 2);
    window.key(Modifiers::NONE, Key::Delete);
    assert_has(&window, cell);
    assert_eq!(promises(&window)[0].then.len(), 1);
    let label = "ask nothing of Right indicator with hazard on, ignition off";
    assert_eq!(step(&window).as_deref(), Some(label));
}

#[test]
fn a_column_is_taken_out_in_one_step_and_its_settings_wait() {
    let mut window = table();
    let before = promises(&window);
    press(&mut window, "Column Left indicator");
    press(&mut window, "Take this column out");
    assert!(promises(&window).is_empty());
    assert!(!has(&window, "Column Left indicator"));
    assert!(has(&window, "Setting hazard off, of hazard off"), "its settings can be used again");
    assert_eq!(step(&window).as_deref(), Some("ask nothing of Left indicator"));
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(promises(&window), before);
    window.check();
    assert_has(&window, FLASHES);
}

#[test]
fn a_setting_is_changed_in_place() {
    let mut window = table();
    press(&mut window, "Setting ignition off, of hazard on, ignition off");
    tick(&mut window, "on");
    assert_eq!(promises(&window)[0].when[1].positions, ["off", "on"]);
    let label = "setting of a promise: hazard on, ignition off or on";
    assert_eq!(step(&window).as_deref(), Some(label));
    press(&mut window, "May stand anywhere");
    assert_eq!(promises(&window)[0].when.len(), 1);
    window.check();
    assert_has(&window, "Left indicator with hazard on: flashing, kept");
    press(&mut window, "Add a control to hazard on");
    press(&mut window, "ignition off");
    assert_eq!(promises(&window)[0].when.len(), 2);
    for _ in 0..3 {
        window.key(Modifiers::COMMAND, Key::Z);
    }
    window.check();
    assert_has(&window, FLASHES);
}

#[test]
fn a_fuse_out_is_asked_for_and_what_it_breaks_is_told() {
    let mut window = table();
    press(&mut window, "Fuses out of hazard on, ignition off");
    tick(&mut window, "F1");
    window.check();
    assert_has(&window, "Left indicator with hazard on, ignition off, without F1: flashing, kept");
    assert_eq!(step(&window).as_deref(), Some("promise without F1: hazard on, ignition off"));
    tick(&mut window, "F2");
    window.check();
    let all = "hazard on, ignition off, without F1 or F2";
    assert_has(&window, &format!("Left indicator with {all}: flashing, broken"));
    assert!(has(&window, "broken first with hazard on, F2 out"));
}

#[test]
fn what_breaks_a_promise_first_is_told_and_shown() {
    let mut window = table();
    focus(&mut window, FLASHES);
    window.key(Modifiers::NONE, Key::D);
    window.check();
    assert!(has(&window, "broken first with hazard on"));
    press(&mut window, "Show me: hazard on, ignition off");
    assert!(window.app().state.question.is_none());
    assert_eq!(window.app().state.mode, Mode::Try);
    let trial = window.app().analysis.trial.as_ref().expect("in Try");
    assert_eq!(trial.position("hazard").map(|position| &*position.name), Some("on"));
    let says = "With hazard on, Left indicator is flashing and should be dark";
    assert!(has(&window, says));
}

#[test]
fn a_row_begins_with_what_try_shows_and_becomes_a_promise_with_its_first_cell() {
    let mut window = table();
    press(&mut window, "Close");
    window.harness.get_by_role_and_label(Role::RadioButton, "ignition: on").click_accesskit();
    window.run();
    window.promise("All as a table …");
    press(&mut window, "Add a setting");
    assert_eq!(promises(&window).len(), 2, "nothing is promised yet");
    let cell = "Left indicator with ignition on: anything";
    focus(&mut window, cell);
    window.key(Modifiers::NONE, Key::D);
    assert_eq!(promises(&window).len(), 3);
    let label = "promise: Left indicator dark with ignition on";
    assert_eq!(step(&window).as_deref(), Some(label));
    window.check();
    assert_has(&window, "Left indicator with ignition on: dark, broken");
    // With its last cell it waits again.
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(promises(&window).len(), 2);
    assert_has(&window, cell);
    press(&mut window, "Remove the promise: ignition on");
    assert!(!has(&window, cell));
    press(&mut window, "Remove the promise: hazard off");
    assert_eq!(promises(&window).len(), 1);
    assert_eq!(step(&window).as_deref(), Some("remove the promise: hazard off"));
}

#[test]
fn a_setting_that_never_comes_about_is_marked_as_not_met() {
    let never = CAR.replace("hazard=on ignition=off", "hazard=on engine=running");
    let window = table_of(&never);
    assert_has(&window, "Left indicator with hazard on, engine running: flashing, not met");
}

#[test]
fn a_large_table_is_scrolled_and_its_headings_stay() {
    let mut window = Window::on(crate::cars::roadster());
    window.check();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.promise("All as a table …");
    let Some(Question::Promises(grid)) = &window.app().state.question else { panic!("a table") };
    let n_columns = grid.columns.len();
    for _ in n_columns..12 {
        press(&mut window, "Add a part");
        window.harness.get_by_label("Find a part for a column").focus();
        window.run();
        window.key(Modifiers::NONE, Key::Enter);
    }
    let Some(Question::Promises(grid)) = &window.app().state.question else { panic!("a table") };
    assert!(grid.columns.len() >= 12);
    let n_rows = window.car().promises().len();
    let place = |window: &Window, name: &str| window.harness.get_by_label(name).rect();
    let heads: Vec<String> = window
        .harness
        .query_all_by_label_contains("Column ")
        .filter_map(|head| head.accesskit_node().label())
        .collect();
    let of_first = format!("{} with ", heads[0].trim_start_matches("Column "));
    let cells = window.harness.query_all_by_label_contains(&of_first);
    let buttons = cells.filter(|cell| cell.accesskit_node().role() == Role::Button);
    buttons.into_iter().next().expect("a cell").focus();
    window.run();
    let (head, corner) = (place(&window, &heads[0]), place(&window, "Add a part"));
    for _ in 0..n_rows {
        window.key(Modifiers::NONE, Key::ArrowDown);
    }
    let lower = place(&window, &heads[0]);
    assert!((lower.top() - head.top()).abs() <= 1.0, "the headings stay: {head} {lower}");
    for _ in 0..12 {
        window.key(Modifiers::NONE, Key::ArrowRight);
    }
    let aside = place(&window, "Add a part");
    assert!(aside.left() < corner.left() - 50.0, "the parts are scrolled aside");
    assert!((aside.top() - corner.top()).abs() <= 1.0);
}

#[test]
fn every_list_of_the_table_opens_by_the_mouse() {
    let mut window = table();
    let lists = [
        (FLASHES, "anything"),
        ("Add a part", "Cigar lamp"),
        ("Column Left indicator", "Take this column out"),
        ("Setting ignition off, of hazard on, ignition off", "May stand anywhere"),
        ("Add a control to hazard off", "ignition off"),
        ("Fuses out of hazard off", "F2"),
    ];
    for (name, row) in lists {
        window.click(name);
        assert!(has(&window, row), "{name} lists nothing");
        window.key(Modifiers::NONE, Key::Escape);
        assert!(!has(&window, row), "{name} is still open");
        assert!(window.app().state.question.is_some(), "the table stays");
    }
}
