//! The saved form of a car: JSON with one row a line, so that a small edit is a small diff.

mod complaint;
mod load;
mod parts;
mod rows;
mod write;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use load::{LoadError, load, read_part_type};
pub use parts::{PARTS_FORMAT, are_parts, load_parts, save_parts};
pub use write::{save, write_row};

use crate::{
    Accepted, AcceptedId, Name, Note, NoteId, Part, PartId, PartType, Promise, PromiseId, Sheet,
    SheetId, Vehicle,
};
use crate::{Wire, WireId};
pub(crate) use rows::unique;

use rows::Rows;

/// The word that every car file begins with.
pub const FORMAT: &str = "loomwright-car";
/// The newest version of the saved form that this program reads.
///
/// A car is written in the oldest version that can hold it, so that older programs go on reading what they know:
/// version 2 added the fuses that a promise must hold without, version 3 notes on sheets,
/// version 4 leads that stay while an end of them moves, and how an own type's terminals lie seen from behind.
pub const VERSION: u32 = 4;
/// The largest file that is read, in bytes: some two hundred times a fully drawn car.
pub const BYTES_MOST: usize = 16 * 1024 * 1024;

/// The word that says what the file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
enum Format {
    #[serde(rename = "loomwright-car")]
    Car,
}

/// The car file of Loomwright: a vehicle, its drawings, its alteration plan.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Loomwright car file")]
struct File {
    /// What the file is.
    #[serde(rename = "format")]
    _format: Format,
    /// Version of the saved form.
    #[serde(rename = "version")]
    _version: u32,
    /// Facts of the vehicle.
    vehicle: Vehicle,
    /// Sheets of the drawing by id.
    sheets: Rows<SheetId, Sheet>,
    /// Parts by id.
    #[serde(default)]
    parts: Rows<PartId, Part>,
    /// Wires by id.
    #[serde(default)]
    wires: Rows<WireId, Wire>,
    /// Promises by id.
    #[serde(default)]
    promises: Rows<PromiseId, Promise>,
    /// Accepted findings by id.
    #[serde(default)]
    accepted: Rows<AcceptedId, Accepted>,
    /// Notes on sheets by id.
    #[serde(default)]
    notes: Rows<NoteId, Note>,
    /// Part types that only this car has, by name.
    #[serde(default)]
    own_types: Rows<Name, PartType>,
    /// The last id given; ids are never given twice.
    last_id: u32,
}

/// The JSON Schema of the car file.
pub fn schema() -> String {
    let schema = schemars::schema_for!(File);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
