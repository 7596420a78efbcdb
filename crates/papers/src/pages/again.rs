//! An edit has only those lines set anew that it changes.

use loomwright_circuit::{Car, Edit};
use loomwright_rules::Report;
use loomwright_units::Metres;

use super::Pages;
use crate::PackOptions;

/// What the typesetter calls the first thing that it does with the lines of a paragraph.
const LINES: &str = "prepare";

#[test]
fn what_an_edit_leaves_as_it_is_is_not_set_again() {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    let mut car = loomwright_circuit::load(bytes).expect("a demo car loads");
    let mut options = PackOptions::default();
    let first = n_set(&car, &options);
    assert!(first > 1000, "the typesetter has another name for it: {first} paragraphs");

    let (id, wire) = car.wires().iter().next().expect("a wire");
    let mut wire = wire.clone();
    wire.length = Some(Metres(7.77));
    let patch = car.plan(Edit::SetWire(*id, wire)).expect("a longer wire");
    car.apply(&patch);
    let longer = n_set(&car, &options);
    assert!((1..first / 10).contains(&longer), "a length: {longer} of {first} paragraphs");

    // It stands at the foot of each page, and all feet and heads are set twice: once before anybody knows how many pages
    // there are.
    "revision 2".clone_into(&mut options.revision);
    let revised = n_set(&car, &options);
    assert!((1..first / 3).contains(&revised), "a revision: {revised} of {first} paragraphs");
}

/// Paragraphs that are set and not taken over from before.
fn n_set(car: &Car, options: &PackOptions) -> usize {
    typst_timing::clear();
    typst_timing::enable();
    Pages::set(car, &Report::default(), options).expect("pages");
    typst_timing::disable();
    let mut json = Vec::new();
    typst_timing::export_json(&mut json, |_| (String::new(), 0)).expect("what was done");
    let events: Vec<serde_json::Value> = serde_json::from_slice(&json).expect("JSON");
    events.iter().filter(|event| event["name"] == LINES && event["ph"] == "B").count()
}
