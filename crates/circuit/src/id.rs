//! Ids: small numbers from one counter in the car, never used twice.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

macro_rules! id {
    ($(#[$doc:meta])* $name:ident, $letter:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, concat!($letter, "{}"), self.0)
            }
        }

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_generator: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "type": "string",
                    "pattern": concat!("^", $letter, "[1-9][0-9]*$"),
                })
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                let number = text.strip_prefix($letter).and_then(|digits| digits.parse().ok());
                // Only as written by the program, or two keys could mean the same row.
                number.map(Self).filter(|id| id.to_string() == text).ok_or_else(|| {
                    serde::de::Error::custom(format!(
                        concat!("'{}' is no id of this kind; it should read like ", $letter, "12"),
                        text
                    ))
                })
            }
        }
    };
}

id!(
    /// A placed part.
    PartId, "P");
id!(
    /// A wire.
    WireId, "W");
id!(
    /// A sheet of the drawing.
    SheetId, "S");
id!(
    /// A promise.
    PromiseId, "R");
id!(
    /// An accepted finding.
    AcceptedId, "A");
id!(
    /// A note on a sheet.
    NoteId, "N");
