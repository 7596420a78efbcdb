//! What a single fault does in every visited state: what stops, what works wrongly, what opens, what gets hot.
//!
//! The fault happens in each visited state, with the relays as they are there; they then settle anew. A fuse that
//! opens is taken out, the fastest first, and the rest settles again, until nothing more opens.
//! A state in which the faulty thing carries nothing (or is at the volts of the metal that it touches, or stands where
//! it is stuck) cannot be changed by it, and is passed over.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_units::{Amps, Seconds};

use crate::fault::Stand;
use crate::heat::{AMBIENT, Conductor, all_day_limit};
use crate::network::{BranchRef, Kind, Tables};
use crate::reading::{ElementFlow, Flow};
use crate::settle::{Settling, settle};
use crate::solve::Solver;
use crate::survey::Scopes;
use crate::what_if::compare::{note_opening, rank};
use crate::{Exploration, Fault, FuseRef, Network, PartState, Work};

pub use found::{Consequences, Effect, Hot, Opening};

mod compare;
mod found;
mod promises;

pub use promises::{BrokenClaim, BrokenPromise, Promised};

/// Single faults of one network, asked one after the other.
#[derive(Debug)]
pub struct WhatIf<'a> {
    network: &'a Network,
    exploration: &'a Exploration,
    stand: Stand,
    /// What each watched element does in each visit.
    known: Vec<Vec<PartState>>,
    scopes: Scopes,
    /// Visits to look at for faults in the trunk.
    is_telling: Vec<bool>,
    /// Elements that are watched.
    watched: Vec<usize>,
    /// The most that each wire carries for as long as it likes without getting too warm, A.
    bearable: Vec<f64>,
    work: Work,
}

/// What is seen of a fault in a visit.
enum Seen<'f> {
    /// A fuse opens; it is taken out, and more will be seen of this visit.
    Opens { visit: usize, fuse: FuseRef, amps: Amps, within: Seconds },
    /// It has come to rest.
    Rests { visit: usize, before: &'f Flow, phases: &'f [Arc<Flow>] },
}

/// Current without which a broken wire is not missed, A.
const MISSED_AMPS: f64 = 1e-5;

/// Volts from the metal that a wire must have for a touch to matter, V.
const TOUCH_VOLTS: f64 = 0.1;

/// More fuses than this do not open one after the other.
const MOST_OPENINGS: usize = 4;

impl<'a> WhatIf<'a> {
    /// Gets ready to ask what faults do in the states that an exploration of this network visited.
    ///
    /// # Complexity
    /// O(visits · parts).
    pub fn new(network: &'a Network, exploration: &'a Exploration) -> Self {
        let tables = &*network.tables;
        let is_watched = |idx: &usize| {
            let row = &tables.elements[*idx];
            !tables.taken_out.contains(&row.part)
                && matches!(
                    row.kind,
                    Kind::Filament { .. }
                        | Kind::Led { .. }
                        | Kind::Load { .. }
                        | Kind::Motor { .. }
                        | Kind::Relay { .. }
                        | Kind::Flasher { .. }
                        | Kind::Generator
                        | Kind::Battery
                )
        };
        let watched: Vec<usize> = (0..tables.elements.len()).filter(is_watched).collect();
        let mut what_if = Self {
            network,
            exploration,
            stand: Stand::of(tables),
            known: Vec::new(),
            is_telling: Vec::new(),
            scopes: Scopes::of(network, exploration),
            watched,
            bearable: tables.wires.iter().map(bearable_amps).collect(),
            work: Work::default(),
        };
        what_if.known = (0..exploration.visits.len())
            .map(|visit| match what_if.flows(visit) {
                Some(phases) => what_if.words(tables, &phases),
                None => Vec::new(),
            })
            .collect();
        what_if.is_telling = what_if.telling();
        what_if
    }

    /// Visits to look at for faults in the trunk: each setting of the shared controls with all else at rest, and with
    /// most of it on; and each state of each circuit once, where most is at work.
    fn telling(&self) -> Vec<bool> {
        let mut is_telling = self.scopes.telling(self.exploration);
        let at_work =
            |visit: usize| self.known[visit].iter().filter(|word| rank(**word) == 2).count();
        let mut best: BTreeMap<_, usize> = BTreeMap::new();
        for visit in (0..is_telling.len()).filter(|visit| is_telling[*visit]).collect::<Vec<_>>() {
            if self.scopes.off_base(visit, self.exploration).0 != 1 {
                continue;
            }
            let stands_off = self.scopes.stands_off(visit, self.exploration);
            let known = best.entry(stands_off).or_insert(visit);
            is_telling[visit] = *known == visit;
            if at_work(visit) > at_work(*known) {
                is_telling[*known] = false;
                is_telling[visit] = true;
                *known = visit;
            }
        }
        is_telling
    }

    /// Work done so far.
    pub fn work(&self) -> Work {
        self.work
    }

    /// What a fault does.
    ///
    /// # Complexity
    /// O(states in which it matters), a few iterations each.
    pub fn of(&mut self, fault: &Fault) -> Consequences {
        let found = self.of_while(fault, &mut || true);
        found.unwrap_or_else(|| Consequences::none(fault))
    }

    /// The same; nothing if `goes_on`, asked before each state and each iteration, says no.
    pub fn of_while(
        &mut self,
        fault: &Fault,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Consequences> {
        let mut found = Consequences::none(fault);
        let elements: Vec<usize> = fault.elements(&self.network.tables).collect();
        let visits = self.chosen(fault, &elements);
        let mut see = |what_if: &Self, seen: Seen<'_>| match seen {
            Seen::Opens { visit, fuse, amps, within } => {
                note_opening(&mut found, fuse, amps, within, visit);
                found.visits.push(visit);
            }
            Seen::Rests { visit, before, phases } => {
                what_if.compare(visit, before, phases, &mut found);
            }
        };
        self.play(fault, visits, &mut see, goes_on)?;
        found.visits.sort_unstable();
        found.visits.dedup();
        found.stops_engine.sort_unstable();
        for effect in found.stops.iter_mut().chain(&mut found.wrong) {
            effect.visits.sort_unstable();
        }
        Some(found)
    }

    /// Puts a fault on, lets the car settle from each of some visits, and takes fuses that open out, until it rests.
    /// Nothing if `goes_on` says no.
    fn play(
        &mut self,
        fault: &Fault,
        visits: Vec<usize>,
        see: &mut dyn FnMut(&Self, Seen<'_>),
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<()> {
        let mut left: Vec<(Vec<FuseRef>, Vec<usize>)> = vec![(Vec::new(), visits)];
        while let Some((blown, visits)) = left.pop() {
            if visits.is_empty() {
                continue;
            }
            self.stand.clear();
            self.stand.put(fault);
            for fuse in &blown {
                self.stand.put(&Fault::FuseBlown(fuse.clone()));
            }
            let mut opening: BTreeMap<Vec<FuseRef>, Vec<usize>> = BTreeMap::new();
            for (visit, fuse) in self.run(&visits, blown.len() < MOST_OPENINGS, see, goes_on)? {
                let mut blown = blown.clone();
                blown.push(fuse);
                opening.entry(blown).or_default().push(visit);
            }
            left.extend(opening);
        }
        self.stand.clear();
        Some(())
    }

    /// Lets the car settle with what is on the stand, from each visit; returns those in which a fuse opens.
    fn run(
        &mut self,
        visits: &[usize],
        may_open: bool,
        see: &mut dyn FnMut(&Self, Seen<'_>),
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Vec<(usize, FuseRef)>> {
        let mut opening = Vec::new();
        let mut solver = Solver::new(&self.stand.tables);
        for visit in visits.iter().copied() {
            let state = &self.exploration.visits[visit].settled.state;
            let Some(before) = self.flows(visit).and_then(|phases| phases.first().cloned()) else {
                continue;
            };
            self.stand.volts(&before, &mut solver.volts);
            let (setting, relays) = (&state.setting.0, &state.pulled_in);
            let settling = settle(&mut solver, setting, relays, false, &mut |_| None, goes_on);
            let Settling::Found(rest) = settling else { return None };
            if let Some((fuse, amps, within)) = self.opens(&rest.on, &before)
                && may_open
            {
                opening.push((visit, fuse.clone()));
                see(self, Seen::Opens { visit, fuse, amps, within });
            } else {
                see(self, Seen::Rests { visit, before: &before, phases: &rest.phases() });
            }
        }
        self.work.add(solver.work);
        Some(opening)
    }

    /// The visits to look at: of those that are alike for the circuit that the fault is in, the first; for a fault in
    /// the trunk, those in which one circuit at most stands off rest, and those in which most do.
    fn chosen(&self, fault: &Fault, elements: &[usize]) -> Vec<usize> {
        let branches = self.branches(fault, elements);
        let mut seen = BTreeSet::new();
        let mut chosen = Vec::new();
        for (visit, met) in self.exploration.visits.iter().enumerate() {
            let is_new = match self.scopes.circuits(visit, &branches) {
                Some(circuits) => {
                    let (parting, key) = self.scopes.key(visit, circuits, &met.settled.state);
                    (circuits.len() < 2 || self.is_telling[visit])
                        && seen.insert((circuits.to_vec(), parting, key))
                }
                None => self.is_telling[visit],
            };
            if is_new && self.matters(fault, elements, visit) {
                chosen.push(visit);
            }
        }
        chosen
    }

    /// Branches that a fault changes.
    fn branches(&self, fault: &Fault, elements: &[usize]) -> Vec<BranchRef> {
        let tables = &*self.network.tables;
        match fault {
            Fault::WireBroken(wire) | Fault::WireTouches(wire) => {
                let row = tables.wire_of.get(wire).map(|row| tables.wires[*row].branch);
                row.map(BranchRef::Fixed).into_iter().collect()
            }
            _ => elements.iter().flat_map(|idx| tables.elements[*idx].branches.clone()).collect(),
        }
    }

    /// All that flows in turn in a visit; the lit phase first.
    fn flows(&self, visit: usize) -> Option<Vec<Arc<Flow>>> {
        let settled = &self.exploration.visits[visit].settled;
        settled.phases().map(crate::Solution::flow).collect()
    }

    fn words(&self, tables: &Tables, phases: &[Arc<Flow>]) -> Vec<PartState> {
        let Some(on) = phases.first() else { return Vec::new() };
        let element = |idx: &usize| {
            let row = &tables.elements[*idx];
            ElementFlow { tables, flow: on, phases, row }.state()
        };
        self.watched.iter().map(element).collect()
    }

    /// Whether a fault can change anything in a visit.
    fn matters(&self, fault: &Fault, elements: &[usize], visit: usize) -> bool {
        let tables = &*self.network.tables;
        let Some(phases) = self.flows(visit) else { return false };
        let mut phases = phases.iter();
        match fault {
            Fault::WireBroken(wire) => tables.wire_of.get(wire).is_some_and(|row| {
                let branch = tables.wires[*row].branch;
                phases.any(|flow| flow.fixed_amps(tables, branch).abs() > MISSED_AMPS)
            }),
            Fault::WireTouches(wire) => tables.wire_of.get(wire).is_some_and(|row| {
                let ends = tables.wires[*row].ends;
                phases.any(|flow| {
                    ends.iter().any(|end| {
                        flow.is_home(tables, *end)
                            && flow.across(tables, *end, tables.metal).abs() > TOUCH_VOLTS
                    })
                })
            }),
            Fault::RelayStuckIn(_) | Fault::RelayStuckOut(_) => {
                let would = matches!(fault, Fault::RelayStuckIn(_));
                elements.iter().any(|idx| match tables.elements[*idx].kind {
                    Kind::Relay { relay, .. } => {
                        phases.any(|flow| flow.relays.get(relay) == Some(&!would))
                    }
                    _ => false,
                })
            }
            _ => phases.any(|flow| {
                let amps = |idx: &usize| flow.element_amps(tables, &tables.elements[*idx]);
                elements.iter().any(|idx| amps(idx).abs() > MISSED_AMPS)
            }),
        }
    }
}

impl Work {
    pub(crate) fn add(&mut self, other: Self) {
        self.solves += other.solves;
        self.iterations += other.iterations;
        self.evaluations += other.evaluations;
    }
}

/// The current that a wire bears all day in a warm engine bay by what its cover stands; any, where its size is not
/// known.
fn bearable_amps(row: &crate::network::WireRow) -> f64 {
    let Some(size) = row.cable.size else { return f64::INFINITY };
    let limit = all_day_limit(row.cable.insulation);
    Conductor::new(size, AMBIENT).steady(limit).0
}
