//! The moment between two positions of a control that makes before it breaks.
//!
//! Such a control has, beside its positions, one for each step from a position to the next: numbers from the count of
//! positions on, which settings never have. Contacts that make before they break are closed there if they are closed on
//! either side of the step; others only if they are closed on both.

use std::sync::Arc;

use crate::settle::flow;
use crate::solve::{Phase, Solver};
use crate::{Network, Setting, Solution};

/// What a contact does in the positions of a control, and between them.
pub(crate) fn with_steps(mut positions: Vec<bool>, makes_before_it_breaks: bool) -> Vec<bool> {
    let step = |pair: &[bool]| {
        if makes_before_it_breaks { pair[0] || pair[1] } else { pair[0] && pair[1] }
    };
    let steps: Vec<bool> = positions.windows(2).map(step).collect();
    positions.extend(steps);
    positions
}

impl Network {
    /// The moments that a move of one control goes through, from the setting before it.
    pub(crate) fn moments(&self, before: &Setting, control: usize, to: u8) -> Vec<Setting> {
        if !self.tables.bridging.contains(&control) {
            return Vec::new();
        }
        let from = before.0[control];
        let count = u8::try_from(self.controls()[control].positions.len()).unwrap_or(u8::MAX);
        let moment = |step: u8| {
            let mut setting = before.clone();
            setting.0[control] = count + step;
            setting
        };
        let (low, high) = (from.min(to), from.max(to));
        let mut moments: Vec<Setting> = (low..high).map(moment).collect();
        if to < from {
            moments.reverse();
        }
        moments
    }

    /// What flows in such a moment: relays stand as before, and flashers are lit.
    pub(crate) fn in_moment(
        &self,
        solver: &mut Solver<'_>,
        moment: &Setting,
        relays: &[bool],
        is_cold: bool,
    ) -> Solution {
        let flashers = vec![true; self.tables.flashers.len()];
        let phase = Phase { setting: &moment.0, relays, flashers: &flashers };
        // A single operating point is not worth asking whether to go on.
        let Some(ended) = solver.solve(phase, is_cold, &|_| false, &mut || true) else {
            return Solution::default();
        };
        let shown = Arc::new(flow(solver, phase, ended, &[]));
        Solution::of(&self.tables, &shown, &[Arc::clone(&shown)].into())
    }
}
