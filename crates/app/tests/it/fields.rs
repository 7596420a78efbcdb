//! Editing what is selected, with units.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::state::{Notice, Selection};
use loomwright_circuit::Standing;

use crate::saving::act;
use crate::window::Window;

#[test]
fn a_size_typed_for_all_leaves_the_battery_cable_as_it_is() {
    let mut window = Window::on(crate::cars::learner());
    window.click("What you draw is as found");
    let all = window.car().wires().keys().copied().collect();
    act(&mut window, Action::Select(Selection { wires: all, ..Selection::default() }));
    window.type_into("Size", "1.5 mm²");
    let size = |window: &Window, label: &str| {
        let id = window.wire(label);
        window.car().wire(id).expect("a wire").size.expect("a size").square_mm()
    };
    assert_eq!((size(&window, "W7"), size(&window, "W1")), (16.0, 1.5));
    let notice = window.app().state.notice.clone();
    assert!(
        matches!(&notice, Some(Notice::Said(says)) if says.contains("W7") && says.contains("cable")),
        "{notice:?}"
    );
    // Where only cables are selected, they are meant.
    let cable = window.wire("W7");
    act(&mut window, Action::Select(Selection { wires: [cable].into(), ..Selection::default() }));
    window.type_into("Size", "8 mm²");
    assert_eq!(size(&window, "W7"), 8.0);
}

#[test]
fn a_size_in_awg_is_understood() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W3");
    window.type_into("Size", "16 AWG");
    let size = window.car().wire(window.wire("W3")).expect("a wire").size.expect("a size");
    // ASTM B258: AWG 16 is 1.309 mm².
    assert!((size.square_mm() - 1.309).abs() < 1e-3, "{size}");
    // What was typed stays to be read beside the metric figure.
    assert!(window.says("16 AWG"));
}

#[test]
fn a_length_in_feet_and_inches_is_understood() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W3");
    window.type_into("Length", "2 ft 6");
    let length = window.car().wire(window.wire("W3")).expect("a wire").length.expect("a length");
    assert!((length.0 - 0.762).abs() < 1e-9, "{length}");
    assert!(window.says("2 ft 6 in"));
}

#[test]
fn nonsense_stays_in_its_field_with_one_sentence_below() {
    let mut window = Window::on_demo();
    window.click("Wire W3");
    let before = window.car().clone();
    window.type_into("Size", "thick");
    assert_eq!(*window.car(), before);
    assert!(window.harness.query_by_label_contains("is no wire size").is_some());
    let field = window.harness.get_by_role_and_label(egui::accesskit::Role::TextInput, "Size");
    assert_eq!(field.value().as_deref(), Some("thick"));
}

#[test]
fn with_the_to_fit_pen_another_colour_makes_a_pair() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    let id = window.wire("W2");
    window.click("Wire W2");
    window.type_into("Colour", "white/blue");
    assert_eq!(window.car().wires().len(), n_wires + 1);
    assert_eq!(window.car().wire(id).expect("the old lead").standing, Standing::ToRemove);
    let new = window.car().wires().values().last().expect("the new lead");
    assert_eq!(new.standing, Standing::ToFit);
    assert_eq!(new.colour.map(|colour| colour.words()).as_deref(), Some("white/blue"));
}

#[test]
fn what_was_typed_is_entered_when_something_else_is_clicked() {
    let mut window = Window::on_demo();
    window.click("Part Fuse 1");
    window.harness.get_by_role_and_label(egui::accesskit::Role::TextInput, "Label").focus();
    window.run();
    window.key(Modifiers::COMMAND, Key::A);
    window.harness.event(egui::Event::Text("Work-lamp fuse".to_owned()));
    window.run();
    let empty = window.canvas(0.5, 0.95);
    window.click_at(empty, Modifiers::NONE);
    assert!(window.has_part("Work-lamp fuse"));
}

#[test]
fn two_parts_cannot_have_one_label() {
    let mut window = Window::on_demo();
    window.click("Part Fuse 1");
    window.type_into("Label", "Battery");
    assert!(window.has_part("Fuse 1"));
    assert!(window.harness.query_by_label_contains("labels must differ").is_some());
}

#[test]
fn the_vehicle_is_edited_while_nothing_is_selected() {
    let mut window = Window::on_demo();
    window.click("The car");
    window.type_into("Name", "Saturday's van");
    assert_eq!(window.car().vehicle().name, "Saturday's van");
}

#[test]
fn a_plain_metric_figure_stands_alone() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W3");
    window.type_into("Size", "1.5 mm2");
    window.type_into("Length", "1.27 m");
    assert!(window.harness.query_by_label_contains("AWG").is_none());
    window.type_into("Length", "2.5 m");
    assert!(window.harness.query_by_label_contains(" ft ").is_none());
    window.type_into("Size", "28/0.30");
    assert!(window.harness.query_by_label("28/0.30").is_some());
}

#[test]
fn a_share_is_shown_and_read_in_hundredths() {
    let mut window = Window::empty();
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(egui::Event::Text("Relay, normally open".to_owned()));
    window.run();
    window.key(Modifiers::NONE, Key::Enter);
    let role = egui::accesskit::Role::TextInput;
    let name = "Pull-in, share of marked volts";
    let field = window.harness.get_by_role_and_label(role, name);
    assert_eq!(field.value().as_deref(), Some("60 %"));
    window.type_into(name, "72.5 %");
    let part = window.car().parts().values().next().expect("the relay");
    assert_eq!(part.facts.get("pull_in"), Some(&0.725));
    window.type_into(name, "lots");
    assert!(window.says("write a share from 30 % to 90 %"));
}

#[test]
fn a_colour_is_picked_from_the_list() {
    let mut window = Window::on_demo();
    let old = window.wire("W1");
    window.click("Wire W1");
    window.click("List of colours");
    window.harness.get_by_label("Cover green").click();
    window.run();
    // With the to-fit pen the new lead of the pair is gone on with.
    let new = window.app().state.selection.only_wire().expect("one wire");
    assert_ne!(new, old);
    window.harness.get_by_label("Tracer yellow").click();
    window.run();
    assert_eq!(window.app().state.selection.only_wire(), Some(new));
    let colour = window.car().wire(new).and_then(|wire| wire.colour).expect("a colour");
    assert_eq!(colour.words(), "green/yellow");
}

#[test]
fn a_size_typed_key_by_key_stays_in_its_box_beside_the_hint() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W3");
    for (name, first, second) in [("Size", "28/0.30", "1.5 mm2"), ("Length", "2 ft 6", "1.5 m")] {
        window.type_into(name, first);
        window.click_field(name);
        window.key(Modifiers::COMMAND, Key::A);
        let before = window.car().clone();
        window.type_slowly(second);
        // Nothing of it has gone to the sheet, and half an entry is no entry.
        assert_eq!(*window.car(), before);
        let field = window.harness.get_by_role_and_label(egui::accesskit::Role::TextInput, name);
        assert!(field.is_focused(), "{name} has lost the keyboard");
        assert_eq!(field.value().as_deref(), Some(second));
        window.key(Modifiers::NONE, Key::Enter);
    }
    let wire = window.car().wire(window.wire("W3")).expect("a wire");
    assert_eq!(wire.size.map(|size| size.square_mm()), Some(1.5));
    assert_eq!(wire.length.map(|length| length.0), Some(1.5));
}

#[test]
fn nonsense_waits_in_its_field_until_it_is_mended() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Wire W3");
    window.click_field("Length");
    window.key(Modifiers::COMMAND, Key::A);
    window.type_slowly("banana");
    let before = window.car().clone();
    // Another wire is clicked, then this one again: what is wrong is still told.
    window.click("Wire W2");
    window.click("Wire W3");
    assert_eq!(*window.car(), before);
    let role = egui::accesskit::Role::TextInput;
    let field = window.harness.get_by_role_and_label(role, "Length");
    assert_eq!(field.value().as_deref(), Some("banana"));
    assert!(window.harness.query_by_label_contains("'banana'").is_some(), "it says why");
    window.type_into("Length", "2 m");
    assert!(window.harness.query_by_label_contains("'banana'").is_none());
    let wire = window.car().wire(window.wire("W3")).expect("a wire");
    assert_eq!(wire.length.map(|length| length.0), Some(2.0));
}

#[test]
fn a_length_typed_for_several_wires_is_that_of_each_and_one_step() {
    let mut window = Window::on(crate::cars::learner());
    window.click("What you draw is as found");
    let before = window.car().clone();
    let wires = ["W2", "W3"].map(|label| window.wire(label));
    let both = wires.into_iter().collect();
    act(&mut window, Action::Select(Selection { wires: both, ..Selection::default() }));
    window.type_into("Length", "1.35 m");
    let lengths = wires.map(|id| window.car().wire(id).and_then(|wire| wire.length));
    assert_eq!(lengths.map(|length| length.map(|length| length.0)), [Some(1.35); 2]);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().wires(), before.wires());
}
