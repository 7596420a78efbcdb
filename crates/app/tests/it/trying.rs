//! Working the car's switches.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::state::Mode;
use loomwright_electrics::PartState;

use crate::window::Window;

fn lamp_state(window: &Window) -> Option<PartState> {
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    trial.settled.on.state(window.part("Left work lamp"))
}

#[test]
fn a_click_on_a_switch_lights_its_lamps() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(window.app().state.mode, Mode::Try);
    assert_eq!(lamp_state(&window), Some(PartState::Dark));
    window.click("Part Work-lamp switch");
    assert_eq!(lamp_state(&window), Some(PartState::Lit));
    window.click("Part Work-lamp switch");
    assert_eq!(lamp_state(&window), Some(PartState::Dark));
}

#[test]
fn a_position_can_be_chosen_from_the_list_of_controls() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.harness.get_by_label("Work-lamp switch: on").click();
    window.run();
    assert_eq!(lamp_state(&window), Some(PartState::Lit));
    window.key(Modifiers::NONE, Key::Backspace);
    assert_eq!(lamp_state(&window), Some(PartState::Dark));
}

#[test]
fn readings_follow_the_selected_part() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.click("Part Work-lamp switch");
    window.click("Part Left work lamp");
    assert!(window.harness.query_by_label("lit").is_some());
    // 21 W at 12 V and a little more: a full lamp takes between 1.6 and 1.9 A.
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    let reading = trial.settled.on.part(window.part("Left work lamp")).expect("a reading");
    assert!((1.6..1.9).contains(&reading.amps.0), "{}", reading.amps);
    assert!(window.says(&format!("{:.2} A", reading.amps.0)));
}

#[test]
fn every_state_is_checked_in_the_background() {
    let mut window = Window::on_demo();
    window.rest();
    assert_eq!(window.app().analysis.checked.report.states, 2);
    assert!(window.harness.query_by_label_contains("every setting tried").is_some());
}

fn stands(window: &Window, control: &str) -> String {
    let trial = window.app().analysis.trial.as_ref().expect("the car is being tried");
    trial.position(control).expect("the car has it").name.clone()
}

fn put(window: &mut Window, control: &str, position: &str) {
    window.harness.get_by_label(&format!("{control}: {position}")).click();
    window.run();
}

#[test]
fn key_and_engine_are_worked_in_their_natural_order() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    put(&mut window, "ignition", "on");
    assert_eq!(stands(&window, "engine"), "stopped");
    put(&mut window, "ignition", "start");
    assert_eq!(stands(&window, "engine"), "cranking");
    put(&mut window, "engine", "idling");
    assert_eq!(stands(&window, "ignition"), "on");
    put(&mut window, "ignition", "off");
    assert_eq!(stands(&window, "engine"), "stopped");
    let says = "The engine stops: its ignition is not fed";
    assert!(window.harness.query_by_label_contains(says).is_some(), "it is said");
}

#[test]
fn the_key_held_and_let_go_on_the_drawing_starts_the_engine() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    window.click("Part Ignition switch");
    window.click("Part Ignition switch");
    assert_eq!((&*stands(&window, "ignition"), &*stands(&window, "engine")), ("on", "idling"));
}

#[test]
fn a_refused_move_is_told_beside_its_control() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    put(&mut window, "engine", "running");
    assert_eq!(stands(&window, "engine"), "stopped");
    let says = "Engine cannot go to running while ignition is at off";
    // On a plate beside the control, and in the strip along the bottom.
    assert_eq!(window.harness.query_all_by_label(says).count(), 2);
    put(&mut window, "ignition", "on");
    assert_eq!(window.harness.query_all_by_label(says).count(), 0);
}

#[test]
fn a_refusal_moves_nothing_in_the_list_of_controls() {
    let mut window = Window::trying(crate::cars::roadster());
    let rects = |window: &Window| {
        let radios = window.harness.query_all_by_role(egui::accesskit::Role::RadioButton);
        radios.map(|radio| radio.rect()).collect::<Vec<_>>()
    };
    let before = rects(&window);
    assert!(before.len() > 8);
    put(&mut window, "engine", "running");
    assert!(window.says("Engine cannot go to running while ignition is at off"));
    assert_eq!(rects(&window), before);
    // Who goes on to something else is no longer told.
    window.click("Part Starter motor");
    assert!(!window.says("Engine cannot go to running"));
}

#[test]
fn a_promise_tells_what_it_means() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    let app = window.app();
    let view = loomwright_app::view::controls::controls_view(&app.state, &app.analysis);
    let promise = view.promises.first().expect("the car has promises");
    assert!(promise.means.starts_with("Whenever "), "{}", promise.means);
    assert!(promise.means.contains(" must be lit"), "{}", promise.means);
}

#[test]
fn the_list_of_a_switch_marks_where_it_stands() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    window.click("Part Work-lamp switch");
    let at = window.place("Part Work-lamp switch");
    window.harness.hover_at(at);
    for pressed in [true, false] {
        window.harness.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Secondary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    window.run();
    for (name, is_there) in [("on", true), ("off", false)] {
        let role = egui::accesskit::Role::RadioButton;
        let row = window.harness.get_by_role_and_label(role, name);
        let is_marked = row.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True);
        assert_eq!(is_marked, is_there, "{name}");
    }
}

#[test]
fn the_findings_stay_where_they_are_while_switches_are_worked() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    window.key(Modifiers::COMMAND, Key::Num2);
    let place = |window: &Window| window.harness.get_by_label_contains("Finding 1: ").rect();
    let before = place(&window);
    let (switch, kind) = {
        let car = window.car();
        let sheet = window.app().state.sheet;
        let mut parts = car.parts().iter().filter(|(_, part)| part.sheet == sheet);
        let found =
            parts.find(|(id, _)| car.type_of(**id).is_some_and(|it| !it.controls.is_empty()));
        let (id, part) = found.expect("a switch on the sheet");
        (part.label.clone(), *id)
    };
    window.click(&format!("Part {switch}"));
    assert_eq!(window.app().state.selection.only_part(), Some(kind));
    assert_eq!(place(&window), before);
}

#[test]
fn wires_meant_by_a_finding_stand_out_in_try() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::Num2);
    let marked = |window: &Window| {
        let colour = window.app().state.theme().selected.gamma_multiply(0.5);
        let is_it = |shape: &egui::epaint::ClippedShape| match &shape.shape {
            egui::Shape::Path(path) => path.stroke.color == egui::epaint::ColorMode::Solid(colour),
            egui::Shape::LineSegment { stroke, .. } => stroke.color == colour,
            _ => false,
        };
        window.harness.output().shapes.iter().filter(|shape| is_it(shape)).count()
    };
    assert_eq!(marked(&window), 0);
    window.click("Wire W2");
    assert_eq!(marked(&window), 1);
}

#[test]
fn the_menu_of_a_place_near_a_fuse_or_on_the_words_beside_it_offers_something() {
    let mut window = Window::on(crate::cars::roadster());
    window.key(Modifiers::COMMAND, Key::Num2);
    let fuse = window.place("Part Fuse A1-A2");
    for by in [egui::vec2(0.0, 0.0), egui::vec2(6.0, 2.0), egui::vec2(0.0, 16.0)] {
        window.open_menu(fuse + by);
        assert!(!window.says("Nothing here can be worked"), "{by} from the fuse");
        assert!(window.says("Pull the fuse") || window.says("Red probe"), "{by} from the fuse");
        window.key(Modifiers::NONE, Key::Escape);
    }
}

#[test]
fn each_relay_of_a_box_with_several_moves_its_own_contacts() {
    let mut window = Window::on(crate::cars::heron_van());
    window.key(Modifiers::COMMAND, Key::Num2);
    let unit = window.part("Bypass unit");
    let coils = |window: &Window| -> Vec<String> {
        let app = window.app();
        let trial = app.analysis.trial.as_ref().expect("the car is being tried");
        let live = trial.live(app.state.car(), true);
        live.parts[&unit].relays_in.iter().map(|[feed, _]| feed.clone()).collect()
    };
    assert!(coils(&window).is_empty(), "all rest");
    put(&mut window, "ignition", "on");
    put(&mut window, "brake", "pressed");
    assert_eq!(coils(&window), ["54"], "the stop lamps' alone");
}
