//! What a new wire is likely to be, from what meets it.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Anchor, Car, Colour, Fitting, Insulation, PartType, Standing, Wire, WireColour,
};
use loomwright_units::WireArea;

/// Fills in colour, size, insulation and fittings where a neighbour makes them plain.
pub fn propose(car: &Car, wire: &mut Wire) {
    propose_fittings(car, wire);
    let neighbour = neighbour(car, wire);
    let is_earth = meets_earth(car, wire);
    if wire.colour.is_none() {
        wire.colour = if is_earth {
            Some(WireColour::plain(Colour::Black))
        } else {
            neighbour.and_then(|other| other.colour)
        };
    }
    if wire.size.is_none() {
        wire.size = neighbour
            .and_then(|other| other.size)
            // The battery's own lead carries the starter's current: its size is nothing to guess.
            .or_else(|| {
                (is_earth && !meets_battery(car, wire)).then(|| WireArea::new(1.0).ok())?
            });
    }
    if wire.insulation.is_none() {
        wire.insulation = match wire.standing {
            // What is bought new today is thin-wall cable.
            Standing::ToFit => Some(Insulation::ThinWall),
            _ => neighbour.and_then(|other| other.insulation),
        };
    }
}

/// The fitting that a terminal takes, at each end that has none yet.
pub(super) fn propose_fittings(car: &Car, wire: &mut Wire) {
    for end in [&mut wire.from, &mut wire.to] {
        if end.fitting.is_none() {
            end.fitting = fitting_of(car, &end.at);
        }
    }
}

/// The fitting that the terminal takes on which an end is.
pub(super) fn fitting_of(car: &Car, at: &Anchor) -> Option<Fitting> {
    let Anchor::Terminal { part, terminal } = at else { return None };
    car.type_of(*part)?.terminal(terminal)?.fitting
}

/// A wire that already meets one of the ends and tells what this one is likely to be.
fn neighbour<'a>(car: &'a Car, wire: &Wire) -> Option<&'a Wire> {
    wire.ends().into_iter().find_map(|end| {
        // At an earth point many leads of other jobs meet.
        if car.type_of(end.at.part()?).is_some_and(|part_type| is_earth(part_type)) {
            return None;
        }
        car.wires().values().find(|other| {
            other.standing != Standing::ToRemove
                && other.colour.is_some()
                && other.ends().iter().any(|other_end| other_end.at == end.at)
        })
    })
}

fn meets_earth(car: &Car, wire: &Wire) -> bool {
    let parts = wire.ends().into_iter().filter_map(|end| end.at.part());
    parts.filter_map(|id| car.type_of(id)).any(|part_type| is_earth(part_type))
}

fn meets_battery(car: &Car, wire: &Wire) -> bool {
    let parts = wire.ends().into_iter().filter_map(|end| end.at.part());
    parts.filter_map(|id| car.type_of(id)).any(|part_type| {
        part_type.elements.iter().any(|element| matches!(element, Element::Battery { .. }))
    })
}

fn is_earth(part_type: &PartType) -> bool {
    part_type.elements.iter().any(|element| matches!(element, Element::Earth { .. }))
}
