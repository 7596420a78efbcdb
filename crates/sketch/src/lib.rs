//! Circuits as text: reading a sketch into a car, and printing a car as a sketch.
//!
//! This crate knows no electricity beyond the words for it, and makes no judgement.
#![warn(missing_docs)]

mod error;

pub use error::{SketchError, SketchErrors};
