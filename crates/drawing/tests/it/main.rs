//! Sheets laid out whole.

mod abreast;
mod arranged;
mod at_once;
mod clear;
mod composed;
mod crowded;
mod flowing;
mod hasty;
mod legible;
mod look;
mod notes;
mod roomy;
mod routed;
mod samples;
mod signs;
mod untouched;
mod written;
