//! Whole-program checks and checks against published values.

mod bench_car;
mod corpus;
mod cured;
mod demos;
mod kits;
mod laws_on_demos;
mod layering;
mod matrix;
mod metamorphic;
mod mutants;
mod part_types;
mod practice;
mod published;
mod repository;
mod shown;
mod solved_by_scipy;
mod tidy;
mod whole_car;
