//! Placing, wiring, selecting, moving, turning, mirroring, copying, deleting, undoing.

use egui::{Event, Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::tool::Tool;
use loomwright_circuit::{Anchor, Standing, Turn};

use crate::window::Window;

#[test]
fn a_part_dragged_from_the_shelf_is_placed_and_numbered() {
    let mut window = Window::empty();
    let from = window.place("Battery");
    let to = window.canvas(0.5, 0.5);
    window.drag(from, to);
    assert_eq!(window.car().parts().len(), 1);
    let id = *window.car().parts().keys().next().expect("a part");
    assert_eq!(window.app().state.selection.only_part(), Some(id));
    assert!(window.has_part("Battery 1"));
}

#[test]
fn a_part_dropped_beside_the_sheet_is_not_placed() {
    let mut window = Window::empty();
    let from = window.place("Battery");
    window.drag(from, from + vec2(0.0, 60.0));
    assert_eq!(window.car().parts().len(), 0);
    assert_eq!(window.app().state.tool, Tool::Rest);
}

#[test]
fn a_click_on_the_shelf_takes_a_part_in_hand_and_a_click_places_it_turned() {
    let mut window = Window::empty();
    window.click("Battery");
    let at = window.canvas(0.4, 0.4);
    window.harness.hover_at(at);
    window.run();
    window.key(Modifiers::NONE, Key::T);
    window.click_at(at, Modifiers::NONE);
    let part = window.car().parts().values().next().expect("a part");
    assert_eq!(part.place.turn, Turn::Quarter);
}

#[test]
fn dragging_from_terminal_to_terminal_runs_a_wire() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    window.drag_onto("Terminal 2 of Fuse 1", "Terminal 1 of Right work lamp");
    assert_eq!(window.car().wires().len(), n_wires + 1);
    let id = window.app().state.selection.only_wire().expect("the new wire is selected");
    let wire = window.car().wire(id).expect("a wire");
    assert_eq!(wire.from.at, Anchor::terminal(window.part("Fuse 1"), "2"));
    assert_eq!(wire.to.at, Anchor::terminal(window.part("Right work lamp"), "1"));
    assert_eq!(wire.standing, Standing::ToFit);
    // A lead behind a fuse that is live at all times is purple, by BS AU 7.
    assert_eq!(wire.colour.map(|colour| colour.words()).as_deref(), Some("purple"));
}

#[test]
fn a_wire_dropped_on_empty_paper_ends_loose_and_can_be_joined_up() {
    let mut window = Window::on_demo();
    let from = window.place("Terminal 2 of Fuse 1");
    let to = window.canvas(0.45, 0.9);
    window.drag(from, to);
    let id = window.app().state.selection.only_wire().expect("the new wire");
    let label = window.car().wire(id).expect("a wire").label.clone();
    assert!(matches!(window.car().wire(id).expect("a wire").to.at, Anchor::Loose { .. }));
    window.drag_onto(&format!("Loose end of wire {label}"), "Terminal 1 of Right work lamp");
    let wire = window.car().wire(id).expect("the same wire");
    assert_eq!(wire.to.at, Anchor::terminal(window.part("Right work lamp"), "1"));
}

#[test]
fn a_wire_dropped_on_a_wire_taps_it() {
    let mut window = Window::on_demo();
    let n_parts = window.car().parts().len();
    // Beside the flag, on the line itself.
    let from = window.place("Terminal 1 of Right work lamp");
    let to = window.place("Wire W2") + vec2(36.0, 0.0);
    window.drag(from, to);
    let joints = window.car().parts().values().filter(|part| part.type_name == "joint").count();
    assert_eq!(window.car().parts().len(), n_parts + 1);
    assert_eq!(joints, 1);
}

#[test]
fn a_wire_back_to_its_own_terminal_is_refused_with_a_reason() {
    let mut window = Window::on_demo();
    let at = window.place("Terminal 2 of Fuse 1");
    let n_wires = window.car().wires().len();
    window.harness.hover_at(at);
    window.harness.drag_at(at);
    window.harness.hover_at(at + vec2(60.0, 60.0));
    window.harness.hover_at(at);
    window.harness.drop_at(at);
    window.run();
    assert_eq!(window.car().wires().len(), n_wires);
    assert!(window.harness.query_by_label_contains("two different ends").is_some());
}

#[test]
fn clicks_select_and_shift_adds_and_empty_paper_clears() {
    let mut window = Window::on_demo();
    window.click("Part Left work lamp");
    window.click_with("Part Right work lamp", Modifiers::SHIFT);
    window.click_with("Wire W2", Modifiers::SHIFT);
    assert_eq!(window.app().state.selection.len(), 3);
    window.click_with("Wire W2", Modifiers::SHIFT);
    assert_eq!(window.app().state.selection.len(), 2);
    let empty = window.canvas(0.5, 0.95);
    window.click_at(empty, Modifiers::NONE);
    assert!(window.app().state.selection.is_empty());
}

#[test]
fn a_box_selects_what_lies_inside_it() {
    let mut window = Window::on_demo();
    let lamp = window.place("Part Left work lamp");
    window.drag(lamp + vec2(-75.0, -45.0), lamp + vec2(75.0, 45.0));
    assert_eq!(window.app().state.selection.only_part(), Some(window.part("Left work lamp")));
}

#[test]
fn dragging_moves_the_selection_in_one_step_and_wires_stay_joined() {
    let mut window = Window::on_demo();
    let id = window.part("Left work lamp");
    let before = window.car().part(id).expect("a lamp").place.at;
    window.drag_by("Part Left work lamp", vec2(0.0, -60.0));
    let after = window.car().part(id).expect("a lamp").place.at;
    assert!(after.y < before.y && after.x == before.x, "{before:?} to {after:?}");
    assert_eq!((after.y / 2.5).fract(), 0.0);
    assert_eq!(window.car().wires().len(), 7);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().part(id).expect("a lamp").place.at, before);
}

#[test]
fn arrows_nudge_and_escape_drops_the_selection() {
    let mut window = Window::on_demo();
    let id = window.part("Fuse 1");
    let before = window.car().part(id).expect("a fuse").place.at;
    window.click("Part Fuse 1");
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::SHIFT, Key::ArrowRight);
    let after = window.car().part(id).expect("a fuse").place.at;
    assert_eq!((after.x - before.x, after.y - before.y), (10.0, -2.5));
    window.key(Modifiers::NONE, Key::Escape);
    assert!(window.app().state.selection.is_empty());
}

#[test]
fn keys_turn_and_mirror_the_selection() {
    let mut window = Window::on_demo();
    let id = window.part("Left work lamp");
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::T);
    assert_eq!(window.car().part(id).expect("a lamp").place.turn, Turn::Quarter);
    window.key(Modifiers::NONE, Key::M);
    assert!(window.car().part(id).expect("a lamp").place.mirror);
}

#[test]
fn copy_and_paste_bring_parts_with_the_wires_between_them() {
    let mut window = Window::on_demo();
    window.click("Part Left work lamp");
    window.click_with("Part Earth by the left lamp", Modifiers::SHIFT);
    window.harness.event(Event::Copy);
    window.run();
    // Exactly what the command put on the clipboard: the clip of the selected parts.
    let parts: Vec<_> = window.app().state.selection.parts.iter().copied().collect();
    let text = serde_json::to_string(&window.car().copy(&parts)).expect("JSON");
    // The wire between them comes along; that from the switch to the lamp does not, which is said.
    assert!(window.says("Copied 2 parts and 1 wire; 1 wire to other parts not among them"));
    let (n_parts, n_wires) = (window.car().parts().len(), window.car().wires().len());
    window.harness.event(Event::Paste(text));
    window.run();
    assert_eq!(window.car().parts().len(), n_parts + 2);
    assert_eq!(window.car().wires().len(), n_wires + 1);
    assert_eq!(window.app().state.selection.parts.len(), 2);
    window.harness.event(Event::Paste("a shopping list".to_owned()));
    window.run();
    assert_eq!(window.car().parts().len(), n_parts + 2);
}

#[test]
fn deleting_with_the_to_fit_pen_marks_what_was_found() {
    let mut window = Window::on_demo();
    let id = window.part("Left work lamp");
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    assert_eq!(window.car().part(id).expect("still drawn").standing, Standing::ToRemove);
    window.key(Modifiers::COMMAND, Key::Z);
    window.click("What you draw is as found");
    window.click("Part Left work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    assert!(window.car().part(id).is_none());
}

#[test]
fn undo_and_redo_go_there_and_back() {
    let mut window = Window::on_demo();
    let before = window.car().clone();
    window.click("Part Right work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    assert!(!window.has_part("Right work lamp"));
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(window.car().parts(), before.parts());
    assert_eq!(window.car().wires(), before.wires());
    assert!(!window.app().state.doc.is_edited);
    window.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!(!window.has_part("Right work lamp"));
    assert!(window.app().state.doc.is_edited);
}

#[test]
fn the_parts_counter_finds_a_part_by_name_and_places_a_kind() {
    let mut window = Window::on_demo();
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(Event::Text("right work".to_owned()));
    window.run();
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.app().state.selection.only_part(), Some(window.part("Right work lamp")));
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(Event::Text("horn".to_owned()));
    window.run();
    let n_parts = window.car().parts().len();
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.car().parts().len(), n_parts + 1);
    assert!(window.app().state.counter.is_none());
}

#[test]
fn a_screen_reader_can_select_what_is_on_the_sheet() {
    let mut window = Window::on_demo();
    window.harness.get_by_label("Part Fuse 1").click_accesskit();
    window.run();
    assert_eq!(window.app().state.selection.only_part(), Some(window.part("Fuse 1")));
}

/// Whether the areas of two selected sets of parts lie clear of each other.
fn parts_meet(window: &Window) -> bool {
    let car = window.car();
    let options = loomwright_drawing::Options::default();
    let laid = loomwright_drawing::lay_out(car, window.app().state.sheet, &options);
    let areas: Vec<_> = laid
        .items
        .iter()
        .filter_map(|item| match item.subject {
            loomwright_drawing::Subject::Part(_) => Some(item.bounds),
            _ => None,
        })
        .collect();
    areas.iter().enumerate().any(|(n, area)| areas[..n].iter().any(|other| other.meets(*area)))
}

#[test]
fn what_comes_from_the_counter_or_the_clipboard_finds_room() {
    let mut window = Window::on_demo();
    for kind in ["Battery", "Hazard warning switch", "Horn"] {
        window.key(Modifiers::COMMAND, Key::F);
        window.harness.event(egui::Event::Text(kind.to_owned()));
        window.run();
        let n_parts = window.car().parts().len();
        let place = loomwright_app::action::Action::PlaceNow(match kind {
            "Battery" => "battery".to_owned(),
            "Horn" => "horn".to_owned(),
            _ => "hazard-switch".to_owned(),
        });
        let ctx = window.harness.ctx.clone();
        window.harness.state_mut().act(&ctx, place);
        window.key(Modifiers::NONE, Key::Escape);
        assert_eq!(window.car().parts().len(), n_parts + 1);
        assert!(!parts_meet(&window), "{kind} stands on something");
    }
    window.key(Modifiers::COMMAND, Key::A);
    window.key(Modifiers::COMMAND, Key::D);
    assert!(!parts_meet(&window), "the copies stand on something");
}

#[test]
fn a_wire_is_run_by_keys_alone() {
    let mut window = Window::on_demo();
    let n_wires = window.car().wires().len();
    window.click("Part Right work lamp");
    window.key(Modifiers::NONE, Key::W);
    assert!(matches!(window.app().state.tool, Tool::Aiming { from: None, .. }));
    let says = "Terminal 1 of Right work lamp · From which terminal?";
    assert!(window.harness.query_by_label_contains(says).is_some(), "the terminal is told");
    window.key(Modifiers::NONE, Key::Enter);
    // Up to the other lamp, and left along its feed to the switch.
    window.key(Modifiers::NONE, Key::ArrowUp);
    window.key(Modifiers::NONE, Key::ArrowLeft);
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.app().state.tool, Tool::Rest);
    assert_eq!(window.car().wires().len(), n_wires + 1);
    let id = window.app().state.selection.only_wire().expect("the new wire is selected");
    let wire = window.car().wire(id).expect("a wire");
    assert_eq!(wire.from.at, Anchor::terminal(window.part("Right work lamp"), "1"));
    assert_eq!(wire.to.at, Anchor::terminal(window.part("Work-lamp switch"), "2"));
}

#[test]
fn escape_gives_up_a_wire_run_by_keys() {
    let mut window = Window::on_demo();
    window.key(Modifiers::NONE, Key::W);
    window.key(Modifiers::NONE, Key::Escape);
    assert_eq!(window.app().state.tool, Tool::Rest);
}

#[test]
fn a_new_wire_comes_with_proposals_that_are_told_as_such() {
    let mut window = Window::on_demo();
    window.drag_onto("Terminal 2 of Fuse 1", "Terminal 1 of Right work lamp");
    let id = window.app().state.selection.only_wire().expect("the new wire is selected");
    let size = window.car().wire(id).and_then(|wire| wire.size).expect("a size");
    // Thin-wall: 1.5 mm² carries 21 A, 1 mm² 16.5 A; the fuse is the usual one of the shelf.
    let fuse = window.car().part(window.part("Fuse 1")).expect("the fuse");
    let kind = window.car().type_of(window.part("Fuse 1")).expect("its kind");
    let amps = fuse.fact(kind, "amps").expect("a rating");
    let carries =
        loomwright_electrics::cable::rating(size, Some(loomwright_circuit::Insulation::ThinWall));
    assert!(carries.amps.0 >= amps, "{} before {size}", carries.amps);
    let is_proposed = |window: &Window, what: &str| {
        window.harness.query_by_label(&format!("Keep the {what} that was filled in")).is_some()
    };
    for what in ["colour", "size", "near end fitting", "far end fitting"] {
        assert!(is_proposed(&window, what), "{what}");
    }
    window.type_into("Size", "4 mm2");
    assert!(!is_proposed(&window, "size") && is_proposed(&window, "colour"), "one is decided");
    let before = window.car().clone();
    window.harness.get_by_label("Keep the far end fitting that was filled in").click();
    window.run();
    assert!(!is_proposed(&window, "far end fitting") && is_proposed(&window, "near end fitting"));
    window.click_at(window.canvas(0.5, 0.97), Modifiers::NONE);
    let ctx = window.harness.ctx.clone();
    let again = loomwright_app::action::Action::Select(loomwright_app::state::Selection::wire(id));
    window.harness.state_mut().act(&ctx, again);
    window.key(Modifiers::NONE, Key::G);
    assert!(
        window.harness.query_by_label_contains("that was filled in").is_none(),
        "all is decided"
    );
    assert_eq!(*window.car(), before, "what is kept is no edit");
}

#[test]
fn the_battery_gets_battery_cable() {
    let mut window = Window::on_demo();
    window.drag_onto("Terminal - of Battery", "Terminal 1 of Earth by the left lamp");
    let id = window.app().state.selection.only_wire().expect("the new wire is selected");
    let wire = window.car().wire(id).expect("a wire");
    assert_eq!(wire.size.map(|size| size.square_mm()), Some(25.0));
    assert_eq!(wire.colour.map(|colour| colour.words()).as_deref(), Some("black"));
}

#[test]
fn what_is_in_the_car_comes_before_what_may_be_added() {
    let mut window = Window::on_demo();
    let n_parts = window.car().parts().len();
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(Event::Text("lamp".to_owned()));
    window.run();
    // Enter goes to what is there; with Shift one more is added.
    let place = window.harness.get_by_label("Place").rect().top();
    assert!(place > window.harness.get_by_label_contains("Go to").rect().top());
    window.key(Modifiers::NONE, Key::Enter);
    assert_eq!(window.car().parts().len(), n_parts);
    window.key(Modifiers::COMMAND, Key::F);
    window.harness.event(Event::Text("lamp".to_owned()));
    window.run();
    window.key(Modifiers::SHIFT, Key::Enter);
    assert_eq!(window.car().parts().len(), n_parts + 1);
    let new = window.app().state.selection.only_part().expect("the new part is selected");
    assert_eq!(window.car().type_of(new).map(|kind| &*kind.title), Some("Lamp"));
}

#[test]
fn the_menu_pastes_undoes_and_does_again() {
    let mut window = Window::on_demo();
    window.click("Part Right work lamp");
    window.key(Modifiers::NONE, Key::Delete);
    for (word, is_there) in [("Undo", true), ("Redo", false)] {
        window.open_submenu("Edit");
        // The strip has a button of that name too; the menu's stands below it.
        let all = window.harness.query_all_by_label_contains(word);
        let lowest = all.map(|node| node.rect()).max_by(|a, b| a.top().total_cmp(&b.top()));
        let at = lowest.expect("it is in the menu").center();
        window.click_at(at, Modifiers::NONE);
        assert_eq!(window.has_part("Right work lamp"), is_there, "{word}");
    }
    window.open_submenu("Edit");
    window.harness.get_by_label_contains("Paste").click();
    window.harness.step();
    let asks = |output: &egui::FullOutput| {
        let viewports = output.viewport_output.values();
        viewports
            .flat_map(|viewport| &viewport.commands)
            .any(|command| matches!(command, egui::ViewportCommand::RequestPaste))
    };
    let is_asked = asks(window.harness.output());
    window.harness.step();
    assert!(is_asked || asks(window.harness.output()), "the clipboard is asked for");
}
