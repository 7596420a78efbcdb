//! A test stand: a network on which faults are put and taken off again, one after the other.

use crate::Fault;
use crate::fault::{HARD_OHMS, POOR_EARTH_OHMS};
use crate::finish::{refresh, refresh_base, with_room};
use crate::law::Law;
use crate::network::{BranchRef, Closed, Kind, LawBranch, Tables};
use crate::reading::Flow;

/// The tables of a network with room for wires to touch the metal, and what was put on them.
#[derive(Debug)]
pub(crate) struct Stand {
    pub tables: Tables,
    /// Where each step of the network stands here; the reference last.
    steps: Vec<u32>,
    /// The step of the network that each step here is.
    step_of: Vec<u32>,
    /// Conductance of each wire without faults.
    wire_siemens: Vec<f64>,
    /// Branches from the two ends of each wire to the metal, without conductance until it touches.
    touches: Vec<[usize; 2]>,
    /// The branches that came or went when it was last worked out what is joined.
    joined_as: Vec<usize>,
    /// What was there before the faults that are on, the last put on last.
    before: Vec<Before>,
}

/// What a fault replaced.
#[derive(Debug)]
enum Before {
    Fixed(usize, f64),
    Law(usize, Box<LawBranch>),
    Switch(usize, Closed),
    Kind(usize, Kind),
}

impl Stand {
    pub(crate) fn of(tables: &Tables) -> Self {
        let metal = tables.metal;
        let room: Vec<[u32; 2]> =
            tables.wires.iter().flat_map(|row| row.ends.map(|end| [end, metal])).collect();
        let (tables, steps, rows) = with_room(tables, &room);
        let touches = rows.chunks_exact(2).map(|rows| [rows[0], rows[1]]).collect();
        let mut step_of = vec![0; steps.len()];
        for (step, here) in (0..).zip(&steps) {
            step_of[*here as usize] = step;
        }
        let wire_siemens =
            tables.wires.iter().map(|row| tables.fixed[row.branch].siemens).collect();
        Self {
            tables,
            steps,
            step_of,
            wire_siemens,
            touches,
            joined_as: Vec::new(),
            before: Vec::new(),
        }
    }

    /// The tables with all that is on, to be kept.
    pub(crate) fn into_tables(mut self) -> Tables {
        for (row, touches) in self.touches.into_iter().enumerate() {
            if self.tables.fixed[touches[0]].siemens > 0.0 {
                self.tables.wires[row].touches = Some(touches);
            }
        }
        self.tables
    }

    /// The volts of a flow of the network, in this order of steps.
    pub(crate) fn volts(&self, flow: &Flow, into: &mut Vec<f64>) {
        into.clear();
        into.resize(self.steps.len(), 0.0);
        for (step, volts) in self.steps.iter().zip(&flow.volts) {
            into[*step as usize] = *volts;
        }
    }

    /// Volts of a step here in a flow of the network.
    pub(crate) fn before(&self, flow: &Flow, step: u32) -> f64 {
        flow.volts[self.step_of[step as usize] as usize]
    }

    /// Current in a wire in a flow of the network.
    pub(crate) fn amps_before(&self, flow: &Flow, row: usize) -> f64 {
        let [from, to] = self.tables.wires[row].ends;
        let siemens = self.wire_siemens[row];
        siemens * (self.before(flow, from) - self.before(flow, to))
    }

    /// Puts a fault on, beside those that are on already.
    pub(crate) fn put(&mut self, fault: &Fault) {
        self.put_beside(fault);
        self.ready();
    }

    /// Works out anew what no state changes, after all has been put on.
    pub(crate) fn ready(&mut self) {
        // Which branches are there decides what is joined; how they conduct does not.
        let joins = self.before.iter().filter_map(|before| match before {
            Before::Fixed(idx, siemens) => {
                let is_other = (*siemens > 0.0) != (self.tables.fixed[*idx].siemens > 0.0);
                is_other.then_some(*idx)
            }
            Before::Law(idx, _) => Some(self.tables.fixed.len() + idx),
            Before::Switch(..) | Before::Kind(..) => None,
        });
        let joins: Vec<usize> = joins.collect();
        if joins == self.joined_as {
            refresh_base(&mut self.tables);
        } else {
            refresh(&mut self.tables);
            self.joined_as = joins;
        }
    }

    /// As [`Stand::put`], with [`Stand::ready`] still to come.
    pub(crate) fn put_beside(&mut self, fault: &Fault) {
        match fault {
            Fault::WireBroken(wire) => {
                if let Some(row) = self.tables.wire_of.get(wire) {
                    let branch = self.tables.wires[*row].branch;
                    self.fix(branch, 0.0);
                }
            }
            Fault::WireTouches(wire) => {
                if let Some(row) = self.tables.wire_of.get(wire).copied() {
                    self.touch(row, 0.5, HARD_OHMS);
                }
            }
            _ => {
                let elements: Vec<usize> = fault.elements(&self.tables).collect();
                for element in elements {
                    self.put_on(fault, element);
                }
            }
        }
    }

    fn put_on(&mut self, fault: &Fault, element: usize) {
        if matches!(fault, Fault::LampFailed { .. }) {
            // Volts across what is left of a filament make no light.
            let dark = Kind::Glowing { light: 0.0 };
            let before = std::mem::replace(&mut self.tables.elements[element].kind, dark);
            self.before.push(Before::Kind(element, before));
        }
        for branch in self.tables.elements[element].branches.clone() {
            match (fault, branch) {
                (Fault::EarthPoor(_), BranchRef::Fixed(idx)) => {
                    self.fix(idx, 1.0 / POOR_EARTH_OHMS);
                }
                (Fault::FuseBlown(_), BranchRef::Fixed(idx)) => self.fix(idx, 0.0),
                (Fault::LampFailed { .. }, BranchRef::Law(idx)) => {
                    let gone = LawBranch {
                        law: Law::GONE,
                        by_engine: None,
                        ..self.tables.laws[idx].clone()
                    };
                    let before = std::mem::replace(&mut self.tables.laws[idx], gone);
                    self.before.push(Before::Law(idx, Box::new(before)));
                }
                (Fault::RelayStuckIn(_) | Fault::RelayStuckOut(_), BranchRef::Switch(idx)) => {
                    self.stick(idx, matches!(fault, Fault::RelayStuckIn(_)));
                }
                _ => {}
            }
        }
    }

    /// Lets a wire touch the metal with a resistance, this share of its length from its `from` end.
    ///
    /// The place of touch is no place of its own: the star of the two pieces and the contact is a triangle of
    /// conductances between the wire's ends and the metal.
    pub(crate) fn touch(&mut self, row: usize, share: f64, ohms: f64) {
        let [first, last] = self.pieces(row, share);
        let sum = first + last + 1.0 / ohms;
        let wire = self.tables.wires[row].branch;
        let [at_from, at_to] = self.touches[row];
        self.fix(wire, first * last / sum);
        self.fix(at_from, first / (ohms * sum));
        self.fix(at_to, last / (ohms * sum));
    }

    /// Conductances of the two pieces of a wire, with the joint at its end each.
    pub(crate) fn pieces(&self, row: usize, share: f64) -> [f64; 2] {
        let ohms = 1.0 / self.tables.fixed[self.tables.wires[row].branch].siemens;
        let end = self.tables.wires[row].cable.end_ohms.min(0.5 * ohms);
        let copper = ohms - 2.0 * end;
        [share, 1.0 - share].map(|share| 1.0 / (end + share * copper).max(LEAST_PIECE_OHMS))
    }

    /// Branches from the two ends of a wire to the metal.
    pub(crate) fn touches_of(&self, row: usize) -> [usize; 2] {
        self.touches[row]
    }

    fn fix(&mut self, idx: usize, siemens: f64) {
        let before = std::mem::replace(&mut self.tables.fixed[idx].siemens, siemens);
        self.before.push(Before::Fixed(idx, before));
    }

    fn stick(&mut self, idx: usize, is_in: bool) {
        let Closed::Relay { relay, when_out, when_in } = self.tables.switches[idx].closed else {
            return;
        };
        let stands = if is_in { when_in } else { when_out };
        let stuck = Closed::Relay { relay, when_out: stands, when_in: stands };
        let before = std::mem::replace(&mut self.tables.switches[idx].closed, stuck);
        self.before.push(Before::Switch(idx, before));
    }

    /// Takes all faults off, the last one first.
    pub(crate) fn clear(&mut self) {
        while let Some(before) = self.before.pop() {
            match before {
                Before::Fixed(idx, siemens) => self.tables.fixed[idx].siemens = siemens,
                Before::Law(idx, branch) => self.tables.laws[idx] = *branch,
                Before::Switch(idx, closed) => self.tables.switches[idx].closed = closed,
                Before::Kind(element, kind) => self.tables.elements[element].kind = kind,
            }
        }
    }
}

/// The least resistance of a piece of wire, ohm.
pub(crate) const LEAST_PIECE_OHMS: f64 = 1e-5;
