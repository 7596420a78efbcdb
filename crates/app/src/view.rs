//! Views: each is built as plain data first, then painted; what is asked for comes back as actions.

pub mod bench;
mod beside;
pub mod canvas;
pub mod controls;
pub mod counter;
pub mod details;
pub mod findings;
pub mod history;
mod long_list;
pub mod papers;
pub mod questions;
pub mod readings;
pub mod shelf;
pub mod split;
pub mod status;
pub mod strip;
pub mod tabs;
pub mod tour;
mod vehicle;
pub mod widgets;
