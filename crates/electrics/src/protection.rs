//! Which fuse guards which wire, and which wires can ever be live: by the circuit's shape, whatever the switches do.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::{Name, PartId, WireId};

use crate::Network;
use crate::finish::SHUNT_SIEMENS;
use crate::network::{BranchRef, Kind, Tables, small};
use crate::solve::{find, join};

/// A fuse, which may be one of several in a box.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FuseRef {
    /// The fuse, or the box that it is in.
    pub part: PartId,
    /// Its two terminals.
    pub between: [Name; 2],
}

/// What guards a wire.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Guard {
    /// Whether some position of the switches can join it to the live side of a supply.
    pub can_be_live: bool,
    /// Whether some supply reaches it without a fuse on the way.
    pub is_unfused: bool,
    /// The nearest fuses on the ways from the supplies. With several, the wire is only as well guarded as by the
    /// largest of them.
    pub fuses: Vec<FuseRef>,
}

/// What guards each wire of the network.
///
/// From each live source (the unearthed post of a battery, the output of a generator) the walk goes along wires,
/// joints and contacts, closed or not, through resistors, diodes and ammeters; it stops at fuses, consumers, coils and
/// what copper joins to the earthed post in every position. Where copper joins a live source itself to earth, it stops
/// only at the earthed post and at the metal that earth points are bolted to.
///
/// # Complexity
/// O(fuses · branches).
pub fn protection(network: &Network) -> BTreeMap<WireId, Guard> {
    let tables = &*network.tables;
    let walk = Walk::of(tables);
    let n = tables.symbolic.n + 1;
    let mut from_sources = vec![false; n];
    for source in walk.sources() {
        walk.reach(source, &mut from_sources);
    }
    let by_fuse = walk.behind_fuses(&from_sources);
    let guard = |row: &crate::network::WireRow| {
        let touched = |reached: &[bool]| {
            row.ends.iter().any(|step| reached[*step as usize]) && !walk.is_earth_wire(row.ends)
        };
        let is_unfused = touched(&from_sources);
        let mut fuses: Vec<FuseRef> = by_fuse
            .iter()
            .filter(|(_, reached)| touched(reached))
            .map(|(fuse, _)| walk.fuse(*fuse))
            .collect();
        fuses.sort();
        fuses.dedup();
        Guard { can_be_live: is_unfused || !fuses.is_empty(), is_unfused, fuses }
    };
    tables.wires.iter().map(|row| (row.id, guard(row))).collect()
}

struct Walk<'a> {
    tables: &'a Tables,
    /// Steps that current reaches from each without a fuse or consumer.
    near: Vec<Vec<u32>>,
    /// Whether copper joins a step to the earthed post in every position.
    is_earth: Vec<bool>,
    /// Elements that are fuses.
    fuses: Vec<usize>,
}

impl<'a> Walk<'a> {
    fn of(tables: &'a Tables) -> Self {
        let n = tables.symbolic.n + 1;
        let mut walk =
            Self { tables, near: vec![Vec::new(); n], is_earth: vec![false; n], fuses: Vec::new() };
        let mut parent: Vec<u32> = (0..small(n)).collect();
        for wire in &tables.wires {
            walk.link(wire.ends[0], wire.ends[1]);
            join(&mut parent, wire.ends[0], wire.ends[1]);
        }
        for (idx, row) in tables.elements.iter().enumerate() {
            if tables.taken_out.contains(&row.part) {
                continue;
            }
            if let Kind::Fuse { .. } = row.kind {
                walk.fuses.push(idx);
                continue;
            }
            for branch in &row.branches {
                walk.element(row.kind, *branch, &mut parent);
            }
        }
        let home = find(&mut parent, small(tables.symbolic.n));
        let is_shorted = walk.sources().any(|source| find(&mut parent, source) == home);
        if is_shorted {
            // Copper ties a live post to earth: which of it is the earth, only the metal itself can tell.
            walk.is_earth[tables.symbolic.n] = true;
            for metal in walk.metal() {
                walk.is_earth[metal as usize] = true;
            }
        } else {
            for step in 0..n {
                walk.is_earth[step] = find(&mut parent, small(step)) == home;
            }
        }
        walk
    }

    fn element(&mut self, kind: Kind, branch: BranchRef, parent: &mut [u32]) {
        let tables = self.tables;
        match (kind, branch) {
            (Kind::Joined | Kind::Earth, BranchRef::Fixed(idx)) => {
                let branch = &tables.fixed[idx];
                self.link(branch.a, branch.b);
                join(parent, branch.a, branch.b);
            }
            (Kind::Resistor, BranchRef::Fixed(idx)) => {
                self.link(tables.fixed[idx].a, tables.fixed[idx].b);
            }
            (Kind::Meter, BranchRef::Fixed(idx)) if tables.fixed[idx].siemens > SHUNT_SIEMENS => {
                self.link(tables.fixed[idx].a, tables.fixed[idx].b);
            }
            (Kind::Diode, BranchRef::Law(idx)) => {
                self.link(tables.laws[idx].a, tables.laws[idx].b);
            }
            (
                Kind::Contacts { .. } | Kind::Relay { .. } | Kind::Flasher { .. },
                BranchRef::Switch(idx),
            ) if tables.switches[idx].closed.can_close() => {
                self.link(tables.switches[idx].a, tables.switches[idx].b);
            }
            _ => {}
        }
    }

    fn link(&mut self, a: u32, b: u32) {
        self.near[a as usize].push(b);
        self.near[b as usize].push(a);
    }

    /// Live posts of batteries and outputs of generators.
    fn sources(&self) -> impl Iterator<Item = u32> + '_ {
        let live = usize::from(self.tables.is_plus_earthed);
        let is_source = |kind| matches!(kind, Kind::Battery | Kind::Generator);
        let rows = self.tables.elements.iter();
        rows.filter(move |row| is_source(row.kind) && !self.tables.taken_out.contains(&row.part))
            .map(move |row| row.ends[live])
    }

    /// What earth points are bolted to.
    fn metal(&self) -> Vec<u32> {
        let earths = self.tables.elements.iter().filter(|row| row.kind == Kind::Earth);
        let metal = earths.flat_map(|row| &row.branches).filter_map(|branch| match *branch {
            BranchRef::Fixed(idx) => Some(self.tables.fixed[idx].b),
            _ => None,
        });
        metal.collect()
    }

    fn reach(&self, from: u32, reached: &mut [bool]) {
        let mut left = vec![from];
        while let Some(step) = left.pop() {
            if self.is_earth[step as usize] || reached[step as usize] {
                continue;
            }
            reached[step as usize] = true;
            left.extend(&self.near[step as usize]);
        }
    }

    /// A wire between two earthed places.
    fn is_earth_wire(&self, ends: [u32; 2]) -> bool {
        ends.iter().all(|step| self.is_earth[*step as usize])
    }

    /// For each fuse, fed at one end by something other than itself: the steps behind its other end.
    fn behind_fuses(&self, from_sources: &[bool]) -> Vec<(usize, Vec<bool>)> {
        let mut behind: Vec<(usize, Vec<bool>)> = Vec::new();
        let mut done: BTreeSet<(usize, usize)> = BTreeSet::new();
        loop {
            let mut is_changed = false;
            for &fuse in &self.fuses {
                for side in 0..2 {
                    let ends = self.tables.elements[fuse].ends;
                    let fed = ends[side] as usize;
                    let is_fed = from_sources[fed]
                        || behind.iter().any(|(other, reached)| *other != fuse && reached[fed]);
                    if is_fed && done.insert((fuse, side)) {
                        let mut reached = vec![false; from_sources.len()];
                        self.reach(ends[1 - side], &mut reached);
                        behind.push((fuse, reached));
                        is_changed = true;
                    }
                }
            }
            if !is_changed {
                return behind;
            }
        }
    }

    fn fuse(&self, element: usize) -> FuseRef {
        let row = &self.tables.elements[element];
        FuseRef { part: row.part, between: row.names.clone() }
    }
}
