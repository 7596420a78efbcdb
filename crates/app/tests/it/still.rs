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
    for (id, mut wire) in car.wires().clone() {
        (wire.colour, wire.size) = (None, None);
        (wire.from.fitting, wire.to.fitting) = (None, None);
        let patch = car.plan(Edit::SetWire(id, wire)).expect("it may be");
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
