//! What rules may read beside the drawing: the states, what becomes of wires that touch the metal, and what single
//! faults do. Each stage takes longer than the one before, and a rule runs as soon as there is what it needs.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Version, WireId};
use loomwright_electrics::{
    Consequences, Exploration, Extremes, Fault, Network, WhatIf, WireStudy, protection_study,
};

use crate::Needs;
use crate::side::Side;
use crate::wiring::LinkKind;

/// What was worked out of a car so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Evidence<'a> {
    /// Its states.
    pub exploration: Option<&'a Exploration>,
    /// The greatest and least figures over these states, where they were gathered already.
    pub extremes: Option<&'a Extremes>,
    /// What becomes of each wire that touches the metal, from [`protection_study`] over these states.
    pub study: Option<&'a [WireStudy]>,
    /// What single faults do in these states, from [`telling_faults`].
    pub faults: Option<&'a [Consequences]>,
}

impl<'a> Evidence<'a> {
    /// Of the states alone.
    pub fn of_states(exploration: &'a Exploration) -> Self {
        Self { exploration: Some(exploration), ..Self::default() }
    }

    /// Whether a rule with these needs can run.
    pub(crate) fn meets(&self, needs: Needs) -> bool {
        match needs {
            Needs::Drawing => true,
            Needs::States => self.exploration.is_some(),
            Needs::Study => self.exploration.is_some() && self.study.is_some(),
            Needs::Faults => self.exploration.is_some() && self.faults.is_some(),
        }
    }

    /// The most that any rule can need and has.
    pub(crate) fn reaches(&self) -> Needs {
        let stages = [Needs::Faults, Needs::Study, Needs::States];
        stages.into_iter().find(|needs| self.meets(*needs)).unwrap_or(Needs::Drawing)
    }
}

/// What the later stages work out, kept by whoever asked for it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Deep {
    /// What becomes of each wire that touches the metal.
    pub study: Vec<WireStudy>,
    /// What single faults do.
    pub faults: Vec<Consequences>,
}

impl Deep {
    /// Works out both. Nothing if `goes_on` says no.
    ///
    /// # Complexity
    /// As [`protection_study`] and [`telling_faults`].
    pub fn of(
        car: &Car,
        network: &Network,
        exploration: &Exploration,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        let (study, _) = protection_study(network, exploration, goes_on)?;
        let faults = telling_faults(car, network, exploration, goes_on)?;
        Some(Self { study, faults })
    }

    /// All three.
    pub fn evidence<'a>(&'a self, exploration: &'a Exploration) -> Evidence<'a> {
        Evidence {
            study: Some(&self.study),
            faults: Some(&self.faults),
            ..Evidence::of_states(exploration)
        }
    }
}

/// What those single faults do that rules ask about.
///
/// These are a fuse blown, an earth point corroded, a relay that stays out, and a lead broken through which several
/// consumers return. Nothing if `goes_on` says no.
///
/// # Complexity
/// O(such faults · states in which each matters), a few iterations each.
pub fn telling_faults(
    car: &Car,
    network: &Network,
    exploration: &Exploration,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<Vec<Consequences>> {
    let shared = shared_returns(&Side::of(car, network, Version::After));
    let is_telling = |fault: &Fault| match fault {
        Fault::FuseBlown(_) | Fault::EarthPoor(_) | Fault::RelayStuckOut(_) => true,
        Fault::WireBroken(wire) => shared.contains(wire),
        Fault::WireTouches(_) | Fault::LampFailed { .. } | Fault::RelayStuckIn(_) => false,
    };
    let mut what_if = WhatIf::new(network, exploration);
    let faults = network.single_faults().into_iter().filter(is_telling);
    faults.map(|fault| what_if.of_while(&fault, goes_on)).collect()
}

/// Leads to earth that lie on every way home of two consumers or more.
fn shared_returns(side: &Side<'_>) -> BTreeSet<WireId> {
    let mut counts = std::collections::BTreeMap::new();
    for load in &side.wiring.loads {
        let Some((_, home)) = side.fed_end(load) else { continue };
        let ways = side.earth.to(home).map(|way| {
            let links = side.earth.links_of(way).into_iter();
            let wires = links.filter_map(|link| match side.wiring.links[link].kind {
                LinkKind::Wire(wire) => Some(wire),
                _ => None,
            });
            wires.collect::<BTreeSet<_>>()
        });
        let on_all = ways.reduce(|on_all, way| on_all.intersection(&way).copied().collect());
        for wire in on_all.into_iter().flatten() {
            *counts.entry(wire).or_insert(0_usize) += 1;
        }
    }
    counts.into_iter().filter(|(_, count)| *count > 1).map(|(wire, _)| wire).collect()
}
