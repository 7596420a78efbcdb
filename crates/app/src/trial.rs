//! Try: the car's controls as they stand, what flows, and the moves that led there.

use std::sync::Arc;

use loomwright_circuit::part_type::{Element, Position};
use loomwright_circuit::{Car, Control, PartId};
use loomwright_drawing::{Live, LivePart, LiveWire};
use loomwright_electrics::{Move, Network, PartState, Setting, SettingError, Settled, Solution};
use loomwright_rules::STARTER_WATTS;

/// A car being tried.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The revision of the car that is tried.
    pub revision: u64,
    /// Its network.
    pub network: Arc<Network>,
    /// Where it stands.
    pub settled: Settled,
    /// The moves from rest.
    pub moves: Vec<Move>,
    /// Controls held against their springs, with the position they spring back to.
    pub held: Vec<(String, String)>,
    /// The move that was refused last.
    pub refused: Option<Refusal>,
    /// Counts the changes, for what is painted from it.
    pub serial: u64,
}

/// A move that cannot be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The control that was worked.
    pub control: String,
    /// Why it stays where it is, as a sentence.
    pub says: String,
}

impl Trial {
    /// The car at rest.
    pub fn at_rest(network: Arc<Network>, revision: u64) -> Self {
        let settled = network.at_rest();
        Self {
            revision,
            network,
            settled,
            moves: Vec::new(),
            held: Vec::new(),
            refused: None,
            serial: 0,
        }
    }

    /// The same moves on a changed car; moves that it no longer knows are left out.
    #[must_use]
    pub fn on(&self, network: Arc<Network>, revision: u64) -> Self {
        let mut trial = Self::at_rest(network, revision);
        for step in &self.moves {
            // A control that is gone cannot be moved; the rest still can.
            drop(trial.work(&step.control, &step.position));
        }
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

    /// Puts a control into a position. What follows by itself, as an engine that stops, stands in
    /// `settled.followed`.
    ///
    /// # Errors
    /// Why the car cannot stand so, as a sentence.
    pub fn work(&mut self, control: &str, position: &str) -> Result<(), String> {
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
        let worked = self.work(control, position);
        self.refused = worked
            .as_ref()
            .err()
            .map(|says| Refusal { control: control.to_owned(), says: says.clone() });
        worked?;
        let mut followed = self.settled.followed.clone();
        followed.extend(self.crank(car, control));
        Ok(followed)
    }

    /// Lets a starter that turns take a stopped engine along.
    fn crank(&mut self, car: &Car, worked: &str) -> Option<Move> {
        let engine = "engine";
        let is_stopped = self.position(engine).is_some_and(|position| position.name == "stopped");
        if worked == engine || !is_stopped || !self.starter_turns(car) {
            return None;
        }
        self.work(engine, "cranking").ok()?;
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

    /// Makes moves from rest.
    ///
    /// # Errors
    /// Why one of them cannot be made.
    pub fn replay(&mut self, moves: &[Move]) -> Result<(), String> {
        let serial = self.serial;
        *self = Self::at_rest(Arc::clone(&self.network), self.revision);
        self.serial = serial + 1;
        self.refused = None;
        for step in moves {
            self.work(&step.control, &step.position)?;
        }
        Ok(())
    }

    /// Presses on a part: its control goes to the next possible position, and is held there if it is sprung.
    /// Gives what moved by itself.
    ///
    /// # Errors
    /// Why no other position is possible.
    pub fn press(&mut self, car: &Car, part: PartId) -> Result<Vec<Move>, String> {
        let Some(control) = self
            .network
            .controls()
            .iter()
            .find(|control| control.works.iter().any(|(id, _)| *id == part))
        else {
            let label = car.part(part).map_or("This part", |part| &part.label);
            return Err(format!("{label} has nothing to work"));
        };
        let (name, positions) = (control.name.clone(), control.positions.clone());
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
        let says = refusal.unwrap_or_else(|| format!("{name} has only one position"));
        self.refused = Some(Refusal { control: name, says: says.clone() });
        Err(says)
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

    /// What the drawing shows of it.
    pub fn live(&self, car: &Car, is_lit: bool) -> Live {
        let solution = self.solution(is_lit);
        let mut live = Live::default();
        for (id, wire) in car.wires() {
            let Some(amps) = solution.wire_amps(*id) else { continue };
            let volts = wire.ends().into_iter().find_map(|end| match &end.at {
                loomwright_circuit::Anchor::Terminal { part, terminal } => {
                    solution.volts(*part, terminal)
                }
                loomwright_circuit::Anchor::Loose { .. } => None,
            });
            // A tenth of a marked volt tells a live lead from an earthed one with current in it.
            let is_live =
                volts.is_some_and(|volts| volts.abs().0 > 0.1 * car.vehicle().voltage.volts().0);
            live.wires.insert(*id, LiveWire { amps: amps.0, is_live });
        }
        for (id, part) in car.parts() {
            let Some(part_type) = car.type_of(*id) else { continue };
            let mut shown = LivePart::default();
            for control in &part_type.controls {
                let name = part.control(part_type, &control.key);
                if let Some(position) = self.position(name) {
                    shown.positions.insert(control.key.clone(), position.name.clone());
                }
            }
            if let Some(reading) = solution.part(*id) {
                shown.is_in = reading.elements.iter().any(|element| element.state == PartState::In);
                shown.is_blown = reading.state == PartState::Opens;
                shown.light = reading.elements.iter().filter_map(|element| element.light).collect();
            }
            live.parts.insert(*id, shown);
        }
        live
    }
}

/// Why a control stays where it is, in a sentence.
fn refusal(error: &SettingError, worked: &str, asked: &str) -> String {
    match error {
        SettingError::NoControl { control, .. } => format!("There is no control called {control}"),
        SettingError::NoPosition { control, position, known } => {
            format!("{control} has no position {position}; it has {}", known.join(", "))
        }
        SettingError::Holds { control } => {
            format!("{control} holds: it opens only where it carries more than it can")
        }
        SettingError::Impossible { together } => {
            let others: Vec<String> = together
                .iter()
                .filter(|(control, _)| control != worked)
                .map(|(control, position)| format!("{control} is at {position}"))
                .collect();
            let worked = crate::tool::sentence(worked);
            match &*others {
                [] => format!("{worked} cannot stand at {asked}"),
                others => {
                    format!("{worked} cannot go to {asked} while {}", others.join(" and "))
                }
            }
        }
    }
}
