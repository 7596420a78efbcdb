//! The key list: keys are changed by pressing them, clashes are told, and what is changed is kept and shown.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::command::Command;
use loomwright_app::state::Question;
use loomwright_app::store::Store;
use loomwright_circuit::Turn;

use crate::saving::Folder;
use crate::window::Window;

/// Presses a row of the list, which may be beyond what is scrolled into view.
fn press_row(window: &mut Window, name: &str) {
    window.harness.get_by_label(name).click_accesskit();
    window.run();
}

#[test]
fn a_key_is_changed_by_pressing_another_and_is_kept() {
    let folder = Folder::new("keys");
    let store = Store::at(folder.0.clone());
    let mut window = Window::kept(crate::cars::learner(), store.clone());
    window.key(Modifiers::NONE, Key::F1);
    press_row(&mut window, "Turn, key T");
    window.key(Modifiers::NONE, Key::R);
    assert!(window.harness.query_by_label_contains("“Turn” has R now").is_some());
    assert!(window.harness.query_by_label("Turn, key R").is_some());
    window.click("Close");
    let lamp = window.part("Left work lamp");
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::T);
    assert_eq!(window.car().part(lamp).expect("a lamp").place.turn, Turn::None);
    window.key(Modifiers::NONE, Key::R);
    assert_eq!(window.car().part(lamp).expect("a lamp").place.turn, Turn::Quarter);
    let kept = store.settings().keys.key(Command::Turn).expect("a key");
    assert_eq!(kept.logical_key, Key::R);
    // Menus show it.
    window.open_submenu("Arrange");
    assert!(window.harness.query_by_label("Turn R").is_some());
}

/// What is held down waits for the key that comes with it: Shift alone would then turn parts at every press.
#[test]
fn a_key_with_others_held_is_taken_whole() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F1);
    press_row(&mut window, "Turn, key T");
    window.key(Modifiers::COMMAND, Key::ControlLeft);
    window.key(Modifiers::SHIFT, Key::ShiftLeft);
    assert!(
        matches!(&window.app().state.question, Some(Question::Keys(open)) if open.waiting.is_some())
    );
    window.key(Modifiers::COMMAND, Key::J);
    assert!(window.harness.query_by_label("Turn, key Ctrl+J").is_some());
}

/// F2, the desktop's key for changing a name.
#[test]
fn a_key_leads_from_what_is_selected_into_its_details() {
    let mut window = Window::on_demo();
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::F2);
    window.key(Modifiers::COMMAND, Key::A);
    window.type_slowly("Lamp 1");
    window.key(Modifiers::NONE, Key::Enter);
    assert!(window.has_part("Lamp 1"));
}

#[test]
fn a_clash_is_told_and_the_key_can_be_taken_or_left() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F1);
    press_row(&mut window, "Turn, key T");
    window.key(Modifiers::COMMAND, Key::Z);
    assert!(window.harness.query_by_label_contains("is the key of “Undo”").is_some());
    window.click("Leave it");
    assert!(window.harness.query_by_label("Turn, key T").is_some());
    press_row(&mut window, "Turn, key T");
    window.key(Modifiers::COMMAND, Key::Z);
    window.click("Take it from there");
    assert!(window.harness.query_by_label("Undo, key none").is_some());
    window.click("All as they came");
    assert!(window.harness.query_by_label("Turn, key T").is_some());
    assert!(window.harness.query_by_label("Undo, key Ctrl+Z").is_some());
}

#[test]
fn escape_leaves_a_key_as_it_is_and_the_list_open() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F1);
    press_row(&mut window, "Mirror, key M");
    window.key(Modifiers::NONE, Key::Escape);
    assert!(matches!(window.app().state.question, Some(Question::Keys(_))));
    assert!(window.harness.query_by_label("Mirror, key M").is_some());
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().state.question.is_none());
}

#[test]
fn what_belongs_to_the_desktop_is_not_given_away() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::F1);
    press_row(&mut window, "Mirror, key M");
    window.key(Modifiers::NONE, Key::Tab);
    assert!(window.harness.query_by_label_contains("belongs to the desktop").is_some());
    window.harness.event(egui::Event::Copy);
    window.run();
    assert!(window.harness.query_by_label("Mirror, key M").is_some());
}

#[test]
fn the_menu_of_what_is_selected_opens_by_key_and_is_gone_through_by_keys() {
    let mut window = Window::on_demo();
    window.click("Part Left work lamp");
    let lamp = window.part("Left work lamp");
    let before = window.car().part(lamp).expect("the lamp").place;
    window.key(Modifiers::SHIFT, Key::F10);
    assert!(window.harness.query_by_label("Mark to remove").is_some());
    // The keyboard is at the first row; the part stays while the arrows go through the rows.
    window.key(Modifiers::NONE, Key::ArrowDown);
    window.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(window.car().part(lamp).expect("the lamp").place, before);
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.car().part(lamp).expect("the lamp").place.turn, before.turn.next());
    assert!(window.harness.query_by_label("Mark to remove").is_none());
    // The other key that desktops have for it, and Escape leaves all as it is.
    window.key(Modifiers::NONE, Key::Menu);
    assert!(window.harness.query_by_label("Mark to remove").is_some());
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.harness.query_by_label("Mark to remove").is_none());
    assert_eq!(window.app().state.selection.only_part(), Some(lamp));
}

#[test]
fn the_menu_opens_by_key_on_the_terminal_that_the_keyboard_is_at() {
    let mut window = Window::on_demo();
    window.harness.get_by_label("Terminal 2 of Fuse 1").focus();
    window.run();
    window.key(Modifiers::SHIFT, Key::F10);
    assert!(window.harness.query_by_label("Run a wire from 2").is_some());
    window.key(Modifiers::NONE, Key::Enter);
    // By keys it goes on by keys.
    let tool = &window.app().state.tool;
    assert!(matches!(tool, loomwright_app::tool::Tool::Aiming { from: Some(_), .. }), "{tool:?}");
}

#[test]
fn with_nothing_selected_the_menu_of_the_sheet_opens_by_key() {
    let mut window = Window::on_demo();
    window.key(Modifiers::SHIFT, Key::F10);
    window.harness.get_by_label_contains("Write a note").click();
    window.run();
    assert_eq!(window.car().notes().len(), 1);
}
