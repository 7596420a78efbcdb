//! Why a survey cannot vouch for its figures, in words.

use loomwright_electrics::Doubt;

use crate::ctx::Ctx;

/// Why the extremes may not be those over all reachable states.
pub fn doubtful(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Unfinished => "not all states were visited: a figure may be exceeded in another one",
        Doubt::Memory => {
            "relays remember how the key came to stand where it does: a figure may be exceeded"
        }
        Doubt::SeveralPlaces => {
            "a circuit has more than one feed or earth: figures near it may be exceeded a little"
        }
        Doubt::Strays => {
            "something without a feed lies between two earths: small stray currents are not followed"
        }
        Doubt::TrunkLoop => {
            "there is more than one way from the supply: its wires may carry a little more"
        }
        Doubt::LawFalls => {
            "something takes more the fewer volts it has: a figure may be exceeded a little"
        }
        Doubt::RestNotLightest => {
            "a circuit takes less in some setting than at rest: a figure may be exceeded a little"
        }
        Doubt::ManySurroundings => {
            "many settings take nearly as much as the greatest: not all were tried together"
        }
        Doubt::Entangled => {
            "relays of one circuit follow what another takes: a figure may be exceeded"
        }
        Doubt::Moments => {
            "contacts close for a moment in passing: with all else on, more may flow then"
        }
        Doubt::Meshed => {
            "the current has several ways through a circuit: a wire of it may carry a little more"
        }
    }
}

impl Ctx<'_> {
    /// Whether the greatest and least figures are those of all states.
    pub(crate) fn is_exact(&self) -> bool {
        self.evidence.exploration.is_some_and(loomwright_electrics::Exploration::is_exact)
    }

    /// Why they may not be, where that is so: the first reason.
    pub(crate) fn doubt(&self) -> &'static str {
        let first = self.evidence.exploration.and_then(|exploration| exploration.doubts.first());
        first.map_or("no states were visited", |doubt| doubtful(*doubt))
    }
}
