//! Sheets laid out whole.

mod clear;
mod samples;
