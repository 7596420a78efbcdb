//! Kits: fitted whole, in one step, beside what stands.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::{Box2, Standing};
use loomwright_drawing::{Options, lay_out};

use crate::window::Window;

#[test]
fn a_kit_is_fitted_beside_what_stands_as_one_step_to_fit_and_selected() {
    let mut window = Window::on_demo();
    let before = window.car().clone();
    window.click("Kits");
    window.click("Kit: Horn on a relay");
    let car = window.car().clone();
    assert!(car.parts().len() > before.parts().len() + 5);
    assert!(car.promises().len() > before.promises().len());
    let selection = window.app().state.selection.clone();
    let is_new = |label: &str| before.part_labelled(label).is_none();
    let new: Vec<_> = car.parts().iter().filter(|(_, part)| is_new(&part.label)).collect();
    assert_eq!(selection.parts.len(), new.len());
    assert!(new.iter().all(|(_, part)| part.standing == Standing::ToFit));
    // Nothing of it lies on what stood before.
    let sheet = window.app().state.sheet;
    let area = |car: &loomwright_circuit::Car| {
        let laid = lay_out(car, sheet, &Options::default());
        laid.items.iter().map(|item| item.bounds).reduce(Box2::union).expect("a drawing")
    };
    let stood = area(&before);
    assert!(new.iter().all(|(_, part)| !stood.grown(5.0).contains(part.place.at)));
    assert!(window.harness.query_by_label_contains("join the loose end").is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().parts(), before.parts());
    assert_eq!(window.car().promises(), before.promises());
}

#[test]
fn a_fitted_kit_is_dragged_as_a_group() {
    let mut window = Window::empty();
    window.click("Kits");
    window.click("Kit: Stop lamps");
    let before = window.car().clone();
    window.drag_by("Part Brake switch", vec2(0.0, 60.0));
    let moved = |label: &str| {
        let at = |car: &loomwright_circuit::Car| car.part_labelled(label).expect(label).1.place.at;
        (at(window.car()).x - at(&before).x, at(window.car()).y - at(&before).y)
    };
    let by = moved("Brake switch");
    assert!(by.1 > 0.0);
    assert_eq!(moved("Left stop lamp"), by);
    assert_eq!(moved("Stop lamp earth"), by);
}

#[test]
fn the_same_kit_twice_has_labels_and_controls_of_its_own() {
    let mut window = Window::empty();
    window.click("Kits");
    window.click("Kit: Horn on a relay");
    window.click("Kit: Horn on a relay");
    assert!(window.has_part("Horn relay 2"));
    let names: Vec<String> = window.car().controls().into_iter().map(|it| it.name).collect();
    assert_eq!(names, ["horn", "horn 2"]);
    let asked = |name: &str| {
        let promises = window.car().promises().values();
        promises.filter(|promise| promise.when.iter().any(|it| it.control == name)).count()
    };
    assert_eq!((asked("horn"), asked("horn 2")), (2, 2));
}

#[test]
fn a_kit_is_found_at_the_parts_counter_and_one_for_other_volts_is_refused() {
    let mut window = Window::empty();
    window.key(Modifiers::COMMAND, Key::F);
    window.type_slowly("hazard warning");
    window.key(Modifiers::NONE, Key::ArrowUp);
    let found = window.harness.get_by_label("Hazard warning, Signals").rect().center();
    window.click_at(found, Modifiers::NONE);
    assert!(window.has_part("Hazard flasher"));
    let car = loomwright_sketch::parse("car 6 V negative earth\nearth E1 body").expect("a car");
    let mut window = Window::on(car);
    window.click("Kits");
    window.click("Kit: Charging by alternator");
    assert_eq!(window.car().parts().len(), 1);
    assert!(window.says("is made for 12 V and 24 V"));
}
