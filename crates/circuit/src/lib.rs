//! The car file: parts, wires, sheets and promises; the edits that change them; their saved form.
//!
//! This crate knows no electricity, no judgement, no disk and no clock.
#![warn(missing_docs)]

mod accepted;
mod car;
mod check;
mod clean;
mod colour;
mod draft;
mod edit;
mod first_use;
mod fitting;
mod geometry;
mod history;
mod id;
mod level;
mod library;
mod note;
mod part;
pub mod part_type;
mod patch;
mod promise;
mod reach;
mod role;
mod rows;
mod saved;
pub mod seen;
mod vehicle;
mod wire;

pub use accepted::Accepted;
pub use car::{Car, Control, Row, RowId, Sheet};
pub use check::{TypePlace, type_complaints};
pub use colour::{Colour, WireColour, WireColourError};
pub use draft::Draft;
pub use edit::{Clip, Edit, EditError, Room};
pub use first_use::{FirstUse, FirstUseError};
pub use fitting::Fitting;
pub use geometry::{Box2, Direction, Placement, Point, Turn};
pub use history::{History, Step};
pub use id::{AcceptedId, NoteId, PartId, PromiseId, SheetId, WireId};
pub use level::Level;
pub use library::Library;
pub use note::Note;
pub use part::Part;
pub use part_type::PartType;
pub use patch::{Change, Patch};
pub use promise::{Claim, Expectation, FuseWay, Moment, Promise};
pub use reach::{Reach, Reached};
pub use role::Role;
pub use rows::Rows;
pub use saved::{
    BYTES_MOST, FORMAT, LoadError, PARTS_FORMAT, VERSION, are_parts, load, load_parts,
    read_part_type, save, save_parts, schema, write_row,
};
pub use seen::{EndSeen, PartSeen, Seen, WireSeen};
pub use vehicle::{Body, ColourCode, EarthPolarity, Region, SystemVoltage, Vehicle};
pub use wire::{Anchor, End, Insulation, Standing, Version, Wire};

/// A short name that files use, of a terminal, a fact, a part type or a control.
pub type Name = String;
