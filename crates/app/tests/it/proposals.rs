//! What is proposed for wires that are there, of which something is not known.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::state::Selection;
use loomwright_circuit::{Car, Edit, Fitting, Insulation, Wire, WireColour, WireId};

use crate::saving::act;
use crate::window::Window;

/// The small car, with nothing known of some of its wires but their ends.
fn bare(labels: &[&str]) -> (Window, Vec<WireId>) {
    let mut car: Car = crate::cars::learner();
    let known = car.wires().iter().filter(|(_, wire)| labels.contains(&&*wire.label));
    let known: Vec<(WireId, Wire)> = known.map(|(id, wire)| (*id, wire.clone())).collect();
    for (id, mut wire) in known.clone() {
        (wire.colour, wire.size) = (None, None);
        (wire.from.fitting, wire.to.fitting) = (None, None);
        let patch = car.plan(Edit::SetWire(id, wire)).expect("it is sound");
        car.apply(&patch);
    }
    (Window::on(car), known.into_iter().map(|(id, _)| id).collect())
}

fn select(window: &mut Window, ids: &[WireId]) {
    let wires = ids.iter().copied().collect();
    act(window, Action::Select(Selection { wires, ..Selection::default() }));
}

fn wire(window: &Window, id: WireId) -> Wire {
    window.car().wire(id).expect("a wire").clone()
}

#[test]
fn each_thing_that_is_not_known_is_proposed_and_taken_by_itself() {
    let (mut window, ids) = bare(&["W2"]);
    select(&mut window, &ids);
    let before = wire(&window, ids[0]);
    assert!(window.harness.query_by_label_contains("look at the car first").is_some());
    let name = "Fill in the proposed size";
    // By the keyboard alone.
    window.harness.get_by_label(name).focus();
    window.run();
    window.key(Modifiers::NONE, Key::Enter);
    let now = wire(&window, ids[0]);
    // The fuse of the shelf is behind it: the table of thin-wall cable must bear that.
    let fuse = window.car().part(window.part("Fuse 1")).expect("the fuse");
    let kind = window.car().type_of(window.part("Fuse 1")).expect("its kind");
    let amps = fuse.fact(kind, "amps").expect("a rating");
    let size = now.size.expect("a size");
    let carries = loomwright_electrics::cable::rating(size, Some(Insulation::ThinWall));
    assert!(carries.amps.0 >= amps, "{} before {size}", carries.amps);
    assert_eq!(now, Wire { size: Some(size), ..before.clone() });
    assert!(window.harness.query_by_label(name).is_none());
    assert!(window.harness.query_by_label("Fill in the proposed colour").is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(wire(&window, ids[0]), before);
    select(&mut window, &ids);
    assert!(window.harness.query_by_label(name).is_some(), "it is proposed again");
}

#[test]
fn all_that_is_proposed_is_taken_by_one_key_and_undone_in_one_step() {
    let (mut window, ids) = bare(&["W1", "W5", "W6"]);
    let before = window.car().wires().clone();
    select(&mut window, &ids);
    window.key(Modifiers::NONE, Key::G);
    for id in &ids {
        let wire = wire(&window, *id);
        assert!(wire.colour.is_some() && wire.size.is_some(), "{wire:?}");
    }
    // BS AU 7: brown for the battery's main feed, black for all earth leads.
    let colours = ids.iter().map(|id| wire(&window, *id).colour.map(WireColour::words));
    let colours: Vec<_> = colours.flatten().collect();
    assert_eq!(colours, ["brown", "black", "black"]);
    // The fuse has tabs of 6.3 mm.
    assert_eq!(wire(&window, ids[0]).to.fitting, Some(Fitting::Blade63));
    window.key(Modifiers::NONE, Key::G);
    assert!(window.harness.query_by_label_contains("Nothing is proposed").is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*window.car().wires(), before);
}

#[test]
fn what_is_proposed_for_several_wires_has_a_button() {
    let (mut window, ids) = bare(&["W2", "W3"]);
    let all: Vec<WireId> = window.car().wires().keys().copied().collect();
    select(&mut window, &all);
    assert!(window.harness.query_by_label_contains("of these wires").is_some());
    window.harness.get_by_label_contains("Fill in all").click();
    window.run();
    assert!(ids.iter().all(|id| wire(&window, *id).size.is_some()));
    assert!(window.harness.query_by_label_contains("of these wires").is_none());
}
