//! What the background thread found: findings, the worst that each wire meets, and what guards it.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{Car, PromiseId, WireId};
use loomwright_electrics::{Exploration, Extremes, Guard, Met, Network};
use loomwright_rules::{Evidence, PromiseRow, Report, Usual, judge_promises, usual_promises};
use loomwright_units::{Amps, Volts};

use crate::kept::Kept;

/// The answer for one revision of the car.
#[derive(Debug, Clone, Default)]
pub struct Checked {
    /// Which revision.
    pub revision: u64,
    /// What the rules say.
    pub report: Report,
    /// What each wire meets in the worst of all visited states.
    pub wires: BTreeMap<WireId, Worst>,
    /// What guards each wire.
    pub guards: BTreeMap<WireId, Guard>,
    /// How each promise is kept, claim by claim.
    pub kept: Arc<BTreeMap<PromiseId, Kept>>,
    /// The promises that are usual for such a car and not made yet, and whether they would be kept; nothing before they
    /// are worked out.
    pub usual: Option<Vec<(Usual, PromiseRow)>>,
}

/// The worst that a wire meets.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Worst {
    /// Greatest current.
    pub amps: Amps,
    /// Volts lost along it at that current.
    pub volts_lost: Volts,
}

/// The promises that are usual for a car and not made yet, and whether they would be kept.
pub fn usual(car: &Car, network: &Network, exploration: &Exploration) -> Vec<(Usual, PromiseRow)> {
    let usual = usual_promises(car, network);
    let promises: Vec<_> = usual.iter().map(|usual| usual.promise.clone()).collect();
    let evidence = Evidence::of_states(exploration);
    let rows = judge_promises(car, network, evidence, &promises);
    usual.into_iter().zip(rows).collect()
}

/// What each wire meets in the worst of all visited states.
pub fn worst(exploration: &Exploration, extremes: &Extremes) -> BTreeMap<WireId, Worst> {
    let of_wire = |(id, met): (&WireId, &Met<Amps>)| {
        let settled = &exploration.visits.get(met.visit)?.settled;
        let solution = settled.phase_of(met)?;
        let volts_lost =
            solution.wire_volts(*id).map_or(Volts::ZERO, |[from, to]| (from - to).abs());
        Some((*id, Worst { amps: met.value, volts_lost }))
    };
    extremes.wires.iter().filter_map(of_wire).collect()
}
