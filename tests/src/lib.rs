//! Whole-program checks and checks against published values stand in `tests/`; here is what they share with the
//! program that prints how well the rules judge.
#![warn(missing_docs)]

pub mod corpus;
