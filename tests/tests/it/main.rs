//! Whole-program checks and checks against published values.

mod part_types;
