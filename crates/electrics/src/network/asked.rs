//! What may be asked of a network by itself, before anything is solved.

use std::sync::Arc;

use loomwright_circuit::{Car, Control, PartId, Version};
use loomwright_units::{Amps, Volts};

use crate::network::{Kind, Note, small};
use crate::solve::{find, join};
use crate::{Losses, Network, build};

impl Network {
    /// Resolves a version of the car. Every half-drawn car gives a network; what was assumed stands in the notes.
    pub fn of(car: &Car, version: Version) -> Self {
        Self::with_losses(car, version, Losses::USUAL)
    }

    /// The same with other losses than the usual ones in copper, joints, earths and battery.
    pub fn with_losses(car: &Car, version: Version, losses: Losses) -> Self {
        // Nobody gives up here.
        Self::of_while(car, version, losses, &mut || true).unwrap_or_else(Self::empty)
    }

    /// The same; nothing if `goes_on`, asked again and again, says no.
    pub fn of_while(
        car: &Car,
        version: Version,
        losses: Losses,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        let tables = build::tables(car, version, losses, goes_on)?;
        Some(Self { tables: Arc::new(tables) })
    }

    fn empty() -> Self {
        Self { tables: Arc::default() }
    }

    /// The controls, in the order that settings use.
    pub fn controls(&self) -> &[Control] {
        &self.tables.controls
    }

    /// What was assumed in resolving.
    pub fn notes(&self) -> &[Note] {
        &self.tables.notes
    }

    /// The terminal that volts count from: the battery's earthed post. Nothing in a car without a battery.
    pub fn reference(&self) -> Option<(PartId, &str)> {
        self.tables.reference.as_ref().map(|(part, terminal)| (*part, terminal.as_str()))
    }

    /// Whether the metal that a chafed wire touches can be joined to a battery's earthed post at all: in a drawing without
    /// it, nothing flows that way.
    pub fn metal_is_earthed(&self) -> bool {
        let tables = &*self.tables;
        let copper = &tables.copper.of;
        let mut parent: Vec<u32> = (0..small(tables.copper.count)).collect();
        for switch in tables.switches.iter().filter(|switch| switch.closed.can_close()) {
            join(&mut parent, copper[switch.a as usize], copper[switch.b as usize]);
        }
        let mut top = |step: usize| find(&mut parent, copper[step]);
        top(tables.metal as usize) == top(tables.symbolic.n)
    }

    /// Marked voltage of the car.
    pub fn system_volts(&self) -> Volts {
        Volts(self.tables.system_volts)
    }

    /// The relays, in the order of `State::pulled_in`.
    pub fn relays(&self) -> impl Iterator<Item = PartId> + '_ {
        let rows = self.tables.relays.iter().map(|relay| &self.tables.elements[relay.element]);
        rows.filter(|row| matches!(row.kind, Kind::Relay { .. })).map(|row| row.part)
    }

    /// Relays as [`Network::relays`] has them, each with its place among its part's elements: one box may hold several.
    pub fn relay_elements(&self) -> impl Iterator<Item = (PartId, usize)> + '_ {
        let first = |part: &PartId| self.tables.parts.get(part).map_or(0, |range| range.start);
        let rows = self.tables.relays.iter().map(|relay| relay.element);
        rows.filter_map(move |idx| {
            let row = &self.tables.elements[idx];
            matches!(row.kind, Kind::Relay { .. }).then(|| (row.part, idx - first(&row.part)))
        })
    }

    /// Number of places whose volts are solved for.
    pub fn places(&self) -> usize {
        self.tables.symbolic.n
    }

    /// Number of entries of the factors below the diagonal.
    pub fn entries(&self) -> usize {
        self.tables.symbolic.n_entries()
    }

    /// What a fuse carries all day: its rating, or half the blow rating of an old glass one. Nothing for a part that
    /// is no fuse or of which neither is known. A box of fuses gives one for each element.
    pub fn fuse_carries(&self, part: PartId) -> Vec<Option<Amps>> {
        let Some(range) = self.tables.parts.get(&part) else { return Vec::new() };
        let carries = |kind| match kind {
            Kind::Fuse { rating } => Some(rating.map(|rating| Amps(rating.carries))),
            _ => None,
        };
        self.tables.elements[range.clone()].iter().filter_map(|row| carries(row.kind)).collect()
    }
}
