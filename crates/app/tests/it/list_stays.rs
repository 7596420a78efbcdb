//! The list of findings keeps its place, whatever is selected, dragged and told above it.

use std::collections::BTreeMap;

use egui::accesskit::Role;
use egui::{Modifiers, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use loomwright_app::action::Action;
use loomwright_app::state::Selection;
use loomwright_app::tool::name_of_selection;
use loomwright_circuit::{Car, Edit, Note, Point, SheetId};

use crate::saving::act;
use crate::window::Window;

/// The usual window, and the least one that the program is made for.
const SIZES: [Vec2; 2] = [vec2(1280.0, 800.0), vec2(1100.0, 700.0)];

fn window(car: Car, size: Vec2) -> Window {
    let mut window = Window::on(car);
    window.harness.set_size(size);
    window.run();
    window.rest();
    window
}

/// The top of each row of the list.
fn rows(window: &Window) -> BTreeMap<String, f32> {
    let is_row = |name: &str| {
        let number = name.strip_prefix("Finding ").and_then(|rest| rest.split_once(": "));
        number.is_some_and(|(number, _)| number.parse::<u32>().is_ok())
    };
    let buttons = window.harness.query_all_by(|node| {
        node.role() == Role::Button && node.label().is_some_and(|label| is_row(&label))
    });
    let named = buttons.filter_map(|node| {
        node.accesskit_node().bounding_box()?;
        // The tags on the sheet bear the same numbers.
        let is_listed = node.rect().left() > window.harness.ctx.content_rect().right() - 310.0;
        is_listed.then(|| (node.accesskit_node().label().unwrap_or_default(), node.rect().top()))
    });
    named.collect()
}

/// Panics where a row that was there stands elsewhere.
fn stays(window: &Window, before: &BTreeMap<String, f32>, what: &str) {
    let now = rows(window);
    let by = before.iter().map(|(name, top)| (name, now.get(name).map(|now| now - top)));
    let moved: Vec<_> = by.filter(|(_, by)| by.is_none_or(|by| by.abs() > 1.0)).collect();
    assert!(moved.is_empty(), "{what}: {moved:?}");
}

/// One of each kind of thing, and several together.
fn selections(car: &Car) -> Vec<Selection> {
    let parts = car.parts().keys().map(|id| Selection::part(*id));
    let wires = car.wires().keys().map(|id| Selection::wire(*id));
    let notes = car.notes().keys().map(|id| Selection::note(*id));
    let few = |n: usize| Selection {
        parts: car.parts().keys().copied().take(n).collect(),
        wires: car.wires().keys().copied().skip(n).take(n).collect(),
        ..Selection::default()
    };
    let all = parts.chain(wires).chain(notes).chain([2, 3, 9].map(few));
    all.chain([Selection::default()]).collect()
}

#[test]
fn the_findings_stay_whatever_is_selected() {
    for size in SIZES {
        let mut car = crate::cars::roadster();
        let note = Note {
            sheet: SheetId(1),
            at: Point::new(20.0, 20.0),
            text: "As found".to_owned(),
            frame: None,
        };
        let patch = car.plan(Edit::AddNote(note)).expect("it may be");
        car.apply(&patch);
        let mut window = window(car.clone(), size);
        let before = rows(&window);
        assert!(before.len() > 3, "{before:?}");
        // At the smaller size, where all is alike but the room, some will do.
        let step = if size == SIZES[0] { 2 } else { 9 };
        for selection in selections(&car).into_iter().step_by(step) {
            let name = name_of_selection(&car, &selection);
            act(&mut window, Action::Select(selection));
            stays(&window, &before, &name);
        }
    }
}

#[test]
fn the_findings_stay_while_a_part_is_dragged_and_checked_anew() {
    let mut window = window(crate::cars::roadster(), SIZES[0]);
    let before = rows(&window);
    let car = window.car().clone();
    let in_view = car.parts().values().filter(|part| part.sheet == window.app().state.sheet);
    let labels: Vec<_> = in_view.map(|part| part.label.clone()).step_by(5).take(4).collect();
    for label in labels {
        let from = window.place(&format!("Part {label}"));
        let button = |pos, pressed| egui::Event::PointerButton {
            pos,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        };
        window.harness.hover_at(from);
        window.harness.event(button(from, true));
        for n in 1_u8..=6 {
            window.harness.hover_at(from + vec2(4.0, 3.0) * f32::from(n));
            window.harness.step();
            stays(&window, &before, &format!("{label} dragged, step {n}"));
        }
        window.harness.event(button(from + vec2(24.0, 18.0), false));
        for n in 0..4 {
            window.harness.step();
            stays(&window, &before, &format!("{label} let go, frame {n}"));
        }
        window.rest();
        stays(&window, &before, &format!("{label} let go"));
    }
    assert!(window.app().state.doc.is_edited, "they were moved");
}

#[test]
fn the_findings_stay_while_a_wire_is_changed_and_checked_anew() {
    let mut window = window(crate::cars::roadster(), SIZES[0]);
    let before = rows(&window);
    let id = *window.car().wires().keys().next_back().expect("a wire");
    let mut wire = window.car().wire(id).expect("a wire").clone();
    // A little longer: the same is found, but everything has to be checked anew.
    wire.length = wire.length.map(|length| loomwright_units::Metres(length.0 + 0.01));
    let ctx = window.harness.ctx.clone();
    let edit = Action::Edit("length".to_owned(), Edit::SetWire(id, wire));
    window.harness.state_mut().act(&ctx, edit);
    for n in 0..3 {
        window.harness.step();
        stays(&window, &before, &format!("frame {n} after the edit"));
    }
    assert!(!window.app().analysis.is_done(), "it was looked at while it was checked");
    window.rest();
    stays(&window, &before, "checked");
}

/// Turns the wheel over the list.
fn scroll(window: &mut Window, by: f32) {
    let right = window.harness.ctx.content_rect().right();
    window.harness.hover_at(egui::pos2(right - 120.0, 220.0));
    window.harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, by),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    window.run();
}

#[test]
fn the_findings_stay_at_the_end_of_their_list_as_well() {
    let mut window = window(crate::cars::heron_van(), SIZES[0]);
    let part = *window.car().parts().keys().next().expect("a part");
    scroll(&mut window, -5_000.0);
    let before = rows(&window);
    act(&mut window, Action::Select(Selection::part(part)));
    stays(&window, &before, "selected");
    // As far down as they go beside the details.
    scroll(&mut window, -5_000.0);
    let before = rows(&window);
    act(&mut window, Action::Select(Selection::default()));
    stays(&window, &before, "let go");
    act(&mut window, Action::Select(Selection::part(part)));
    stays(&window, &before, "selected again");
    scroll(&mut window, 40.0);
    assert!(rows(&window).iter().all(|(name, top)| *top > before[name] + 30.0), "it is scrolled");
}

/// The top of what stands below the findings: of the bar, or of the line for the car.
fn seam(window: &Window) -> f32 {
    let bar = window.harness.query_by_role_and_label(Role::Splitter, BAR).map(|bar| bar.rect());
    bar.unwrap_or_else(|| window.harness.get_by_label("The car").rect()).top()
}

const BAR: &str = "Bar between findings and details";

#[test]
fn what_is_read_has_the_height() {
    let mut window = window(crate::cars::roadster(), SIZES[0]);
    let (top, bottom) = (46.0, SIZES[0].y - 28.0);
    let share = |window: &Window| (seam(window) - top) / (bottom - top);
    assert!(share(&window) > 0.93, "all but a line: {}", share(&window));
    let list = rows(&window);
    assert!(list.values().any(|top| *top > 500.0), "and they are there: {list:?}");
    let part = *window.car().parts().keys().next().expect("a part");
    act(&mut window, Action::Select(Selection::part(part)));
    assert!((share(&window) - 0.58).abs() < 0.03, "{}", share(&window));
    let number = window.app().analysis.findings(window.car()).next().expect("a finding").0;
    act(&mut window, Action::Why(number));
    assert!(share(&window) > 0.6, "an open card has the larger share: {}", share(&window));
    // The bar parts both anew, each by itself.
    let bar = window.harness.get_by_role_and_label(Role::Splitter, BAR).rect().center();
    window.drag(bar, bar - vec2(0.0, 100.0));
    let dragged = share(&window);
    assert!(dragged < 0.52, "{dragged}");
    act(&mut window, Action::Why(number));
    assert!((share(&window) - 0.58).abs() < 0.03, "{}", share(&window));
    act(&mut window, Action::Why(number));
    assert_eq!(share(&window), dragged);
}

#[test]
fn the_facts_of_the_car_unfold_and_are_shown_of_an_empty_one() {
    let mut window = Window::empty();
    let has_facts = |window: &Window| window.harness.query_by_label("First used").is_some();
    assert!(has_facts(&window));
    window.click("The car");
    assert!(!has_facts(&window));
    let mut window = Window::on(crate::cars::roadster());
    assert!(!has_facts(&window));
    window.click("The car");
    assert!(has_facts(&window));
}
