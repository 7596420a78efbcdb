//! Parts cut into wires: by the menu, by name, and by a drop from the shelf.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_circuit::{Anchor, PartId, Point, Standing, Wire};

use crate::window::Window;

/// The two wires that are to fit at the new part, by its terminals.
fn pieces(window: &Window, part: PartId, terminal: &str) -> Wire {
    let at = Anchor::terminal(part, terminal);
    let mut found =
        window.car().wires().values().filter(|wire| wire.ends().iter().any(|end| end.at == at));
    let wire = found.next().expect("a piece").clone();
    assert!(found.next().is_none());
    wire
}

fn newest(window: &Window, kind: &str) -> PartId {
    let mut parts = window.car().parts().iter().rev();
    *parts.find(|(_, part)| part.type_name == kind).expect("a part of that kind").0
}

/// A place on the stretch of a wire, a quarter along its longest one.
fn on_wire(window: &Window, label: &str) -> egui::Pos2 {
    let line = window.line(window.wire(label));
    let length = |ends: &&[Point]| ends[0].distance(ends[1]);
    let longest = line.windows(2).max_by(|a, b| length(a).total_cmp(&length(b))).expect("a line");
    window.at(longest[0] + (longest[1] - longest[0]) * 0.3)
}

#[test]
fn the_menu_of_a_wire_cuts_a_fuse_in_as_part_of_the_alteration() {
    let mut window = Window::on_demo();
    let at = on_wire(&window, "W2");
    let old = window.wire("W2");
    let was = window.car().wire(old).expect("a wire").clone();
    window.open_menu(at);
    window.harness.get_by_label_contains("Cut in here").click();
    window.run();
    // The shelf has one of that name too.
    window.harness.get_all_by_label("Blade fuse").last().expect("a row of the menu").click();
    window.run();
    let fuse = newest(&window, "fuse-blade");
    assert_eq!(window.app().state.selection.only_part(), Some(fuse));
    assert_eq!(window.car().wire(old).expect("a wire").standing, Standing::ToRemove);
    // W2 leads from the fuse box to the switch: its first end is the fed one, and so is the fuse's first terminal.
    let (fed, fused) = (pieces(&window, fuse, "1"), pieces(&window, fuse, "2"));
    assert_eq!((fed.from.at, fused.to.at), (was.from.at, was.to.at));
    assert_eq!((fed.standing, fused.standing), (Standing::ToFit, Standing::ToFit));
    assert_eq!((fed.colour, fed.size), (was.colour, was.size));
    // One step takes all of it back.
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().wire(old).expect("a wire").standing, Standing::AsFound);
    assert!(window.car().part(fuse).is_none());
}

#[test]
fn the_feed_side_is_towards_the_battery_whichever_way_the_wire_was_drawn() {
    let mut window = Window::on_demo();
    let old = window.wire("W2");
    let mut row = window.car().wire(old).expect("a wire").clone();
    std::mem::swap(&mut row.from, &mut row.to);
    let mut car = window.car().clone();
    let patch = car.plan(loomwright_circuit::Edit::SetWire(old, row.clone())).expect("an edit");
    car.apply(&patch);
    window = Window::on(car);
    window.click("Wire W2");
    window.key(Modifiers::NONE, Key::I);
    window.type_slowly("blade fuse");
    window.key(Modifiers::NONE, Key::Enter);
    let fuse = newest(&window, "fuse-blade");
    let fed = pieces(&window, fuse, "1");
    assert!(fed.ends().iter().any(|end| end.at == row.to.at), "{fed:?}");
}

#[test]
fn a_part_dropped_from_the_shelf_on_a_wire_is_cut_in_and_one_beside_it_is_not() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    let at = on_wire(&window, "W2");
    let from = window.place("Blade fuse");
    window.drag(from, at + egui::vec2(0.0, 90.0));
    assert_eq!(window.car().wires().len(), n_wires);
    let from = window.place("Blade fuse");
    window.drag(from, at);
    assert_eq!(window.car().wires().len(), n_wires + 2);
    // What cannot stand in a wire is only placed.
    let n_wires = window.car().wires().len();
    let at = on_wire(&window, "W3");
    let from = window.place("Battery");
    window.drag(from, at);
    assert_eq!(window.car().wires().len(), n_wires);
}

#[test]
fn a_part_dropped_on_another_comes_to_stand_beside_it() {
    let mut window = Window::on_demo();
    let (from, to) = (window.place("Battery"), window.place("Part Left work lamp"));
    window.drag(from, to);
    let body = |id: &PartId| {
        let part = window.car().part(*id).expect("a part");
        let kind = window.car().type_of(*id).expect("its type");
        loomwright_drawing::symbol_body(kind, &part.place)
    };
    let new = newest(&window, "battery");
    let others = window.car().parts().keys().filter(|id| **id != new);
    assert!(!others.map(body).any(|other| other.meets(body(&new))));
}

#[test]
fn what_is_cut_in_leaves_room_for_labels_and_numbers() {
    let mut window = Window::on_demo();
    let wire = window.wire("W3");
    // Right beside the terminal that the wire comes from.
    let line = window.line(wire);
    let along = (line[1] - line[0]) * (1.0 / line[0].distance(line[1]));
    let at = window.at(line[0] + along * 9.0);
    let from = window.place("Blade fuse");
    window.drag(from, at);
    let fuse = newest(&window, "fuse-blade");
    for terminal in ["1", "2"] {
        let piece = pieces(&window, fuse, terminal);
        let id = window.wire(&piece.label);
        let line = window.line(id);
        let length: f64 = line.windows(2).map(|ends| ends[0].distance(ends[1])).sum();
        assert!(length >= 7.5, "{} is {length} mm long", piece.label);
    }
}

/// The wire from the lamp to its earth is too short for a relay: that stands beside it, on no other part.
#[test]
fn a_part_that_finds_no_room_in_its_wire_stands_beside_it() {
    use loomwright_app::action::{Action, BoardStep};
    let mut window = Window::on_demo();
    let wire = window.wire("W5");
    let line = window.line(wire);
    let ctx = window.harness.ctx.clone();
    let step = BoardStep::CutIn(wire, line[0], "relay-changeover".into());
    window.harness.state_mut().act(&ctx, Action::Board(step));
    window.run();
    let relay = newest(&window, "relay-changeover");
    let body = |id: PartId| {
        let part = window.car().part(id).expect("a part");
        loomwright_drawing::symbol_body(window.car().type_of(id).expect("a type"), &part.place)
    };
    let others = window.car().parts().keys().copied().filter(|id| *id != relay);
    for other in others {
        let label = &window.car().part(other).expect("a part").label;
        assert!(!body(other).meets(body(relay)), "it lies on {label}");
    }
}
