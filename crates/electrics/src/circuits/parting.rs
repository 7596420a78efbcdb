//! What a car falls apart into.

use crate::network::{BranchRef, Tables};

/// The car in a setting of its shared controls.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Parting {
    pub circuits: Vec<Circuit>,
    /// What each copper island is.
    pub islands: Vec<Place>,
    /// Branches that are not trunk, with the piece that they belong to.
    pub branches: Vec<(BranchRef, Owner)>,
    /// The circuit of each piece: what hangs together without the trunk.
    pub pieces: Vec<usize>,
    /// Branches that no control works and that lead from one place of a trunk to another of the same.
    pub across_trunk: Vec<BranchRef>,
    /// Contacts that the shared controls close, indices in [`Tables::switches`].
    pub joined: Vec<usize>,
}

impl Parting {
    /// Where a step lies.
    pub(crate) fn place_of(&self, tables: &Tables, step: u32) -> Place {
        self.islands[tables.copper.of[step as usize] as usize]
    }

    /// The pieces of a circuit.
    pub(crate) fn pieces_of(&self, circuit: usize) -> Vec<usize> {
        (0..self.pieces.len()).filter(|piece| self.pieces[*piece] == circuit).collect()
    }
}

impl Place {
    pub(crate) fn is_live(self) -> bool {
        self == Self::LiveTrunk
    }
}

/// Controls and relays that have to be looked at together.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Circuit {
    pub controls: Vec<usize>,
    pub relays: Vec<usize>,
    /// Whether a supply can reach it.
    pub is_live: bool,
}

/// Where a copper island belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// Joined to a live post of a supply.
    LiveTrunk,
    /// Joined to where volts count from.
    HomeTrunk,
    /// In a piece that hangs on them.
    Hangs,
}

/// Who a branch belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Owner {
    /// A piece of a circuit.
    Piece(usize),
    /// No control works it.
    Standing,
    /// A piece that no supply reaches, by the number of an island in it.
    Dead(u32),
}
