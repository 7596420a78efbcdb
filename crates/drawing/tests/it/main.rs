//! Sheets laid out whole.

mod arranged;
mod clear;
mod look;
mod routed;
mod samples;
mod written;
