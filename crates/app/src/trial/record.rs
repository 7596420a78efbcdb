//! The moves that were made: taken back, made again, made anew from rest; and records that others took the place of.

use loomwright_electrics::Move;

use crate::trial::Trial;

/// A record as it stood when another took its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Left {
    moves: Vec<Move>,
    n_made: usize,
}

/// So many records are kept of those that others took the place of.
const LEFT_MOST: usize = 9;

impl Trial {
    /// Makes moves from rest, with whatever is wrong with the car.
    ///
    /// # Errors
    /// Why one of them cannot be made.
    pub fn replay(&mut self, moves: &[Move]) -> Result<(), String> {
        self.leave(self.as_left());
        self.undone.clear();
        self.rest();
        moves.iter().try_for_each(|step| self.put(&step.control, &step.position))
    }

    fn rest(&mut self) {
        self.settled = self.network.at_rest();
        self.moves.clear();
        self.held.clear();
        self.overloaded.clear();
        self.refused = None;
        self.serial += 1;
    }

    /// All moves of the record: those made, then those that were taken back.
    pub fn record(&self) -> Vec<Move> {
        self.moves.iter().chain(self.undone.iter().rev()).cloned().collect()
    }

    /// Stands as after so many moves of the record, all of them made from rest: what a relay remembers from before
    /// comes by no other way.
    pub fn stand_after(&mut self, n_moves: usize) {
        self.stand_in(&self.record(), n_moves);
    }

    fn stand_in(&mut self, record: &[Move], n_moves: usize) {
        let (made, left) = record.split_at(n_moves.min(record.len()));
        self.rest();
        for step in made {
            // They could be made before; one that what has gone wrong since keeps from being made is left out.
            drop(self.put(&step.control, &step.position));
        }
        self.undone = left.iter().rev().cloned().collect();
    }

    /// Makes the move again that was taken back last.
    ///
    /// # Errors
    /// Why it cannot be made.
    pub fn forth(&mut self) -> Option<Result<Move, String>> {
        let step = self.undone.pop()?;
        Some(self.put(&step.control, &step.position).map(|()| step))
    }

    /// Takes up a record and stands at rest before its first move.
    pub fn take_up(&mut self, record: &[Move]) {
        self.leave(self.as_left());
        self.rest();
        self.undone = record.iter().rev().cloned().collect();
    }

    /// The record as it stands.
    pub(super) fn as_left(&self) -> Left {
        Left { moves: self.record(), n_made: self.moves.len() }
    }

    /// Keeps a record that another takes the place of.
    pub(super) fn leave(&mut self, left: Left) {
        if left.moves.is_empty() {
            return;
        }
        self.left.retain(|known| known.moves != left.moves);
        self.left.push(left);
        let n_over = self.left.len().saturating_sub(LEFT_MOST);
        self.left.drain(..n_over);
    }

    /// How many moves of the record that was left last are in the present one no more; nothing where none is.
    pub fn brings_back(&self) -> Option<usize> {
        self.left.iter().rev().map(|left| self.lost(left)).find(|lost| *lost > 0)
    }

    fn lost(&self, left: &Left) -> usize {
        let record = self.record();
        let same = left.moves.iter().zip(&record).take_while(|(one, other)| one == other);
        left.moves.len() - same.count()
    }

    /// Brings the record back that was left last, standing where it stood; the present one is kept in its turn, so that
    /// going on leads through all of them.
    pub fn bring_back(&mut self) {
        while let Some(left) = self.left.pop() {
            if self.lost(&left) == 0 {
                continue;
            }
            let now = self.as_left();
            if !now.moves.is_empty() && !left.moves.starts_with(&now.moves) {
                self.left.insert(0, now);
            }
            self.stand_in(&left.moves, left.n_made);
            return;
        }
    }

    /// Forgets the records that others took the place of.
    pub fn forget_left(&mut self) {
        self.left.clear();
    }
}
