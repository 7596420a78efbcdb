//! Which states of a circuit can weigh most on the trunk.

use crate::survey::inlets::Taken;

/// One state takes more than another only by more than this share.
const SAME_SHARE: f64 = 1e-9;

/// What a circuit takes with nothing switched on, A.
const NOTHING_AMPS: f64 = 1e-5;

/// What each state of a circuit takes, piece by piece.
#[derive(Debug, Default)]
pub(super) struct Takings {
    /// With the others at rest, where it takes most.
    pub most: Vec<Vec<Taken>>,
    /// In the heaviest surroundings, A; only of states that could be the heaviest.
    least: Vec<Option<Vec<f64>>>,
    /// States that others weigh more than.
    lighter: Vec<usize>,
}

impl Takings {
    pub(super) fn new(most: Vec<Vec<Taken>>) -> Self {
        let least = vec![None; most.len()];
        Self { most, least, lighter: Vec::new() }
    }

    /// The states, the one that takes most first.
    pub(super) fn by_weight(&self) -> Vec<usize> {
        let total = |state: &usize| self.most[*state].iter().map(|taken| taken.amps).sum::<f64>();
        let mut states: Vec<usize> = (0..self.most.len()).collect();
        states.sort_by(|one, other| total(other).total_cmp(&total(one)));
        states
    }

    /// Whether a state takes nothing, or another one that could be the heaviest takes at least as much at each piece;
    /// if so it is noted as the lighter one.
    pub(super) fn is_lighter(&mut self, state: usize) -> bool {
        let is_lighter = self.is_outweighed(state);
        if is_lighter {
            self.lighter.push(state);
        }
        is_lighter
    }

    fn is_outweighed(&self, state: usize) -> bool {
        let takes_nothing = self.most[state].iter().all(|taken| taken.amps <= NOTHING_AMPS);
        takes_nothing
            || (0..self.most.len()).any(|other| {
                other != state && self.least[other].is_some() && {
                    (0..self.most[state].len()).all(|piece| self.takes(other, state, piece))
                }
            })
    }

    /// Whether a state takes at least as much as another one by a piece, at any volts that the piece can have.
    fn takes(&self, state: usize, other: usize, piece: usize) -> bool {
        let [one, other] = [state, other].map(|state| &self.most[state][piece]);
        let least = self.least[state].as_ref().map_or(0.0, |least| least[piece]);
        one.joins_all_of(other)
            || other.amps <= NOTHING_AMPS
            || least >= other.amps * (1.0 - SAME_SHARE)
    }

    /// Notes what a state takes in surroundings that are heavy; the least counts.
    pub(super) fn weighs(&mut self, state: usize, taken: &[Taken]) {
        let amps = taken.iter().map(|taken| taken.amps);
        self.least[state] = Some(match self.least[state].take() {
            Some(known) => known.into_iter().zip(amps).map(|(a, b)| a.min(b)).collect(),
            None => amps.collect(),
        });
    }

    /// Whether the states left out are still outweighed by what is known of the least by now.
    pub(super) fn still_holds(&self) -> bool {
        self.lighter.iter().all(|state| self.is_outweighed(*state))
    }

    /// States to look at in heavy surroundings, for the least volts: of those in which a piece stands alike, the ones in
    /// which the other pieces could weigh most.
    pub(super) fn weighing_on_themselves(&self) -> Vec<usize> {
        let mut kept: Vec<usize> = Vec::new();
        for state in self.by_weight() {
            let pieces = 0..self.most[state].len();
            let is_seen = |piece: usize| {
                kept.iter().any(|other| {
                    self.most[*other][piece].closed == self.most[state][piece].closed
                        && pieces.clone().all(|other_piece| self.takes(*other, state, other_piece))
                })
            };
            // A circuit without a piece that takes anything is seen as it is.
            if self.most[state].is_empty() || !pieces.clone().all(is_seen) {
                kept.push(state);
            }
        }
        kept
    }

    /// States to look at where some pieces lie beyond a piece of trunk and the others do not: in each other state,
    /// those beyond take no more and the others no less.
    pub(super) fn leaning(&self, is_beyond: &[bool]) -> Vec<usize> {
        let lean = |state: &usize| -> f64 {
            let pieces = self.most[*state].iter().zip(is_beyond);
            pieces.map(|(taken, is_beyond)| if *is_beyond { taken.amps } else { -taken.amps }).sum()
        };
        let mut states: Vec<usize> = (0..self.most.len()).collect();
        states.sort_by(|one, other| lean(other).total_cmp(&lean(one)));
        let mut kept: Vec<usize> = Vec::new();
        for state in states {
            let leans_less = |other: &usize| {
                is_beyond.iter().enumerate().all(|(piece, is_beyond)| {
                    let (more, less) = if *is_beyond { (*other, state) } else { (state, *other) };
                    self.takes(more, less, piece)
                })
            };
            if !kept.iter().any(leans_less) {
                kept.push(state);
            }
        }
        kept
    }

    /// Whether nothing lighter than the first state exists.
    pub(super) fn is_first_lightest(&self) -> bool {
        let Some((first, _)) = self.most.split_first() else { return true };
        first.iter().enumerate().all(|(piece, at_rest)| {
            at_rest.amps < NOTHING_AMPS
                || self.most.iter().all(|taken| {
                    let other = &taken[piece];
                    other.joins_all_of(at_rest) || other.amps >= at_rest.amps * (1.0 - SAME_SHARE)
                })
        })
    }
}
