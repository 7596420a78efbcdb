//! What one element of a part does, each figure worked out when it is asked for.

use std::sync::Arc;

use loomwright_circuit::Name;
use loomwright_units::{Amps, Volts, Watts};

use super::part::{across_element, flashes_of, light, lights, lit_share, opening, span, state_of};
use crate::flasher::{Flashes, Flashing};
use crate::network::{BranchRef, ElementRow, Tables};
use crate::reading::Flow;
use crate::{ContactReading, ElementReading, PartState};

/// One element of a part in a solution. Where one figure of many states is wanted, this costs no more than that figure;
/// [`Solution::part`](crate::Solution::part) gives them all.
#[derive(Debug, Clone, Copy)]
pub struct ElementFlow<'a> {
    pub(crate) tables: &'a Tables,
    pub(crate) flow: &'a Flow,
    /// With flashers at work, all that flows in turn.
    pub(crate) phases: &'a [Arc<Flow>],
    pub(crate) row: &'a ElementRow,
}

impl<'a> ElementFlow<'a> {
    /// Current from its first terminal to its second; of contacts and joints the greatest by size.
    pub fn amps(&self) -> Amps {
        Amps(self.flow.element_amps(self.tables, self.row))
    }

    /// Volts of its first terminal against its second; of contacts, across the pair that carries most.
    pub fn volts(&self) -> Volts {
        Volts(across_element(self.tables, self.flow, self.row))
    }

    /// Power taken (positive) or given.
    pub fn watts(&self) -> Watts {
        Watts(self.flow.element_watts(self.tables, self.row))
    }

    /// Light as a share of that at marked volts; nothing for what gives none.
    pub fn light(&self) -> Option<f64> {
        light(self.row.kind, self.volts().0, || self.amps().0)
    }

    /// What it does, in a word; of a lamp, over all that flows in turn.
    pub fn state(&self) -> PartState {
        self.state_with(self.flashes())
    }

    /// For a flasher at work: how it goes on and off.
    pub fn flashing(&self) -> Option<Flashing> {
        flashing(self.flashes())
    }

    /// The current of each closed contact, with the terminals that it joins.
    pub fn contacts(&self) -> impl Iterator<Item = (&'a [Name; 2], Amps)> + use<'a> {
        let Self { tables, flow, row, .. } = *self;
        row.branches.iter().filter_map(|branch| {
            let BranchRef::Switch(idx) = *branch else { return None };
            let amps = flow.switch_amps(tables, idx)?;
            Some((&tables.switches[idx].joins, Amps(amps)))
        })
    }

    fn flashes(&self) -> Option<Flashes> {
        flashes_of(self.tables, self.flow, self.phases, self.row)
    }

    fn state_with(&self, flashes: Option<Flashes>) -> PartState {
        let in_turn = span(self.tables, self.phases, self.row);
        let figures = [self.volts().0, self.amps().0];
        state_of(self.tables, self.flow, self.row, figures, in_turn, flashes)
    }

    /// All figures.
    pub(crate) fn reading(&self) -> ElementReading {
        let Self { tables, phases, row, .. } = *self;
        let flashes = self.flashes();
        let state = self.state_with(flashes);
        let amps = self.amps();
        let opening = opening(row.kind, amps.0).map(|(_, times)| times);
        let light = self.light();
        let flashing = flashing(flashes);
        let is_flashing_lamp = light.is_some() && state == PartState::Flashing;
        let lit_share = || lit_share(tables, phases, lights(tables, phases, row));
        let contact =
            |(joins, amps): (&[Name; 2], Amps)| ContactReading { joins: joins.clone(), amps };
        ElementReading {
            state,
            amps,
            volts: self.volts(),
            watts: self.watts(),
            light,
            contacts: self.contacts().map(contact).collect(),
            opens_within: opening.map(|[_, greatest]| greatest),
            opens_after: opening.map(|[least, _]| least),
            flashes_per_minute: flashing.map(|flashing| flashing.per_minute),
            flashing,
            lit_share: is_flashing_lamp.then(lit_share).flatten(),
        }
    }
}

fn flashing(flashes: Option<Flashes>) -> Option<Flashing> {
    match flashes {
        Some(Flashes::At(flashing)) => Some(flashing),
        _ => None,
    }
}
