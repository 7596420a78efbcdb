//! What the owner knows of and has decided to live with.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::is_default;
use crate::saved::unique;
use crate::{Level, Name, PartId, WireId};

/// One finding that was accepted, with why, by whom and when, and with its figures at that time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Accepted {
    /// The code of the rule that said it.
    pub code: Name,
    /// Its level then.
    pub level: Level,
    /// What it said then.
    pub says: String,
    /// Parts concerned, the one to look at first.
    #[serde(default, skip_serializing_if = "is_default")]
    pub parts: Vec<PartId>,
    /// Wires concerned, the one to look at first.
    #[serde(default, skip_serializing_if = "is_default")]
    pub wires: Vec<WireId>,
    /// Its figures then, by name with unit: `amps`, `limit_amps`.
    #[serde(deserialize_with = "unique", default, skip_serializing_if = "is_default")]
    pub figures: BTreeMap<Name, f64>,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepted it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub by: String,
    /// The day, as 2026-11-25.
    #[serde(default, skip_serializing_if = "is_default")]
    pub on: String,
}
