//! Facts of the vehicle as a whole.

use loomwright_units::Volts;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::FirstUse;
use crate::geometry::is_default;

/// The voltage that the car's parts are marked with.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
pub enum SystemVoltage {
    /// 6 V.
    #[serde(rename = "6 V")]
    Six,
    /// 12 V.
    #[default]
    #[serde(rename = "12 V")]
    Twelve,
    /// 24 V.
    #[serde(rename = "24 V")]
    TwentyFour,
}

impl SystemVoltage {
    /// The figure itself.
    pub fn volts(self) -> Volts {
        match self {
            Self::Six => Volts(6.0),
            Self::Twelve => Volts(12.0),
            Self::TwentyFour => Volts(24.0),
        }
    }
}

/// Which battery post is joined to the body.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum EarthPolarity {
    /// The minus post is earthed.
    #[default]
    Negative,
    /// The plus post is earthed.
    Positive,
}

/// Whether the body carries current.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Body {
    /// Steel: every body earth point is joined to every other.
    #[default]
    Steel,
    /// Glass-fibre or wood: body earth points are joined only by wires.
    CarriesNoCurrent,
}

/// The code that the colours of the car's cable follow.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ColourCode {
    /// BS AU 7 as used before its 1983 edition.
    #[default]
    BsAu7,
    /// BS AU 7a:1983.
    BsAu7a,
    /// DIN 72551.
    Din,
    /// A code of its own, or none: colours say nothing about the job.
    None,
}

/// Whose rules on lamps and their switching the owner is to check the car against.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Region {
    /// The United Kingdom: SI 1989/1796 and the inspection manual.
    Uk,
    /// Where the UNECE regulations hold: R48 on the fitting of lamps.
    Unece,
}

impl Region {
    /// All of them, in the order shown in lists.
    pub const ALL: [Self; 2] = [Self::Uk, Self::Unece];

    /// The words on screens and papers.
    pub fn words(self) -> &'static str {
        match self {
            Self::Uk => "United Kingdom",
            Self::Unece => "UNECE regulations",
        }
    }
}

/// The vehicle that the drawing is of.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Vehicle {
    /// The name that the owner gives it.
    pub name: String,
    /// Marked voltage of its parts.
    pub voltage: SystemVoltage,
    /// Which post is earthed.
    pub earth: EarthPolarity,
    /// Whether the body carries current.
    #[serde(default, skip_serializing_if = "is_default")]
    pub body: Body,
    /// Code of its cable colours.
    #[serde(default, skip_serializing_if = "is_default")]
    pub colours: ColourCode,
    /// Whose rules on lamps to check against; nothing where the owner has not said.
    #[serde(default, skip_serializing_if = "is_default")]
    pub region: Option<Region>,
    /// When it was first used, as far as that is known.
    #[serde(default, skip_serializing_if = "is_default")]
    pub first_used: Option<FirstUse>,
    /// What the alteration is for, in a sentence.
    #[serde(default, skip_serializing_if = "is_default")]
    pub purpose: String,
    /// Anything else worth keeping.
    #[serde(default, skip_serializing_if = "is_default")]
    pub notes: String,
}
