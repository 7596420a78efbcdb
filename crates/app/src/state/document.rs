//! The open car file: the car, what was done to it, and where it is saved.

use std::path::PathBuf;
use std::sync::Arc;

use loomwright_circuit::{Car, History, Patch, RowId};

use crate::files::{Mark, Opened};
use crate::state::Recovered;

/// The car file that is open.
#[derive(Debug, Clone)]
pub struct Document {
    /// The car.
    pub car: Arc<Car>,
    /// What was done to it.
    pub history: History,
    /// Where it is saved.
    pub path: Option<PathBuf>,
    /// By what the file is known again that was opened or saved last.
    pub mark: Option<Mark>,
    /// Whether it was opened as the copy on the disk, beside a window with a drawing of one's own.
    pub is_copy: bool,
    /// Counts every change of the car.
    pub revision: u64,
    /// Whether it differs from what was last saved.
    pub is_edited: bool,
    saved: Arc<Car>,
}

impl Document {
    /// A document just loaded, or new.
    pub fn new(car: Car, path: Option<PathBuf>) -> Self {
        let car = Arc::new(car);
        Self {
            saved: Arc::clone(&car),
            car,
            history: History::default(),
            path,
            mark: None,
            is_copy: false,
            revision: 1,
            is_edited: false,
        }
    }

    /// A document just loaded from a file.
    pub fn opened(opened: Opened) -> Self {
        let mark = opened.path.is_some().then_some(opened.mark);
        Self { mark, ..Self::new(opened.car, opened.path) }
    }

    /// Unsaved work that was found. It goes on from the file that it was based on, so that only another one there is a
    /// clash, and counts as changed whatever it holds.
    pub fn recovered(found: Recovered) -> Self {
        let saved = Arc::new(Car::default());
        let fresh = Self::new(found.car, found.path);
        Self { mark: found.mark, saved, is_edited: true, ..fresh }
    }

    /// Applies a patch as one step.
    pub fn commit(&mut self, label: impl Into<String>, patch: Patch) {
        self.history.commit(Arc::make_mut(&mut self.car), label, patch);
        self.touched();
    }

    /// Undoes one step and returns its label and the rows it touched.
    pub fn undo(&mut self) -> Option<(String, Vec<RowId>)> {
        let step = self.history.undo(Arc::make_mut(&mut self.car))?;
        let told = (step.label.clone(), step.patch.rows().cloned().collect());
        self.touched();
        Some(told)
    }

    /// Does one undone step again.
    pub fn redo(&mut self) -> Option<(String, Vec<RowId>)> {
        let step = self.history.redo(Arc::make_mut(&mut self.car))?;
        let told = (step.label.clone(), step.patch.rows().cloned().collect());
        self.touched();
        Some(told)
    }

    /// Marks the car as saved at `path`.
    pub fn saved_at(&mut self, path: PathBuf, mark: Mark) {
        self.is_copy &= self.path.as_ref() == Some(&path);
        self.path = Some(path);
        self.mark = Some(mark);
        self.saved = Arc::clone(&self.car);
        self.is_edited = false;
    }

    /// The same car, of which all is to be said anew.
    pub fn say_anew(&mut self) {
        self.car = Arc::new(Car::clone(&self.car));
        self.revision += 1;
    }

    fn touched(&mut self) {
        self.revision += 1;
        self.is_edited = !same_rows(&self.car, &self.saved);
    }
}

/// Equal but for the id counter, which undo never lowers.
fn same_rows(a: &Car, b: &Car) -> bool {
    a.vehicle() == b.vehicle()
        && a.sheets() == b.sheets()
        && a.parts() == b.parts()
        && a.wires() == b.wires()
        && a.notes() == b.notes()
        && a.promises() == b.promises()
        && a.accepted() == b.accepted()
        && a.own_types() == b.own_types()
}
