//! What the loose ends of a kit are to be joined to.

use loomwright_circuit::{Car, EarthPolarity, Name, PartId};

/// What in the car a loose end is to be joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EndFor {
    /// What is live at all times, close to the battery.
    Live,
    /// The live battery post itself.
    Battery,
    /// What the key makes live.
    KeyLive,
    /// What is live while the key is at start.
    Crank,
    /// The feed of the headlamps, before the dip switch.
    Headlamps,
    /// The feed of the main beam.
    MainBeam,
    /// The lever of the indicators, at the side of the flasher unit.
    Lever,
    /// The indicator lamps at the left.
    LeftIndicators,
    /// The indicator lamps at the right.
    RightIndicators,
    /// The feed of the car's switches, which comes from here from now on.
    Feed,
    /// A consumer that is moved over.
    Consumer,
}

/// Each with its word in the header of a kit, and what it says on the wire's note.
const ENDS: [(EndFor, &str, &str); 11] = [
    (
        EndFor::Live,
        "live",
        "Join to what is always live, close to the battery: its live post or the solenoid's stud",
    ),
    (EndFor::Battery, "battery", "Join to the live post of the battery"),
    (
        EndFor::KeyLive,
        "key-live",
        "Join to what the key makes live: terminal 15 of the ignition switch",
    ),
    (EndFor::Crank, "crank", "Join to the starter terminal of the ignition switch: 50"),
    (EndFor::Headlamps, "headlamps", "Join to the headlamp terminal of the lighting switch: 56"),
    (EndFor::MainBeam, "main-beam", "Join to the main beam terminal of the dip switch: 56a"),
    (EndFor::Lever, "lever", "Join to the indicator lever where the flasher unit was joined: 49a"),
    (
        EndFor::LeftIndicators,
        "left-indicators",
        "Join to the lead of the left indicator lamps, at the lever's L",
    ),
    (
        EndFor::RightIndicators,
        "right-indicators",
        "Join to the lead of the right indicator lamps, at the lever's R",
    ),
    (
        EndFor::Feed,
        "feed",
        "Join to the feed of the lighting and ignition switches, which comes from here from now on",
    ),
    (
        EndFor::Consumer,
        "consumer",
        "Join to the circuit that is moved over to this way; leave it off where the way is spare",
    ),
];

impl EndFor {
    /// The end of this word.
    pub(super) fn of_word(word: &str) -> Option<Self> {
        ENDS.iter().find(|(_, known, _)| *known == word).map(|(end, ..)| *end)
    }

    /// What is to be done with it, in a sentence without its period.
    pub fn says(self) -> &'static str {
        ENDS.iter().find(|(end, ..)| *end == self).map_or("", |(.., says)| says)
    }

    /// The terminal of the car that answers to it, where the first part of the usual type says so.
    pub fn terminal(self, car: &Car) -> Option<(PartId, Name)> {
        let live = match car.vehicle().earth {
            EarthPolarity::Negative => "+",
            EarthPolarity::Positive => "-",
        };
        let wanted: &[(&str, &str)] = match self {
            Self::Live | Self::Battery => &[("battery", live)],
            Self::KeyLive => &[("ignition-switch", "15")],
            Self::Crank => &[("ignition-switch", "50")],
            Self::Headlamps => &[("lighting-switch", "56")],
            Self::MainBeam => &[("dip-switch", "56a")],
            Self::Lever => &[("indicator-stalk", "49a")],
            Self::LeftIndicators => &[("indicator-stalk", "L")],
            Self::RightIndicators => &[("indicator-stalk", "R")],
            Self::Feed | Self::Consumer => &[],
        };
        wanted.iter().find_map(|(type_name, terminal)| {
            let found = car.parts().iter().find(|(_, part)| part.type_name == *type_name)?;
            Some((*found.0, (*terminal).to_owned()))
        })
    }
}
