//! The pack as its reader meets it: tables, pages and PDF.
#![expect(clippy::unwrap_used, reason = "a test stops where its sample fails")]

mod cars;
mod club;
mod full;
mod lists;
mod looks;
mod pages;
mod pdf;
mod tables;
