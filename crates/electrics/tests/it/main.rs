//! Tests of the solver from outside.

mod basics;
mod devices;
mod explored;
mod fleet;
mod laws;
mod rig;
mod studies;
