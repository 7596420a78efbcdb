//! Tests of the solver from outside.

mod basics;
mod devices;
mod engine;
mod explored;
mod faults;
mod fleet;
mod laws;
mod paths;
mod rig;
mod studies;
mod surveyed;
