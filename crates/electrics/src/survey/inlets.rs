//! What the pieces of circuits take from the live trunk, and how their contacts stand.

use crate::circuits::{Owner, Parting};
use crate::network::{BranchRef, Tables};
use crate::reading::Flow;

/// Branches by which each piece takes from the live trunk, and its contacts.
pub(super) struct Inlets<'a> {
    of: Vec<Vec<(BranchRef, f64)>>,
    contacts: Vec<Vec<usize>>,
    parting: &'a Parting,
}

/// What one piece does in one state.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Taken {
    /// What it takes from the live trunk, A.
    pub amps: f64,
    /// Which of its contacts are closed.
    pub closed: Vec<bool>,
}

impl Taken {
    /// Whether all contacts are closed that are in another state of the piece. It then takes at least as much at the
    /// same volts: a way more never lowers what all of them take, if laws rise (Rayleigh's law of monotony).
    pub(super) fn joins_all_of(&self, other: &Self) -> bool {
        self.closed
            .iter()
            .zip(&other.closed)
            .all(|(is_closed, was_closed)| *is_closed || !was_closed)
    }
}

impl<'a> Inlets<'a> {
    pub(super) fn of(tables: &Tables, parting: &'a Parting) -> Self {
        let mut of = vec![Vec::new(); parting.pieces.len()];
        let mut contacts = vec![Vec::new(); parting.pieces.len()];
        // Current leaves the live side of a car whose minus is earthed, and flows into that of the other.
        let out = if tables.is_plus_earthed { -1.0 } else { 1.0 };
        for (branch, owner) in &parting.branches {
            let Owner::Piece(piece) = owner else { continue };
            if let BranchRef::Switch(idx) = *branch {
                contacts[*piece].push(idx);
            }
            let (a, b) = tables.ends(*branch);
            let is_live = |step: u32| parting.place_of(tables, step).is_live();
            match (is_live(a), is_live(b)) {
                (true, false) => of[*piece].push((*branch, out)),
                (false, true) => of[*piece].push((*branch, -out)),
                _ => {}
            }
        }
        Self { of, contacts, parting }
    }

    /// What each piece of a circuit takes, in their order.
    pub(super) fn taken(&self, tables: &Tables, flow: Option<&Flow>, circuit: usize) -> Vec<Taken> {
        let pieces = self.parting.pieces_of(circuit).into_iter();
        let Some(flow) = flow else { return pieces.map(|_| Taken::default()).collect() };
        let taken = |piece: usize| {
            let amps = |(branch, sign): &(BranchRef, f64)| sign * flow.branch_amps(tables, *branch);
            let is_closed = |idx: &usize| tables.switches[*idx].closed.is_closed(flow.phase());
            Taken {
                amps: self.of[piece].iter().map(amps).sum(),
                closed: self.contacts[piece].iter().map(is_closed).collect(),
            }
        };
        pieces.map(taken).collect()
    }
}
