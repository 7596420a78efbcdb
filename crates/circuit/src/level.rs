//! How bad a finding is: a word that the car file keeps with what was accepted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How bad it is. Sorts from the worst.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Fire, sudden dark, an engine that will not stop.
    Danger,
    /// It will not work, or will fail early.
    Fault,
    /// It could be better.
    Advice,
}

impl Level {
    /// All of them, from the worst.
    pub const ALL: [Self; 3] = [Self::Danger, Self::Fault, Self::Advice];

    /// The word on screens, papers, in sketches and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Fault => "fault",
            Self::Advice => "advice",
        }
    }
}
