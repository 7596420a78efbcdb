//! Whether a promise holds at this moment.

use loomwright_circuit::Promise;
use loomwright_circuit::part_type::Element;

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

/// Judges a promise in the present state.
pub fn verdict(promise: &Promise, trial: &Trial) -> Verdict {
    if !trial.network.is_asked(promise, &trial.settled.state.setting) {
        return Verdict::NotAsked;
    }
    if promise.then.iter().all(|claim| trial.settled.breach(claim).is_none()) {
        Verdict::Holds
    } else {
        Verdict::Broken
    }
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
