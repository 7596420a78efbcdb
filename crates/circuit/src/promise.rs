//! Promises: what the owner declares must hold.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Name, PartId};

/// "With these controls so, those parts do that"; checked in every setting that fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Promise {
    /// The controls that matter; all others may stand anywhere.
    pub when: Vec<Moment>,
    /// Fuses out, one after the other: it must hold with any one of them out, as well as with all of them in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<FuseWay>,
    /// What must then hold.
    pub then: Vec<Claim>,
}

/// A fuse, or one way of a fuse box.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FuseWay {
    /// The part.
    pub part: PartId,
    /// A terminal of the way meant, where the part has several ways; without it, all of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal: Option<Name>,
}

/// A control standing in one of some positions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// The control's name in this car.
    pub control: String,
    /// The positions meant.
    pub positions: Vec<String>,
}

/// What one part must do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Claim {
    /// The part.
    pub part: PartId,
    /// The part's element meant, by the terminal it is fed at, where it has several (filaments of a two-filament lamp).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal: Option<Name>,
    /// What it must do.
    pub must: Expectation,
}

/// What a part can be asked to do.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Expectation {
    /// A lamp gives at least half its light.
    Lit,
    /// A lamp gives no visible light.
    Dark,
    /// A lamp goes on and off.
    Flashing,
    /// A motor, horn, heater or fed socket works.
    Working,
    /// It does not.
    Idle,
    /// A relay is pulled in.
    In,
    /// A relay is dropped out.
    Out,
}

impl Expectation {
    /// All of them, in the order shown in lists.
    pub const ALL: [Self; 7] =
        [Self::Lit, Self::Dark, Self::Flashing, Self::Working, Self::Idle, Self::In, Self::Out];

    /// The word in sketches, screens and papers.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lit => "lit",
            Self::Dark => "dark",
            Self::Flashing => "flashing",
            Self::Working => "working",
            Self::Idle => "idle",
            Self::In => "in",
            Self::Out => "out",
        }
    }
}
