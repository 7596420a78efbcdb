//! Which promises a single fault breaks.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Claim, Promise, PromiseId};

use crate::network::BranchRef;
use crate::promise::{Instead, breach};
use crate::what_if::{Seen, WhatIf};
use crate::{Fault, FuseRef, Network, State};

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
    visits: Vec<AskedIn>,
    /// The circuits of what is promised, for each way in which they stand; none where that may be all of them.
    circuits: Vec<Vec<usize>>,
}

/// How the circuits of a fault stand in a visit.
#[derive(Debug, Clone)]
struct Stands {
    circuits: Vec<usize>,
    key: Vec<u8>,
}

/// A visit in which a promise asks something.
#[derive(Debug, Clone, Copy)]
struct AskedIn {
    visit: usize,
    /// How many circuits stand off rest.
    off: usize,
    /// How the circuits of what is promised stand: equal numbers, alike.
    stands: usize,
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
            let branches = promise.then.iter().filter_map(|claim| {
                let rows = &tables.elements[tables.parts.get(&claim.part)?.clone()];
                Some(rows.iter().flat_map(|row| row.branches.clone()).collect())
            });
            let branches: Vec<Vec<BranchRef>> = branches.collect();
            let mut known: BTreeMap<Vec<u8>, usize> = BTreeMap::new();
            let mut circuits: Vec<Vec<usize>> = Vec::new();
            let setting = |visit: &usize| &self.exploration.visits[*visit].settled.state.setting;
            let visits = (0..self.exploration.visits.len())
                .filter(|visit| self.network.is_asked(promise, setting(visit)))
                .map(|visit| {
                    let so = self.stands(visit, &branches);
                    let stands = *known.entry(so.key).or_insert_with(|| {
                        circuits.push(so.circuits);
                        circuits.len() - 1
                    });
                    let off = self.scopes.off_base(visit, self.exploration).0;
                    AskedIn { visit, off, stands }
                })
                .collect();
            Asked { id: *id, promise, visits, circuits }
        };
        Promised { promises: promises.iter().map(asked).collect() }
    }

    /// The promises that a fault breaks, of those kept without it.
    ///
    /// A promise is judged in the states in which it asks something and the fault changes something: of those in which
    /// the circuits of what is promised stand alike, in the first; of a fault in a circuit of its own, of those in which
    /// that circuit stands alike; and in the one with most switched on. What a circuit does to another through their
    /// common feed alone is so seen at its least and its greatest, not in every combination.
    ///
    /// # Complexity
    /// O(promises · visits), and a few iterations for each state judged.
    pub fn breaks(&mut self, promised: &Promised<'_>, fault: &Fault) -> Vec<BrokenPromise> {
        self.breaks_while(promised, fault, &mut || true).unwrap_or_default()
    }

    /// The same; nothing if `goes_on`, asked before each state and each iteration, says no.
    pub fn breaks_while(
        &mut self,
        promised: &Promised<'_>,
        fault: &Fault,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Vec<BrokenPromise>> {
        let judged = self.judged(promised, fault);
        let mut broken: BTreeMap<usize, BTreeMap<usize, BrokenClaim>> = BTreeMap::new();
        let mut see = |what_if: &Self, seen: Seen<'_>| {
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
        };
        self.play(fault, judged.keys().copied().collect(), &mut see, goes_on)?;
        let named = |(asked, claims): (usize, BTreeMap<usize, BrokenClaim>)| {
            let asked = &promised.promises[asked];
            let is_own = claims.keys().all(|claim| is_own(fault, &asked.promise.then[*claim]));
            BrokenPromise { promise: asked.id, claims: claims.into_values().collect(), is_own }
        };
        Some(broken.into_iter().map(named).collect())
    }

    /// For each visit to be looked at, the promises judged in it.
    fn judged(&self, promised: &Promised<'_>, fault: &Fault) -> BTreeMap<usize, Vec<usize>> {
        let elements: Vec<usize> = fault.elements(&self.network.tables).collect();
        let branches = self.branches(fault, &elements);
        let mut stands: BTreeMap<usize, Stands> = BTreeMap::new();
        for asked in promised.promises.iter().flat_map(|asked| &asked.visits) {
            let stands_so = || self.stands_for_fault(asked.visit, &branches);
            stands.entry(asked.visit).or_insert_with(stands_so);
        }
        let mut judged: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (idx, asked) in promised.promises.iter().enumerate() {
            for visit in telling_of(asked, &stands) {
                if self.matters(fault, &elements, visit) {
                    judged.entry(visit).or_default().push(idx);
                }
            }
        }
        judged
    }

    /// The first of the fuses of [`Promise::without`] whose being out breaks a promise that is kept with all of them in,
    /// with how. Nothing where it is kept without any one of them.
    pub fn broken_without(&mut self, promise: &Promise) -> Option<(FuseRef, BrokenPromise)> {
        let alone = BTreeMap::from([(PromiseId(0), promise.clone())]);
        let promised = self.promised(&alone);
        let ways = self.network.fuses_out(promise);
        ways.into_iter().find_map(|fuse| {
            let broken = self.breaks(&promised, &Fault::FuseBlown(fuse.clone())).pop()?;
            Some((fuse, broken))
        })
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

    /// How the circuits of some parts stand in a visit. A part in the trunk depends on everything; a relay has its coil
    /// in one circuit and its contacts in another.
    fn stands(&self, visit: usize, parts: &[Vec<BranchRef>]) -> Stands {
        let mut circuits: Vec<usize> = Vec::new();
        for branches in parts {
            let of = branches.iter().filter_map(|branch| self.scopes.circuits(visit, &[*branch]));
            let known = circuits.len();
            circuits.extend(of.flatten());
            if circuits.len() == known {
                let key = whole(&self.exploration.visits[visit].settled.state);
                return Stands { circuits: Vec::new(), key };
            }
        }
        self.standing(visit, circuits)
    }

    /// How the circuits of a fault stand in a visit. One in the trunk has to do with all of them alike.
    fn stands_for_fault(&self, visit: usize, branches: &[BranchRef]) -> Stands {
        self.standing(visit, self.scopes.circuits(visit, branches).unwrap_or_default().to_vec())
    }

    fn standing(&self, visit: usize, mut circuits: Vec<usize>) -> Stands {
        let state = &self.exploration.visits[visit].settled.state;
        circuits.sort_unstable();
        circuits.dedup();
        let (parting, mut key) = self.scopes.key(visit, &circuits, state);
        key.extend(parting.to_be_bytes());
        Stands { circuits, key }
    }
}

impl Network {
    /// Every fuse that a promise names as out: one of a box by its terminal, or all of the part.
    pub fn fuses_out(&self, promise: &Promise) -> Vec<FuseRef> {
        let is_meant = |fuse: &FuseRef| {
            promise.without.iter().any(|way| {
                way.part == fuse.part
                    && way.terminal.as_ref().is_none_or(|terminal| fuse.between.contains(terminal))
            })
        };
        let faults = self.single_faults().into_iter().filter_map(|fault| match fault {
            Fault::FuseBlown(fuse) => Some(fuse),
            _ => None,
        });
        faults.filter(is_meant).collect()
    }
}

/// Of the visits in which a promise asks something, those that tell, and the one with most switched on.
fn telling_of(asked: &Asked<'_>, stands: &BTreeMap<usize, Stands>) -> BTreeSet<usize> {
    let mut seen: BTreeSet<(Option<usize>, &[u8])> = BTreeSet::new();
    let first = asked.visits.iter().filter(|at| {
        let Some(fault) = stands.get(&at.visit) else { return false };
        let promised = &asked.circuits[at.stands];
        // In a circuit of its own, a fault does to what is promised what it does through their common feed.
        let is_apart = !promised.is_empty()
            && !fault.circuits.is_empty()
            && fault.circuits.iter().all(|circuit| !promised.contains(circuit));
        seen.insert(if is_apart { (None, &fault.key) } else { (Some(at.stands), &[]) })
    });
    let mut tell: BTreeSet<usize> = first.map(|at| at.visit).collect();
    tell.extend(asked.visits.iter().max_by_key(|at| at.off).map(|at| at.visit));
    tell
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
