//! A placed part.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::geometry::is_default;
use crate::{Name, PartType, Placement, SheetId, Standing};

/// A placed device: one row of the car file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Name of its part type.
    #[serde(rename = "type")]
    pub type_name: Name,
    /// Name for people, unique in the car.
    pub label: String,
    /// As found, to fit or to remove.
    #[serde(default, skip_serializing_if = "is_default")]
    pub standing: Standing,
    /// The sheet it is drawn on.
    pub sheet: SheetId,
    /// Where on the sheet.
    pub place: Placement,
    /// Figures that differ from the type's usual ones, by the fact's name, in the fact's unit.
    #[serde(default, skip_serializing_if = "is_default")]
    pub facts: BTreeMap<Name, f64>,
    /// The car's name for each of the type's controls, where it is not the part's label.
    #[serde(default, skip_serializing_if = "is_default")]
    pub controls: BTreeMap<Name, String>,
    /// Anything worth keeping about it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub note: String,
}

impl Part {
    /// The value of a fact: the part's own, else the type's usual one. Nothing if neither is known.
    pub fn fact(&self, part_type: &PartType, name: &str) -> Option<f64> {
        self.facts.get(name).copied().or_else(|| part_type.fact(name)?.usual)
    }

    /// The car's name for one of the type's controls: the part's own name for it, else the type's shared name (such
    /// as the engine's), else the part's label.
    pub fn control<'a>(&'a self, part_type: &'a PartType, key: &str) -> &'a str {
        if let Some(name) = self.controls.get(key) {
            return name;
        }
        part_type.control(key).and_then(|control| control.shared.as_deref()).unwrap_or(&self.label)
    }
}
