//! Extremes against the readings of every visit, and against those of the visit that each names as its witness.

use std::collections::BTreeMap;

use loomwright_circuit::{Name, PartId};
use loomwright_electrics::{
    Exploration, Extremes, LoadExtreme, Met, Network, NoteKind, PartState, Solution,
};

/// Far over the share by which a figure counts as the same one met again.
const NEAR: f64 = 1e-8;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= NEAR * (1.0 + a.abs())
}

/// All that flows in all visits.
fn solutions(exploration: &Exploration) -> impl Iterator<Item = &Solution> {
    let all = exploration.visits.iter().flat_map(|visit| visit.settled.phases());
    let is_last = |solution: &&Solution| {
        !solution.notes.iter().any(|note| note.kind == NoteKind::NotConverged)
    };
    all.filter(is_last)
}

/// What flows where a figure was met.
fn at<'e, T>(exploration: &'e Exploration, met: &Met<T>) -> &'e Solution {
    exploration.visits[met.visit].settled.phase_of(met).expect("the phase that it was met in")
}

fn most(of: impl Iterator<Item = f64>) -> f64 {
    of.fold(0.0, |most, value| most.max(value.abs()))
}

fn contact_amps(solution: &Solution, part: PartId, joins: &[Name; 2]) -> Option<f64> {
    let reading = solution.part(part)?;
    let contacts = reading.elements.iter().flat_map(|element| &element.contacts);
    let of: Vec<f64> =
        contacts.filter(|contact| contact.joins == *joins).map(|contact| contact.amps.0).collect();
    (!of.is_empty()).then(|| most(of.into_iter()))
}

fn fuse_amps(solution: &Solution, part: PartId) -> f64 {
    let reading = solution.part(part).expect("a fuse");
    let is_fuse = |state| {
        matches!(
            state,
            PartState::Holds
                | PartState::MayOpen
                | PartState::Opens
                | PartState::Cycles
                | PartState::Open
        )
    };
    assert!(reading.elements.iter().all(|element| is_fuse(element.state)));
    most(reading.elements.iter().map(|element| element.amps.0))
}

fn load_volts(solution: &Solution, load: &LoadExtreme) -> f64 {
    let volts = |idx: usize| solution.volts(load.part, &load.between[idx]);
    volts(0).zip(volts(1)).map_or(0.0, |(one, other)| (one.0 - other.0).abs())
}

pub(crate) fn assert_by_readings(network: &Network, exploration: &Exploration) {
    let extremes = Extremes::of(network, exploration);
    for (wire, met) in &extremes.wires {
        let amps = |solution: &Solution| solution.wire_amps(*wire).expect("a wire").0;
        assert!(near(most(solutions(exploration).map(amps)), met.value.0), "{wire}");
        assert!(near(amps(at(exploration, met)).abs(), met.value.0), "{wire} elsewhere");
    }
    for contact in &extremes.contacts {
        let amps = |solution: &Solution| contact_amps(solution, contact.part, &contact.joins);
        let closed: Vec<f64> = solutions(exploration).filter_map(amps).collect();
        let Some(met) = contact.greatest else {
            assert!(closed.is_empty(), "{} never closes", contact.part);
            continue;
        };
        assert!(near(most(closed.into_iter()), met.value.0), "{}", contact.part);
        let there = amps(at(exploration, &met)).expect("closed where it was met");
        assert!(near(there, met.value.0), "{} elsewhere", contact.part);
    }
    let mut fuses: BTreeMap<PartId, f64> = BTreeMap::new();
    for fuse in &extremes.fuses {
        let met = fuse.greatest.expect("figures");
        let known = fuses.entry(fuse.part).or_default();
        *known = known.max(met.value.0);
        assert!(fuse_amps(at(exploration, &met), fuse.part) >= met.value.0 - NEAR);
    }
    for (fuse, greatest) in fuses {
        let amps = solutions(exploration).map(|solution| fuse_amps(solution, fuse));
        assert!(near(most(amps), greatest), "{fuse}");
    }
    for load in &extremes.loads {
        let met = load.greatest.expect("figures");
        let volts = |solution: &Solution| load_volts(solution, load);
        assert!(near(most(solutions(exploration).map(volts)), met.value.0), "{}", load.part);
        for met in [load.greatest, load.least, load.least_cranking].into_iter().flatten() {
            assert!(near(volts(at(exploration, &met)), met.value.0), "{} elsewhere", load.part);
        }
    }
}
