//! What goes is told.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::Standing;

use crate::window::Window;

#[test]
fn who_deletes_a_part_is_told_of_the_wires_that_go_with_it() {
    let mut window = Window::on_demo();
    window.click("What you draw is as found");
    window.click("Part Left work lamp");
    let n_wires = window.car().wires().len();
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(window.car().wires().len(), n_wires - 2);
    let says = "Deleted Left work lamp and its 2 wires";
    assert!(window.harness.query_by_label_contains(says).is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().wires().len(), n_wires);
}

#[test]
fn what_is_found_is_marked_to_remove_first_and_rubbed_out_by_a_second_time() {
    let mut window = Window::on_demo();
    window.click("What you draw is to fit");
    window.click("Part Left work lamp");
    let part =
        |window: &Window| window.car().part_labelled("Left work lamp").map(|(_, it)| it.standing);
    let n_wires = window.car().wires().len();
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(part(&window), Some(Standing::ToRemove));
    let says = "Left work lamp is to be removed by the alteration; Delete again rubs it out";
    assert!(window.harness.query_by_label_contains(says).is_some());
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(part(&window), None);
    assert_eq!(window.car().wires().len(), n_wires - 2);
    let steps = window.app().state.doc.history.steps().map(|step| step.label.clone());
    let steps: Vec<String> = steps.collect();
    assert_eq!(steps, ["mark Left work lamp to remove", "rub out Left work lamp"]);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(part(&window), Some(Standing::ToRemove));
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(part(&window), Some(Standing::AsFound));
}
