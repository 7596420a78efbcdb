//! What a consumer is for, where its type does not say.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a consumer is for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// An indicator at the left.
    LeftIndicator,
    /// An indicator at the right.
    RightIndicator,
    /// An indicator whose side is not known.
    Indicator,
    /// A small lamp that tells what is switched on.
    TellTale,
    /// The small lamp that tells of hazard warning.
    HazardTellTale,
    /// The main beam of a headlamp.
    MainBeam,
    /// The dipped beam of a headlamp.
    DipBeam,
    /// A side, tail or plate lamp.
    Side,
    /// A lamp behind the instruments.
    Panel,
    /// A stop lamp.
    Stop,
    /// A reversing lamp.
    Reversing,
    /// A front fog lamp.
    FrontFog,
    /// A rear fog lamp.
    RearFog,
    /// A driving lamp: lit with main beam alone.
    DrivingLamp,
    /// A lamp inside the car.
    Courtesy,
    /// The charge lamp.
    ChargeLamp,
    /// The oil-pressure lamp.
    OilLamp,
    /// A horn.
    Horn,
    /// The starter motor.
    Starter,
    /// What works the starter's contact.
    StarterTrigger,
    /// The feed of the ignition.
    Ignition,
    /// A fuel pump.
    FuelPump,
    /// A cooling fan.
    Fan,
    /// The coil of a relay.
    Coil,
    /// None of these.
    Other,
}

/// Every role with its word in files and sketches, and its name for people.
const ROLES: [(Role, &str, &str); 25] = [
    (Role::LeftIndicator, "left-indicator", "left indicator"),
    (Role::RightIndicator, "right-indicator", "right indicator"),
    (Role::Indicator, "indicator", "indicator"),
    (Role::TellTale, "tell-tale", "tell-tale"),
    (Role::HazardTellTale, "hazard-tell-tale", "hazard tell-tale"),
    (Role::MainBeam, "main-beam", "main beam"),
    (Role::DipBeam, "dip-beam", "dipped beam"),
    (Role::Side, "side", "side, tail or plate lamp"),
    (Role::Panel, "panel", "panel lamp"),
    (Role::Stop, "stop", "stop lamp"),
    (Role::Reversing, "reversing", "reversing lamp"),
    (Role::FrontFog, "front-fog", "front fog lamp"),
    (Role::RearFog, "rear-fog", "rear fog lamp"),
    (Role::DrivingLamp, "driving-lamp", "driving lamp"),
    (Role::Courtesy, "courtesy", "courtesy lamp"),
    (Role::ChargeLamp, "charge-lamp", "charge lamp"),
    (Role::OilLamp, "oil-lamp", "oil-pressure lamp"),
    (Role::Horn, "horn", "horn"),
    (Role::Starter, "starter", "starter motor"),
    (Role::StarterTrigger, "starter-trigger", "starter solenoid"),
    (Role::Ignition, "ignition", "ignition"),
    (Role::FuelPump, "fuel-pump", "fuel pump"),
    (Role::Fan, "fan", "cooling fan"),
    (Role::Coil, "coil", "relay coil"),
    (Role::Other, "other", "something else"),
];

impl Role {
    /// All of them, in the order of lists.
    pub fn all() -> impl Iterator<Item = Self> {
        ROLES.iter().map(|(role, ..)| *role)
    }

    /// The word in files and sketches.
    pub fn word(self) -> &'static str {
        ROLES.iter().find(|(role, ..)| *role == self).map_or("other", |(_, word, _)| word)
    }

    /// The role of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        ROLES.iter().find(|(_, known, _)| *known == word).map(|(role, ..)| *role)
    }

    /// The name for people.
    pub fn name(self) -> &'static str {
        ROLES.iter().find(|(role, ..)| *role == self).map_or("something else", |(.., name)| name)
    }

    /// Lamps whose going out leaves the driver in the dark or the car unseen at once.
    pub fn is_missed_at_once(self) -> bool {
        matches!(self, Self::MainBeam | Self::DipBeam | Self::Stop)
    }

    /// Whether it is an indicator, of whatever side.
    pub fn is_indicator(self) -> bool {
        matches!(self, Self::LeftIndicator | Self::RightIndicator | Self::Indicator)
    }

    /// Whether it only tells what else is switched on.
    pub fn is_tell_tale(self) -> bool {
        matches!(self, Self::TellTale | Self::HazardTellTale)
    }
}

#[cfg(test)]
mod tests {
    use super::Role;

    #[test]
    fn the_word_in_sketches_is_the_word_in_files() {
        for role in Role::all() {
            let written = serde_json::to_string(&role).expect("a word");
            assert_eq!(written, format!("\"{}\"", role.word()));
            assert_eq!(Role::of_word(role.word()), Some(role));
        }
    }
}
