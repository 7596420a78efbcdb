//! Whether a promise holds at this moment.

use loomwright_circuit::{Claim, Expectation, Promise};
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
pub fn verdict(promise: &Promise, trial: &Trial, phases: &[&Solution]) -> Verdict {
    let is_asked = promise.when.iter().all(|moment| {
        trial
            .position(&moment.control)
            .is_some_and(|position| moment.positions.contains(&position.name))
    });
    if !is_asked {
        return Verdict::NotAsked;
    }
    if promise.then.iter().all(|claim| is_kept(claim, phases)) {
        Verdict::Holds
    } else {
        Verdict::Broken
    }
}

fn is_kept(claim: &Claim, phases: &[&Solution]) -> bool {
    let states: Vec<PartState> = phases
        .iter()
        .filter_map(|solution| solution.part(claim.part))
        .map(|reading| state_of(&reading, claim))
        .collect();
    let Some(on) = states.first() else { return false };
    let is_lit = |state: &PartState| matches!(state, PartState::Lit | PartState::Flashing);
    match claim.must {
        Expectation::Lit => states.iter().all(is_lit),
        Expectation::Dark => states.iter().all(|state| *state == PartState::Dark),
        Expectation::Flashing => {
            *on == PartState::Flashing
                || (states.len() > 1 && is_lit(on) && states.iter().any(|state| !is_lit(state)))
        }
        Expectation::Working => states.iter().all(|state| {
            matches!(state, PartState::Working | PartState::Flashing) || is_lit(state)
        }),
        Expectation::Idle => states.iter().all(|state| *state == PartState::Idle),
        Expectation::In => states.iter().all(|state| *state == PartState::In),
        Expectation::Out => states.iter().all(|state| *state == PartState::Out),
    }
}

fn state_of(reading: &PartReading, _claim: &Claim) -> PartState {
    reading.state
}
