//! Fuses and breakers that open while the car is tried, and why they do.

use std::sync::Arc;

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::Element;
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Fault, FuseRef, PartState, Through};
use loomwright_units::{Amps, Seconds};

use crate::trial::{Trial, WrongHere};
use crate::what_if::Suspect;

/// A fuse or breaker that carries what will open it.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// The fuse.
    pub fuse: FuseRef,
    /// Why, should it open.
    pub why: Opened,
    /// For a breaker, the control that its contact is.
    breaker: Option<String>,
}

/// Why a fuse has opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// What it carried.
    pub amps: Amps,
    /// How long it took at the latest.
    pub within: Seconds,
    /// Where most of the current went.
    pub into: Option<Suspect>,
}

/// What opens sooner than this, s, does so before one's eyes.
const AT_ONCE: f64 = 0.5;

/// More than this many things do not open one after the other in one moment.
const MOST_AT_ONCE: usize = 24;

impl Trial {
    /// Fuses that carry what will open them, the quickest first.
    pub fn opening(&self) -> Arc<[Opening]> {
        self.opening.at(self.serial, || {
            let breakers = self.network.overloaded_breakers(&self.settled);
            let of = |id: &PartId| self.opening_in(*id, &breakers);
            let mut opening: Vec<Opening> = self.car.parts().keys().flat_map(of).collect();
            opening.sort_by(|one, other| one.why.within.0.total_cmp(&other.why.within.0));
            opening
        })
    }

    fn opening_in(&self, id: PartId, breakers: &[(PartId, &str)]) -> Vec<Opening> {
        let Some(part_type) = self.car.type_of(id) else { return Vec::new() };
        if !part_type.elements.iter().any(|row| matches!(row, Element::Fuse { .. })) {
            return Vec::new();
        }
        let Some(reading) = self.settled.on.part(id) else { return Vec::new() };
        let breaker = breakers.iter().find(|(part, _)| *part == id);
        let rows = part_type.elements.iter().zip(&reading.elements);
        let opening = rows.filter_map(|(row, element)| {
            let Element::Fuse { between, .. } = row else { return None };
            let opens = match element.state {
                PartState::Opens => true,
                PartState::Cycles => breaker.is_some(),
                _ => false,
            };
            let amps = Amps(element.amps.0.abs());
            let within = element.opens_within.filter(|_| opens)?;
            Some(Opening {
                fuse: FuseRef { part: id, between: between.clone() },
                why: Opened { amps, within, into: self.greatest_behind(id, amps.0) },
                breaker: breaker.map(|(_, control)| (*control).to_owned()),
            })
        });
        opening.collect()
    }

    /// What takes most of the current that goes through a fuse: metal that a wire touches, or a part.
    fn greatest_behind(&self, fuse: PartId, amps: f64) -> Option<Suspect> {
        let solution = &self.settled.on;
        let goes_through = |path: Option<loomwright_electrics::Path>| {
            path.is_some_and(|path| {
                path.steps
                    .iter()
                    .any(|step| matches!(step.through, Through::Part { part, .. } if part == fuse))
            })
        };
        let touching = self.wrongs.iter().filter_map(|here| match here.wrong {
            Wrong::Fault(Fault::WireTouches(wire)) => {
                let [near, far] = solution.wire_end_amps(wire)?;
                Some((Suspect::Wire(wire), (near.0 - far.0).abs()))
            }
            _ => None,
        });
        let parts = self.car.parts().keys().filter_map(|id| {
            let state = solution.state(*id)?;
            takes(state).then_some(())?;
            let taken = solution.amps(*id)?.0.abs();
            // Most parts of a car take next to nothing, and need no way to be followed.
            (taken > 0.2 * amps && goes_through(solution.path_of_part(*id)))
                .then_some((Suspect::Part(*id), taken))
        });
        let all = touching.chain(parts).filter(|(_, taken)| *taken > 0.2 * amps);
        all.max_by(|one, other| one.1.total_cmp(&other.1)).map(|(suspect, _)| suspect)
    }

    /// Lets time pass: fuses and breakers that have carried too much for as long as they stand open. Gives what has
    /// opened, and the time by the same clock at which something opens next.
    pub fn pass(&mut self, now: f64) -> (Vec<(FuseRef, Opened)>, Option<f64>) {
        let mut opened = Vec::new();
        for _ in 0..MOST_AT_ONCE {
            let opening = self.opening();
            self.overloaded.retain(|(fuse, _)| opening.iter().any(|row| row.fuse == *fuse));
            for row in opening.iter() {
                if !self.overloaded.iter().any(|(fuse, _)| *fuse == row.fuse) {
                    self.overloaded.push((row.fuse.clone(), now));
                }
            }
            let due = opening.iter().find(|row| self.due(row).is_none_or(|due| due <= now));
            let Some(row) = due else { break };
            let why = row.why.clone();
            opened.push((row.fuse.clone(), why));
            self.open(row.clone());
        }
        let next = self.opening().iter().filter_map(|row| self.due(row)).reduce(f64::min);
        (opened, next)
    }

    /// When a fuse opens by the clock that [`Trial::pass`] is told; nothing where that is at once.
    pub fn due(&self, opening: &Opening) -> Option<f64> {
        let since = self.overloaded.iter().find(|(fuse, _)| *fuse == opening.fuse)?.1;
        (opening.why.within.0 > AT_ONCE).then_some(since + opening.why.within.0)
    }

    /// Lets a fuse open without waiting for it; gives why it does.
    pub fn open_now(&mut self, fuse: &FuseRef) -> Option<Opened> {
        let row = self.opening().iter().find(|row| row.fuse == *fuse)?.clone();
        let why = row.why.clone();
        self.open(row);
        Some(why)
    }

    fn open(&mut self, row: Opening) {
        if let Some(control) = row.breaker {
            // A breaker has a contact of its own, which is closed again by hand.
            drop(self.work(&control, "open"));
            return;
        }
        let wrong = Wrong::Fault(Fault::FuseBlown(row.fuse));
        self.wrongs.push(WrongHere { wrong, opened: Some(row.why) });
        self.rejoin();
    }
}

/// Whether a part of this state takes current by itself.
fn takes(state: PartState) -> bool {
    matches!(
        state,
        PartState::Lit
            | PartState::Dim
            | PartState::Flashing
            | PartState::Working
            | PartState::Weak
            | PartState::Stalled
            | PartState::In
            | PartState::Takes
    )
}
