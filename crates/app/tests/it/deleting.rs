//! What goes is told.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::window::Window;

#[test]
fn who_deletes_a_part_is_told_of_the_wires_that_go_with_it() {
    let mut window = Window::on_demo();
    window.click("Pen: as found");
    window.click("Part Left work lamp");
    let n_wires = window.car().wires().len();
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(window.car().wires().len(), n_wires - 2);
    let says = "Deleted Left work lamp and its 2 wires";
    assert!(window.harness.query_by_label_contains(says).is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().wires().len(), n_wires);
}
