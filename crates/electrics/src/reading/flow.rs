//! The figures kept of one solved phase, and currents worked out from them.

use crate::Note;
use crate::network::{BranchRef, ElementRow, Kind, Tables};
use crate::solve::{Phase, law_in};

/// One solved phase, as small as it can be: everything else follows from it and the network's tables.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Flow {
    pub setting: Box<[u8]>,
    pub relays: Box<[bool]>,
    /// Flashers whose contact is closed.
    pub flashers: Box<[bool]>,
    /// Flashers that open and close, without their contacts for tell-tales.
    pub drifting: Box<[usize]>,
    /// Relays that never come to rest; empty where all do.
    pub buzzing: Box<[bool]>,
    /// Volts of each step, the reference last.
    pub volts: Box<[f64]>,
    /// Whether each static island is joined to the reference.
    pub is_home: Box<[bool]>,
    pub iterations: u32,
    pub residual: f64,
    pub notes: Vec<Note>,
}

impl Flow {
    pub(crate) fn phase(&self) -> Phase<'_> {
        Phase { setting: &self.setting, relays: &self.relays, flashers: &self.flashers }
    }

    pub(crate) fn is_home(&self, tables: &Tables, step: u32) -> bool {
        self.is_home[tables.islands.of[step as usize] as usize]
    }

    /// Volts of a step, unless it floats.
    pub(crate) fn volts_at(&self, tables: &Tables, step: u32) -> Option<f64> {
        self.is_home(tables, step).then(|| self.volts[step as usize])
    }

    /// Volts of one step against another in the same island; zero where they do not hang together.
    pub(crate) fn across(&self, tables: &Tables, a: u32, b: u32) -> f64 {
        let together = self.is_home(tables, a) == self.is_home(tables, b);
        if together { self.volts[a as usize] - self.volts[b as usize] } else { 0.0 }
    }

    pub(crate) fn fixed_amps(&self, tables: &Tables, idx: usize) -> f64 {
        let branch = &tables.fixed[idx];
        let across = self.volts[branch.a as usize] - self.volts[branch.b as usize];
        branch.siemens * across
    }

    pub(crate) fn switch_amps(&self, tables: &Tables, idx: usize) -> Option<f64> {
        let switch = &tables.switches[idx];
        let across = self.volts[switch.a as usize] - self.volts[switch.b as usize];
        switch.closed.is_closed(self.phase()).then_some(switch.siemens * across)
    }

    /// Current through a branch from its first end to its second.
    pub(crate) fn branch_amps(&self, tables: &Tables, branch: BranchRef) -> f64 {
        match branch {
            BranchRef::Fixed(idx) => self.fixed_amps(tables, idx),
            BranchRef::Switch(idx) => self.switch_amps(tables, idx).unwrap_or(0.0),
            BranchRef::Law(idx) => {
                let branch = &tables.laws[idx];
                let across = self.volts[branch.a as usize] - self.volts[branch.b as usize];
                law_in(tables, idx, self.phase()).at(across).0
            }
        }
    }

    /// Current through an element from its first terminal to its second: that of its first branch; of joints and
    /// contacts, the greatest by size.
    pub(crate) fn element_amps(&self, tables: &Tables, row: &ElementRow) -> f64 {
        let mut amps = row.branches.iter().map(|branch| self.branch_amps(tables, *branch));
        match row.kind {
            Kind::Joined | Kind::Contacts { .. } => {
                amps.fold(0.0, |most: f64, amps| if amps.abs() > most.abs() { amps } else { most })
            }
            _ => amps.next().unwrap_or(0.0),
        }
    }

    /// Power that an element takes: that of all its branches, less what an EMF in them gives.
    pub(crate) fn element_watts(&self, tables: &Tables, row: &ElementRow) -> f64 {
        let across = |a: u32, b: u32| self.volts[a as usize] - self.volts[b as usize];
        let watts = |branch: &BranchRef| {
            let amps = self.branch_amps(tables, *branch);
            let (a, b) = tables.ends(*branch);
            across(a, b) * amps
        };
        row.branches.iter().map(watts).sum()
    }

    /// Current that enters a part at one of its terminals.
    pub(crate) fn terminal_amps(&self, tables: &Tables, rows: &[ElementRow], step: u32) -> f64 {
        let mut into = 0.0;
        for branch in rows.iter().flat_map(|row| &row.branches) {
            let (a, b) = tables.ends(*branch);
            if a == step {
                into += self.branch_amps(tables, *branch);
            }
            if b == step {
                into -= self.branch_amps(tables, *branch);
            }
        }
        into
    }

    /// Power that all wires and elements take together; nothing is lost, so it is zero but for the residual.
    pub(crate) fn total_watts(&self, tables: &Tables) -> f64 {
        let wire = |branch: usize| {
            let row = &tables.fixed[branch];
            let across = self.volts[row.a as usize] - self.volts[row.b as usize];
            across * self.fixed_amps(tables, branch)
        };
        let wires: f64 = tables.wires.iter().map(|row| wire(row.branch)).sum();
        let elements: f64 = tables.elements.iter().map(|row| self.element_watts(tables, row)).sum();
        wires + elements
    }
}
