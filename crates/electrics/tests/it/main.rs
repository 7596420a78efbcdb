//! Tests of the solver from outside.

mod again;
mod basics;
mod charging;
mod dense;
mod devices;
mod enduring;
mod engine;
mod explored;
mod faults;
mod flashing;
mod fleet;
mod instants;
mod laws;
mod motors;
mod paths;
mod promised;
mod protecting;
mod rig;
mod starters;
mod studies;
mod surveyed;
mod throws;
mod touches;
mod wipers;
mod witnesses;
mod work;
