//! Which circuit each branch belongs to, and which visits are alike for it.
//!
//! Circuits meet only at the trunk. What happens in one of them depends on the others by the trunk's volts alone, so
//! states of the car in which this circuit stands alike are alike for it.

use std::collections::BTreeMap;

use crate::circuits::{Circuit, Owner, Parting, Place, Shape};
use crate::network::{BranchRef, Kind, Tables};
use crate::survey::port::Ports;
use crate::survey::shared;
use crate::{Exploration, Network, State};

/// The circuits of a network in each of the settings of its shared controls that were visited.
#[derive(Debug)]
pub(crate) struct Scopes {
    /// For each visit, which of the partings it is in.
    parting_of: Vec<usize>,
    partings: Vec<Parted>,
}

/// One setting of the shared controls.
#[derive(Debug)]
struct Parted {
    circuits: Vec<Circuit>,
    circuits_of: BTreeMap<BranchRef, Vec<usize>>,
    /// The first visit in it: everything else at rest, if that was visited.
    base: usize,
}

impl Scopes {
    pub(crate) fn of(network: &Network, exploration: &Exploration) -> Self {
        let tables = &*network.tables;
        let shape = Shape::of(tables);
        let is_shared = if let Some(plan) = &exploration.plan {
            plan.is_shared.clone()
        } else {
            // Nobody gives up here.
            let shared = shared::choose(network, &shape, &mut |_| true);
            let none = || vec![false; network.controls().len()];
            shared.map_or_else(none, |shared| shared.is_shared)
        };
        let mut scopes = Self { parting_of: Vec::new(), partings: Vec::new() };
        let mut known: BTreeMap<Vec<u8>, usize> = BTreeMap::new();
        for (visit, met) in exploration.visits.iter().enumerate() {
            let setting = &met.settled.state.setting.0;
            let shared = setting.iter().zip(&is_shared).filter(|(_, is_shared)| **is_shared);
            let fields = tables.fields().map(|field| u8::from(met.settled.state.pulled_in[field]));
            let key = shared.map(|(at, _)| *at).chain(fields).collect();
            let idx = *known.entry(key).or_insert_with(|| {
                let state = &met.settled.state;
                scopes.partings.push(Parted::of(tables, &shape, state, &is_shared, visit));
                scopes.partings.len() - 1
            });
            scopes.parting_of.push(idx);
        }
        scopes
    }

    /// The circuits that branches have to do with in a visit's setting of the shared controls: the one that they are
    /// part of, or those beyond a piece of trunk. Nothing where that may be all of them.
    pub(crate) fn circuits(&self, visit: usize, branches: &[BranchRef]) -> Option<&[usize]> {
        let parted = &self.partings[self.parting_of[visit]];
        let mut circuits = branches.iter().map(|branch| parted.circuits_of.get(branch));
        let first = circuits.next()??;
        (!first.is_empty() && circuits.all(|circuits| circuits == Some(first))).then_some(first)
    }

    /// Visits with equal keys are alike for these circuits.
    pub(crate) fn key(&self, visit: usize, circuits: &[usize], state: &State) -> (usize, Vec<u8>) {
        let parting = self.parting_of[visit];
        let mut key = Vec::new();
        for circuit in circuits.iter().map(|idx| &self.partings[parting].circuits[*idx]) {
            key.extend(circuit.controls.iter().map(|idx| state.setting.0[*idx]));
            key.extend(circuit.relays.iter().map(|idx| u8::from(state.pulled_in[*idx])));
        }
        (parting, key)
    }

    /// How many circuits stand otherwise than in the first visit with the same shared controls; and that visit.
    pub(crate) fn off_base(&self, visit: usize, exploration: &Exploration) -> (usize, usize) {
        let parted = &self.partings[self.parting_of[visit]];
        let [state, base] =
            [visit, parted.base].map(|visit| &exploration.visits[visit].settled.state);
        let stands_off = |circuit: &&Circuit| {
            circuit.controls.iter().any(|idx| state.setting.0[*idx] != base.setting.0[*idx])
                || circuit.relays.iter().any(|idx| state.pulled_in[*idx] != base.pulled_in[*idx])
        };
        (parted.circuits.iter().filter(stands_off).count(), parted.base)
    }

    /// What stands otherwise than in the first visit with the same shared controls: controls with their positions, then
    /// relays.
    pub(crate) fn stands_off(
        &self,
        visit: usize,
        exploration: &Exploration,
    ) -> (Vec<(usize, u8)>, Vec<usize>) {
        let parted = &self.partings[self.parting_of[visit]];
        let [state, base] =
            [visit, parted.base].map(|visit| &exploration.visits[visit].settled.state);
        let (mut controls, mut relays) = (Vec::new(), Vec::new());
        for circuit in &parted.circuits {
            let moved = circuit
                .controls
                .iter()
                .filter(|idx| state.setting.0[**idx] != base.setting.0[**idx]);
            controls.extend(moved.map(|idx| (*idx, state.setting.0[*idx])));
            let moved =
                circuit.relays.iter().filter(|idx| state.pulled_in[**idx] != base.pulled_in[**idx]);
            relays.extend(moved);
        }
        controls.sort_unstable();
        relays.sort_unstable();
        (controls, relays)
    }

    /// Visits in which one circuit at most stands off rest, and for each setting of the shared controls the one in which
    /// most do.
    pub(crate) fn telling(&self, exploration: &Exploration) -> Vec<bool> {
        let mut is_telling = Vec::with_capacity(exploration.visits.len());
        let mut most: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
        for visit in 0..exploration.visits.len() {
            let (off, base) = self.off_base(visit, exploration);
            is_telling.push(off <= 1);
            let known = most.entry(base).or_insert((visit, off));
            if off > known.1 {
                *known = (visit, off);
            }
        }
        for (visit, _) in most.values() {
            is_telling[*visit] = true;
        }
        is_telling
    }
}

impl Parted {
    fn of(
        tables: &Tables,
        shape: &Shape<'_>,
        state: &State,
        is_shared: &[bool],
        base: usize,
    ) -> Self {
        // Nobody gives up here.
        let parting = shape.part(&state.setting.0, &state.pulled_in, is_shared, &mut || true);
        let mut parting = parting.unwrap_or_default();
        take_in_flasher_supplies(tables, &mut parting);
        let ports = Ports::of(tables, &parting, &mut || true).unwrap_or_default();
        let mut circuits_of = ports.beyond_of.clone();
        let mut circuit_of_island: BTreeMap<u32, usize> = BTreeMap::new();
        let island = |step: u32| tables.copper.of[step as usize];
        for (branch, owner) in &parting.branches {
            let Owner::Piece(piece) = owner else { continue };
            circuits_of.insert(*branch, vec![parting.pieces[*piece]]);
            let (a, b) = tables.ends(*branch);
            for at in [island(a), island(b)] {
                if parting.islands[at as usize] == Place::Hangs {
                    circuit_of_island.insert(at, parting.pieces[*piece]);
                }
            }
        }
        for (idx, branch) in tables.fixed.iter().enumerate() {
            let same = island(branch.a) == island(branch.b);
            if let Some(circuit) = circuit_of_island.get(&island(branch.a)).filter(|_| same) {
                circuits_of.insert(BranchRef::Fixed(idx), vec![*circuit]);
            }
        }
        for tail in ports.tails() {
            circuits_of.insert(tail.branch, vec![parting.pieces[tail.piece]]);
        }
        Self { circuits: parting.circuits, circuits_of, base }
    }
}

/// Gives what a flasher lives by to the circuit of its contact: the two hang together by no copper, yet without its
/// supply it stands still.
fn take_in_flasher_supplies(tables: &Tables, parting: &mut Parting) {
    for row in &tables.elements {
        let Kind::Flasher { flasher } = row.kind else { continue };
        let contact = BranchRef::Switch(tables.flashers[flasher].switch);
        let owner = parting.branches.iter().find(|(branch, _)| *branch == contact);
        let Some((_, Owner::Piece(piece))) = owner.copied() else { continue };
        let circuit = parting.pieces[piece];
        for (branch, owner) in &mut parting.branches {
            let is_supply = matches!(branch, BranchRef::Fixed(_)) && row.branches.contains(branch);
            if is_supply && *owner == Owner::Standing {
                *owner = Owner::Piece(parting.pieces.len());
                parting.pieces.push(circuit);
            }
        }
    }
}
