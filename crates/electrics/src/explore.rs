//! Visiting every reachable state, breadth first from rest, one control move at a time.

use crate::{Move, Network, Settled};

/// How far to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// The most states to visit.
    pub states: usize,
}

impl Default for Bound {
    fn default() -> Self {
        Self { states: 20_000 }
    }
}

/// The states visited, and how each was reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Exploration {
    /// In the order of visiting; the first is rest.
    pub visits: Vec<Visit>,
    /// Number of possible settings of the car.
    pub settings: u128,
    /// Whether every reachable state was visited.
    pub is_complete: bool,
}

/// One visited state.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The state and what flows in it.
    pub settled: Settled,
    /// The visit it was reached from, and the move; nothing for rest.
    pub reached: Option<(usize, Move)>,
}

impl Exploration {
    /// The moves from rest that lead to a visit: the shortest there is.
    pub fn moves_to(&self, visit_idx: usize) -> Vec<Move> {
        let mut moves = Vec::new();
        let mut at = visit_idx;
        while let Some((before, step)) =
            self.visits.get(at).and_then(|visit| visit.reached.as_ref())
        {
            moves.push(step.clone());
            at = *before;
        }
        moves.reverse();
        moves
    }
}

/// Visits reachable states until all are known, the bound is met, or `goes_on` (asked after each state with the
/// number visited) says no.
pub fn explore(
    network: &Network,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let _ = (network, bound, goes_on);
    unreachable!("skeleton")
}
