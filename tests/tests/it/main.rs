//! Whole-program checks and checks against published values.

mod demos;
mod part_types;
