//! History: labelled patches and a cursor; a gesture gathers into one open step.

use crate::{Car, Patch};

/// What was done, and what can be undone and done again.
#[derive(Debug, Clone, Default)]
pub struct History {
    done: Vec<Step>,
    undone: Vec<Step>,
    open: Option<Step>,
}

/// One step as a person sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What it did, for the menu: "move Left front indicator".
    pub label: String,
    /// What it changed.
    pub patch: Patch,
}

impl History {
    /// Applies a patch as one finished step.
    pub fn commit(&mut self, car: &mut Car, label: impl Into<String>, patch: Patch) {
        self.close();
        if patch.is_empty() {
            return;
        }
        car.apply(&patch);
        self.undone.clear();
        self.done.push(Step { label: label.into(), patch });
    }

    /// Applies a patch as part of a gesture that goes on; [`close`](Self::close) ends it.
    pub fn gather(&mut self, car: &mut Car, label: impl Into<String>, patch: Patch) {
        car.apply(&patch);
        self.open = Some(match self.open.take() {
            None => Step { label: label.into(), patch },
            Some(step) => Step { label: step.label, patch: step.patch.then(patch) },
        });
    }

    /// Ends a gesture: what it gathered becomes one step.
    pub fn close(&mut self) {
        if let Some(step) = self.open.take()
            && !step.patch.is_empty()
        {
            self.undone.clear();
            self.done.push(step);
        }
    }

    /// Undoes the last step and returns it.
    pub fn undo(&mut self, car: &mut Car) -> Option<&Step> {
        self.close();
        let step = self.done.pop()?;
        car.apply(&step.patch.inverse());
        self.undone.push(step);
        self.undone.last()
    }

    /// Does the last undone step again and returns it.
    pub fn redo(&mut self, car: &mut Car) -> Option<&Step> {
        self.close();
        let step = self.undone.pop()?;
        car.apply(&step.patch);
        self.done.push(step);
        self.done.last()
    }

    /// The step that undo would take back.
    pub fn next_undo(&self) -> Option<&Step> {
        self.open.as_ref().or_else(|| self.done.last())
    }

    /// The step that redo would do again.
    pub fn next_redo(&self) -> Option<&Step> {
        self.undone.last()
    }

    /// Every step from the first one on, those that are undone last.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.done.iter().chain(&self.open).chain(self.undone.iter().rev())
    }

    /// Number of finished steps behind the cursor; tells a saved car from a changed one.
    pub fn n_done(&self) -> usize {
        self.done.len() + usize::from(self.open.is_some())
    }
}
