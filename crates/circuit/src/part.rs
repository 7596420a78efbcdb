//! A placed part.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use loomwright_units::exact;

use crate::geometry::is_default;
use crate::saved::unique;
use crate::{Name, PartSeen, PartType, Placement, Role, SheetId, Standing, SystemVoltage};

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
    #[serde(deserialize_with = "unique", default, skip_serializing_if = "is_default")]
    pub facts: BTreeMap<Name, f64>,
    /// The car's name for each of the type's controls, where it is not the part's label.
    #[serde(deserialize_with = "unique", default, skip_serializing_if = "is_default")]
    pub controls: BTreeMap<Name, String>,
    /// What somebody at the car can see of how it stands.
    #[serde(default, skip_serializing_if = "is_default")]
    pub seen: PartSeen,
    /// What its consumers are for, each by its first terminal, where a person has said it.
    #[serde(deserialize_with = "unique", default, skip_serializing_if = "is_default")]
    pub roles: BTreeMap<Name, Role>,
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

    /// What the symbol shows of the part's figures: the type's `shows` with numbers put in. Pieces between commas whose
    /// figure nobody knows are left out, as long as one is left; else the first stands, with a question mark.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::{Library, Part, Placement, SheetId, Standing, SystemVoltage};
    /// let fuse = Part {
    ///     type_name: "fuse-glass".to_owned(),
    ///     label: "Fuse 1".to_owned(),
    ///     standing: Standing::AsFound,
    ///     sheet: SheetId(1),
    ///     place: Placement::default(),
    ///     facts: [("blows".to_owned(), 35.0)].into(),
    ///     controls: Default::default(),
    ///     seen: Default::default(),
    ///     roles: Default::default(),
    ///     note: String::new(),
    /// };
    /// let glass = Library::standard().get("fuse-glass").expect("embedded");
    /// assert_eq!(fuse.figures(glass, SystemVoltage::Twelve), "35 A blow");
    /// ```
    pub fn figures(&self, part_type: &PartType, system: SystemVoltage) -> String {
        let value = |name: &str| {
            self.fact(part_type, name).or_else(|| (name == "volts").then(|| system.volts().0))
        };
        let pieces: Vec<(String, bool)> =
            part_type.shows.split(", ").map(|piece| filled(piece, value)).collect();
        let known = pieces.iter().filter(|(_, is_known)| *is_known).map(|(text, _)| text.as_str());
        let known = known.collect::<Vec<_>>().join(", ");
        // Of nothing known, one question is enough.
        if known.is_empty() { pieces.into_iter().next().unwrap_or_default().0 } else { known }
    }
}

/// A template with the numbers put in, and whether all of them are known.
fn filled(template: &str, value: impl Fn(&str) -> Option<f64>) -> (String, bool) {
    let mut text = String::new();
    let mut is_known = true;
    let mut rest = template;
    while let Some((before, name, after)) = rest.split_once('{').and_then(|(before, tail)| {
        let (name, after) = tail.split_once('}')?;
        Some((before, name, after))
    }) {
        text.push_str(before);
        if let Some(number) = value(name) {
            text.push_str(&exact(number));
        } else {
            text.push('?');
            is_known = false;
        }
        rest = after;
    }
    text.push_str(rest);
    (text, is_known)
}
