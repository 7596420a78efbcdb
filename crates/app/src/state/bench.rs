//! What Try remembers of its own: how it shows what is live, and records of moves.

use loomwright_electrics::Move;
use serde::{Deserialize, Serialize};

/// How fast a record is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// A move every three seconds.
    Slow,
    /// Every second and a half.
    #[default]
    Steady,
    /// Every half second.
    Quick,
}

impl Pace {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Slow, Self::Steady, Self::Quick];

    /// Seconds from one move to the next.
    pub fn seconds(self) -> f64 {
        match self {
            Self::Slow => 3.0,
            Self::Steady => 1.5,
            Self::Quick => 0.5,
        }
    }
}

/// What Try remembers of its own.
#[derive(Debug, Clone, Default)]
pub struct Bench {
    /// Whether all that is live is outlined, current or not.
    pub outlines: bool,
    /// How fast a record is played.
    pub pace: Pace,
    /// When the next move of the record is made, by the window's clock; nothing while it is not played. Before the
    /// first frame of it that time is not known.
    pub plays: Option<Option<f64>>,
    /// The name under which the record is to be kept, while it is typed.
    pub naming: Option<String>,
}

/// A record of moves that was kept under a name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptRecord {
    /// The name of the car that it was made on.
    pub car: String,
    /// Its name.
    pub name: String,
    /// Control and position of each move.
    pub moves: Vec<(String, String)>,
}

impl KeptRecord {
    /// The moves.
    pub fn record(&self) -> Vec<Move> {
        let moves = self.moves.iter().cloned();
        moves.map(|(control, position)| Move { control, position }).collect()
    }
}
