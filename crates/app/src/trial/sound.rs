//! The same car with nothing wrong, brought to where the tried one stands: what a meter should read.

use loomwright_circuit::PartId;
use loomwright_electrics::rig::Wrong;
use loomwright_electrics::{Losses, Move, Network, Setting, Settled};

use crate::trial::{Probe, Trial};

/// A sound car with little, usual and much lost on the way.
#[derive(Debug, Clone)]
pub(super) struct Sound {
    /// What of it is as on the tried car, since the meter stands there.
    kept: Vec<Wrong>,
    /// What the meter joins.
    joins: Option<[Probe; 2]>,
    each: Vec<(Network, Settled)>,
    shunt: Option<PartId>,
    /// The moves made on it.
    moves: Vec<Move>,
}

impl Sound {
    /// Both ends of the band of losses, and its middle.
    pub(super) const LOSSES: [Losses; 3] = [Losses::LEAST, Losses::USUAL, Losses::MOST];

    pub(super) fn of(trial: &Trial) -> Self {
        let kept = kept(trial);
        let joins = trial.meter.bridged(&trial.car, trial);
        let rig = trial.rig(|wrong| kept.contains(wrong));
        let (rig, shunt) = match &joins {
            Some([red, black]) => red.joined(black, rig.clone()).unwrap_or((rig, None)),
            None => (rig, None),
        };
        let each = Self::LOSSES.map(|losses| {
            let network = rig.clone().losing(losses).network();
            let rest = network.at_rest();
            (network, rest)
        });
        Self { kept, joins, each: each.into(), shunt, moves: Vec::new() }
    }

    /// Whether it still stands for what is tried. A changed car gives a new trial without one.
    pub(super) fn is_of(&self, trial: &Trial) -> bool {
        self.kept == kept(trial) && self.joins == trial.meter.bridged(&trial.car, trial)
    }

    /// Makes the moves that the tried car has made since; where that stands otherwise in the end, as with an engine
    /// that only the fault has stopped, its controls are put as they stand.
    pub(super) fn follow(&mut self, moves: &[Move], setting: &Setting) {
        let is_further = moves.starts_with(&self.moves);
        let done = if is_further { self.moves.len() } else { 0 };
        for (network, settled) in &mut self.each {
            if !is_further {
                *settled = network.at_rest();
            }
            for step in &moves[done..] {
                // What is refused on a sound car, as a breaker that opens, is left out.
                if let Ok(moved) =
                    network.move_control(&settled.state, &step.control, &step.position)
                {
                    *settled = moved;
                }
            }
            if settled.state.setting != *setting {
                *settled = network.moved(&settled.state, setting);
            }
        }
        self.moves = moves.to_vec();
    }

    /// Where it stands, with the meter in it.
    pub(super) fn each(&self) -> impl Iterator<Item = (&Settled, Option<PartId>)> {
        self.each.iter().map(|(_, settled)| (settled, self.shunt))
    }
}

/// What somebody has taken off to put the meter there: the sound car is measured in the same way.
fn kept(trial: &Trial) -> Vec<Wrong> {
    let meter = &trial.meter;
    let Some([red, black]) = meter.bridged(&trial.car, trial) else { return Vec::new() };
    let places = [&red, &black].map(|probe| probe.terminal(&trial.car));
    let is_here = |wrong: &Wrong| match wrong {
        Wrong::FuseOut(fuse) => {
            let ends = fuse.between.each_ref().map(|name| Some((fuse.part, name.as_str())));
            places == ends || places == [ends[1], ends[0]]
        }
        Wrong::LeadOff { wire, is_to } => {
            let lug = Probe::Lug { wire: *wire, is_to: *is_to };
            red == lug || black == lug
        }
        _ => false,
    };
    let wrongs = trial.wrongs.iter().map(|here| here.wrong.clone());
    wrongs.filter(is_here).collect()
}
