//! What somebody lets go wrong with the car that is tried, and mends again. The car itself is never changed by it.

use std::sync::Arc;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Anchor, Car, Standing};
use loomwright_electrics::rig::{Rig, Wrong};
use loomwright_electrics::{Fault, FuseRef};

use crate::trial::{Opened, Trial};
use crate::what_if::Suspect;

/// Something that is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongHere {
    /// What it is.
    pub wrong: Wrong,
    /// For a fuse that opened by itself: why.
    pub opened: Option<Opened>,
}

impl WrongHere {
    /// Whether the car still has what it is about.
    pub(super) fn is_in(&self, car: &Car) -> bool {
        match about(&self.wrong) {
            Some(Suspect::Part(id)) => car.part(id).is_some(),
            Some(Suspect::Wire(id)) => car.wire(id).is_some(),
            None => true,
        }
    }
}

/// The row that something wrong is about.
pub fn about(wrong: &Wrong) -> Option<Suspect> {
    Some(match wrong {
        Wrong::Fault(Fault::WireBroken(wire) | Fault::WireTouches(wire))
        | Wrong::LeadOff { wire, .. } => Suspect::Wire(*wire),
        Wrong::Fault(Fault::FuseBlown(fuse)) | Wrong::FuseOut(fuse) => Suspect::Part(fuse.part),
        Wrong::Fault(
            Fault::LampFailed { part, .. }
            | Fault::EarthPoor(part)
            | Fault::RelayStuckIn(part)
            | Fault::RelayStuckOut(part),
        )
        | Wrong::BulbOut(part)
        | Wrong::Unplugged(part)
        | Wrong::BatteryFlat(part) => Suspect::Part(*part),
        Wrong::BatteryOff => return None,
    })
}

/// What can go wrong with a row.
pub fn choices(car: &Car, suspect: Suspect) -> Vec<Wrong> {
    match suspect {
        Suspect::Wire(id) => {
            let Some(wire) = car.wire(id).filter(|wire| wire.standing != Standing::ToRemove) else {
                return Vec::new();
            };
            let is_on = |anchor: &Anchor| matches!(anchor, Anchor::Terminal { .. });
            let ends = [(false, &wire.from.at), (true, &wire.to.at)];
            let off = ends.into_iter().filter(|(_, at)| is_on(at));
            let off = off.map(|(is_to, _)| Wrong::LeadOff { wire: id, is_to });
            let else_wrong = [Fault::WireBroken(id), Fault::WireTouches(id)];
            off.chain(else_wrong.map(Wrong::Fault)).collect()
        }
        Suspect::Part(id) => {
            let is_there = car.part(id).is_some_and(|part| part.standing != Standing::ToRemove);
            let Some(part_type) = car.type_of(id).filter(|_| is_there) else { return Vec::new() };
            let mut wrongs = Vec::new();
            for element in &part_type.elements {
                let new: &[Wrong] = match element {
                    Element::Filament { .. } | Element::Led { .. } => &[Wrong::BulbOut(id)],
                    Element::Fuse { between, .. } => {
                        &[Wrong::FuseOut(FuseRef { part: id, between: between.clone() })]
                    }
                    Element::Battery { .. } => &[Wrong::BatteryOff, Wrong::BatteryFlat(id)],
                    Element::Earth { .. } => &[Wrong::Fault(Fault::EarthPoor(id))],
                    Element::Relay { .. } => &[
                        Wrong::Fault(Fault::RelayStuckIn(id)),
                        Wrong::Fault(Fault::RelayStuckOut(id)),
                    ],
                    Element::Joined { terminals, .. } if terminals.len() == 2 => {
                        &[Wrong::Unplugged(id)]
                    }
                    _ => &[],
                };
                for wrong in new {
                    if !wrongs.contains(wrong) {
                        wrongs.push(wrong.clone());
                    }
                }
            }
            // What a unit joins inside comes apart only where the whole part is a joint.
            let is_joint =
                part_type.elements.iter().all(|row| matches!(row, Element::Joined { .. }));
            wrongs.retain(|wrong| is_joint || !matches!(wrong, Wrong::Unplugged(_)));
            wrongs
        }
    }
}

impl Trial {
    /// Whether this is wrong.
    pub fn has(&self, wrong: &Wrong) -> bool {
        self.wrongs.iter().any(|here| here.wrong == *wrong)
    }

    /// Lets something go wrong, beside what is wrong already.
    pub fn spoil(&mut self, wrong: Wrong) {
        if !self.has(&wrong) {
            self.wrongs.push(WrongHere { wrong, opened: None });
            self.rejoin();
        }
    }

    /// Mends it.
    pub fn mend(&mut self, wrong: &Wrong) {
        self.wrongs.retain(|here| here.wrong != *wrong);
        self.rejoin();
    }

    /// Mends everything.
    pub fn mend_all(&mut self) {
        self.wrongs.clear();
        self.rejoin();
    }

    /// Stands on as the car stood, after something about it has changed.
    pub(super) fn rejoin(&mut self) {
        let state = self.settled.state.clone();
        self.join();
        self.settled = self.network.stand_again(&state);
        self.refused = None;
        self.serial += 1;
    }

    /// Makes the network anew: of the car as it is drawn, with what is wrong and with the meter.
    pub(super) fn join(&mut self) {
        let between = self.meter.bridged(&self.car, self);
        self.meter.shunt = None;
        self.network = if self.wrongs.is_empty() && between.is_none() {
            Arc::clone(&self.drawn)
        } else {
            let mut rig = self.rig(|_| true);
            if let Some([red, black]) = between
                && let Some((put_in, shunt)) = red.joined(&black, rig.clone())
            {
                rig = put_in;
                self.meter.shunt = shunt;
            }
            Arc::new(rig.network())
        };
    }

    /// The car with what is wrong of it and meant.
    pub(super) fn rig(&self, is_meant: impl Fn(&Wrong) -> bool) -> Rig {
        let wrongs = self.wrongs.iter().map(|here| &here.wrong).filter(|wrong| is_meant(wrong));
        wrongs.fold(Rig::of(&self.car), Rig::wrong)
    }
}
