//! The window, its papers and the command line with a decimal comma.
//!
//! They are a program of their own, since the mark is one for the process: here each test holds it while it runs.

#[path = "../it/cars.rs"]
mod cars;
mod files;
mod pack;
mod points;
mod shown;
#[path = "../it/window.rs"]
#[expect(dead_code, reason = "not every gesture is made with a comma")]
mod window;

use std::sync::{Mutex, MutexGuard, PoisonError};

use loomwright_units::{DecimalMark, set_decimal_mark};

static MARK: Mutex<()> = Mutex::new(());

/// Sets the mark for as long as what comes back is kept; another test waits for it.
fn with_mark(mark: DecimalMark) -> MutexGuard<'static, ()> {
    // A test that failed left nothing that matters behind.
    let guard = MARK.lock().unwrap_or_else(PoisonError::into_inner);
    set_decimal_mark(mark);
    guard
}
