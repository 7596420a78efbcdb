//! What a solution says of terminals, wires and parts.

use std::sync::Arc;

use loomwright_circuit::{Name, PartId, WireId};
use loomwright_units::{Amps, Seconds, Volts, Watts};

use crate::Note;
use crate::flasher::Flashing;
use crate::network::Tables;

pub(crate) use flow::Flow;
pub(crate) use part::{
    LIT, VISIBLE, across_element, flasher_found, light, lights, rows, speed, state_of_part,
};

pub use element::ElementFlow;

mod element;
mod flow;
mod part;

/// What flows in one state and phase. Cheap to clone; readings are worked out when asked for.
#[derive(Debug, Clone, Default)]
pub struct Solution {
    /// What could not be solved or was assumed.
    pub notes: Vec<Note>,
    /// Newton iterations taken.
    pub iterations: u32,
    /// Greatest current left over at any place, A.
    pub residual_amps: f64,
    inner: Option<Inner>,
}

#[derive(Debug, Clone)]
struct Inner {
    tables: Arc<Tables>,
    flow: Arc<Flow>,
    /// With flashers at work, all that flows in turn, this phase among it.
    phases: Arc<[Arc<Flow>]>,
}

/// Two solutions are equal if the same flows: volts and contacts of every place, to the last bit.
impl PartialEq for Solution {
    fn eq(&self, other: &Self) -> bool {
        let flow = |solution: &Self| solution.inner.as_ref().map(|inner| Arc::clone(&inner.flow));
        self.notes == other.notes
            && self.iterations == other.iterations
            && self.residual_amps == other.residual_amps
            && flow(self) == flow(other)
    }
}

impl Solution {
    pub(crate) fn of(tables: &Arc<Tables>, flow: &Arc<Flow>, phases: &Arc<[Arc<Flow>]>) -> Self {
        Self {
            notes: flow.notes.clone(),
            iterations: flow.iterations,
            residual_amps: flow.residual,
            inner: Some(Inner {
                tables: Arc::clone(tables),
                flow: Arc::clone(flow),
                phases: Arc::clone(phases),
            }),
        }
    }

    /// Each of the phases that flow in turn, with its share of the time; where that is not known, the lit phase alone.
    pub(crate) fn shares(&self) -> Vec<(f64, Arc<Flow>)> {
        let Some(Inner { tables, flow, phases }) = self.inner.as_ref() else { return Vec::new() };
        match part::weights(tables, phases) {
            Some(weights) => weights.into_iter().zip(phases.iter().map(Arc::clone)).collect(),
            None => vec![(1.0, phases.first().map_or_else(|| Arc::clone(flow), Arc::clone))],
        }
    }

    pub(crate) fn flow(&self) -> Option<Arc<Flow>> {
        self.inner.as_ref().map(|inner| Arc::clone(&inner.flow))
    }

    /// All that flows in turn, this phase among it.
    pub(crate) fn turns(&self) -> &[Arc<Flow>] {
        self.inner.as_ref().map_or(&[], |inner| &*inner.phases)
    }

    pub(crate) fn tables(&self) -> Option<&Arc<Tables>> {
        self.inner.as_ref().map(|inner| &inner.tables)
    }

    pub(crate) fn tables_and_flow(&self) -> Option<(&Tables, &Flow)> {
        self.inner.as_ref().map(|inner| (&*inner.tables, &*inner.flow))
    }

    /// Volts of a terminal against the battery's earthed post; nothing where it floats or does not exist.
    pub fn volts(&self, part: PartId, terminal: &str) -> Option<Volts> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        let terminals = tables.terminals.get(&part)?;
        let (_, step) = terminals.iter().find(|(name, _)| name == terminal)?;
        tables.reference.as_ref()?;
        flow.volts_at(tables, *step).map(Volts)
    }

    /// As [`Solution::volts`], of a terminal that was looked up before: [`Network::probe`](crate::Network::probe).
    pub fn volts_at(&self, probe: Probe) -> Option<Volts> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        tables.reference.as_ref()?;
        flow.volts_at(tables, probe.0).map(Volts)
    }

    /// Current in a wire, positive from its `from` end to its `to` end; nothing for a wire not in this version.
    pub fn wire_amps(&self, wire: WireId) -> Option<Amps> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        let row = &tables.wires[*tables.wire_of.get(&wire)?];
        Some(Amps(flow.fixed_amps(tables, row.branch)))
    }

    /// Current at a wire's `from` end and at its `to` end, each positive towards `to`: two figures where it touches
    /// metal on its way. Nothing for a wire not in this version.
    pub fn wire_end_amps(&self, wire: WireId) -> Option<[Amps; 2]> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        let row = &tables.wires[*tables.wire_of.get(&wire)?];
        let along = flow.fixed_amps(tables, row.branch);
        let [lost, gained] =
            row.touches.map_or([0.0; 2], |touches| touches.map(|idx| flow.fixed_amps(tables, idx)));
        Some([Amps(along + lost), Amps(along - gained)])
    }

    /// Volts of a wire's two ends, `from` and `to`; nothing where it floats or is not in this version.
    pub fn wire_volts(&self, wire: WireId) -> Option<[Volts; 2]> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        let row = &tables.wires[*tables.wire_of.get(&wire)?];
        tables.reference.as_ref()?;
        let volts = |step| flow.volts_at(tables, step).map(Volts);
        Some([volts(row.ends[0])?, volts(row.ends[1])?])
    }

    /// Current that enters a part at a terminal, from all wires there; nothing for a terminal that does not exist.
    pub fn terminal_amps(&self, part: PartId, terminal: &str) -> Option<Amps> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        let (_, step) = tables.terminals.get(&part)?.iter().find(|(name, _)| name == terminal)?;
        let rows = &tables.elements[tables.parts.get(&part)?.clone()];
        Some(Amps(flow.terminal_amps(tables, rows, *step)))
    }

    /// Power that all wires and parts take, less what supplies give: zero but for rounding, by Tellegen's theorem.
    pub fn power_balance(&self) -> Watts {
        let balance = |inner: &Inner| inner.flow.total_watts(&inner.tables);
        Watts(self.inner.as_ref().map_or(0.0, balance))
    }

    /// What a part does; nothing for one that is not in this version, or was taken out of the network.
    pub fn part(&self, part: PartId) -> Option<PartReading> {
        let Inner { tables, flow, phases } = self.inner.as_ref()?;
        part::reading(tables, flow, phases, part)
    }

    /// One element of a part, by its place in the part type; nothing for one that is not in this version, or was taken
    /// out of the network.
    pub fn element(&self, part: PartId, element: usize) -> Option<ElementFlow<'_>> {
        let Inner { tables, flow, phases } = self.inner.as_ref()?;
        let row = part::rows(tables, part)?.get(element)?;
        Some(ElementFlow { tables, flow, phases, row })
    }

    /// Current of a part, as [`Solution::part`] gives it.
    pub fn amps(&self, part: PartId) -> Option<Amps> {
        let Inner { tables, flow, .. } = self.inner.as_ref()?;
        part::amps(tables, flow, part).map(Amps)
    }

    /// The word for what a part does, without the figures.
    pub fn state(&self, part: PartId) -> Option<PartState> {
        let Inner { tables, flow, phases } = self.inner.as_ref()?;
        part::state_of_part(tables, flow, phases, part)
    }
}

/// A terminal of one network, looked up once to be read in many of its solutions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Probe(u32);

impl crate::Network {
    /// Looks a terminal up; nothing for one that does not exist.
    pub fn probe(&self, part: PartId, terminal: &str) -> Option<Probe> {
        let terminals = self.tables.terminals.get(&part)?;
        terminals.iter().find(|(name, _)| name == terminal).map(|(_, step)| Probe(*step))
    }
}

/// What a part does in a solution.
#[derive(Debug, Clone, PartialEq)]
pub struct PartReading {
    /// In a word.
    pub state: PartState,
    /// Current through its main element: the greatest by size.
    pub amps: Amps,
    /// Volts across its main element.
    pub volts: Volts,
    /// Power taken (positive) or given.
    pub watts: Watts,
    /// For a flasher at work: flashes a minute.
    pub flashes_per_minute: Option<f64>,
    /// For a flasher at work: how it goes on and off.
    pub flashing: Option<Flashing>,
    /// Its elements, in the order of the part type.
    pub elements: Vec<ElementReading>,
}

/// What one element of a part does.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementReading {
    /// In a word.
    pub state: PartState,
    /// Current from its first terminal to its second.
    pub amps: Amps,
    /// Volts of its first terminal against its second.
    pub volts: Volts,
    /// Power taken (positive) or given.
    pub watts: Watts,
    /// Light as a share of that at marked voltage; lighting elements only.
    pub light: Option<f64>,
    /// Currents through closed contacts; switches and relays only.
    pub contacts: Vec<ContactReading>,
    /// For a fuse: how long until it opens at the latest, if it does.
    pub opens_within: Option<Seconds>,
    /// For a fuse that opens: how long it is sure to hold before.
    pub opens_after: Option<Seconds>,
    /// For a flasher at work: flashes a minute.
    pub flashes_per_minute: Option<f64>,
    /// For a flasher at work: how it goes on and off.
    pub flashing: Option<Flashing>,
    /// For a lamp that flashes: the share of the time in which it is lit, over all flashers that feed it. Nothing with
    /// more than three of them.
    pub lit_share: Option<f64>,
}

/// Current through one closed contact.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactReading {
    /// The terminals it joins.
    pub joins: [Name; 2],
    /// Current from the first to the second.
    pub amps: Amps,
}

/// What a part does, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartState {
    /// A lamp at half its light or more.
    Lit,
    /// A lamp with visible light under half.
    Dim,
    /// A lamp with none.
    Dark,
    /// A flasher at work, or a lamp it feeds.
    Flashing,
    /// A consumer at 80 % of its marked volts or more.
    Working,
    /// A consumer with too few volts to work well.
    Weak,
    /// A motor that has volts and stands: jammed, or with too few to overcome its friction.
    Stalled,
    /// A consumer without current.
    Idle,
    /// A relay pulled in.
    In,
    /// A relay at rest.
    Out,
    /// A relay that never comes to rest.
    Buzzing,
    /// A fuse that holds.
    Holds,
    /// A breaker that carries more than it is made for, and less than what is sure to open it.
    MayOpen,
    /// A fuse that opens.
    Opens,
    /// A breaker that opens, cools and closes again, over and over.
    Cycles,
    /// A breaker that has opened, and not closed again yet.
    Open,
    /// A battery, generator or motor that runs down, that gives current.
    Gives,
    /// A battery that takes current.
    Takes,
    /// A diode or polarised part that current is kept from, being the wrong way round.
    Blocks,
    /// Joints, switches, meters: nothing to say but figures.
    Passive,
}

impl PartState {
    /// The word in JSON and sketches.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lit => "lit",
            Self::Dim => "dim",
            Self::Dark => "dark",
            Self::Flashing => "flashing",
            Self::Working => "working",
            Self::Weak => "weak",
            Self::Stalled => "stalled",
            Self::Idle => "idle",
            Self::In => "in",
            Self::Out => "out",
            Self::Buzzing => "buzzing",
            Self::Holds => "holds",
            Self::MayOpen => "may open",
            Self::Opens => "opens",
            Self::Cycles => "cycles",
            Self::Open => "open",
            Self::Gives => "gives",
            Self::Takes => "takes",
            Self::Blocks => "blocks",
            Self::Passive => "passive",
        }
    }
}
