//! A long job of the press: how far it is, and whether it shall be given up.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering::Relaxed};

/// A long job, as the window and the press share it.
#[derive(Debug, Clone, Default)]
pub struct UnderWay(Arc<Shared>);

#[derive(Debug, Default)]
struct Shared {
    is_over: AtomicBool,
    gives_up: AtomicBool,
    n_done: AtomicUsize,
    n_all: AtomicUsize,
}

impl UnderWay {
    /// Asks for it to be given up; what is written by then stays.
    pub fn give_up(&self) {
        self.0.gives_up.store(true, Relaxed);
    }

    /// Whether it is to be given up.
    pub fn gives_up(&self) -> bool {
        self.0.gives_up.load(Relaxed)
    }

    /// Whether there is nothing more to wait for.
    pub fn is_over(&self) -> bool {
        self.0.is_over.load(Relaxed)
    }

    /// How many files are written, of how many; nothing while the pages are still being set.
    pub fn progress(&self) -> Option<(usize, usize)> {
        let n_all = self.0.n_all.load(Relaxed);
        (n_all > 0).then(|| (self.0.n_done.load(Relaxed), n_all))
    }

    pub(super) fn has_done(&self, n_done: usize, n_all: usize) {
        self.0.n_done.store(n_done, Relaxed);
        self.0.n_all.store(n_all, Relaxed);
    }

    pub(super) fn end(&self) {
        self.0.is_over.store(true, Relaxed);
    }
}
