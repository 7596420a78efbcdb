//! The garage pack: pages, tables, PDF, SVG, PNG and CSV.
//!
//! This crate never calls the window, the disk or the clock: fonts, date and car come in, bytes go out.
#![warn(missing_docs)]

mod bound;
mod by_eye;
mod changes;
mod contents;
mod data;
mod error;
mod fitting;
mod fonts;
mod fuse_card;
mod held;
mod kept;
mod labels;
mod making;
mod moves;
mod options;
mod pack;
mod pages;
mod paint;
mod picture;
mod plates;
mod plugs;
mod power;
mod rows;
mod shopping;
mod solved;
mod stamp;
mod table;
mod test_sheet;
mod warned;
mod words;
mod world;

pub use error::ExportError;
pub use kept::forget;
pub use options::{PackOptions, Paper};
pub use pack::{Pack, PackFile, pack};
pub use pages::{PageImage, Pages};
pub use picture::{Drawing, drawings};
pub use table::{Table, tables};
