//! The moves that were made: taken back, made again, made anew from rest.

use loomwright_electrics::Move;

use crate::trial::Trial;

impl Trial {
    /// Makes moves from rest, with whatever is wrong with the car.
    ///
    /// # Errors
    /// Why one of them cannot be made.
    pub fn replay(&mut self, moves: &[Move]) -> Result<(), String> {
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
        let record = self.record();
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
        self.rest();
        self.undone = record.iter().rev().cloned().collect();
    }
}
