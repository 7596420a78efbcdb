//! Whether a promise holds at this moment.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Claim, Expectation, Promise};
use loomwright_electrics::{PartReading, PartState, Solution};

use crate::trial::Trial;

/// What can be said of a promise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Holds,
    /// It does not.
    Broken,
    /// The controls do not stand as it asks.
    NotAsked,
}

/// Judges a promise against the phases of the present state.
pub fn verdict(car: &Car, promise: &Promise, trial: &Trial, phases: &[&Solution]) -> Verdict {
    let is_asked = promise.when.iter().all(|moment| {
        trial
            .position(&moment.control)
            .is_some_and(|position| moment.positions.contains(&position.name))
    });
    if !is_asked {
        return Verdict::NotAsked;
    }
    if promise.then.iter().all(|claim| is_kept(car, claim, phases)) {
        Verdict::Holds
    } else {
        Verdict::Broken
    }
}

fn is_kept(car: &Car, claim: &Claim, phases: &[&Solution]) -> bool {
    let states: Vec<PartState> = phases
        .iter()
        .filter_map(|solution| solution.part(claim.part))
        .map(|reading| state_of(car, &reading, claim))
        .collect();
    let Some(on) = states.first() else { return false };
    let is_lit = |state: &PartState| matches!(state, PartState::Lit | PartState::Flashing);
    // As the rule on broken promises judges: a lamp that flashes is not lit, one that blocks is dark.
    match claim.must {
        Expectation::Lit => states.iter().all(|state| *state == PartState::Lit),
        Expectation::Dark => {
            states.iter().all(|state| matches!(state, PartState::Dark | PartState::Blocks))
        }
        Expectation::Flashing => {
            *on == PartState::Flashing
                || (states.len() > 1 && is_lit(on) && states.iter().any(|state| !is_lit(state)))
        }
        Expectation::Working => states.iter().all(|state| *state == PartState::Working),
        Expectation::Idle => {
            states.iter().all(|state| matches!(state, PartState::Idle | PartState::Blocks))
        }
        Expectation::In => states.iter().all(|state| *state == PartState::In),
        Expectation::Out => states.iter().all(|state| *state == PartState::Out),
    }
}

/// The state of the element that is fed at the terminal meant, or of the part as a whole.
fn state_of(car: &Car, reading: &PartReading, claim: &Claim) -> PartState {
    let element_idx = claim.terminal.as_ref().and_then(|terminal| {
        let elements = &car.type_of(claim.part)?.elements;
        elements.iter().position(|element| fed_at(element) == Some(terminal))
    });
    element_idx
        .and_then(|element_idx| reading.elements.get(element_idx))
        .map_or(reading.state, |element| element.state)
}

/// The terminal at which an element is fed.
pub(crate) fn fed_at(element: &Element) -> Option<&String> {
    match element {
        Element::Filament { between, .. }
        | Element::Load { between, .. }
        | Element::Motor { between, .. } => Some(&between[0]),
        Element::Led { anode, .. } => Some(anode),
        _ => None,
    }
}
