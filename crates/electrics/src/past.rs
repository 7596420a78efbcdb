//! What flowed in an earlier version of the car, to start from: a state that an edit does not touch is then found by one
//! look, and one that it does in a step or two.
//!
//! Only starts are taken over, never answers: the currents of the car as it is now must add up at every place.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use crate::network::{PlaceName, Tables};
use crate::reading::Flow;
use crate::solve::Phase;
use crate::{Exploration, Network};

/// The flows of an earlier exploration, as the places and controls of a network now see them.
#[derive(Debug)]
pub(crate) struct Past {
    flows: HashMap<Vec<u8>, Arc<Flow>>,
    /// Steps now and then, of the places whose volts are iterated on.
    steps: Vec<(u32, u32)>,
    /// For each earlier control, relay and flasher, its number now.
    controls: Numbers,
    relays: Numbers,
    flashers: Numbers,
}

/// Numbers now of things numbered then, and the numbers now of those that were not there.
#[derive(Debug)]
struct Numbers {
    now: Vec<Option<usize>>,
    fresh: Vec<usize>,
}

impl Past {
    pub(crate) fn of(now: &Network, then: &Network, exploration: &Exploration) -> Self {
        let (now, then) = (&*now.tables, &*then.tables);
        let mut flows = HashMap::new();
        for solution in exploration.visits.iter().flat_map(|visit| visit.settled.phases()) {
            if let Some(flow) = solution.flow() {
                flows.insert(key(&flow.setting, &flow.relays, &flow.flashers), flow);
            }
        }
        let step_then: BTreeMap<PlaceName, u32> = then.names.iter().copied().collect();
        let is_iterated =
            |step: u32| (now.symbolic.fixed..now.symbolic.n).contains(&(step as usize));
        let steps = now.names.iter().filter(|(_, step)| is_iterated(*step));
        Self {
            flows,
            steps: steps.filter_map(|(name, step)| Some((*step, *step_then.get(name)?))).collect(),
            controls: Numbers::of(
                now.controls.iter().map(|control| (&control.name, &control.positions)),
                then.controls.iter().map(|control| (&control.name, &control.positions)),
            ),
            relays: Numbers::of(relays(now), relays(then)),
            flashers: Numbers::of(flashers(now), flashers(then)),
        }
    }

    /// Puts in the volts of the same phase then; says whether there was one. What is new stands as if it had always
    /// been at rest.
    pub(crate) fn recall(&self, phase: Phase<'_>, volts: &mut [f64]) -> bool {
        let setting = self.controls.then(phase.setting, 0);
        let relays = self.relays.then(phase.relays, false);
        let flashers = self.flashers.then(phase.flashers, true);
        let (Some(setting), Some(relays), Some(flashers)) = (setting, relays, flashers) else {
            return false;
        };
        let Some(flow) = self.flows.get(&key(&setting, &relays, &flashers)) else { return false };
        for (now, then) in &self.steps {
            volts[*now as usize] = flow.volts[*then as usize];
        }
        true
    }
}

impl Numbers {
    fn of<T: PartialEq>(now: impl Iterator<Item = T>, then: impl Iterator<Item = T>) -> Self {
        let now: Vec<T> = now.collect();
        let mut is_fresh = vec![true; now.len()];
        let number = |then: T| {
            let number = now.iter().position(|now| *now == then)?;
            is_fresh[number] = false;
            Some(number)
        };
        let numbers = then.map(number).collect();
        let fresh = (0..now.len()).filter(|idx| is_fresh[*idx]).collect();
        Self { now: numbers, fresh }
    }

    /// The values now, in the order of then; nothing where something new is not at rest.
    fn then<T: Copy + PartialEq>(&self, values: &[T], rest: T) -> Option<Vec<T>> {
        if self.fresh.iter().any(|idx| values[*idx] != rest) {
            return None;
        }
        Some(self.now.iter().map(|idx| idx.map_or(rest, |idx| values[idx])).collect())
    }
}

fn relays(tables: &Tables) -> impl Iterator<Item = (loomwright_circuit::PartId, [&str; 2])> {
    let elements = tables.relays.iter().map(|relay| &tables.elements[relay.element]);
    elements.map(|row| (row.part, row.names.each_ref().map(String::as_str)))
}

fn flashers(tables: &Tables) -> impl Iterator<Item = (loomwright_circuit::PartId, [&str; 2])> {
    let switches = tables.flashers.iter().map(|flasher| &tables.switches[flasher.switch]);
    switches.map(|switch| {
        let part = tables.elements[switch.element].part;
        (part, switch.joins.each_ref().map(String::as_str))
    })
}

fn key(setting: &[u8], relays: &[bool], flashers: &[bool]) -> Vec<u8> {
    let bits = relays.iter().chain(flashers).map(|is_on| u8::from(*is_on));
    setting.iter().copied().chain(bits).collect()
}
