//! Places and runs as somebody at the car calls them.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, EarthPolarity, PartId, Standing};

use super::runs::{Place, Run};
use crate::words;

/// "Left driving lamp, terminal 2"; of a joint or an earth point only its label, of a battery its post.
pub(crate) fn place_name(car: &Car, (part, terminal): &Place) -> String {
    if let Some(post) = post_name(car, *part, terminal) {
        return post;
    }
    if is_case(car, *part, terminal) {
        let label = car.part(*part).map_or("", |part| part.label.as_str());
        return format!("{label}, bare metal of its case");
    }
    let anchor = Anchor::terminal(*part, terminal);
    let (label, terminal) = words::place(car, &anchor);
    if terminal.is_empty() { label.to_owned() } else { format!("{label}, terminal {terminal}") }
}

/// Whether it is no terminal that one finds: what is earthed by its case, and has no lead there.
fn is_case(car: &Car, part: PartId, terminal: &str) -> bool {
    let elements = car.type_of(part).map_or(&[][..], |known| &known.elements);
    let is_earth = |element: &Element| matches!(element, Element::Earth { terminal: at, .. } if at == terminal);
    let anchor = Anchor::terminal(part, terminal);
    elements.len() > 1
        && elements.iter().any(is_earth)
        && !car.wires().values().any(|wire| wire.ends().iter().any(|end| end.at == anchor))
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

/// "plus post of Battery"; nothing for what is no battery.
fn post_name(car: &Car, part: PartId, terminal: &str) -> Option<String> {
    let sign = car.type_of(part)?.elements.iter().find_map(|element| match element {
        Element::Battery { plus, .. } if plus == terminal => Some("plus"),
        Element::Battery { minus, .. } if minus == terminal => Some("minus"),
        _ => None,
    })?;
    Some(format!("{sign} post of {}", car.part(part)?.label))
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
    let is_live = |(part, terminal): &Place| live_post(car, *part).as_ref() == Some(terminal);
    let start = run.start.as_ref().map_or_else(String::new, |place| {
        // The clamp is off its post while this is fitted.
        if is_live(place) { "the live-lead clamp".to_owned() } else { place_name(car, place) }
    });
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
