//! Part types as a file of their own: what somebody keeps for all cars, and what a club hands round.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;

use super::complaint::complaint;
use super::load::{check_head, check_types};
use super::rows::Rows;
use super::write::section;
use super::{BYTES_MOST, LoadError};
use crate::{Name, PartType, clean};

/// The word that every file of part types begins with.
pub const PARTS_FORMAT: &str = "loomwright-parts";
/// The newest version of it that this program reads. A file is written in the oldest that can hold it: version 2 added
/// how terminals lie seen from behind.
const PARTS_VERSION: u32 = 2;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PartsFile {
    #[serde(rename = "format")]
    _format: serde_json::Value,
    #[serde(rename = "version")]
    _version: u32,
    types: Rows<Name, PartType>,
}

/// Part types as the bytes of a file. The same ones always give the same bytes.
pub fn save_parts<'a>(types: impl IntoIterator<Item = &'a PartType>) -> Vec<u8> {
    let types: BTreeMap<&str, &PartType> =
        types.into_iter().map(|row| (row.name.as_str(), row)).collect();
    let version = if types.values().all(|row| row.behind.is_empty()) { 1 } else { PARTS_VERSION };
    let types = section(types.into_iter(), 2);
    format!(
        "{{\n  \"format\": \"{PARTS_FORMAT}\",\n  \"version\": {version},\n  \"types\": {types}\n}}\n"
    )
    .into_bytes()
}

/// The part types in the bytes of a file, by name.
///
/// # Errors
/// Bytes that are no such file, with the place and what was expected there.
///
/// # Example
/// ```
/// use loomwright_circuit::{Library, load_parts, save_parts};
/// let lamp = Library::standard().get("lamp").expect("embedded");
/// let read = load_parts(&save_parts([lamp.as_ref()])).expect("just written");
/// assert_eq!(read["lamp"], *lamp);
/// ```
pub fn load_parts(bytes: &[u8]) -> Result<BTreeMap<Name, Arc<PartType>>, LoadError> {
    if bytes.len() > BYTES_MOST {
        return Err(LoadError::TooLarge { bytes: bytes.len() });
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    check_head(bytes, PARTS_FORMAT, PARTS_VERSION, |found| LoadError::NoParts { found })?;
    let mut json = serde_json::Deserializer::from_slice(bytes);
    let file: PartsFile = serde_path_to_error::deserialize(&mut json)
        .map_err(|error| complaint(error.inner(), Some(&error.path().to_string())))?;
    json.end().map_err(|error| complaint(&error, None))?;
    let rows = file.types.0.into_iter();
    let types = rows.map(|(name, row)| (name, clean::own_type(&Arc::new(row)))).collect();
    check_types(&types, "types")?;
    Ok(types)
}

/// Whether a file says of itself that it holds part types; what else is wrong with it is told when it is read.
pub fn are_parts(bytes: &[u8]) -> bool {
    #[derive(Deserialize)]
    struct Head {
        format: String,
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    bytes.len() <= BYTES_MOST
        && serde_json::from_slice::<Head>(bytes).is_ok_and(|head| head.format == PARTS_FORMAT)
}
