//! Tests of the solver from outside.

mod basics;
mod rig;
