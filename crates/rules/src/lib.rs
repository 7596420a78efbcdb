//! Findings: what a helpful expert would say of a car and its analysis.
//!
//! This crate does no I/O and remembers nothing between runs.
#![warn(missing_docs)]

mod accepted;
mod band;
mod check;
mod ctx;
mod cures;
mod doubts;
mod earths;
mod evidence;
mod feeds;
mod finding;
mod fix;
mod flasher_fix;
mod fuse_dark;
mod fuse_fix;
mod fuse_start;
mod fuses;
mod islands;
mod isolators;
mod jobs;
mod lamps;
mod limits;
mod losses;
mod messages;
mod once;
mod order;
mod origin;
mod page;
mod places;
mod proposal;
mod reach;
mod relay_fix;
mod roles;
mod rule;
mod rules;
mod shape;
mod side;
mod supplies;
mod thin;
mod trace;
mod trigger;
mod unfused;
mod usual;
mod volts;
mod wiring;
mod words;

pub use accepted::{Acceptance, REOPENS_AT, figure_words, no_longer_found, settle};
pub use band::{Band, BandEnds, check_over_band};
pub use check::{Checker, check, check_all, check_drawing, help, judge_promises, rule};
pub use doubts::doubtful;
pub use evidence::{Deep, Evidence, telling_faults};
pub use finding::{Finding, Fix, NotChecked, PromiseRow, Report, Trust, WireMet};
pub use jobs::{Job, colour_of_job, jobs_of_colour};
pub use limits::carries;
pub use loomwright_circuit::Level;
pub use messages::{Text, texts};
pub use origin::{Origin, as_found, compare};
pub use page::{LESSONS, Lesson, rules_in_order, rules_page};
pub use proposal::{SizeProposal, SizeReason, size_of_job};
pub use roles::{RoleOf, STARTER_WATTS, roles_of_parts};
pub use rule::{Needs, Rule};
pub use rules::RULES;
pub use trace::{Traced, traced};
pub use usual::{Usual, usual_promises};
