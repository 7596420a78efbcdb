//! How a survey goes about a car: which controls it holds still, and how the car then falls apart. Kept with what was
//! found, so that after an edit that leaves the shape of the car as it was, nothing of this is worked out again.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::State;
use crate::circuits::{Parting, Shape};
use crate::survey::port::Ports;
use crate::survey::shared::Shared;

/// Controls held still one by one, and the partings worked out so far.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plan {
    pub is_shared: Vec<bool>,
    /// About how many visits going through each circuit by itself takes.
    pub visits: u128,
    parted: BTreeMap<Vec<u8>, Arc<Parted>>,
}

/// The car in one setting of the shared controls.
#[derive(Debug, PartialEq)]
pub(crate) struct Parted {
    pub parting: Parting,
    pub ports: Ports,
}

impl Plan {
    pub(crate) fn of(shared: Shared) -> Self {
        Self { is_shared: shared.is_shared, visits: shared.visits, parted: BTreeMap::new() }
    }

    /// How the car falls apart in a state, by its shared controls and the fields of generators; nothing if `goes_on`
    /// said no.
    pub(crate) fn parted(
        &mut self,
        shape: &Shape<'_>,
        state: &State,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Arc<Parted>> {
        let tables = shape.tables();
        let shared =
            state.setting.0.iter().zip(&self.is_shared).filter(|(_, is_shared)| **is_shared);
        let fields = tables.fields().map(|field| u8::from(state.pulled_in[field]));
        let key: Vec<u8> = shared.map(|(at, _)| *at).chain(fields).collect();
        if let Some(known) = self.parted.get(&key) {
            return Some(Arc::clone(known));
        }
        let parting = shape.part(&state.setting.0, &state.pulled_in, &self.is_shared, goes_on)?;
        let ports = Ports::of(tables, &parting, goes_on)?;
        let parted = Arc::new(Parted { parting, ports });
        self.parted.insert(key, Arc::clone(&parted));
        Some(parted)
    }
}
