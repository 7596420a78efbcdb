//! The sheets by their cards.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::window::Window;

fn card(window: &Window, title: &str) -> egui::Rect {
    window.harness.get_by_role_and_label(Role::Tab, &format!("Sheet {title}")).rect()
}

#[test]
fn cards_stay_where_they_are_when_another_sheet_is_shown() {
    let mut window = Window::on(crate::cars::roadster());
    let titles = ["Supply and starting", "Headlamps", "Driving lamps"];
    let before = titles.map(|title| card(&window, title));
    let at = card(&window, "Driving lamps").center();
    window.click_at(at, Modifiers::NONE);
    assert_eq!(titles.map(|title| card(&window, title)), before);
    // They are the same in every mode.
    window.key(Modifiers::COMMAND, Key::Num2);
    assert_eq!(titles.map(|title| card(&window, title)), before);
}

#[test]
fn every_card_has_room_for_letters_of_its_title() {
    let window = Window::on(crate::cars::roadster());
    for sheet in window.car().sheets().values() {
        let width = card(&window, &sheet.title).width();
        assert!(width >= 72.0, "{}: {width}", sheet.title);
    }
}

#[test]
fn a_double_click_on_a_card_renames_its_sheet() {
    let mut window = Window::on(crate::cars::roadster());
    let at = card(&window, "Headlamps").center();
    window.harness.hover_at(at);
    for pressed in [true, false, true, false] {
        window.harness.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    window.run();
    window.type_into("Title of the sheet", "Front lamps");
    assert!(window.car().sheets().values().any(|sheet| sheet.title == "Front lamps"));
    assert!(window.harness.query_by_role_and_label(Role::Tab, "Sheet Front lamps").is_some());
}
