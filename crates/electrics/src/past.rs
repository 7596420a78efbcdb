//! What flowed in an earlier version of the car, to start from: a state that an edit does not touch is then found by one
//! look, and one that it does in a step or two.
//!
//! The currents of the car as it is now must add up at every place; so where places, branches and devices are the same,
//! and only figures of some branches differ, a state in which these carry what they carried is taken over as it is.
//! Elsewhere only starts are taken over, never answers.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use crate::law::Law;
use crate::network::{BranchRef, PlaceName, Tables};
use crate::reading::Flow;
use crate::settle::Rest;
use crate::solve::Phase;
use crate::survey::Plan;
use crate::{Exploration, Network, Settled, Solution};

/// The flows of an earlier exploration, as the places and controls of a network now see them.
#[derive(Debug)]
pub(crate) struct Past<'a> {
    now: &'a Tables,
    then: &'a Tables,
    /// Branches whose figures differ; nothing where more than figures does.
    changed: Option<Vec<BranchRef>>,
    /// States at rest then.
    rests: HashMap<Vec<u8>, &'a Settled>,
    /// How the car fell apart into circuits, if it still does so.
    pub plan: Option<&'a Plan>,
    flows: HashMap<Vec<u8>, Arc<Flow>>,
    unrests: &'a Unrests,
    /// Steps now and then, of the places whose volts are iterated on.
    steps: Vec<(u32, u32)>,
    /// For each earlier control, relay and flasher, its number now.
    controls: Numbers,
    relays: Numbers,
    flashers: Numbers,
}

/// What flowed in moments before relays moved, by setting and memory, and where they wanted to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Unrests {
    of: HashMap<Vec<u8>, (Arc<Flow>, Vec<bool>)>,
    /// Volts kept.
    size: usize,
}

/// More volts than these are not kept: 16 megabytes of them.
const MOST_KEPT: usize = 1 << 21;

impl Unrests {
    pub(crate) fn has_room(&self) -> bool {
        self.size < MOST_KEPT
    }

    pub(crate) fn keep(&mut self, flow: Arc<Flow>, wanted: &[bool]) {
        self.size += flow.volts.len();
        self.of.insert(key(&flow.setting, &flow.relays, &[]), (flow, wanted.to_vec()));
    }
}

/// Numbers now of things numbered then, and the numbers now of those that were not there.
#[derive(Debug)]
struct Numbers {
    now: Vec<Option<usize>>,
    fresh: Vec<usize>,
}

impl<'a> Past<'a> {
    pub(crate) fn of(now: &'a Network, then: &'a Network, exploration: &'a Exploration) -> Self {
        let (now, then) = (&*now.tables, &*then.tables);
        let changed = changed(now, then);
        let mut rests = HashMap::new();
        for settled in exploration.visits.iter().map(|visit| &visit.settled) {
            if changed.is_some() && settled.is_settled {
                let state = &settled.state;
                rests.insert(key(&state.setting.0, &state.pulled_in, &[]), settled);
            }
        }
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
            now,
            then,
            plan: exploration
                .plan
                .as_deref()
                .filter(|_| changed.is_some() && laws_are_alike(now, then)),
            changed,
            rests,
            flows,
            unrests: &exploration.unrests,
            steps: steps.filter_map(|(name, step)| Some((*step, *step_then.get(name)?))).collect(),
            controls: Numbers::of(
                now.controls.iter().map(|control| (&control.name, &control.positions)),
                then.controls.iter().map(|control| (&control.name, &control.positions)),
            ),
            relays: Numbers::of(relays(now), relays(then)),
            flashers: Numbers::of(flashers(now), flashers(then)),
        }
    }

    /// The rest in which relays with this memory are, if they were there then and nothing in it has changed.
    pub(crate) fn rest(&self, setting: &[u8], relays: &[bool]) -> Option<Rest> {
        let settled = self.rests.get(&key(setting, relays, &[]))?;
        let flow = |solution: &Solution| solution.flow().filter(|flow| self.is_same(flow));
        Some(Rest {
            relays: relays.to_vec(),
            on: flow(&settled.on)?,
            off: match &settled.off {
                Some(off) => Some(flow(off)?),
                None => None,
            },
            apart: settled.apart.iter().map(flow).collect::<Option<_>>()?,
            is_settled: true,
            path: vec![relays.to_vec()],
        })
    }

    /// What flowed before relays with this memory moved, and where they wanted to be, if nothing in it has changed.
    pub(crate) fn unrest(&self, setting: &[u8], relays: &[bool]) -> Option<(Arc<Flow>, Vec<bool>)> {
        let (flow, wanted) = self.unrests.of.get(&key(setting, relays, &[]))?;
        self.is_same(flow).then(|| (Arc::clone(flow), wanted.clone()))
    }

    /// Whether the branches whose figures changed carry what they carried.
    fn is_same(&self, flow: &Flow) -> bool {
        self.changed.as_ref().is_some_and(|changed| {
            changed.iter().all(|branch| {
                let now = flow.branch_amps(self.now, *branch);
                (now - flow.branch_amps(self.then, *branch)).abs() < SAME_AMPS
            })
        })
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

/// A current is the same up to what the solver may leave over anywhere, A.
const SAME_AMPS: f64 = 1e-9;

/// The branches whose figures differ between two networks; nothing where more than figures does.
fn changed(now: &Tables, then: &Tables) -> Option<Vec<BranchRef>> {
    let are_alike = now.names == then.names
        && now.symbolic.order == then.symbolic.order
        && now.controls == then.controls
        && now.impossible == then.impossible
        && now.relays == then.relays
        && now.flashers == then.flashers
        && now.engine == then.engine
        && now.coils == then.coils
        && now.driven == then.driven
        && now.bridging == then.bridging
        && now.breakers == then.breakers
        && now.reference == then.reference
        && now.is_plus_earthed == then.is_plus_earthed
        && now.system_volts.to_bits() == then.system_volts.to_bits()
        && now.taken_out == then.taken_out
        && now.fixed.len() == then.fixed.len()
        && now.laws.len() == then.laws.len()
        && now.switches.len() == then.switches.len();
    if !are_alike {
        return None;
    }
    let mut changed = Vec::new();
    for (idx, (a, b)) in now.fixed.iter().zip(&then.fixed).enumerate() {
        if (a.a, a.b) != (b.a, b.b) || (a.siemens > 0.0) != (b.siemens > 0.0) {
            return None;
        }
        if a.siemens.to_bits() != b.siemens.to_bits() {
            changed.push(BranchRef::Fixed(idx));
        }
    }
    for (idx, (a, b)) in now.laws.iter().zip(&then.laws).enumerate() {
        if (a.a, a.b) != (b.a, b.b) {
            return None;
        }
        if a.law != b.law || a.by_engine != b.by_engine {
            changed.push(BranchRef::Law(idx));
        }
    }
    for (idx, (a, b)) in now.switches.iter().zip(&then.switches).enumerate() {
        if (a.a, a.b) != (b.a, b.b) || a.closed != b.closed {
            return None;
        }
        if a.siemens.to_bits() != b.siemens.to_bits() {
            changed.push(BranchRef::Switch(idx));
        }
    }
    Some(changed)
}

/// Whether all laws are of the same kind as before, whatever their figures.
fn laws_are_alike(now: &Tables, then: &Tables) -> bool {
    let kind = |law: &Law| (std::mem::discriminant(law), law.emf() > 0.0);
    now.laws.iter().zip(&then.laws).all(|(a, b)| {
        let is_same = |(a, b): (&Law, &Law)| kind(a) == kind(b);
        a.all_laws().count() == b.all_laws().count() && a.all_laws().zip(b.all_laws()).all(is_same)
    })
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
