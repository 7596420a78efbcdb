//! What the rules say of whole circuits.

mod alteration;
mod demos;
mod fixes;
mod invariance;
mod lab;
mod mutants;
mod pages;
mod sound;
