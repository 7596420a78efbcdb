//! Wires drawn by hand: stretches moved, corners added and taken out, lines given back, taps, ends plugged elsewhere.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::tool::Tool;
use loomwright_circuit::{Anchor, Point, WireId};

use crate::window::Window;

fn is_level(ends: &[Point]) -> bool {
    (ends[0].y - ends[1].y).abs() < 1e-6
}

/// The longest stretch of a wire that has neighbours at both sides, or else its longest.
fn stretch(line: &[Point]) -> usize {
    let length = |idx: &usize| line[*idx].distance(line[*idx + 1]);
    let inner = (1..line.len().saturating_sub(2)).max_by(|a, b| length(a).total_cmp(&length(b)));
    inner.unwrap_or_else(|| {
        (0..line.len() - 1).max_by(|a, b| length(a).total_cmp(&length(b))).expect("a stretch")
    })
}

fn quarter(ends: &[Point]) -> Point {
    ends[0] + (ends[1] - ends[0]) * 0.25
}

fn across(ends: &[Point], mm: f64) -> Point {
    if is_level(ends) { Point::new(0.0, mm) } else { Point::new(mm, 0.0) }
}

/// Drags a stretch of a wire and says where it was.
fn bend(window: &mut Window, wire: WireId, mm: f64, modifiers: Modifiers) -> [Point; 2] {
    let line = window.line(wire);
    let idx = stretch(&line);
    let ends = [line[idx], line[idx + 1]];
    let from = quarter(&ends);
    let (start, end) = (window.at(from), window.at(from + across(&ends, mm)));
    window.drag_with(start, end, modifiers);
    ends
}

#[test]
fn a_stretch_of_a_wire_is_dragged_across_on_the_grid_and_stays_when_others_move() {
    let mut window = Window::on_demo();
    let wire = window.wire("W4");
    let before = window.car().clone();
    let ends = bend(&mut window, wire, 11.0, Modifiers::NONE);
    let line = window.line(wire);
    // 11 mm on the hand are 10 on the grid; the end comes straight out of its terminal first.
    assert!(line.contains(&(ends[0] + across(&ends, 10.0))), "{ends:?} in {line:?}");
    assert_eq!(line.last(), Some(&ends[1]));
    assert!(line.windows(2).all(|ends| is_level(ends) || (ends[0].x - ends[1].x).abs() < 1e-6));
    // Only its drawing changed.
    assert!(window.car().is_wired_as(&before));
    // A part elsewhere that moves leaves it alone.
    window.drag_by("Part Left work lamp", vec2(30.0, -60.0));
    assert_eq!(window.line(wire), line);
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::Z);
    assert!(window.car().wire(wire).expect("a wire").route.is_empty());
}

#[test]
fn a_line_drawn_by_hand_is_given_back_to_the_program() {
    let mut window = Window::on_demo();
    let wire = window.wire("W2");
    let line = window.line(wire);
    bend(&mut window, wire, 15.0, Modifiers::NONE);
    assert_ne!(window.line(wire), line);
    window.key(Modifiers::SHIFT, Key::B);
    assert!(window.car().wire(wire).expect("a wire").route.is_empty());
    assert_eq!(window.line(wire), line);
}

#[test]
fn shift_and_drag_adds_a_corner_and_the_menu_takes_it_out() {
    let mut window = Window::on_demo();
    let wire = window.wire("W2");
    let line = window.line(wire);
    bend(&mut window, wire, 10.0, Modifiers::SHIFT);
    let bent = window.line(wire);
    assert!(bent.len() > line.len(), "{bent:?} after {line:?}");
    // The corner that is new and nearest to the first end.
    let corner = *bent.iter().find(|corner| !line.contains(corner)).expect("a new corner");
    let at = window.at(corner);
    window.open_menu(at);
    window.harness.get_by_label_contains("Its line").click();
    window.run();
    window.harness.get_by_label("Take this corner out").click();
    window.run();
    assert!(window.line(wire).len() < bent.len());
}

#[test]
fn escape_puts_a_stretch_back() {
    let mut window = Window::on_demo();
    let wire = window.wire("W2");
    let line = window.line(wire);
    let idx = stretch(&line);
    let from = quarter(&line[idx..idx + 2]);
    let start = window.at(from);
    window.harness.hover_at(start);
    window.harness.drag_at(start);
    window.harness.hover_at(start + vec2(40.0, 40.0));
    window.harness.hover_at(start + vec2(50.0, 50.0));
    window.run();
    assert!(matches!(window.app().state.tool, Tool::Bending(_)));
    window.key(Modifiers::NONE, Key::Escape);
    window.harness.drop_at(start + vec2(50.0, 50.0));
    window.run();
    assert_eq!(window.app().state.tool, Tool::Rest);
    assert!(window.car().wire(wire).expect("a wire").route.is_empty());
}

#[test]
fn keys_bend_a_wire() {
    let mut window = Window::on_demo();
    let wire = window.wire("W2");
    window.click("Wire W2");
    let line = window.line(wire);
    window.key(Modifiers::NONE, Key::B);
    let Tool::Bending(bend) = &window.app().state.tool else { panic!("a stretch is in hand") };
    let (is_level, ends) = (bend.is_level(), bend.stretch_now().expect("a stretch"));
    let (key, by) = if is_level {
        (Key::ArrowDown, Point::new(0.0, 10.0))
    } else {
        (Key::ArrowRight, Point::new(10.0, 0.0))
    };
    window.key(Modifiers::SHIFT, key);
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.app().state.tool, Tool::Rest);
    let bent = window.line(wire);
    assert_ne!(bent, line);
    let coordinate = |point: Point| if is_level { point.y } else { point.x };
    assert!(bent.iter().any(|corner| coordinate(*corner) == coordinate(ends[0] + by)));
    // With no wire selected there is nothing to bend.
    window.key(Modifiers::NONE, Key::Escape);
    window.key(Modifiers::NONE, Key::B);
    assert!(window.harness.query_by_label_contains("Select one wire").is_some());
}

#[test]
fn ctrl_and_drag_from_a_wire_taps_it() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    let line = window.line(window.wire("W2"));
    let idx = stretch(&line);
    let from = window.at(quarter(&line[idx..idx + 2]));
    let to = window.place("Terminal 1 of Right work lamp");
    window.drag_with(from, to, Modifiers::COMMAND);
    let joint = window.car().parts().iter().find(|(_, part)| part.type_name == "joint");
    let joint = *joint.expect("a joint").0;
    assert!(window.car().wires().len() > n_wires);
    let id = window.app().state.selection.only_wire().expect("the new wire");
    let new = window.car().wire(id).expect("a wire");
    assert_eq!(new.from.at.part(), Some(joint));
    assert_eq!(new.to.at, Anchor::terminal(window.part("Right work lamp"), "1"));
}

#[test]
fn an_end_of_a_selected_wire_is_plugged_elsewhere() {
    let mut window = Window::on_demo();
    window.click("Wire W2");
    let wire = window.car().wire(window.wire("W2")).expect("a wire").clone();
    let Anchor::Terminal { part, terminal } = &wire.to.at else { panic!("an end on a terminal") };
    let label = window.car().part(*part).expect("a part").label.clone();
    let end = format!("End of wire W2 at terminal {terminal} of {label}");
    window.drag_onto(&end, "Terminal 1 of Right work lamp");
    let moved = Anchor::terminal(window.part("Right work lamp"), "1");
    let id = window.app().state.selection.only_wire().expect("the wire");
    assert_eq!(window.car().wire(id).expect("a wire").to.at, moved);
    assert_eq!(window.car().wire(id).expect("a wire").from.at, wire.from.at);
}

#[test]
fn a_wire_dropped_on_the_body_of_a_part_says_why_it_cannot_end_there() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    let from = window.place("Terminal 2 of Fuse 1");
    let to = window.place("Part Right work lamp");
    window.drag(from, to);
    assert_eq!(window.car().wires().len(), n_wires);
    let says = "A wire ends on a terminal: drop it on one of those of Right work lamp";
    let (at, reason) = window.app().state.refused_at.clone().expect("a refusal at its place");
    assert_eq!(reason, says);
    assert!(window.at(at).distance(to) < 2.0);
}

#[test]
fn a_drag_from_the_terminal_of_a_selected_wire_moves_its_end_and_says_so_before() {
    let mut window = Window::on_demo();
    window.click("Wire W2");
    let n_wires = window.car().wires().len();
    let from = window.car().wire(window.wire("W2")).expect("a wire").from.at.clone();
    let at = window.place("Terminal 1 of Work-lamp switch");
    window.harness.hover_at(at);
    window.run();
    assert!(window.harness.query_by_label_contains("A drag moves this end of W2").is_some());
    window.drag_onto("Terminal 1 of Work-lamp switch", "Terminal 1 of Right work lamp");
    let id = window.app().state.selection.only_wire().expect("the wire");
    let wire = window.car().wire(id).expect("a wire");
    assert_eq!(wire.to.at, Anchor::terminal(window.part("Right work lamp"), "1"));
    assert_eq!(wire.from.at, from);
    // With the to-fit pen the wire that was found makes a pair with the one that is moved.
    assert!(window.car().wires().len() <= n_wires + 1);
}

#[test]
fn who_runs_one_wire_after_another_from_a_terminal_moves_none_of_them() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    window.drag_onto("Terminal 2 of Fuse 1", "Terminal 2 of Left work lamp");
    window.drag_onto("Terminal 2 of Fuse 1", "Terminal 2 of Right work lamp");
    assert_eq!(window.car().wires().len(), n_wires + 2);
    // Once it is selected by hand, it is meant by a drag from its end.
    let last = window.app().state.selection.only_wire().expect("the new wire");
    window.key(Modifiers::NONE, Key::Escape);
    let label = window.car().wire(last).expect("a wire").label.clone();
    window.click("Part Battery");
    window.click(&format!("Wire {label}"));
    window.drag_onto("Terminal 2 of Fuse 1", "Terminal 2 of Work-lamp switch");
    assert_eq!(window.car().wires().len(), n_wires + 2);
    let moved = &window.car().wire(last).expect("a wire").from.at;
    assert_eq!(*moved, Anchor::terminal(window.part("Work-lamp switch"), "2"));
}
