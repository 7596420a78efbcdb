//! What is typed for all selected wires at once: leads of another kind are left as they are.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Edit, Wire, WireId};
use loomwright_units::WireArea;

use crate::handle::fields::{Change, alter_or_correct, read_colour, read_metres, read_size};
use crate::state::{Field, State};
use crate::texts::Steps;

/// From this size on, mm², a lead is a battery cable, and not one of the loom (practice, as the sizes that are sold:
/// those of the loom end at 6 or 8.5).
const BATTERY_CABLE: f64 = 10.0;

/// The edit of what is typed into a field of several wires, with its name.
pub(super) fn many_change(state: &State, field: &Field, text: &str) -> Result<Change, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let colour = if *field == Field::ManyColours { read_colour(text)? } else { None };
    let size = if *field == Field::ManySizes { read_size(text)? } else { None };
    let length = if *field == Field::ManyLengths { read_metres(text)? } else { None };
    let left_out = size.map_or_else(Vec::new, |size| of_another_kind(state, size));
    let edits = state.selection.wires.iter().filter(|id| !left_out.contains(id)).filter_map(|id| {
        let known = state.car().wire(*id)?;
        let mut wire = known.clone();
        wire.colour = colour.or(wire.colour);
        wire.size = size.or(wire.size);
        wire.length = length.or(wire.length);
        (wire != *known).then(|| alter_or_correct(state, *id, known, wire))
    });
    let edits: Vec<Edit> = edits.collect();
    let wires = wires_changed(state, edits.len());
    let label = match field {
        Field::ManySizes => Steps::size_of_many(wires),
        Field::ManyLengths => Steps::length_of_many(wires),
        _ => Steps::colour_of_many(wires),
    };
    Ok((!edits.is_empty()).then_some((label, Edit::All(edits))))
}

/// How many of the selected wires a change is about: the others were so already, or are left as they are.
fn wires_changed(state: &State, n_changed: usize) -> String {
    let n_selected = state.selection.wires.len();
    if n_changed < n_selected {
        Steps::of_so_many(n_changed, n_selected)
    } else {
        crate::words::count(n_changed as u128, "wire", "wires")
    }
}

/// What is left as it is where this is typed for all selected wires, in a sentence.
pub(super) fn left_out(state: &State, field: &Field, text: &str) -> Option<String> {
    if *field != Field::ManySizes {
        return None;
    }
    let size = read_size(text).ok()??;
    let left_out = of_another_kind(state, size);
    let label = |id: &WireId| state.car().wire(*id).map_or(String::new(), |it| it.label.clone());
    let names: Vec<String> = left_out.iter().map(label).collect();
    let is_loom = size.square_mm() < BATTERY_CABLE;
    match names.as_slice() {
        [] => None,
        [one] if is_loom => Some(Steps::cable_left_out(one)),
        many if is_loom => Some(Steps::cables_left_out(many.join(", "))),
        many => Some(Steps::loom_left_out(many.join(", "))),
    }
}

/// The selected wires that are of another kind than a wire of this size, where others are of that kind: battery
/// cables and earth straps where it is one of the loom, those of the loom where it is a battery cable's.
fn of_another_kind(state: &State, size: WireArea) -> Vec<WireId> {
    let is_cable = size.square_mm() >= BATTERY_CABLE;
    let wires = state.selection.wires.iter().copied();
    let (same, other): (Vec<_>, Vec<_>) = wires.partition(|id| {
        state.car().wire(*id).is_none_or(|wire| is_heavy(state.car(), wire) == is_cable)
    });
    if same.is_empty() { Vec::new() } else { other }
}

/// A battery cable, or a strap from one earth to another.
fn is_heavy(car: &Car, wire: &Wire) -> bool {
    wire.size.is_some_and(|size| size.square_mm() >= BATTERY_CABLE)
        || wire.size.is_none() && wire.ends().iter().all(|end| is_earth(car, &end.at))
}

fn is_earth(car: &Car, at: &Anchor) -> bool {
    let Anchor::Terminal { part, .. } = at else { return false };
    let earth = |element: &Element| matches!(element, Element::Earth { .. });
    car.type_of(*part).is_some_and(|known| known.elements.iter().any(earth))
}
