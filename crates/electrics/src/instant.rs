//! The first instant after a move: filaments as hot and motors as fast as they were.

use std::sync::Arc;

use loomwright_circuit::PartId;

use crate::law::Law;
use crate::network::{BranchRef, ElementRow, Kind, Tables};
use crate::reading::Flow;
use crate::settle::{flow, wanted_relays};
use crate::solve::{Phase, Solver, law_in};
use crate::{Network, Settled, Solution, filament};

/// What flows in the first instant after a move.
#[derive(Debug, Clone, PartialEq)]
pub struct Instant {
    /// What flows, with a flasher at work in its lit phase.
    pub on: Solution,
    /// Relays that stand otherwise than they will once all has settled: held in by a motor that runs down, or not
    /// pulled in before an inrush is over.
    pub otherwise: Vec<PartId>,
}

impl Network {
    /// What flows in the first instant after a move from `before` to `after`, both states of this network.
    ///
    /// - Controls stand as in `after`. Relays have had time to move from where they stood in `before`, by what their
    ///   coils have in this instant; [`Instant::otherwise`] names those that will move once more.
    /// - Filaments have the resistance that they had in `before`: of cold ones, a twelfth of the hot one.
    /// - Motors turn as in `before`. One that stood is its armature alone; one that ran makes the EMF of its speed,
    ///   and if it is switched off, drives current into whatever it is joined to.
    ///
    /// So this is some hundredth of a second after the move: relays take five to ten thousandths, a lamp is hot after
    /// fifty to a hundred, a motor needs half a second to run up or down (practice). It is no more than that: coils
    /// have no inductance, so the kick of one that is switched off is not in it; a flasher that was at work counts as
    /// lit; the engine is already where `after` has it.
    ///
    /// # Source
    /// Cold filament: see [`filament`]. Motors: the law of `motor.rs` with the speed kept.
    pub fn first_instant(&self, before: &Settled, after: &Settled) -> Instant {
        let (Some(was), Some(will)) = (before.on.flow(), after.on.flow()) else {
            return Instant { on: Solution::default(), otherwise: Vec::new() };
        };
        let tables = Arc::new(kept(&self.tables, &was));
        let mut solver = Solver::new(&tables);
        solver.volts.copy_from_slice(&was.volts);
        let mut relays = was.relays.to_vec();
        // Relays that chase each other are left where they will settle.
        for round in 0..=2 * relays.len() {
            let phase = Phase { setting: &will.setting, relays: &relays, flashers: &will.flashers };
            let ended = solver.solve(phase, false, &|_| false, &mut || true);
            let Some(ended) = ended else { break };
            let wanted = wanted_relays(&solver, &relays);
            if wanted == relays || round == 2 * relays.len() {
                let shown = Arc::new(flow(&solver, phase, ended, &[]));
                let otherwise = otherwise(&tables, &relays, &will.relays);
                return Instant {
                    on: Solution::of(&tables, &shown, &[Arc::clone(&shown)].into()),
                    otherwise,
                };
            }
            relays = if round + 1 == 2 * relays.len() { will.relays.to_vec() } else { wanted };
        }
        Instant { on: Solution::default(), otherwise: Vec::new() }
    }
}

fn otherwise(tables: &Tables, stand: &[bool], will: &[bool]) -> Vec<PartId> {
    let relays = tables.relays.iter().zip(stand.iter().zip(will));
    relays.filter(|(_, (a, b))| a != b).map(|(row, _)| tables.elements[row.element].part).collect()
}

/// The tables with filaments as hot and motors as fast as they were.
fn kept(tables: &Tables, was: &Flow) -> Tables {
    let mut kept = tables.clone();
    for row in &mut kept.elements {
        let Some(idx) = law_of(row) else { continue };
        let branch = &tables.laws[idx];
        let volts = was.across(tables, branch.a, branch.b);
        match (row.kind, law_in(tables, idx, was.phase())) {
            (Kind::Filament { volts: marked }, law @ Law::Filament { .. }) => {
                let (amps, slope) = law.at(volts);
                let siemens = if volts == 0.0 { slope } else { amps / volts };
                kept.laws[idx].law = Law::Leak(siemens);
                row.kind = Kind::Glowing { light: filament::light(volts, marked) };
            }
            (Kind::Motor { volts: marked }, Law::Motor(motor)) => {
                let siemens = motor.standing_siemens();
                let emf = motor.emf_at(volts);
                kept.laws[idx].law = Law::Battery { emf, gives: siemens, takes: siemens };
                row.kind = Kind::Spinning { volts: marked, speed: motor.speed(volts) };
            }
            _ => {}
        }
    }
    kept
}

/// The law of an element that has one branch of its own.
fn law_of(row: &ElementRow) -> Option<usize> {
    row.branches.iter().find_map(|branch| match *branch {
        BranchRef::Law(idx) => Some(idx),
        _ => None,
    })
}
