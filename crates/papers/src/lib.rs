//! The garage pack: pages, tables, PDF, SVG, PNG and CSV.
//!
//! This crate never calls the window, the disk or the clock: fonts, date and car come in, bytes go out.
#![warn(missing_docs)]
