//! The greatest and least of every figure over the visited states, with the visit that shows it.

use std::collections::BTreeMap;

use loomwright_circuit::{Name, PartId, WireId};
use loomwright_units::{Amps, Volts};

use crate::explore::{Exploration, Visit};
use crate::extremes::feeds::Feeds;
use crate::network::{BranchRef, Closed, ElementRow, Kind, Tables};
use crate::reading::Flow;
use crate::{Network, NoteKind};

pub use brackets::{Brackets, LoadBracket};

mod brackets;
mod feeds;
mod ways;

/// Where a figure was met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met<T> {
    /// The figure, without its sign.
    pub value: T,
    /// Index of the visit.
    pub visit: usize,
    /// In which moment of the visit.
    pub met_in: MetIn,
}

/// A moment of a visited state; see [`Settled::phase_of`](crate::Settled::phase_of).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MetIn {
    /// Once all has settled; with a flasher at work, in its lit phase.
    On,
    /// In the dark phase of flashers.
    Off,
    /// With flashers drifted apart: an index in [`Settled::apart`](crate::Settled::apart).
    Apart(usize),
    /// On the way there: an index in [`Settled::passing`](crate::Settled::passing).
    Passing(usize),
}

/// A contact's greatest current.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactExtreme {
    /// The switch, relay or flasher.
    pub part: PartId,
    /// The terminals it joins.
    pub joins: [Name; 2],
    /// What it is made for; nothing where that is not known.
    pub rated: Option<Amps>,
    /// Its greatest current; nothing where it never closes.
    pub greatest: Option<Met<Amps>>,
}

/// A fuse's greatest current.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseExtreme {
    /// The fuse, or the box that it is in.
    pub part: PartId,
    /// Its two terminals.
    pub between: [Name; 2],
    /// What it carries all day; nothing where that is not known.
    pub carries: Option<Amps>,
    /// Its greatest current.
    pub greatest: Option<Met<Amps>>,
}

/// A consumer's greatest and least volts.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadExtreme {
    /// The lamp, motor or other consumer.
    pub part: PartId,
    /// The terminals of the element meant.
    pub between: [Name; 2],
    /// Marked volts.
    pub marked: Volts,
    /// The greatest volts in any state.
    pub greatest: Option<Met<Volts>>,
    /// The least volts in states in which its own feed and its earth are closed, cranking apart.
    pub least: Option<Met<Volts>>,
    /// The same while cranking.
    pub least_cranking: Option<Met<Volts>>,
}

/// Greatest and least figures over all visits.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Extremes {
    /// Greatest current of each wire.
    pub wires: BTreeMap<WireId, Met<Amps>>,
    /// Greatest current against the direction in which the wire carries its greatest: what a survey of a car with doubts
    /// may miss. Only wires that carry some.
    pub reversed: BTreeMap<WireId, Met<Amps>>,
    /// Greatest current of each contact, in the order of the parts.
    pub contacts: Vec<ContactExtreme>,
    /// Greatest current of each fuse, in the order of the parts.
    pub fuses: Vec<FuseExtreme>,
    /// Greatest and least volts of each lamp, motor and other consumer, in the order of the parts.
    pub loads: Vec<LoadExtreme>,
}

impl Extremes {
    /// Goes through all visits of an exploration of this network. Phases that did not converge are passed over.
    ///
    /// # Complexity
    /// O(visits · branches).
    pub fn of(network: &Network, exploration: &Exploration) -> Self {
        let tables = &*network.tables;
        let mut gathering = Gathering::new(tables);
        for (idx, visit) in exploration.visits.iter().enumerate() {
            for (phase, place) in phases(idx, visit) {
                gathering.add(&phase, place);
            }
        }
        gathering.into_extremes()
    }
}

/// Each phase of a visit, and where a figure of it was met.
fn phases(visit: usize, of: &Visit) -> impl Iterator<Item = (std::sync::Arc<Flow>, Met<()>)> {
    let settled = &of.settled;
    let on = std::iter::once((&settled.on, MetIn::On));
    let off = settled.off.iter().map(|off| (off, MetIn::Off));
    let apart = settled.apart.iter().enumerate();
    let apart = apart.map(|(idx, solution)| (solution, MetIn::Apart(idx)));
    let passing = settled.passing.iter().enumerate();
    let passing = passing.map(|(idx, solution)| (solution, MetIn::Passing(idx)));
    let phases = on.chain(off).chain(apart).chain(passing);
    phases.filter_map(move |(solution, met_in)| {
        Some((solution.flow()?, Met { value: (), visit, met_in }))
    })
}

/// A figure so little larger is the same one, met again.
const SAME: f64 = 1e-9;

/// Less than this the other way is no current worth naming, A: what leaks through parts that block.
const REVERSED_AMPS: f64 = 1e-4;

/// Figures gathered so far, in the order of the tables.
struct Gathering<'a> {
    tables: &'a Tables,
    /// Of each wire, the greatest current from its first end to its second, and the other way.
    wires: Vec<[Option<Met<Amps>>; 2]>,
    switches: Vec<Option<Met<Amps>>>,
    /// For each element: greatest current of a fuse; greatest and least volts of a consumer.
    fuses: Vec<Option<Met<Amps>>>,
    loads: Vec<[Option<Met<Volts>>; 3]>,
    feeds: Feeds,
}

impl<'a> Gathering<'a> {
    fn new(tables: &'a Tables) -> Self {
        Self {
            tables,
            wires: vec![[None; 2]; tables.wires.len()],
            switches: vec![None; tables.switches.len()],
            fuses: vec![None; tables.elements.len()],
            loads: vec![[None; 3]; tables.elements.len()],
            feeds: Feeds::of(tables),
        }
    }

    fn add(&mut self, flow: &Flow, place: Met<()>) {
        if flow.notes.iter().any(|note| note.kind == NoteKind::NotConverged) {
            return;
        }
        let Met { visit, met_in, .. } = place;
        let amps = |value: f64| Met { value: Amps(value.abs()), visit, met_in };
        for (met, row) in self.wires.iter_mut().zip(&self.tables.wires) {
            let value = flow.fixed_amps(self.tables, row.branch);
            raise(&mut met[usize::from(value < 0.0)], amps(value), |met| met.value.0);
        }
        for (idx, met) in self.switches.iter_mut().enumerate() {
            if let Some(value) = flow.switch_amps(self.tables, idx) {
                raise(met, amps(value), |met| met.value.0);
            }
        }
        self.feeds.close(self.tables, flow);
        let is_cranking = is_cranking(self.tables, flow);
        for (idx, row) in self.tables.elements.iter().enumerate() {
            if let Kind::Fuse { .. } = row.kind {
                raise(&mut self.fuses[idx], amps(flow.element_amps(self.tables, row)), |met| {
                    met.value.0
                });
            }
            // A moment is too short for a lamp or motor to do otherwise.
            if marked(row.kind).is_some() && !matches!(met_in, MetIn::Passing(_)) {
                let volts = flow.across(self.tables, row.ends[0], row.ends[1]).abs();
                let met = Met { value: Volts(volts), visit, met_in };
                let [greatest, least, least_cranking] = &mut self.loads[idx];
                raise(greatest, met, |met| met.value.0);
                let least = if is_cranking { least_cranking } else { least };
                let under = |met: &Met<Volts>| -met.value.0;
                if is_beyond(least.as_ref(), &met, under) && self.feeds.is_fed(row) {
                    *least = Some(met);
                }
            }
        }
    }

    fn into_extremes(self) -> Extremes {
        let tables = self.tables;
        let mut extremes = Extremes::default();
        for (row, [along, against]) in tables.wires.iter().zip(&self.wires) {
            let amps = |met: &Option<Met<Amps>>| met.map_or(-1.0, |met| met.value.0);
            let is_along = amps(along) >= amps(against);
            let [greatest, reversed] = if is_along { [along, against] } else { [against, along] };
            extremes.wires.extend(greatest.map(|met| (row.id, met)));
            let reversed = reversed.filter(|met| met.value.0 > REVERSED_AMPS);
            extremes.reversed.extend(reversed.map(|met| (row.id, met)));
        }
        for (idx, row) in tables.elements.iter().enumerate() {
            if tables.taken_out.contains(&row.part) {
                continue;
            }
            let rated = rated_amps(tables, row.kind);
            for branch in own_contacts(row) {
                if let BranchRef::Switch(switch) = *branch {
                    extremes.contacts.push(ContactExtreme {
                        part: row.part,
                        joins: tables.switches[switch].joins.clone(),
                        rated: rated.map(Amps),
                        greatest: self.switches[switch],
                    });
                }
            }
            if let Kind::Fuse { rating } = row.kind {
                extremes.fuses.push(FuseExtreme {
                    part: row.part,
                    between: row.names.clone(),
                    carries: rating.map(|rating| Amps(rating.carries)),
                    greatest: self.fuses[idx],
                });
            }
            if let Some(marked) = marked(row.kind) {
                let [greatest, least, least_cranking] = self.loads[idx];
                let (part, between) = (row.part, row.names.clone());
                let marked = Volts(marked);
                let load = LoadExtreme { part, between, marked, greatest, least, least_cranking };
                extremes.loads.push(load);
            }
        }
        extremes
    }
}

fn raise<T: Copy>(known: &mut Option<T>, met: T, figure: impl Fn(&T) -> f64) {
    if is_beyond(known.as_ref(), &met, figure) {
        *known = Some(met);
    }
}

fn is_beyond<T>(known: Option<&T>, met: &T, figure: impl Fn(&T) -> f64) -> bool {
    known.is_none_or(|known| {
        let known = figure(known);
        figure(met) > known + SAME * known.abs() + 1e-12
    })
}

/// Marked volts of a consumer.
fn marked(kind: Kind) -> Option<f64> {
    match kind {
        Kind::Filament { volts }
        | Kind::Led { volts, .. }
        | Kind::Load { volts, .. }
        | Kind::Motor { volts } => Some(volts),
        _ => None,
    }
}

/// Contacts that one knows as such: a breaker's own is no switch to be rated.
pub(super) fn own_contacts(row: &ElementRow) -> impl Iterator<Item = &BranchRef> {
    let is_breaker = matches!(row.kind, Kind::Fuse { .. });
    row.branches.iter().filter(move |_| !is_breaker)
}

fn rated_amps(tables: &Tables, kind: Kind) -> Option<f64> {
    match kind {
        Kind::Contacts { amps } | Kind::Relay { amps, .. } => amps,
        Kind::Flasher { flasher } => {
            Some(tables.flashers[flasher].most_watts / tables.system_volts)
        }
        _ => None,
    }
}

/// Whether the starter is at work: a control stands at "cranking" or "start".
pub(crate) fn is_cranking(tables: &Tables, flow: &Flow) -> bool {
    tables.controls.iter().zip(&flow.setting).any(|(control, at)| {
        control.positions.get(usize::from(*at)).is_some_and(|at| works_starter(&at.name))
    })
}

/// Whether the starter is at work in a position of this name.
pub(crate) fn works_starter(position: &str) -> bool {
    matches!(position, "cranking" | "start")
}

impl Closed {
    /// Whether some position or state closes it.
    pub(crate) fn can_close(&self) -> bool {
        match self {
            Self::At { positions, .. } => positions.contains(&true),
            Self::Relay { when_out, when_in, .. } => *when_out || *when_in,
            Self::Flasher(_) => true,
            Self::Excited { positions, .. } => positions.iter().flatten().any(|closed| *closed),
        }
    }
}
