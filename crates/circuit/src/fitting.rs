//! End fittings: what is crimped or soldered to the end of a wire.

use loomwright_units::{DecimalMark, decimal_mark};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is fitted to the end of a wire.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Fitting {
    /// Blade receptacle for a 2.8 mm tab.
    #[serde(rename = "blade-2.8")]
    Blade28,
    /// Blade receptacle for a 4.8 mm tab.
    #[serde(rename = "blade-4.8")]
    Blade48,
    /// Blade receptacle for a 6.3 mm tab.
    #[serde(rename = "blade-6.3")]
    Blade63,
    /// Blade receptacle for a 9.5 mm tab.
    #[serde(rename = "blade-9.5")]
    Blade95,
    /// Bullet of 4.7 mm.
    #[serde(rename = "bullet-4.7")]
    Bullet47,
    /// Ring for an M4 stud or screw.
    RingM4,
    /// Ring for an M5 stud or screw.
    RingM5,
    /// Ring for an M6 stud or screw.
    RingM6,
    /// Ring for an M8 stud or screw.
    RingM8,
    /// Ring for an M10 stud or screw.
    RingM10,
    /// Clamp of a battery post.
    BatteryClamp,
    /// Bare end under a screw.
    Bare,
    /// Soldered.
    Soldered,
    /// Crimped splice.
    Splice,
    /// Pin of a multi-way connector.
    Pin,
}

impl Fitting {
    /// All of them, in the order shown in lists.
    pub const ALL: [Self; 15] = [
        Self::Blade28,
        Self::Blade48,
        Self::Blade63,
        Self::Blade95,
        Self::Bullet47,
        Self::RingM4,
        Self::RingM5,
        Self::RingM6,
        Self::RingM8,
        Self::RingM10,
        Self::BatteryClamp,
        Self::Bare,
        Self::Soldered,
        Self::Splice,
        Self::Pin,
    ];

    /// The words on screens and papers.
    pub fn words(self) -> &'static str {
        let marked = |[point, comma]: [&'static str; 2]| match decimal_mark() {
            DecimalMark::Point => point,
            DecimalMark::Comma => comma,
        };
        match self {
            Self::Blade28 => marked(["2.8 mm blade", "2,8 mm blade"]),
            Self::Blade48 => marked(["4.8 mm blade", "4,8 mm blade"]),
            Self::Blade63 => marked(["6.3 mm blade", "6,3 mm blade"]),
            Self::Blade95 => marked(["9.5 mm blade", "9,5 mm blade"]),
            Self::Bullet47 => marked(["4.7 mm bullet", "4,7 mm bullet"]),
            Self::RingM4 => "M4 ring",
            Self::RingM5 => "M5 ring",
            Self::RingM6 => "M6 ring",
            Self::RingM8 => "M8 ring",
            Self::RingM10 => "M10 ring",
            Self::BatteryClamp => "battery clamp",
            Self::Bare => "bare end",
            Self::Soldered => "soldered",
            Self::Splice => "crimped splice",
            Self::Pin => "connector pin",
        }
    }

    /// Reads the words back.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fitting| fitting.words().eq_ignore_ascii_case(words.trim()))
    }
}
