//! Opening files beside the window: what takes long is waited for with the window alive, and can be given up.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use crate::files::{self, Opened};

/// What a file turned out to be.
#[derive(Debug)]
pub enum Found {
    /// A car.
    Car(Box<Opened>),
    /// Part types, for the library.
    Parts,
}

/// What became of opening a file.
pub type Outcome = anyhow::Result<Found>;

/// So long the window waits itself: most files are open by then, and nothing flashes up.
const AT_ONCE: Duration = Duration::from_millis(300);

/// Opens files, one at a time.
#[derive(Debug, Default)]
pub struct Opener {
    waits: Option<(PathBuf, Receiver<Outcome>)>,
}

impl Opener {
    /// Begins to open a file; gives it at once where that is quick.
    pub fn open(&mut self, path: &Path, wake: impl Fn() + Send + 'static) -> Option<Outcome> {
        let (sender, receiver) = channel();
        let file = path.to_path_buf();
        std::thread::spawn(move || {
            let is_parts = files::holds_parts(&file);
            let found = if is_parts {
                Ok(Found::Parts)
            } else {
                files::open(&file).map(|opened| Found::Car(Box::new(opened)))
            };
            // Nobody waits for what was given up.
            if sender.send(found).is_ok() {
                wake();
            }
        });
        let outcome = receiver.recv_timeout(AT_ONCE).ok();
        self.waits = outcome.is_none().then(|| (path.to_path_buf(), receiver));
        outcome
    }

    /// A file that has come, once.
    pub fn answer(&mut self) -> Option<(PathBuf, Outcome)> {
        let outcome = self.waits.as_ref()?.1.try_recv().ok()?;
        self.waits.take().map(|(path, _)| (path, outcome))
    }

    /// Whether a file is waited for.
    pub fn is_waiting(&self) -> bool {
        self.waits.is_some()
    }

    /// Waits no longer.
    pub fn give_up(&mut self) {
        self.waits = None;
    }
}
