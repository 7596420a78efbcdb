//! What is worked out once for each way in which the car stands, though it is asked for in every frame.

use std::cell::RefCell;
use std::sync::Arc;

/// Rows, with the serial number of the trial that they were worked out of.
#[derive(Debug, Clone)]
pub(super) struct Once<T>(RefCell<Option<(u64, Arc<[T]>)>>);

impl<T> Default for Once<T> {
    fn default() -> Self {
        Self(RefCell::new(None))
    }
}

impl<T> Once<T> {
    /// The rows as they are at this serial number.
    pub(super) fn at(&self, serial: u64, work_out: impl FnOnce() -> Vec<T>) -> Arc<[T]> {
        if let Some((known, rows)) = &*self.0.borrow()
            && *known == serial
        {
            return Arc::clone(rows);
        }
        let rows: Arc<[T]> = work_out().into();
        *self.0.borrow_mut() = Some((serial, Arc::clone(&rows)));
        rows
    }
}
