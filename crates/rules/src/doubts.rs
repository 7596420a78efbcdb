//! Why a survey cannot vouch for its figures, in words.

use loomwright_electrics::Doubt;

use crate::ctx::Ctx;
use crate::messages::Doubts;

/// Why the extremes may not be those over all reachable states.
pub fn doubtful(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Unfinished => Doubts::unfinished(),
        Doubt::Memory => Doubts::memory(),
        Doubt::SeveralPlaces => Doubts::several_places(),
        Doubt::Strays => Doubts::strays(),
        Doubt::TrunkLoop => Doubts::trunk_loop(),
        Doubt::LawFalls => Doubts::law_falls(),
        Doubt::RestNotLightest => Doubts::rest_not_lightest(),
        Doubt::ManySurroundings => Doubts::many_surroundings(),
        Doubt::Entangled => Doubts::entangled(),
        Doubt::Moments => Doubts::moments(),
        Doubt::Meshed => Doubts::meshed(),
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
        first.map_or(Doubts::no_states(), |doubt| doubtful(*doubt))
    }
}
