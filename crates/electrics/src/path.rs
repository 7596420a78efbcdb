//! The way of the current through a wire or a consumer, from the battery and back to it.

use loomwright_circuit::{Name, PartId, WireId};
use loomwright_units::{Amps, Volts};

use crate::Solution;
use crate::network::{BranchRef, Kind, Tables};
use crate::reading::Flow;

/// A way of the current from a supply's live post through wires and parts to its other post.
///
/// Where the current splits or comes together, the way follows the greater part of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Path {
    /// In the direction of the current, the supply first.
    pub steps: Vec<PathStep>,
}

/// One wire or part on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct PathStep {
    /// What the current goes through.
    pub through: Through,
    /// The current there, without a sign: it flows along the way.
    pub amps: Amps,
    /// Volts lost there; negative where a supply gives them.
    pub lost: Volts,
}

/// A wire or part that current goes through.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Through {
    /// A wire; `is_along` if the current flows from its `from` end to its `to` end.
    Wire {
        /// The wire.
        wire: WireId,
        /// Whether the current flows from `from` to `to`.
        is_along: bool,
    },
    /// A part, from one of its terminals to another. What lies inside without a terminal has no name there.
    Part {
        /// The part.
        part: PartId,
        /// Where the current enters.
        enters: Option<Name>,
        /// Where it leaves.
        leaves: Option<Name>,
    },
}

impl Path {
    /// Volts that consumers and copper lose together: by Kirchhoff's law, what the supplies on the way give.
    pub fn lost(&self) -> Volts {
        Volts(self.steps.iter().map(|step| step.lost.0.max(0.0)).sum())
    }
}

impl Solution {
    /// The way of the current through a wire. Nothing where none flows.
    ///
    /// # Complexity
    /// O(branches + steps · branches at a place).
    pub fn path_of_wire(&self, wire: WireId) -> Option<Path> {
        let (tables, flow) = self.tables_and_flow()?;
        let carrier = Carrier::Wire(*tables.wire_of.get(&wire)?);
        let streams = Streams::of(tables, flow);
        let start = streams.all.iter().position(|stream| stream.carrier == carrier)?;
        streams.path(start)
    }

    /// The way of the current through a part: through that of its elements that carries most, a supply's own
    /// excepted if it gives. Nothing where none flows.
    ///
    /// # Complexity
    /// As of [`Solution::path_of_wire`].
    pub fn path_of_part(&self, part: PartId) -> Option<Path> {
        let (tables, flow) = self.tables_and_flow()?;
        let range = tables.parts.get(&part)?.clone();
        let streams = Streams::of(tables, flow);
        let of_part = streams.all.iter().enumerate().filter(|(_, stream)| {
            matches!(stream.carrier, Carrier::Element(idx) if range.contains(&idx))
                && !stream.is_giving
        });
        let start =
            of_part.reduce(|most, next| if next.1.amps > most.1.amps { next } else { most });
        streams.path(start?.0)
    }
}

/// Currents under which nothing flows, A: a leak through a part that blocks is a microampere.
const LEAST_AMPS: f64 = 1e-5;

/// Currents that are left over from the iteration, A: no way is followed along them.
const LEFT_OVER_AMPS: f64 = 1e-8;

/// A branch that carries current, in the current's direction.
struct Stream {
    from: u32,
    to: u32,
    amps: f64,
    carrier: Carrier,
    /// A supply that gives.
    is_giving: bool,
    /// Something that is neither copper nor a contact.
    is_consumer: bool,
}

/// What a branch belongs to: an index in the tables.
#[derive(Clone, Copy, PartialEq)]
enum Carrier {
    Wire(usize),
    Element(usize),
}

/// All branches that carry current, and which leave and reach each place.
struct Streams<'a> {
    tables: &'a Tables,
    flow: &'a Flow,
    all: Vec<Stream>,
    leaving: Vec<Vec<usize>>,
    reaching: Vec<Vec<usize>>,
}

impl<'a> Streams<'a> {
    fn of(tables: &'a Tables, flow: &'a Flow) -> Self {
        let n = tables.symbolic.n + 1;
        let mut streams = Self {
            tables,
            flow,
            all: Vec::new(),
            leaving: vec![Vec::new(); n],
            reaching: vec![Vec::new(); n],
        };
        for (idx, row) in tables.wires.iter().enumerate() {
            streams.add(BranchRef::Fixed(row.branch), Carrier::Wire(idx));
        }
        for (idx, row) in tables.elements.iter().enumerate() {
            for branch in &row.branches {
                streams.add(*branch, Carrier::Element(idx));
            }
        }
        streams
    }

    fn add(&mut self, branch: BranchRef, carrier: Carrier) {
        let amps = self.flow.branch_amps(self.tables, branch);
        if amps.is_nan() || amps.abs() < LEFT_OVER_AMPS {
            return;
        }
        let (a, b) = self.tables.ends(branch);
        let (from, to) = if amps > 0.0 { (a, b) } else { (b, a) };
        let kind = match carrier {
            Carrier::Wire(_) => Kind::Joined,
            Carrier::Element(idx) => self.tables.elements[idx].kind,
        };
        let is_giving = matches!(kind, Kind::Battery | Kind::Generator)
            && self.flow.volts[from as usize] < self.flow.volts[to as usize];
        let is_consumer = match kind {
            Kind::Battery | Kind::Generator => !is_giving,
            Kind::Relay { .. } | Kind::Flasher { .. } => matches!(branch, BranchRef::Fixed(_)),
            Kind::Joined
            | Kind::Earth
            | Kind::Fuse { .. }
            | Kind::Contacts { .. }
            | Kind::Meter => false,
            _ => true,
        };
        let idx = self.all.len();
        self.leaving[from as usize].push(idx);
        self.reaching[to as usize].push(idx);
        self.all.push(Stream { from, to, amps: amps.abs(), carrier, is_giving, is_consumer });
    }

    fn path(&self, start: usize) -> Option<Path> {
        if self.all[start].amps < LEAST_AMPS {
            return None;
        }
        let mut way = vec![start];
        self.climb(&mut way);
        // A battery of several in a row: on to the next one, as long as nothing but copper lies between.
        loop {
            let mut further = way.clone();
            if !self.climb(&mut further) {
                break;
            }
            let added = further.len() - way.len();
            if further[..added].iter().any(|idx| self.all[*idx].is_consumer) {
                break;
            }
            way = further;
        }
        let mut at = &self.all[start];
        while let Some(next) = self.greatest(&self.leaving[at.to as usize], &way) {
            if self.all[next].is_giving {
                break;
            }
            way.push(next);
            at = &self.all[next];
        }
        Some(self.steps(&way))
    }

    /// Goes upstream to the next supply that gives; says whether there is one.
    fn climb(&self, way: &mut Vec<usize>) -> bool {
        while let Some(before) = way
            .first()
            .and_then(|at| self.greatest(&self.reaching[self.all[*at].from as usize], way))
        {
            way.insert(0, before);
            if self.all[before].is_giving {
                return true;
            }
        }
        false
    }

    /// The stream that carries most, of those not yet on the way.
    fn greatest(&self, streams: &[usize], way: &[usize]) -> Option<usize> {
        let fresh = streams.iter().copied().filter(|idx| !way.contains(idx));
        fresh.reduce(
            |most, next| {
                if self.all[next].amps > self.all[most].amps { next } else { most }
            },
        )
    }

    /// Streams one after the other, those inside one part as one step.
    fn steps(&self, way: &[usize]) -> Path {
        let mut path = Path::default();
        let mut last_part = None;
        for idx in way {
            let stream = &self.all[*idx];
            let lost = self.flow.volts[stream.from as usize] - self.flow.volts[stream.to as usize];
            let (amps, lost) = (Amps(stream.amps), Volts(lost));
            let element = match stream.carrier {
                Carrier::Element(idx) => idx,
                Carrier::Wire(idx) => {
                    last_part = None;
                    let row = &self.tables.wires[idx];
                    let is_along = row.ends[0] == stream.from;
                    let through = Through::Wire { wire: row.id, is_along };
                    path.steps.push(PathStep { through, amps, lost });
                    continue;
                }
            };
            let part = self.tables.elements[element].part;
            let leaves = self.terminal(part, stream.to);
            if let (Some(known), Some(step)) = (last_part, path.steps.last_mut())
                && known == part
                && let Through::Part { leaves: end, .. } = &mut step.through
            {
                *end = leaves;
                step.lost = Volts(step.lost.0 + lost.0);
                step.amps = Amps(step.amps.0.min(amps.0));
                continue;
            }
            last_part = Some(part);
            let through = Through::Part { part, enters: self.terminal(part, stream.from), leaves };
            path.steps.push(PathStep { through, amps, lost });
        }
        path
    }

    fn terminal(&self, part: PartId, step: u32) -> Option<Name> {
        let terminals = self.tables.terminals.get(&part)?;
        terminals.iter().find(|(_, at)| *at == step).map(|(name, _)| name.clone())
    }
}

impl Tables {
    /// Steps of a branch's two ends.
    pub(crate) fn ends(&self, branch: BranchRef) -> (u32, u32) {
        match branch {
            BranchRef::Fixed(idx) => (self.fixed[idx].a, self.fixed[idx].b),
            BranchRef::Law(idx) => (self.laws[idx].a, self.laws[idx].b),
            BranchRef::Switch(idx) => (self.switches[idx].a, self.switches[idx].b),
        }
    }
}
