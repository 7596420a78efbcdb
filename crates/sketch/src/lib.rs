//! Circuits as text: reading a sketch into a car, and printing a car as a sketch.
//!
//! The grammar stands in `assets/help/sketch.md`. This crate knows no electricity beyond the words for it, and makes
//! no judgement.
#![warn(missing_docs)]

mod equal;
mod error;
mod kit;
mod own_switch;
mod print;
mod read;
mod token;
mod words;

pub use equal::{difference, electrically_equal};
pub use error::{SketchError, SketchErrors};
pub use kit::{EndFor, Kit, fitted};
pub use print::print;
pub use read::{BYTES_MOST, LINES_MOST, parse};
