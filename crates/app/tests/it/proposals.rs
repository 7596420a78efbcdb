//! What is proposed for wires that are there, of which something is not known.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use loomwright_app::action::Action;
use loomwright_app::state::Selection;
use loomwright_app::tool::new_part;
use loomwright_circuit::{
    Car, Edit, End, Fitting, Insulation, Point, SheetId, Standing, Wire, WireColour, WireId,
};

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

/// A switch with a lamp on it and no feed, and two lamps that hang on nothing yet.
const LAMPS: &str = "car 12 V negative earth
battery B1 12 V 40 Ah
switch S1
lamp H1 55 W
lamp H2 100 W
lamp H3 100 W
earth E1 body
wire W1 B1.- E1 25 mm2
wire W2 S1.2 H1.1
wire W3 H1.2 E1
wire W4 H2.2 E1
wire W5 H3.2 E1";

/// Runs a wire to fit, as the hand does, and gives it.
fn run(window: &mut Window, (from, a): (&str, &str), (to, b): (&str, &str)) -> WireId {
    let end = |part: &str, terminal: &str| End::terminal(window.part(part), terminal);
    let mut wire = Wire::new("", end(from, a), end(to, b));
    (wire.standing, wire.insulation) = (Standing::ToFit, Some(Insulation::ThinWall));
    let known: Vec<WireId> = window.car().wires().keys().copied().collect();
    act(window, Action::Edit("run a wire".to_owned(), Edit::Run(wire)));
    let new = window.car().wires().keys().find(|id| !known.contains(id));
    *new.expect("a new wire")
}

#[test]
fn a_size_that_nobody_kept_follows_what_comes_to_hang_on_the_lead() {
    let mut window = Window::on(loomwright_sketch::parse(LAMPS).expect("a sketch"));
    let feed = run(&mut window, ("B1", "+"), ("S1", "1"));
    let carries = |window: &Window, id: WireId| {
        let size = wire(window, id).size.expect("a size");
        loomwright_electrics::cable::rating(size, Some(Insulation::ThinWall)).amps.0
    };
    // One lamp of 55 W takes 4.6 A: the least cable that one fits.
    assert_eq!(wire(&window, feed).size.map(|size| size.square_mm()), Some(1.0));
    run(&mut window, ("S1", "2"), ("H2", "1"));
    run(&mut window, ("S1", "2"), ("H3", "1"));
    // 255 W at 12 V are 21.25 A, more than 1 mm² bears.
    assert!(carries(&window, feed) >= 255.0 / 12.0, "{:?}", wire(&window, feed).size);
    assert!(window.harness.query_by_label_contains("Proposed sizes follow").is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(wire(&window, feed).size.map(|size| size.square_mm()), Some(1.0), "undone with it");
}

#[test]
fn a_size_that_was_decided_stays_and_so_does_one_that_was_found() {
    let mut window = Window::on(loomwright_sketch::parse(LAMPS).expect("a sketch"));
    let feed = run(&mut window, ("B1", "+"), ("S1", "1"));
    select(&mut window, &[feed]);
    window.harness.get_by_label("Keep the size that was filled in").click();
    window.run();
    let kept = wire(&window, feed).size;
    run(&mut window, ("S1", "2"), ("H2", "1"));
    run(&mut window, ("S1", "2"), ("H3", "1"));
    assert_eq!(wire(&window, feed).size, kept, "it was kept");
    let mut window = Window::on(loomwright_sketch::parse(LAMPS).expect("a sketch"));
    let feed = run(&mut window, ("B1", "+"), ("S1", "1"));
    let found = Edit::Mark { parts: vec![], wires: vec![feed], standing: Standing::AsFound };
    act(&mut window, Action::Edit("mark".to_owned(), found));
    run(&mut window, ("S1", "2"), ("H2", "1"));
    run(&mut window, ("S1", "2"), ("H3", "1"));
    assert_eq!(wire(&window, feed).size, kept, "what is in the car grows no thicker");
}

#[test]
fn both_pieces_of_a_lead_that_is_cut_keep_their_proposals() {
    let mut window = Window::on(loomwright_sketch::parse(LAMPS).expect("a sketch"));
    let feed = run(&mut window, ("B1", "+"), ("S1", "1"));
    let fuse = new_part("fuse-blade", SheetId(1), Point::new(0.0, 300.0), Standing::ToFit);
    let ends = ["1", "2"].map(str::to_owned);
    act(
        &mut window,
        Action::Edit("cut in".to_owned(), Edit::CutIn { wire: feed, part: Box::new(fuse), ends }),
    );
    let second = window.car().wires().keys().copied().max().expect("the other piece");
    assert_ne!(second, feed);
    // With the fuse of the shelf in it, the lead is as thick as that asks for; both pieces.
    let [first, other] = [feed, second].map(|id| wire(&window, id).size);
    assert_eq!(first, other);
    run(&mut window, ("S1", "2"), ("H2", "1"));
    run(&mut window, ("S1", "2"), ("H3", "1"));
    for id in [feed, second] {
        let size = wire(&window, id).size.expect("a size");
        let carries = loomwright_electrics::cable::rating(size, Some(Insulation::ThinWall));
        assert!(carries.amps.0 >= 255.0 / 12.0, "{size}");
    }
}

/// A lead that is run before anything hangs on it has neither colour nor size until something does.
#[test]
fn a_lead_run_before_its_load_is_filled_in_once_that_hangs_on_it() {
    let text = "car 12 V negative earth
battery B1 12 V 40 Ah
switch S1
lamp H1 60 W
earth E1 body
wire W1 B1.- E1 25 mm2
wire W2 H1.2 E1";
    let mut window = Window::on(loomwright_sketch::parse(text).expect("a sketch"));
    let feed = run(&mut window, ("B1", "+"), ("S1", "1"));
    assert_eq!(wire(&window, feed).size, None, "nothing tells it yet");
    run(&mut window, ("S1", "2"), ("H1", "1"));
    let size = wire(&window, feed).size.expect("60 W hang on it");
    let carries = loomwright_electrics::cable::rating(size, Some(Insulation::ThinWall));
    assert!(carries.amps.0 >= 60.0 / 12.0, "{size}");
    assert!(wire(&window, feed).colour.is_some());
    window.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(wire(&window, feed).size, None, "undone with it");
}
