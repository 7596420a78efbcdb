//! What the rules say of whole circuits.

mod accepted;
mod alteration;
mod at_once;
mod breakers;
mod catalogue;
mod demos;
mod dropped;
mod fixes;
mod fuses;
mod invariance;
mod just;
mod lab;
mod messages;
mod mutants;
mod once;
mod pages;
mod pumps;
mod relay_box;
mod relay_fix;
mod sound;
mod stages;
mod supply;
mod surveyed;
mod troubles;
mod usual;
mod words;
