//! The trial follows the car, and waits while that is drawn on.

use std::sync::Arc;

use crate::analysis::Analysis;
use crate::state::{Mode, State};
use crate::trial::Trial;

impl Analysis {
    /// Brings the trial up to the present car; begins one where Try has none.
    pub(super) fn follow_trial(&mut self, state: &State) {
        match (&mut self.trial, state.mode) {
            (Some(trial), _) if trial.revision != state.doc.revision => {
                let (car, network) = (Arc::clone(&state.doc.car), Arc::clone(&self.network));
                *trial = trial.on(car, network, state.doc.revision);
            }
            (trial @ None, Mode::Try) => {
                let (car, network) = (Arc::clone(&state.doc.car), Arc::clone(&self.network));
                *trial = Some(match self.before.take() {
                    Some(before) => before.on(car, network, state.doc.revision),
                    None => Trial::at_rest(car, network, state.doc.revision),
                });
            }
            _ => {}
        }
    }

    /// Ends the trial: its controls, its record, its meter and what was wrong are kept for the next one.
    pub fn put_by(&mut self) {
        if let Some(mut trial) = self.trial.take() {
            trial.put_by();
            self.before = Some(trial);
        }
    }

    /// Whether the next trial begins with controls that were worked in the last one.
    pub fn goes_on(&self) -> bool {
        self.before.as_ref().is_some_and(|before| !before.is_at_rest())
    }
}
