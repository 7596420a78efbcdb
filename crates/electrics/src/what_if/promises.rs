//! Which promises a single fault breaks.

use std::collections::BTreeMap;

use loomwright_circuit::{Claim, Promise, PromiseId};

use crate::network::BranchRef;
use crate::promise::{Instead, breach};
use crate::what_if::{Seen, WhatIf};
use crate::{Fault, State};

/// Promises, made ready for [`WhatIf::breaks`].
#[derive(Debug, Clone)]
pub struct Promised<'p> {
    promises: Vec<Asked<'p>>,
}

/// One promise, with the visits in which it asks something.
#[derive(Debug, Clone)]
struct Asked<'p> {
    id: PromiseId,
    promise: &'p Promise,
    /// The visits, and how many circuits stand off rest in each.
    visits: Vec<(usize, usize)>,
    /// Branches of each part that it asks something of.
    branches: Vec<Vec<BranchRef>>,
}

/// A promise that a fault breaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BrokenPromise {
    /// The promise.
    pub promise: PromiseId,
    /// Its claims that are not kept, though they were without the fault.
    pub claims: Vec<BrokenClaim>,
    /// Whether it is broken for no other reason than that it asks something of the failed part itself.
    pub is_own: bool,
}

/// A claim that a fault breaks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BrokenClaim {
    /// Which of the promise's claims.
    pub claim: usize,
    /// What the part does instead, in that visit.
    pub instead: Instead,
    /// The first visit that shows it.
    pub visit: usize,
}

impl WhatIf<'_> {
    /// Makes promises ready to be asked about: in which visits each asks something.
    ///
    /// # Complexity
    /// O(promises · visits).
    pub fn promised<'p>(&self, promises: &'p BTreeMap<PromiseId, Promise>) -> Promised<'p> {
        let tables = &*self.network.tables;
        let asked = |(id, promise): (&PromiseId, &'p Promise)| {
            let setting = |visit: &usize| &self.exploration.visits[*visit].settled.state.setting;
            let visits = (0..self.exploration.visits.len())
                .filter(|visit| self.network.is_asked(promise, setting(visit)))
                .map(|visit| (visit, self.scopes.off_base(visit, self.exploration).0))
                .collect();
            let branches = promise.then.iter().filter_map(|claim| {
                let rows = &tables.elements[tables.parts.get(&claim.part)?.clone()];
                Some(rows.iter().flat_map(|row| row.branches.clone()).collect())
            });
            Asked { id: *id, promise, visits, branches: branches.collect() }
        };
        Promised { promises: promises.iter().map(asked).collect() }
    }

    /// The promises that a fault breaks, of those kept without it.
    ///
    /// A promise is judged in the states in which it asks something and the fault changes something: of those in which
    /// the circuits of the fault and of what is promised stand alike, in the first, and in the one with most else
    /// switched on.
    ///
    /// # Complexity
    /// O(promises · visits), and a few iterations for each state judged.
    pub fn breaks(&mut self, promised: &Promised<'_>, fault: &Fault) -> Vec<BrokenPromise> {
        let elements: Vec<usize> = fault.elements(&self.network.tables).collect();
        let branches = self.branches(fault, &elements);
        // For each visit to be looked at, the promises judged in it.
        let mut judged: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (idx, asked) in promised.promises.iter().enumerate() {
            for visit in self.telling_of(asked, &branches) {
                if self.matters(fault, &elements, visit) {
                    judged.entry(visit).or_default().push(idx);
                }
            }
        }
        let mut broken: BTreeMap<usize, BTreeMap<usize, BrokenClaim>> = BTreeMap::new();
        self.play(fault, judged.keys().copied().collect(), &mut |what_if, seen| {
            let Seen::Rests { visit, phases, .. } = seen else { return };
            let Some(was) = what_if.flows(visit) else { return };
            for asked in &judged[&visit] {
                for (claim, row) in promised.promises[*asked].promise.then.iter().enumerate() {
                    let Some(instead) = breach(&what_if.stand.tables, phases, row) else {
                        continue;
                    };
                    if breach(&what_if.network.tables, &was, row).is_some() {
                        continue;
                    }
                    let found = BrokenClaim { claim, instead, visit };
                    let claims = broken.entry(*asked).or_default();
                    let known = claims.entry(claim).or_insert_with(|| found.clone());
                    if visit < known.visit {
                        *known = found;
                    }
                }
            }
        });
        let named = |(asked, claims): (usize, BTreeMap<usize, BrokenClaim>)| {
            let asked = &promised.promises[asked];
            let is_own = claims.keys().all(|claim| is_own(fault, &asked.promise.then[*claim]));
            BrokenPromise { promise: asked.id, claims: claims.into_values().collect(), is_own }
        };
        broken.into_iter().map(named).collect()
    }

    /// Which of some faults break a promise, and how: so one asks whether the hazard warning survives any one blown
    /// fuse. Faults of what is promised itself are among them, marked so ([`BrokenPromise::is_own`]).
    pub fn breakers<'f>(
        &mut self,
        promised: &Promised<'_>,
        promise: PromiseId,
        faults: impl IntoIterator<Item = &'f Fault>,
    ) -> Vec<(Fault, BrokenPromise)> {
        let alone = promised.promises.iter().filter(|asked| asked.id == promise).cloned();
        let alone = Promised { promises: alone.collect() };
        let faults = faults.into_iter();
        faults
            .filter_map(|fault| Some((fault.clone(), self.breaks(&alone, fault).pop()?)))
            .collect()
    }

    /// Of the visits in which a promise asks something, and in which the circuits that matter stand alike: the first
    /// and the one with most switched on.
    fn telling_of(&self, asked: &Asked<'_>, fault: &[BranchRef]) -> Vec<usize> {
        let mut alike: BTreeMap<Vec<u8>, [(usize, usize); 2]> = BTreeMap::new();
        for (visit, off) in asked.visits.iter().copied() {
            let key = self.key_of(visit, asked, fault);
            let [_, heaviest] = alike.entry(key).or_insert([(visit, off); 2]);
            if off > heaviest.1 {
                *heaviest = (visit, off);
            }
        }
        let mut visits: Vec<usize> =
            alike.into_values().flatten().map(|(visit, _)| visit).collect();
        visits.sort_unstable();
        visits.dedup();
        visits
    }

    /// How the circuits of a fault and of what is promised stand in a visit. A fault in the trunk has to do with them
    /// all, and adds nothing; what is promised of the trunk itself depends on everything.
    fn key_of(&self, visit: usize, asked: &Asked<'_>, fault: &[BranchRef]) -> Vec<u8> {
        let state = &self.exploration.visits[visit].settled.state;
        let mut circuits: Vec<usize> = Vec::new();
        for branches in &asked.branches {
            match self.scopes.circuits(visit, branches) {
                Some(of) => circuits.extend(of),
                None => return whole(state),
            }
        }
        circuits.extend(self.scopes.circuits(visit, fault).unwrap_or_default());
        circuits.sort_unstable();
        circuits.dedup();
        let (parting, mut key) = self.scopes.key(visit, &circuits, state);
        key.extend(parting.to_be_bytes());
        key
    }
}

fn whole(state: &State) -> Vec<u8> {
    let relays = state.pulled_in.iter().map(|is_in| u8::from(*is_in));
    state.setting.0.iter().copied().chain(relays).collect()
}

/// Whether a claim asks something of the faulty thing itself.
fn is_own(fault: &Fault, claim: &Claim) -> bool {
    match fault {
        Fault::LampFailed { part, between } => {
            claim.part == *part
                && claim.terminal.as_ref().is_none_or(|terminal| between.contains(terminal))
        }
        Fault::RelayStuckIn(part) | Fault::RelayStuckOut(part) => claim.part == *part,
        _ => false,
    }
}
