//! What flows: a car resolved into a network, solved for a state, explored over all reachable states.
//!
//! This crate knows no coordinates and no words for people.
#![warn(missing_docs)]

pub mod assumed;
pub mod battery;
mod breaker;
mod build;
pub mod cable;
mod circuits;
mod coil;
mod drive;
pub mod endurance;
mod engine;
mod explore;
mod extremes;
mod fault;
pub mod filament;
mod finish;
mod flasher;
pub mod fuse;
pub mod heat;
mod instant;
mod law;
mod losses;
mod motor;
mod network;
mod passing;
mod past;
mod path;
mod promise;
mod protection;
mod reading;
pub mod rig;
mod setting;
mod settle;
mod shorts;
mod solve;
mod sparse;
mod state;
mod study;
mod survey;
mod what_if;
mod why;

pub use battery::Battery;
pub use coil::{Coil, starter_amps};
pub use engine::IGNITION_SHARE;
pub use explore::{Bound, Exploration, Visit, explore};
pub use extremes::{
    Brackets, ContactExtreme, Extremes, FuseExtreme, LoadBracket, LoadExtreme, Met, MetIn,
};
pub use fault::{Fault, POOR_EARTH_OHMS};
pub use flasher::Flashing;
pub use instant::Instant;
pub use losses::Losses;
pub use network::{Network, Note, NoteKind};
pub use path::{Path, PathStep, Through};
pub use promise::{Instead, Keeping};
pub use protection::{FuseRef, Guard, protection};
pub use reading::{
    ContactReading, ElementFlow, ElementReading, PartReading, PartState, Probe, Solution,
};
pub use solve::{Newton, Work};
pub use state::{Move, Setting, SettingError, Settled, State};
pub use study::{
    CONTACTS, Outcome, Prospect, Touch, Verdict, Warming, WireStudy, protection_study, wire_study,
};
pub use survey::{Doubt, Earlier, look_around, look_around_again, survey, survey_again};
pub use what_if::{
    BrokenClaim, BrokenPromise, Consequences, Effect, Hot, Opening, Promised, WhatIf,
};
pub use why::{Derivation, Input, Origin, Quantity, Subject, Why, WhyFlow};
