//! How each promise of the car is kept over all settings, claim by claim.

use std::collections::BTreeMap;

use loomwright_circuit::{Car, Claim, Promise, PromiseId};
use loomwright_electrics::{BrokenClaim, Exploration, Instead, Move, Network, WhatIf};

use crate::texts::KeptWords;
use crate::words::{column, trouble};

/// How one promise is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The promise that was judged.
    pub promise: Promise,
    /// In how many of the states visited it asks something.
    pub asked: usize,
    /// Whether those stand for all.
    pub is_sure: bool,
    /// What breaks each claim; nothing where it is kept.
    pub broken: Vec<Option<Broken>>,
}

/// What breaks a claim.
#[derive(Debug, Clone, PartialEq)]
pub struct Broken {
    /// The first setting that shows it, in words: "ignition on, hazard on".
    pub setting: String,
    /// The moves that lead there from rest.
    pub moves: Vec<Move>,
    /// What happens then, with the fuse that is out if it takes one.
    pub says: String,
    visit: usize,
}

impl Kept {
    /// What breaks the promise first.
    pub fn first(&self) -> Option<&Broken> {
        self.broken.iter().flatten().min_by_key(|broken| broken.visit)
    }

    /// How a claim of a promise is kept, if it was judged as it stands now: outside, where it is not known yet.
    pub fn of(&self, promise: &Promise, claim: &Claim) -> Option<Option<&Broken>> {
        let is_same = self.promise.when == promise.when && self.promise.without == promise.without;
        let at = self.promise.then.iter().position(|known| known == claim).filter(|_| is_same)?;
        Some(self.broken.get(at)?.as_ref())
    }
}

/// Judges every promise of a car; nothing if `goes_on`, asked before each, says no.
///
/// # Complexity
/// O(visits · claims), and a few states for each fuse that a promise must hold without.
pub fn kept(
    car: &Car,
    network: &Network,
    exploration: &Exploration,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<BTreeMap<PromiseId, Kept>> {
    let is_sure = exploration.is_complete || exploration.is_exact();
    let mut all = BTreeMap::new();
    for (id, promise) in car.promises() {
        if !goes_on() {
            return None;
        }
        let keeping = exploration.keeping(network, promise);
        let teller = Teller { car, network, exploration, promise };
        let mut broken: Vec<Option<Broken>> =
            keeping.broken.iter().map(|row| Some(teller.told(row.as_ref()?, None))).collect();
        if broken.iter().all(Option::is_none)
            && !promise.without.is_empty()
            && let Some((fuse, found)) = WhatIf::new(network, exploration).broken_without(promise)
        {
            let fuse = trouble::fuse(car, &fuse);
            for row in &found.claims {
                broken[row.claim] = Some(teller.told(row, Some(&fuse)));
            }
        }
        let asked = keeping.asked;
        all.insert(*id, Kept { promise: promise.clone(), asked, is_sure, broken });
    }
    Some(all)
}

/// What it takes to say how a promise is broken.
struct Teller<'a> {
    car: &'a Car,
    network: &'a Network,
    exploration: &'a Exploration,
    promise: &'a Promise,
}

impl Teller<'_> {
    fn told(&self, row: &BrokenClaim, fuse: Option<&str>) -> Broken {
        let setting = match fuse {
            Some(fuse) => format!("{}, {fuse} out", self.setting(row.visit)),
            None => self.setting(row.visit),
        };
        let claim = &self.promise.then[row.claim];
        let named = column(self.car, &(claim.part, claim.terminal.clone()));
        let does = match row.instead {
            Instead::Missing => KeptWords::not_there(),
            Instead::Does(state) => state.word(),
        };
        Broken {
            says: KeptWords::with_is_and_should_be(&setting, &named, does, claim.must.word()),
            moves: self.exploration.moves_to(row.visit),
            setting,
            visit: row.visit,
        }
    }

    /// The controls of a visit that do not stand at rest.
    fn setting(&self, visit: usize) -> String {
        let state = &self.exploration.visits[visit].settled.state;
        let stands = self.network.controls().iter().zip(&state.setting.0);
        let stands = stands.filter(|(_, at)| **at > 0).filter_map(|(control, at)| {
            Some(format!("{} {}", control.name, control.positions.get(usize::from(*at))?.name))
        });
        let stands: Vec<String> = stands.collect();
        if stands.is_empty() {
            KeptWords::everything_at_rest().to_owned()
        } else {
            stands.join(", ")
        }
    }
}
