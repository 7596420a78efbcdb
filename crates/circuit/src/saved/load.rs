//! Reading a car file: one clear sentence with the place where it cannot be read, and never half a car.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use serde::Deserialize;

use super::complaint::{complaint, one_line};
use super::{BYTES_MOST, FORMAT, File, PARTS_FORMAT, VERSION};
use crate::edit::canonical;
use crate::{Car, EditError, Name, PartType};
use crate::{check, clean};

/// Why a file is no car that this program can open.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LoadError {
    /// The file is larger than any car.
    #[error("the file has {bytes} bytes; a car file has at most {BYTES_MOST}")]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// The file is of another kind.
    #[error("this is no car file: expected an object with \"format\": \"{FORMAT}\", {found}")]
    NotACar {
        /// What stands there.
        found: String,
    },
    /// The file is of another kind, and part types are asked for.
    #[error(
        "this is no file of part types: expected an object with \"format\": \"{PARTS_FORMAT}\", {found}"
    )]
    NoParts {
        /// What stands there.
        found: String,
    },
    /// A later program wrote it.
    #[error(
        "the file is of version {found}; this program reads versions up to {most}, so open it with a newer one"
    )]
    Newer {
        /// Its version.
        found: u64,
        /// The newest that is read.
        most: u32,
    },
    /// What stands there is not what the saved form has in that place.
    #[error("{says}, at {path} in line {line}")]
    Shape {
        /// What was found, and what is accepted.
        says: String,
        /// Where in the file, as field names.
        path: String,
        /// The line, from 1.
        line: usize,
    },
    /// What stands there is not written as the saved form is.
    #[error("{says}, in line {line}, column {column}")]
    Syntax {
        /// What was found, and what is accepted.
        says: String,
        /// The line, from 1.
        line: usize,
        /// The column, from 1, counted in bytes.
        column: usize,
    },
    /// A row that reads well but cannot stand in this car.
    #[error("{says}, at {path}")]
    Row {
        /// What was found, and what is accepted.
        says: String,
        /// Where in the file, as field names.
        path: String,
    },
}

/// What is read first, whatever else a later version may hold.
#[derive(Deserialize)]
struct Head {
    format: Option<serde_json::Value>,
    version: Option<serde_json::Value>,
}

/// The car in the bytes of a file.
///
/// # Errors
/// Bytes that are no car file of a known version, with the place and what was expected there.
///
/// # Example
/// ```
/// use loomwright_circuit::{Car, load, save};
/// let car = Car::default();
/// assert_eq!(load(&save(&car)), Ok(car));
/// assert_eq!(
///     load(b"{}").unwrap_err().to_string(),
///     "this is no car file: expected an object with \"format\": \"loomwright-car\", found none"
/// );
/// ```
pub fn load(bytes: &[u8]) -> Result<Car, LoadError> {
    if bytes.len() > BYTES_MOST {
        return Err(LoadError::TooLarge { bytes: bytes.len() });
    }
    // Some editors put a byte-order mark in front of UTF-8.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    check_head(bytes, FORMAT, VERSION, |found| LoadError::NotACar { found })?;
    let mut json = serde_json::Deserializer::from_slice(bytes);
    let file: File = serde_path_to_error::deserialize(&mut json)
        .map_err(|error| complaint(error.inner(), Some(&error.path().to_string())))?;
    json.end().map_err(|error| complaint(&error, None))?;
    let mut car = Car {
        vehicle: file.vehicle,
        sheets: file.sheets.0,
        parts: Arc::new(file.parts.0.into_iter().collect()),
        wires: Arc::new(file.wires.0.into_iter().collect()),
        promises: file.promises.0,
        accepted: file.accepted.0,
        notes: file.notes.0,
        own_types: file.own_types.0.into_iter().map(|(name, row)| (name, Arc::new(row))).collect(),
        last_id: file.last_id,
    };
    canonical::terminals(&mut car);
    Arc::make_mut(&mut car.parts).values_mut().for_each(clean::part);
    Arc::make_mut(&mut car.wires).values_mut().for_each(clean::wire);
    car.accepted.values_mut().for_each(clean::accepted);
    car.notes.values_mut().for_each(clean::note);
    car.own_types.values_mut().for_each(|row| *row = clean::own_type(row));
    check_rows(&car)?;
    check_ids(&car)?;
    Ok(car)
}

/// A part type from JSON on its own, as a row of `own_types` holds it.
///
/// # Errors
/// Text that is no part type, with the place and what was expected there.
pub fn read_part_type(text: &str) -> Result<PartType, LoadError> {
    let mut json = serde_json::Deserializer::from_str(text);
    let row: PartType = serde_path_to_error::deserialize(&mut json)
        .map_err(|error| complaint(error.inner(), Some(&error.path().to_string())))?;
    json.end().map_err(|error| complaint(&error, None))?;
    at("the part type", || check::own_type(&row))?;
    Ok(row)
}

/// Whether the file says that it is of this format, in a version that is read.
pub(super) fn check_head(
    bytes: &[u8],
    format: &str,
    most: u32,
    is_other: impl Fn(String) -> LoadError,
) -> Result<(), LoadError> {
    match bytes.iter().find(|byte| !byte.is_ascii_whitespace()) {
        None => return Err(is_other("found an empty file".to_owned())),
        Some(b'{') => {}
        Some(_) => return Err(is_other("found something else".to_owned())),
    }
    let head: Head = match serde_json::from_slice(bytes) {
        Ok(head) => head,
        Err(error) if error.is_data() => return Err(is_other("found something else".to_owned())),
        Err(error) => return Err(complaint(&error, None)),
    };
    match head.format {
        None => return Err(is_other("found none".to_owned())),
        Some(found) if found != format => {
            return Err(is_other(format!("found {}", one_line(&found.to_string()))));
        }
        Some(_) => {}
    }
    match head.version.as_ref().and_then(serde_json::Value::as_u64) {
        Some(found) if found > u64::from(most) => Err(LoadError::Newer { found, most }),
        Some(version) if version >= 1 => Ok(()),
        _ => Err(LoadError::Row {
            says: "the version must be a whole number from 1 on".to_owned(),
            path: "version".to_owned(),
        }),
    }
}

fn check_rows(car: &Car) -> Result<(), LoadError> {
    at("vehicle", || check::vehicle(&car.vehicle))?;
    if car.sheets.is_empty() {
        at("sheets", || check::refuse("a car has at least one sheet"))?;
    }
    for (id, sheet) in &car.sheets {
        at(format_args!("sheets.{id}"), || check::sheet(sheet))?;
    }
    check_types(&car.own_types, "own_types")?;
    let mut labels = BTreeSet::new();
    for (id, part) in &*car.parts {
        at(format_args!("parts.{id}"), || {
            check::part(car, part)?;
            unique("part", &part.label, labels.insert(part.label.as_str()))
        })?;
    }
    let mut labels = BTreeSet::new();
    for (id, wire) in &*car.wires {
        at(format_args!("wires.{id}"), || {
            check::wire(car, wire)?;
            unique("wire", &wire.label, labels.insert(wire.label.as_str()))
        })?;
    }
    for (id, promise) in &car.promises {
        at(format_args!("promises.{id}"), || check::promise(car, promise))?;
    }
    for (id, row) in &car.accepted {
        at(format_args!("accepted.{id}"), || check::accepted(car, row))?;
    }
    for (id, row) in &car.notes {
        at(format_args!("notes.{id}"), || check::sheet_note(car, row))?;
    }
    Ok(())
}

/// Part types under their names, each fit for a car.
pub(super) fn check_types(
    types: &BTreeMap<Name, Arc<PartType>>,
    table: &str,
) -> Result<(), LoadError> {
    for (name, row) in types {
        at(format_args!("{table}.{name}"), || {
            if row.name != *name {
                return check::refuse(format!("the part type is called '{}' inside", row.name));
            }
            check::own_type(row)
        })?;
    }
    Ok(())
}

fn unique(what: &'static str, label: &str, is_new: bool) -> Result<(), EditError> {
    if is_new { Ok(()) } else { Err(EditError::LabelTaken { what, label: label.to_owned() }) }
}

fn at(
    path: impl std::fmt::Display,
    check: impl FnOnce() -> Result<(), EditError>,
) -> Result<(), LoadError> {
    check().map_err(|error| LoadError::Row {
        says: one_line(&error.to_string()),
        path: one_line(&path.to_string()),
    })
}

/// Ids come from one counter, so that none is above it.
fn check_ids(car: &Car) -> Result<(), LoadError> {
    let sheets = car.sheets.keys().map(|id| (id.0, format!("sheets.{id}")));
    let parts = car.parts.keys().map(|id| (id.0, format!("parts.{id}")));
    let wires = car.wires.keys().map(|id| (id.0, format!("wires.{id}")));
    let promises = car.promises.keys().map(|id| (id.0, format!("promises.{id}")));
    let accepted = car.accepted.keys().map(|id| (id.0, format!("accepted.{id}")));
    let notes = car.notes.keys().map(|id| (id.0, format!("notes.{id}")));
    for (id, path) in sheets.chain(parts).chain(wires).chain(promises).chain(accepted).chain(notes)
    {
        let last_id = car.last_id;
        if id == 0 || id > last_id {
            let says = format!("ids must be from 1 to \"last_id\", which is {last_id}");
            return Err(LoadError::Row { says, path });
        }
    }
    Ok(())
}
