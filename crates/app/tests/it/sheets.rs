//! The sheets by their cards.

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use loomwright_app::tool::Tool;
use loomwright_circuit::{Anchor, Standing};

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

fn go(window: &mut Window, title: &str) {
    let at = card(window, title).center();
    window.click_at(at, Modifiers::NONE);
}

fn shown(window: &Window) -> String {
    window.car().sheets()[&window.app().state.sheet].title.clone()
}

#[test]
fn no_key_works_on_what_another_sheet_hides() {
    for by_key in [false, true] {
        let mut window = Window::on(crate::cars::roadster());
        go(&mut window, "Supply and starting");
        window.click("Part Battery");
        assert!(!window.app().state.selection.is_empty());
        if by_key {
            window.key(Modifiers::NONE, Key::PageDown);
        } else {
            go(&mut window, "Driving lamps");
        }
        assert_ne!(shown(&window), "Supply and starting");
        assert!(window.app().state.selection.is_empty());
        let before = window.car().clone();
        window.key(Modifiers::NONE, Key::Delete);
        assert_eq!(*window.car(), before);
    }
}

/// Runs a wire from the battery's live post to a part on another sheet, and tells whether it is there.
fn ends_on_another_sheet(window: &mut Window) -> bool {
    let target = window.place("Terminal 1 of Trigger fuse");
    window.click_at(target, Modifiers::NONE);
    let id = window.app().state.selection.only_wire().expect("the new wire is selected");
    let wire = window.car().wire(id).expect("a wire");
    let (battery, fuse) = (window.part("Battery"), window.part("Trigger fuse"));
    wire.standing == Standing::ToFit
        && wire.from.at == Anchor::terminal(battery, "+")
        && wire.to.at == Anchor::terminal(fuse, "1")
}

#[test]
fn a_wire_held_over_a_card_goes_on_on_its_sheet() {
    let mut window = Window::on(crate::cars::roadster());
    go(&mut window, "Supply and starting");
    let from = window.place("Terminal + of Battery");
    let over = card(&window, "Driving lamps").center();
    window.harness.hover_at(from);
    window.harness.drag_at(from);
    window.harness.hover_at(from + egui::vec2(20.0, -20.0));
    window.harness.hover_at(over);
    window.harness.run_steps(6);
    assert_eq!(shown(&window), "Supply and starting", "passing over a card is not meant");
    window.harness.run_steps(40);
    assert_eq!(shown(&window), "Driving lamps");
    window.harness.drop_at(over);
    window.run();
    assert!(matches!(window.app().state.tool, Tool::Running { is_held: false, .. }));
    assert!(ends_on_another_sheet(&mut window));
}

#[test]
fn a_wire_begun_by_key_and_click_goes_on_on_the_sheet_whose_card_is_clicked() {
    let mut window = Window::on(crate::cars::roadster());
    go(&mut window, "Supply and starting");
    window.key(Modifiers::NONE, Key::W);
    window.click("Terminal + of Battery");
    assert!(matches!(window.app().state.tool, Tool::Running { is_held: false, .. }));
    go(&mut window, "Driving lamps");
    assert_eq!(shown(&window), "Driving lamps");
    assert!(ends_on_another_sheet(&mut window));
}

#[test]
fn a_finding_selects_only_what_can_be_seen() {
    let mut window = Window::on(crate::cars::heron_van());
    window.check();
    let n_findings = window.app().analysis.report.findings.len();
    let mut n_cut = 0;
    for finding_idx in 0..n_findings {
        let ctx = window.harness.ctx.clone();
        let action = loomwright_app::action::Action::LookAt(finding_idx);
        window.harness.state_mut().act(&ctx, action);
        let (state, car) = (&window.app().state, window.car());
        let mut parts = state.selection.parts.iter();
        assert!(parts.all(|id| car.part(*id).is_some_and(|part| part.sheet == state.sheet)));
        let finding = &window.app().analysis.report.findings[finding_idx];
        let all: std::collections::BTreeSet<_> = finding.parts.iter().collect();
        n_cut += usize::from(state.selection.parts.len() < all.len());
    }
    assert!(n_cut > 0, "no finding of this car goes over several sheets");
}
