//! What a part does instead of what a promise claims of it, in a word.

use loomwright_circuit::Claim;
use loomwright_electrics::{Instead, Visit};

/// What a part does instead of what is claimed; nothing where it keeps the claim.
pub(crate) fn breach(visit: &Visit, claim: &Claim) -> Option<&'static str> {
    Some(match visit.settled.breach(claim)? {
        Instead::Missing => "not there",
        Instead::Does(state) => state.word(),
    })
}
