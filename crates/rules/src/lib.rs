//! Findings: what a helpful expert would say of a car and its analysis.
//!
//! This crate does no I/O and remembers nothing between runs.
#![warn(missing_docs)]

mod finding;

pub use finding::{Finding, Fix, Level, NotChecked, Report, Trust};
