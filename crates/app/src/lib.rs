//! The window and the command line: the only crate that knows egui, files and time.

pub mod cli;
pub mod files;
