//! The window and the command line: the only crate that knows egui, files and time.

pub mod action;
pub mod analysis;
pub mod app;
pub mod as_found;
pub mod asker;
pub mod checked;
pub mod cli;
pub mod command;
pub mod decimal;
mod demo;
pub mod dialogs;
pub mod diff;
mod draughtsman;
pub mod files;
pub mod find;
pub mod handle;
pub mod kept;
mod keys;
pub mod measure;
pub mod opener;
pub mod own_type;
pub mod pages;
pub mod painter;
pub mod press;
pub mod promises;
pub mod state;
pub mod store;
pub mod texts;
pub mod theme;
pub mod tool;
pub mod trial;
pub mod view;
pub mod what_if;
pub mod words;
pub mod worker;

pub use app::{run_window, run_window_on_copy};
