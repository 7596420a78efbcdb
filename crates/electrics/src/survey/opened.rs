//! The states in which breakers are open.

use std::collections::BTreeSet;

use crate::Doubt;
use crate::breaker::OPEN;
use crate::explore::GoesOn;
use crate::survey::tour::Tour;

impl Tour<'_> {
    /// Goes around the circuits with breakers open, from the states in which they carry what opens them: while one is
    /// open, everything else may be put to rest. `seen` holds the settings of the shared controls gone around so far.
    ///
    /// If a breaker is overloaded in some state, then also in the one in which it carries most, and that was visited.
    pub(super) fn with_breakers_open(
        &mut self,
        shared: &[usize],
        seen: &mut BTreeSet<Vec<u8>>,
        remembered: &[usize],
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        let mut from = 0;
        while from < self.explorer.visits.len() {
            for control in self.network.opening(&self.explorer.visits[from]) {
                let mut at_rest = self.setting(from).to_vec();
                for (at, is_shared) in at_rest.iter_mut().zip(&self.plan.is_shared) {
                    *at = if *is_shared { *at } else { 0 };
                }
                at_rest[control] = OPEN;
                if seen.contains(&at_rest) {
                    continue;
                }
                let Some(open) = self.explorer.make(from, control, OPEN, goes_on).ok()? else {
                    continue;
                };
                // Relays may hold what they were given before it opened.
                self.expect(self.network.relays().next().is_none(), Doubt::Memory);
                let base = self.put_to_rest(open, goes_on)?;
                for base in self.explorer.visit_from(base, shared, self.bound, goes_on)? {
                    if seen.insert(self.setting(base).to_vec()) {
                        self.around(base, remembered, goes_on)?;
                    }
                }
                seen.insert(at_rest);
            }
            from += 1;
        }
        Some(())
    }

    /// Moves all controls but the shared ones to rest.
    fn put_to_rest(&mut self, from: usize, goes_on: GoesOn<'_>) -> Option<usize> {
        let mut at = from;
        for control in (0..self.plan.is_shared.len())
            .filter(|idx| !self.plan.is_shared[*idx])
            .collect::<Vec<_>>()
        {
            if self.setting(at)[control] == 0 {
                continue;
            }
            match self.explorer.make(at, control, 0, goes_on).ok()? {
                Some(visit) => at = visit,
                None => self.expect(false, Doubt::Entangled),
            }
        }
        let stands_at_rest = self
            .setting(at)
            .iter()
            .zip(&self.plan.is_shared)
            .all(|(at, is_shared)| *is_shared || *at == 0);
        self.expect(stands_at_rest, Doubt::Entangled);
        Some(at)
    }
}
