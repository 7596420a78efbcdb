//! What stays in its place while something else is selected, measured or let go wrong.

use egui::{Modifiers, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::{Action, BenchStep};
use loomwright_app::state::Selection;
use loomwright_app::trial::{Dial, choices};
use loomwright_app::what_if::Suspect;
use loomwright_circuit::{Car, Edit};

use crate::saving::act;
use crate::window::Window;

/// The least window that the program is made for.
const SMALL: Vec2 = vec2(1100.0, 700.0);
/// The width of the right panel there.
const RIGHT: f32 = 261.25;

fn small(car: Car) -> Window {
    let mut window = Window::on(car);
    window.harness.set_size(SMALL);
    window.run();
    window
}

/// All that the right panel shows: whatever has its middle, or its right end, on it.
fn outside(window: &Window) -> Vec<(String, Rect)> {
    let panel = Rect::from_x_y_ranges(SMALL.x - RIGHT..=SMALL.x, 46.0..=SMALL.y - 28.0);
    let nodes =
        window.harness.query_all_by(|node| node.label().is_some() || node.value().is_some());
    let on_panel = nodes.filter_map(|node| {
        node.accesskit_node().bounding_box()?;
        let rect = node.rect();
        let is_there = panel.contains(rect.center()) || rect.right() > SMALL.x;
        // The handle of its edge lies on both sides of it.
        let is_cut = rect.left() < panel.left() - 3.0 || rect.right() > panel.right();
        let words = node.accesskit_node().label().or_else(|| node.accesskit_node().value());
        // A long text goes on behind the end of its own field.
        let is_text = node.accesskit_node().role() == egui::accesskit::Role::TextRun;
        let is_widget = !is_text && rect.width() < SMALL.x / 2.0;
        (is_there && is_cut && is_widget).then(|| (words.unwrap_or_default(), rect))
    });
    on_panel.collect()
}

#[test]
fn the_right_panel_keeps_its_width_whatever_is_selected() {
    let mut car = crate::cars::roadster();
    keeps_its_width(car.clone());
    // The same with nothing known of its wires, so that all is proposed.
    for (id, wire) in &car.wires().clone() {
        let mut wire = wire.clone();
        (wire.colour, wire.size) = (None, None);
        (wire.from.fitting, wire.to.fitting) = (None, None);
        let patch = car.plan(Edit::SetWire(*id, wire)).expect("it may be");
        car.apply(&patch);
    }
    keeps_its_width(car);
}

fn keeps_its_width(car: Car) {
    let mut window = small(car);
    window.check();
    let canvas = window.app().state.canvas_size;
    let car = window.car().clone();
    let parts = car.parts().iter().map(|(id, part)| (part.label.clone(), Selection::part(*id)));
    let wires = car.wires().iter().map(|(id, wire)| {
        let wires = [*id].into_iter().collect();
        (wire.label.clone(), Selection { wires, ..Selection::default() })
    });
    for (label, selection) in parts.chain(wires) {
        act(&mut window, Action::Select(selection));
        assert_eq!(window.app().state.canvas_size, canvas, "{label}");
        let outside = outside(&window);
        assert!(outside.is_empty(), "{label}: {outside:?}");
    }
}

#[test]
fn the_sheet_stays_where_it_is_while_the_meter_and_faults_come_and_go() {
    let mut window = small(crate::cars::roadster());
    window.key(Modifiers::COMMAND, egui::Key::Num2);
    let canvas = window.app().state.canvas_size;
    for dial in [Dial::Volts, Dial::Amps, Dial::Ohms, Dial::Off] {
        act(&mut window, Action::Bench(BenchStep::Dial(dial)));
        assert_eq!(window.app().state.canvas_size, canvas, "{dial:?}");
    }
    let car = window.car().clone();
    let wrongs = car.wires().keys().flat_map(|id| choices(&car, Suspect::Wire(*id)));
    let wrongs: Vec<_> = wrongs.step_by(7).take(6).collect();
    assert!(wrongs.len() > 4, "more than are seen at once");
    for wrong in wrongs {
        act(&mut window, Action::Bench(BenchStep::Spoil(wrong.clone())));
        assert_eq!(window.app().state.canvas_size, canvas, "{wrong:?}");
    }
    act(&mut window, Action::Bench(BenchStep::MendAll));
    assert_eq!(window.app().state.canvas_size, canvas);
}

#[test]
fn a_finding_that_is_looked_at_takes_the_explanation_over_and_comes_into_sight() {
    let mut window = small(crate::cars::heron_van());
    window.check();
    let numbers = |window: &Window| -> Vec<usize> {
        let app = window.app();
        let found = app.analysis.findings(app.state.car());
        found.filter(|(_, finding)| !finding.is_accepted()).map(|(number, _)| number).collect()
    };
    let found = numbers(&window);
    let (first, last) = (found[0], found[found.len() - 1]);
    act(&mut window, Action::Why(first));
    act(&mut window, Action::LookAt(last));
    assert_eq!(window.app().state.why, Some(last));
    // Fixes that come late make the cards above it longer.
    window.rest();
    let title = format!("Finding {}:", last + 1);
    let list = Rect::from_x_y_ranges(SMALL.x - RIGHT..=SMALL.x, 46.0..=SMALL.y - 28.0);
    let at = |window: &Window| window.harness.get_by_label_contains(&title).rect();
    assert!(list.contains_rect(at(&window)), "{:?}", at(&window));
    act(&mut window, Action::LookAt(first));
    assert_eq!(window.app().state.why, Some(first));
    assert!(!list.contains_rect(at(&window)), "it was scrolled away: {:?}", at(&window));
    act(&mut window, Action::LookAt(last));
    assert!(list.contains_rect(at(&window)), "{:?}", at(&window));
}

#[test]
fn who_scrolls_the_findings_by_hand_is_not_brought_back() {
    let mut window = small(crate::cars::heron_van());
    window.check();
    let app = window.app();
    let found = app.analysis.findings(app.state.car());
    let last = found.filter(|(_, finding)| !finding.is_accepted()).map(|(number, _)| number).last();
    act(&mut window, Action::LookAt(last.expect("a finding")));
    window.harness.hover_at(egui::pos2(SMALL.x - RIGHT / 2.0, 240.0));
    window.harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, 4000.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    window.run();
    let first =
        window.harness.query_all_by_label_contains("Finding ").next().expect("a card").rect();
    window.rest();
    let now = window.harness.query_all_by_label_contains("Finding ").next().expect("a card").rect();
    assert_eq!(now.top(), first.top(), "the list stays where it was scrolled to");
}

/// Selects one wire.
fn select(window: &mut Window, id: loomwright_circuit::WireId) {
    let wires = [id].into_iter().collect();
    act(window, Action::Select(Selection { wires, ..Selection::default() }));
}

/// The top of a field.
fn top(window: &Window, field: &str) -> f32 {
    window.harness.get_by_role_and_label(egui::accesskit::Role::TextInput, field).rect().top()
}

#[test]
fn details_of_something_else_begin_at_their_top_and_an_edit_leaves_them_where_they_are() {
    let mut window = small(crate::cars::roadster());
    let wires: Vec<_> = window.car().wires().keys().copied().take(2).collect();
    select(&mut window, wires[0]);
    let unscrolled = top(&window, "Size");
    let on_panel = egui::pos2(SMALL.x - RIGHT / 2.0, SMALL.y - 120.0);
    window.harness.hover_at(on_panel);
    window.harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, -90.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    window.run();
    let scrolled = top(&window, "Size");
    assert!(scrolled < unscrolled - 40.0, "{scrolled} of {unscrolled}");
    // It becomes a pair, of which the new one is shown.
    let mut wire = window.car().wire(wires[0]).expect("a wire").clone();
    wire.length = Some(loomwright_units::Metres(7.25));
    act(&mut window, Action::Edit("length".to_owned(), Edit::AlterWire(wires[0], wire)));
    assert!((top(&window, "Size") - scrolled).abs() < 1.0, "an edit leaves it where it is");
    select(&mut window, wires[1]);
    assert_eq!(top(&window, "Size"), unscrolled);
}

#[test]
fn fields_keep_their_place_while_proposals_come_and_go() {
    let mut car = crate::cars::learner();
    let id = *car.wires().keys().next().expect("a wire");
    let mut wire = car.wire(id).expect("a wire").clone();
    (wire.colour, wire.size, wire.from.fitting, wire.to.fitting) = (None, None, None, None);
    let patch = car.plan(Edit::SetWire(id, wire)).expect("it may be");
    car.apply(&patch);
    let mut window = small(car);
    select(&mut window, id);
    let places = |window: &Window| ["Colour", "Size", "Length"].map(|name| top(window, name));
    let before = places(&window);
    assert!(window.harness.query_by_label_contains("Fill in all").is_some());
    window.key(Modifiers::NONE, egui::Key::G);
    assert!(window.harness.query_by_label_contains("Fill in all").is_none());
    assert_eq!(places(&window), before);
}

#[test]
fn a_letter_meant_for_a_field_that_was_missed_changes_nothing() {
    let mut window = Window::on_demo();
    let parts: std::collections::BTreeSet<_> =
        window.car().parts().keys().copied().take(3).collect();
    let selection = Selection { parts, ..Selection::default() };
    act(&mut window, Action::Select(selection.clone()));
    let before = window.car().clone();
    // On the panel's own ground, beside all fields.
    window.click_at(egui::pos2(1280.0 - 5.0, 300.0), Modifiers::NONE);
    for key in [egui::Key::M, egui::Key::T, egui::Key::Backspace] {
        window.key(Modifiers::NONE, key);
        assert_eq!(*window.car(), before, "{key:?}");
    }
    assert!(window.harness.query_by_label_contains("click the sheet first").is_some());
    // A press on the sheet gives it the keys again.
    let sheet = window.canvas(0.02, 0.5);
    window.click_at(sheet, Modifiers::NONE);
    act(&mut window, Action::Select(selection));
    window.key(Modifiers::NONE, egui::Key::M);
    assert_ne!(*window.car(), before);
}
