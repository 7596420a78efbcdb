//! Breakers: contacts that a car opens by itself, and that close again.
//!
//! A breaker is a control with two positions. It goes to open only in a state in which it carries what opens it; it
//! stays there while it cools, or until someone presses it in, so that meanwhile all other controls may be moved; and it
//! may close at any time. So an open breaker is something that the car remembers, as it does a relay that is in.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::FuseFamily;
use loomwright_units::Amps;

use crate::fuse::Rating;
use crate::network::{Kind, Tables};
use crate::reading::Flow;
use crate::{Network, Settled, State, Visit};

/// A breaker: the control that its contact is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct BreakerRow {
    pub control: usize,
    /// Its element in the tables.
    pub element: usize,
}

/// The positions of a breaker; the first is rest.
pub(crate) const POSITIONS: [&str; 2] = ["closed", "open"];

/// Open, among [`POSITIONS`].
pub(crate) const OPEN: u8 = 1;

impl Rating {
    /// Whether it can be closed again, by itself or by hand.
    pub fn is_breaker(self) -> bool {
        matches!(self.family, FuseFamily::Breaker | FuseFamily::ManualBreaker)
    }
}

impl BreakerRow {
    /// Whether it carries what opens it.
    fn is_overloaded(self, tables: &Tables, flow: &Flow) -> bool {
        let row = &tables.elements[self.element];
        let Kind::Fuse { rating: Some(rating) } = row.kind else { return false };
        rating.opens_within(Amps(flow.element_amps(tables, row).abs())).is_some()
    }
}

impl Tables {
    /// Whether a control is the contact of a breaker.
    pub(crate) fn is_breaker(&self, control: usize) -> bool {
        self.breakers.iter().any(|row| row.control == control)
    }
}

impl Network {
    /// The breakers that are open in a state.
    pub fn open_breakers(&self, state: &State) -> impl Iterator<Item = PartId> {
        let is_open = |row: &&BreakerRow| state.setting.0.get(row.control) == Some(&OPEN);
        let rows = self.tables.breakers.iter().filter(is_open);
        rows.map(|row| self.tables.elements[row.element].part)
    }

    /// Breakers that carry what opens them, with the control that each contact is.
    pub fn overloaded_breakers(&self, settled: &Settled) -> Vec<(PartId, &str)> {
        let setting = &settled.state.setting.0;
        let rows = self.tables.breakers.iter().filter(|row| setting[row.control] != OPEN);
        let rows = rows.filter(|row| self.lets_go(settled, row.control, OPEN));
        let named = rows.map(|row| {
            let control = self.tables.controls[row.control].name.as_str();
            (self.tables.elements[row.element].part, control)
        });
        named.collect()
    }

    /// Whether nothing keeps a control from a position: a breaker goes to open only where it carries what opens it.
    pub(crate) fn lets_go(&self, from: &Settled, control: usize, position: u8) -> bool {
        let Some(row) = self.tables.breakers.iter().find(|row| row.control == control) else {
            return true;
        };
        let mut flows = from.phases().filter_map(|solution| solution.flow());
        position != OPEN || flows.any(|flow| row.is_overloaded(&self.tables, &flow))
    }

    /// Breakers that open in a visit, as controls.
    pub(crate) fn opening(&self, visit: &Visit) -> Vec<usize> {
        let setting = &visit.settled.state.setting.0;
        let rows = self.tables.breakers.iter().filter(|row| setting[row.control] != OPEN);
        let opens = |row: &&BreakerRow| self.lets_go(&visit.settled, row.control, OPEN);
        rows.filter(opens).map(|row| row.control).collect()
    }
}
