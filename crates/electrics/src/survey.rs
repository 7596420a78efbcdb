//! The extremes over all reachable states without visiting them all.
//!
//! With the shared controls standing still, circuits meet only at the trunk (see `circuits.rs`). A circuit feels
//! the others only by what they take from the trunk, and takes least and most in states of its own:
//!
//! - With the others at rest it sees the greatest volts: its own wires carry most, its consumers have most.
//! - With the others in the states in which they take most, it sees the least: its consumers have least.
//! - A piece of trunk carries most where all that hangs beyond it takes most and all else is at rest.
//!
//! So each circuit is gone through by itself, once with the others at rest and once with the others taking most (there
//! only in the states in which it weighs most on one of its own pieces), and only the circuits beyond a piece of trunk are multiplied out, by the few states that could take most.
//!
//! # Proof
//! All laws used rise with volts (constant-power electronics are the exception, and make the answer inexact), so the
//! nodal equations are those of an M-function: taking more at any place lowers the volts of every place or leaves them
//! (Rheinboldt, "On M-functions and their application to nonlinear Gauss-Seidel iterations and to network flows",
//! J. Math. Anal. Appl. 32, 1970). A piece that hangs on the trunk at one live and one earthed place is a one-port:
//! the heavier the surroundings, the less it takes. State `t` of a circuit takes at least as much as state `s` in any
//! surroundings if each piece has all contacts closed in `t` that are in `s`, takes nothing in `s`, or takes at least as
//! much in `t` in the heaviest as in `s` in the lightest. Replacing `s` by `t` then lowers
//! volts elsewhere or leaves them, circuit after circuit, so the lowest volts are met among the states for which no
//! such `t` exists. A wire of a one-port carries more the more volts it has, if series and parallel steps alone reduce
//! the port to one branch.
//!
//! Where one of these conditions does not hold, the visits are the same, and a [`Doubt`] says so. The figures met are then
//! one end of a bracket, whose other end [`Brackets`](crate::Brackets) proves.

use std::sync::Arc;

use crate::circuits::Shape;
use crate::explore::{Explorer, explore_from};
use crate::past::Past;
use crate::survey::tour::Tour;
use crate::{Bound, Exploration, Network};

mod heavy;
mod inlets;
mod opened;
mod plan;
mod port;
mod scope;
mod shared;
mod tour;

pub(crate) use plan::Plan;
pub(crate) use scope::Scopes;

/// Visits states enough to know the extremes over all reachable ones; see the module for which these are. Where going
/// through all states is not dearer, that is done.
///
/// `goes_on` is asked as by [`explore`](crate::explore), and while circuits are told apart.
///
/// # Complexity
/// O(settings of the shared controls · sum over circuits of their states), times a solve.
pub fn survey(
    network: &Network,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    survey_from(network, None, bound, goes_on)
}

fn survey_from(
    network: &Network,
    past: Option<&Past<'_>>,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let tables = &*network.tables;
    let shape = Shape::of(tables);
    let plan = match past.and_then(|past| past.plan) {
        Some(plan) => Some(plan.clone()),
        None => shared::choose(network, &shape, goes_on).map(Plan::of),
    };
    let Some(plan) = plan else {
        return Explorer::new(network, past).into_exploration(network, false);
    };
    let all = network.possible_settings();
    // Each circuit's states are visited twice, and its surroundings on the way.
    if all <= 2 * plan.visits && all <= bound.states as u128 {
        return explore_from(network, past, bound, goes_on);
    }
    let mut tour = Tour::new(network, past, shape, bound, plan);
    let is_done = tour.go(goes_on).is_some();
    let mut exploration = tour.explorer.into_exploration(network, false);
    exploration.plan = Some(Arc::new(tour.plan));
    exploration.is_complete = is_done && tour.states == exploration.visits.len() as u128;
    if !(tables.bridging.is_empty() && tables.driven.is_empty()) {
        tour.doubts.insert(Doubt::Moments);
    }
    if !is_done {
        tour.doubts.insert(Doubt::Unfinished);
    }
    exploration.doubts = tour.doubts.into_iter().collect();
    exploration.states = if is_done { tour.states } else { exploration.states };
    exploration
}

/// Visits all reachable states where the bound allows it, and else those of a [`survey`].
pub fn look_around(
    network: &Network,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    look_around_from(network, None, bound, goes_on)
}

fn look_around_from(
    network: &Network,
    past: Option<&Past<'_>>,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let is_within = network.possible_settings() <= bound.states as u128;
    let visit = if is_within { explore_from } else { survey_from };
    visit(network, past, bound, goes_on)
}

/// An earlier version of a car, and what was found of it.
#[derive(Debug, Clone, Copy)]
pub struct Earlier<'a> {
    /// Its network.
    pub network: &'a Network,
    /// The states that were visited.
    pub exploration: &'a Exploration,
}

/// As [`survey`], after an edit: states that the edit does not touch are looked at once instead of solved.
///
/// The answer is that of [`survey`] to the accuracy of the solver, a thousand-millionth of an ampere left over anywhere.
pub fn survey_again(
    network: &Network,
    earlier: Earlier<'_>,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let past = Past::of(network, earlier.network, earlier.exploration);
    survey_from(network, Some(&past), bound, goes_on)
}

/// As [`look_around`], after an edit; see [`survey_again`].
pub fn look_around_again(
    network: &Network,
    earlier: Earlier<'_>,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let past = Past::of(network, earlier.network, earlier.exploration);
    look_around_from(network, Some(&past), bound, goes_on)
}

/// Why a survey cannot vouch for its extremes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Doubt {
    /// The bound was met, or the caller ended it.
    Unfinished,
    /// Relays remember how the key and engine came to stand as they do.
    Memory,
    /// A circuit hangs on more than one live or one earthed place.
    SeveralPlaces,
    /// Something that no supply reaches lies between two earthed places, whose volts differ a little.
    Strays,
    /// There is more than one way along the trunk.
    TrunkLoop,
    /// Something takes less the more volts it has.
    LawFalls,
    /// A circuit takes less in some state than at rest.
    RestNotLightest,
    /// Too many states could take most.
    ManySurroundings,
    /// Circuits do otherwise with the others switched on.
    Entangled,
    /// A circuit is no plain row of series and parallel steps.
    Meshed,
    /// Contacts close for a moment while a control is moved or a motor moves them, and that moment was not looked at
    /// with everything else switched on.
    Moments,
}
