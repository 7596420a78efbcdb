//! Settings, states, and the moves between them.

use crate::{Met, MetIn, Solution};

/// One position for every control: indices in the order of [`Network::controls`](crate::Network::controls).
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Setting(pub Vec<u8>);

/// A setting plus what the car remembers: which relays are in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State {
    /// Positions of the controls.
    pub setting: Setting,
    /// Relays that are pulled in, in the network's order; then generators whose field is excited, of those that have to
    /// be.
    pub pulled_in: Vec<bool>,
}

/// A control put into a position.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Move {
    /// The control's name.
    pub control: String,
    /// The position it is put into.
    pub position: String,
}

/// Names that fit no control or position of the car.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SettingError {
    /// No control has this name.
    NoControl {
        /// The name given.
        control: String,
        /// The controls there are.
        known: Vec<String>,
    },
    /// The control has no such position.
    NoPosition {
        /// The control.
        control: String,
        /// The position given.
        position: String,
        /// The positions there are.
        known: Vec<String>,
    },
    /// The breaker holds: it opens only in a setting in which it carries what opens it.
    Holds {
        /// The control that its contact is.
        control: String,
    },
    /// The car's declarations rule the setting out.
    Impossible {
        /// The positions that cannot go together, as control and position.
        together: Vec<(String, String)>,
    },
}

/// A state in which the relays have come to rest (or found not to), with what flows.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The state after settling.
    pub state: State,
    /// Controls that moved by themselves when one was moved: an engine that lost its ignition.
    pub followed: Vec<Move>,
    /// Whether the relays came to rest; a relay that buzzes does not.
    pub is_settled: bool,
    /// What flows; with a flasher at work, in its lit phase.
    pub on: Solution,
    /// What flows in the dark phase of the flashers; nothing where none is at work.
    pub off: Option<Solution>,
    /// What flows when several flashers at work have drifted apart: each closed by itself; of two or three, also every
    /// other combination that is neither of the phases above.
    pub apart: Vec<Solution>,
    /// What flowed in moments gone through on the way here: between two positions of a control that makes before it
    /// breaks, and while a motor moved its own contact, such as that of a wiper on its way to its park. In a visit of an
    /// exploration, those of all moves that lead there, each once.
    pub passing: Vec<Solution>,
}

impl Settled {
    /// All that flows in turn: the lit phase, the dark one, and those of flashers that have drifted apart.
    pub fn phases(&self) -> impl Iterator<Item = &Solution> {
        std::iter::once(&self.on).chain(&self.off).chain(&self.apart)
    }

    /// What flowed where a figure was met.
    pub fn phase_of<T>(&self, met: &Met<T>) -> Option<&Solution> {
        match met.met_in {
            MetIn::On => Some(&self.on),
            MetIn::Off => self.off.as_ref(),
            MetIn::Apart(idx) => self.apart.get(idx),
            MetIn::Passing(idx) => self.passing.get(idx),
        }
    }

    /// All that flows in turn, and what flowed on the way.
    pub(crate) fn all(&self) -> impl Iterator<Item = &Solution> {
        self.phases().chain(&self.passing)
    }
}
