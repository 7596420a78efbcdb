//! Try: the car's controls as they stand, what flows, and the moves that led there.

use std::sync::Arc;

use loomwright_circuit::part_type::{Element, Position};
use loomwright_circuit::{Car, Control, PartId, WireId};
use loomwright_electrics::{FuseRef, Move, Network, PartState, Setting, Settled, Solution};
use loomwright_rules::STARTER_WATTS;

mod live;
mod meter;
mod once;
mod opening;
mod record;
mod refusal;
mod sound;
mod wrongs;

pub use live::load;
pub use meter::{Dial, Lead, Meter, Metered, Probe, Reading, Should, Shows};
pub use opening::{Opened, Opening};
pub use wrongs::{WrongHere, about, choices};

use once::Once;
use record::Left;
use refusal::refusal;
use sound::Sound;

use crate::texts::TrialWords;

/// A car being tried.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The revision of the car that is tried.
    pub revision: u64,
    /// The car as it is drawn.
    car: Arc<Car>,
    /// Its network.
    drawn: Arc<Network>,
    /// The network as it is tried: with what is wrong, and with the meter where that is part of the circuit.
    pub network: Arc<Network>,
    /// Where it stands.
    pub settled: Settled,
    /// The moves from rest.
    pub moves: Vec<Move>,
    /// The moves that were taken back, the next one last.
    pub undone: Vec<Move>,
    /// Records that others took the place of, the last one last.
    left: Vec<Left>,
    /// What is wrong with the car, in the order in which it came.
    pub wrongs: Vec<WrongHere>,
    /// Fuses that carry what will open them, since when by the window's clock.
    overloaded: Vec<(FuseRef, f64)>,
    /// Fuses that carry what will open them.
    opening: Once<Opening>,
    /// Wires that burn.
    burning: Once<(WireId, f64)>,
    /// The meter.
    pub meter: Meter,
    /// What it reads, and should; nothing while it is off.
    pub metered: Option<Metered>,
    sound: Option<Sound>,
    /// The serial number at which the meter was read.
    read_at: u64,
    /// Controls held against their springs, with the position they spring back to.
    pub held: Vec<(String, String)>,
    /// The move that was refused last.
    pub refused: Option<Refusal>,
    /// Counts the changes, for what is painted from it.
    pub serial: u64,
}

/// The control that no hand on a part works: what has it follows the engine.
const ENGINE: &str = "engine";

/// A move that cannot be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The control that was worked.
    pub control: String,
    /// The part on which it was pressed; nothing where it was chosen in the list.
    pub part: Option<PartId>,
    /// Why it stays where it is, as a sentence.
    pub says: String,
}

impl Trial {
    /// The car at rest.
    pub fn at_rest(car: Arc<Car>, network: Arc<Network>, revision: u64) -> Self {
        let settled = network.at_rest();
        Self {
            revision,
            car,
            drawn: Arc::clone(&network),
            network,
            settled,
            moves: Vec::new(),
            undone: Vec::new(),
            left: Vec::new(),
            wrongs: Vec::new(),
            overloaded: Vec::new(),
            opening: Once::default(),
            burning: Once::default(),
            meter: Meter::default(),
            metered: None,
            sound: None,
            read_at: 0,
            held: Vec::new(),
            refused: None,
            serial: 0,
        }
    }

    /// The same moves on a changed car; moves that it no longer knows are left out, and so is what was wrong with rows
    /// that are gone.
    #[must_use]
    pub fn on(&self, car: Arc<Car>, network: Arc<Network>, revision: u64) -> Self {
        let mut trial = Self::at_rest(car, network, revision);
        trial.wrongs = self.wrongs.iter().filter(|here| here.is_in(&trial.car)).cloned().collect();
        trial.meter = self.meter.on(&trial.car);
        trial.join();
        trial.settled = trial.network.at_rest();
        for step in &self.moves {
            // A control that is gone cannot be moved; the rest still can.
            drop(trial.put(&step.control, &step.position));
        }
        trial.undone.clone_from(&self.undone);
        trial.left.clone_from(&self.left);
        trial.serial = self.serial + 1;
        trial
    }

    /// The controls with the position in which each stands.
    pub fn controls(&self) -> impl Iterator<Item = (&Control, &Position)> {
        let Setting(positions) = &self.settled.state.setting;
        self.network.controls().iter().zip(positions).filter_map(|(control, position_idx)| {
            Some((control, control.positions.get(usize::from(*position_idx))?))
        })
    }

    /// The position of a control.
    pub fn position(&self, control: &str) -> Option<&Position> {
        self.controls().find(|(known, _)| known.name == control).map(|(_, position)| position)
    }

    fn stands_in(&self, control: &str, position: &str) -> bool {
        self.position(control).is_some_and(|stands| stands.name == position)
    }

    /// Puts a control into a position; where it stands there, nothing is done. What follows by itself, as an engine that stops, stands in
    /// `settled.followed`. Where the next of the moves that were taken back is another, the record goes on from here, and as it
    /// was it can be brought back.
    ///
    /// # Errors
    /// Why the car cannot stand so, as a sentence.
    pub fn work(&mut self, control: &str, position: &str) -> Result<(), String> {
        if self.stands_in(control, position) {
            return Ok(());
        }
        let before = self.as_left();
        self.put(control, position)?;
        if self.undone.last() == self.moves.last() {
            self.undone.pop();
        } else if !self.undone.is_empty() {
            self.leave(before);
            self.undone.clear();
        }
        Ok(())
    }

    /// Lets go of all that is held, and of the probe in hand, and waits as it stands.
    pub fn put_by(&mut self) {
        self.let_go(&Arc::clone(&self.car));
        self.meter.put_down();
    }

    /// Whether every control stands as with nothing worked.
    pub fn is_at_rest(&self) -> bool {
        self.settled.state.setting == self.network.at_rest().state.setting
    }

    fn put(&mut self, control: &str, position: &str) -> Result<(), String> {
        let moved = self.network.move_control(&self.settled.state, control, position);
        self.settled = moved.map_err(|error| refusal(&error, control, position))?;
        self.moves.push(Move { control: control.to_owned(), position: position.to_owned() });
        self.serial += 1;
        Ok(())
    }

    /// Works a control as a person does: a refusal is remembered beside it, and a starter that turns takes the
    /// engine along. Gives what moved by itself.
    ///
    /// # Errors
    /// Why the car cannot stand so.
    pub fn operate(
        &mut self,
        car: &Car,
        control: &str,
        position: &str,
    ) -> Result<Vec<Move>, String> {
        if self.stands_in(control, position) {
            // No move, and no step of the record.
            self.refused = None;
            return Ok(Vec::new());
        }
        let worked = self.work(control, position);
        self.refused = worked.as_ref().err().map(|says| Refusal {
            control: control.to_owned(),
            part: None,
            says: says.clone(),
        });
        worked?;
        let mut followed = self.settled.followed.clone();
        followed.extend(self.crank(car, control));
        Ok(followed)
    }

    /// Lets a starter that turns take a stopped engine along.
    fn crank(&mut self, car: &Car, worked: &str) -> Option<Move> {
        if worked == ENGINE || !self.stands_in(ENGINE, "stopped") || !self.starter_turns(car) {
            return None;
        }
        self.work(ENGINE, "cranking").ok()?;
        self.moves.last().cloned()
    }

    fn starter_turns(&self, car: &Car) -> bool {
        car.parts().iter().any(|(id, part)| {
            let Some(part_type) = car.type_of(*id) else { return false };
            let is_starter = |element: &Element| match element {
                Element::Motor { .. } => true,
                element => {
                    let watts = part.fact(part_type, "watts");
                    element.is_motor() && watts.is_some_and(|watts| watts >= STARTER_WATTS)
                }
            };
            let starters = part_type.elements.iter().enumerate().filter(|(_, row)| is_starter(row));
            let Some(reading) = self.settled.on.part(*id) else { return false };
            // One that is weak turns the engine slowly.
            let turns = |idx: usize| {
                let element = reading.elements.get(idx);
                element.is_some_and(|it| matches!(it.state, PartState::Working | PartState::Weak))
            };
            starters.map(|(idx, _)| idx).any(turns)
        })
    }

    /// Presses on a part: its control goes to the next possible position, and is held there if it is sprung.
    /// Gives what moved by itself.
    ///
    /// # Errors
    /// Why no other position is possible.
    pub fn press(&mut self, car: &Car, part: PartId) -> Result<Vec<Move>, String> {
        let label = car.part(part).map_or(TrialWords::this_part(), |part| &part.label);
        let Some(control) = self
            .network
            .controls()
            .iter()
            .find(|control| control.works.iter().any(|(id, _)| *id == part))
        else {
            return Err(TrialWords::has_nothing_to_work(label));
        };
        let (name, positions) = (control.name.clone(), control.positions.clone());
        if name == ENGINE {
            return Err(TrialWords::follows_the_engine(label));
        }
        let now = self.position(&name).map(|position| position.name.clone()).unwrap_or_default();
        let start = positions.iter().position(|position| position.name == now).unwrap_or(0);
        let mut refusal = None;
        for step in 1..positions.len() {
            let next = &positions[(start + step) % positions.len()];
            match self.operate(car, &name, &next.name) {
                Ok(followed) => {
                    if let Some(back) = &next.springs_to {
                        self.held.push((name, back.clone()));
                    }
                    return Ok(followed);
                }
                Err(reason) => refusal = refusal.or(Some(reason)),
            }
        }
        let says = refusal.unwrap_or_else(|| TrialWords::has_only_one_position(&name));
        self.refused = Some(Refusal { control: name, part: Some(part), says: says.clone() });
        Err(says)
    }

    /// Puts a control into a position and holds it there if that is sprung.
    /// Gives what moved by itself.
    ///
    /// # Errors
    /// Why the car cannot stand so.
    pub fn hold(&mut self, car: &Car, control: &str, position: &str) -> Result<Vec<Move>, String> {
        let known = self.network.controls().iter().find(|known| known.name == control);
        let known = known.and_then(|known| known.positions.iter().find(|at| at.name == position));
        let back = known.and_then(|at| at.springs_to.clone());
        let followed = self.operate(car, control, position)?;
        self.held.extend(back.map(|back| (control.to_owned(), back)));
        Ok(followed)
    }

    /// Lets go: held controls spring back. Gives what moved by itself.
    pub fn let_go(&mut self, car: &Car) -> Vec<Move> {
        let mut followed = Vec::new();
        for (control, back) in std::mem::take(&mut self.held) {
            // Springing back can be refused only where the declarations are odd; the control then stays.
            followed.extend(self.operate(car, &control, &back).unwrap_or_default());
        }
        followed
    }

    /// Seconds lit and dark of the flashers at work; of several, of the fastest.
    pub fn flashes(&self, car: &Car) -> Option<(f64, f64)> {
        self.settled.off.as_ref()?;
        let at_work = car.parts().keys().filter_map(|id| self.settled.on.part(*id)?.flashing);
        let fastest = at_work.max_by(|one, other| one.per_minute.total_cmp(&other.per_minute));
        Some(fastest.map_or((0.35, 0.35), |flashing| {
            let period = 60.0 / flashing.per_minute;
            (period * flashing.on_share, period * (1.0 - flashing.on_share))
        }))
    }

    /// What flows in a phase of the flashers.
    pub fn solution(&self, is_lit: bool) -> &Solution {
        match (&self.settled.off, is_lit) {
            (Some(off), false) => off,
            _ => &self.settled.on,
        }
    }
}
