//! What the pieces of circuits take from the live trunk.

use crate::circuits::{Owner, Parting};
use crate::network::{BranchRef, Tables};
use crate::reading::Flow;

/// Branches by which each piece takes from the live trunk.
pub(super) struct Inlets<'a> {
    of: Vec<Vec<(BranchRef, f64)>>,
    parting: &'a Parting,
}

impl<'a> Inlets<'a> {
    pub(super) fn of(tables: &Tables, parting: &'a Parting) -> Self {
        let mut of = vec![Vec::new(); parting.pieces.len()];
        // Current leaves the live side of a car whose minus is earthed, and flows into that of the other.
        let out = if tables.is_plus_earthed { -1.0 } else { 1.0 };
        for (branch, owner) in &parting.branches {
            let Owner::Piece(piece) = owner else { continue };
            let (a, b) = tables.ends(*branch);
            let is_live = |step: u32| parting.place_of(tables, step).is_live();
            match (is_live(a), is_live(b)) {
                (true, false) => of[*piece].push((*branch, out)),
                (false, true) => of[*piece].push((*branch, -out)),
                _ => {}
            }
        }
        Self { of, parting }
    }

    /// Of each piece of a circuit, in their order.
    pub(super) fn amps(&self, tables: &Tables, flow: &Flow, circuit: usize) -> Vec<f64> {
        let pieces = self.of.iter().zip(&self.parting.pieces).filter(|(_, of)| **of == circuit);
        let amps = |branches: &Vec<(BranchRef, f64)>| {
            branches.iter().map(|(branch, sign)| sign * flow.branch_amps(tables, *branch)).sum()
        };
        pieces.map(|(branches, _)| amps(branches)).collect()
    }
}
