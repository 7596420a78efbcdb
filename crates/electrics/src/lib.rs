//! What flows: a car resolved into a network, solved for a state, explored over all reachable states.
//!
//! This crate knows no coordinates and no words for people.
#![warn(missing_docs)]

mod explore;
mod network;
mod reading;
mod state;

pub use explore::{Bound, Exploration, Visit, explore};
pub use network::{Network, Note, NoteKind};
pub use reading::{ContactReading, ElementReading, PartReading, PartState, Solution};
pub use state::{Move, Setting, SettingError, Settled, State};
