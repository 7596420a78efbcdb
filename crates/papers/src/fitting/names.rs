//! Places and runs as somebody at the car calls them.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, EarthPolarity, PartId, Standing};

use super::runs::{Place, Run};
use crate::words;

/// "Left driving lamp 2"; of a joint or an earth point only its label.
pub(crate) fn place_name(car: &Car, (part, terminal): &Place) -> String {
    let anchor = Anchor::terminal(*part, terminal);
    let (label, terminal) = words::place(car, &anchor);
    if terminal.is_empty() { label.to_owned() } else { format!("{label}, terminal {terminal}") }
}

/// The sign of the post that is earthed.
pub(crate) fn earth_post(car: &Car) -> &'static str {
    match car.vehicle().earth {
        EarthPolarity::Negative => "minus",
        EarthPolarity::Positive => "plus",
    }
}

fn live_sign(car: &Car) -> &'static str {
    match car.vehicle().earth {
        EarthPolarity::Negative => "plus",
        EarthPolarity::Positive => "minus",
    }
}

/// The clamp that was taken off the earthed post.
pub(crate) fn clamp(car: &Car) -> String {
    format!("earth-lead clamp, off the {} post", earth_post(car))
}

/// The clamp that was taken off the live post.
pub(crate) fn live_clamp(car: &Car) -> String {
    format!("live-lead clamp, off the {} post", live_sign(car))
}

/// The terminal of a battery that is not earthed.
pub(crate) fn live_post(car: &Car, battery: PartId) -> Option<String> {
    let is_negative = car.vehicle().earth == EarthPolarity::Negative;
    car.type_of(battery)?.elements.iter().find_map(|element| match element {
        Element::Battery { plus, minus, .. } => {
            Some(if is_negative { plus } else { minus }.clone())
        }
        _ => None,
    })
}

/// "From Driving-lamp relay, terminal 87, to Left driving lamp and Right driving lamp".
pub(crate) fn run_title(car: &Car, run: &Run) -> String {
    let start = run.start.as_ref().map_or_else(String::new, |place| place_name(car, place));
    let label = |place: &Place| car.part(place.0).map_or("", |part| part.label.as_str()).to_owned();
    let mut ends: Vec<String> = run.ends.iter().map(label).collect();
    ends.sort_by(|a, b| words::by_count(a, b));
    ends.dedup();
    let is_replaced = run.ends.is_empty();
    let to = if is_replaced { "where it was".to_owned() } else { words::listed(&ends, 3) };
    format!("From {start} to {to}")
}

/// Whether a part is to fit.
pub(crate) fn is_to_fit(car: &Car, id: PartId) -> bool {
    car.part(id).is_some_and(|part| part.standing == Standing::ToFit)
}
