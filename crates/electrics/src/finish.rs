//! From places to elimination steps, and what follows from the branches alone.

use std::collections::BTreeSet;
use std::sync::Arc;

use loomwright_circuit::PartId;

use crate::network::{
    BranchRef, Closed, Fixed, Islands, Kind, Note, NoteKind, Place, RelayRow, Tables, small,
};
use crate::sparse::{Factors, Symbolic};
use crate::{Network, law::Law};

/// Orders the places, puts steps in their stead, and works out what no state changes. `reference` are the places at
/// zero volts. Nothing if `goes_on`, asked again and again, says no.
pub(crate) fn finish(
    mut tables: Tables,
    n_places: u32,
    reference: [Place; 2],
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<Tables> {
    order(&mut tables, n_places, reference, goes_on)?;
    let stages = [refresh_islands, refresh_base, note_afloat];
    for stage in stages {
        if !goes_on() {
            return None;
        }
        stage(&mut tables);
    }
    Some(tables)
}

/// Chooses the order of elimination; says which step each place became.
fn order(
    tables: &mut Tables,
    n_places: u32,
    reference: [Place; 2],
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<Vec<u32>> {
    let mut unknown = vec![u32::MAX; n_places as usize];
    let mut n = 0_u32;
    for place in (0..n_places).filter(|place| !reference.contains(place)) {
        unknown[place as usize] = n;
        n += 1;
    }
    let changing = changing_places(tables, n_places);
    let is_fixed: Vec<bool> = (0..n_places)
        .filter(|place| !reference.contains(place))
        .map(|place| !changing[place as usize])
        .collect();
    let mut pairs = Vec::new();
    for [a, b] in branch_ends(tables) {
        let (a, b) = (unknown[a as usize], unknown[b as usize]);
        if a != u32::MAX && b != u32::MAX {
            pairs.push((a, b));
        }
    }
    let symbolic = Symbolic::of(n as usize, &pairs, &is_fixed, goes_on)?;
    let step = |place: Place| match unknown[place as usize] {
        u32::MAX => n,
        idx => symbolic.position[idx as usize],
    };
    let steps = (0..n_places).map(&step).collect();
    if !goes_on() {
        return None;
    }
    number(tables, &step);
    tables.symbolic = symbolic;
    if !goes_on() {
        return None;
    }
    let slot = |branch: &Fixed| small(tables.symbolic.slot(branch.a as usize, branch.b as usize));
    tables.fixed_slots = tables.fixed.iter().map(slot).collect();
    tables.first_pair = Factors::first_changing_pair(&tables.symbolic);
    for branch in &mut tables.laws {
        branch.slot = tables.symbolic.slot(branch.a as usize, branch.b as usize);
    }
    for switch in &mut tables.switches {
        switch.slot = tables.symbolic.slot(switch.a as usize, switch.b as usize);
    }
    Some(steps)
}

/// The same tables with room for branches that are not there yet, each between two steps; says which step each became,
/// the reference last, and where the branches stand.
pub(crate) fn with_room(tables: &Tables, branches: &[[u32; 2]]) -> (Tables, Vec<u32>, Vec<usize>) {
    let mut tables = tables.clone();
    let first = tables.fixed.len();
    let room = branches.iter().map(|[a, b]| Fixed { a: *a, b: *b, siemens: 0.0 });
    tables.fixed.extend(room);
    let n = small(tables.symbolic.n);
    // Nobody gives up here.
    let steps = order(&mut tables, n + 1, [n, n], &mut || true).unwrap_or_default();
    refresh(&mut tables);
    let rows = (first..tables.fixed.len()).collect();
    (tables, steps, rows)
}

fn changing_places(tables: &Tables, n_places: u32) -> Vec<bool> {
    let mut changing = vec![false; n_places as usize];
    let laws = tables.laws.iter().map(|branch| [branch.a, branch.b]);
    let switches = tables.switches.iter().map(|switch| [switch.a, switch.b]);
    // Coils are asked for their volts while the rest is not yet worked out.
    let coils = tables.relays.iter().flat_map(RelayRow::windings).map(|idx| &tables.fixed[idx]);
    let coils = coils.map(|branch| [branch.a, branch.b]);
    for place in laws.chain(switches).chain(coils).flatten() {
        changing[place as usize] = true;
    }
    changing
}

fn branch_ends(tables: &Tables) -> impl Iterator<Item = [Place; 2]> + '_ {
    let fixed = tables.fixed.iter().map(|branch| [branch.a, branch.b]);
    let laws = tables.laws.iter().map(|branch| [branch.a, branch.b]);
    let switches = tables.switches.iter().map(|switch| [switch.a, switch.b]);
    fixed.chain(laws).chain(switches)
}

/// Puts steps in the place of running numbers.
fn number(tables: &mut Tables, step: &impl Fn(Place) -> u32) {
    for branch in &mut tables.fixed {
        (branch.a, branch.b) = (step(branch.a), step(branch.b));
    }
    for branch in &mut tables.laws {
        (branch.a, branch.b) = (step(branch.a), step(branch.b));
    }
    for switch in &mut tables.switches {
        (switch.a, switch.b) = (step(switch.a), step(switch.b));
    }
    tables.metal = step(tables.metal);
    for (_, place) in &mut tables.names {
        *place = step(*place);
    }
    for wire in &mut tables.wires {
        wire.ends = wire.ends.map(step);
    }
    for row in &mut tables.elements {
        row.ends = row.ends.map(step);
    }
    for flasher in &mut tables.flashers {
        flasher.feed = step(flasher.feed);
        flasher.earth = flasher.earth.map(step);
    }
    for terminals in tables.terminals.values_mut() {
        for (_, place) in terminals {
            *place = step(*place);
        }
    }
}

/// Works out islands and the unchanging part of the factors anew.
pub(crate) fn refresh(tables: &mut Tables) {
    refresh_islands(tables);
    refresh_base(tables);
}

/// Works out anew what is joined to what: needed where branches come or go.
fn refresh_islands(tables: &mut Tables) {
    let n = tables.symbolic.n;
    let fixed = || {
        let is_there = |idx: &usize| tables.fixed[*idx].siemens > 0.0;
        (0..tables.fixed.len()).filter(is_there)
    };
    let ends = |idx: usize| (tables.fixed[idx].a, tables.fixed[idx].b);
    let laws = || {
        let there = tables.laws.iter().filter(|branch| branch.law != Law::GONE);
        there.map(|branch| (branch.a, branch.b))
    };
    let is_copper = copper(tables);
    let islands = group(n, fixed().map(ends).chain(laws()));
    tables.copper = group(n, fixed().filter(|idx| is_copper[*idx]).map(ends));
    tables.islands = islands;
}

/// Works the unchanging part of the factors out anew.
pub(crate) fn refresh_base(tables: &mut Tables) {
    let (n, islands) = (tables.symbolic.n, &tables.islands);
    let mut base = Factors::of(&tables.symbolic);
    for (branch, slot) in tables.fixed.iter().zip(&tables.fixed_slots) {
        base.values[*slot as usize] += branch.siemens;
    }
    // An island that no state changes and that the reference is not in gets a root of its own.
    let mut last_of = vec![0; islands.count];
    for step in 0..=n {
        last_of[islands.of[step] as usize] = step;
    }
    for &last in &last_of {
        if last < tables.symbolic.fixed {
            base.values[tables.symbolic.n_entries() + last] += ROOT_SIEMENS;
        }
    }
    base.factorise(&tables.symbolic, 0, tables.symbolic.fixed, 0);
    let left = base.left_over(&tables.symbolic);
    tables.reduced = left.into_iter().map(|(a, b, siemens)| Fixed { a, b, siemens }).collect();
    tables.base = base;
}

/// Conductance that holds an island without a reference at zero volts; no current flows in it.
pub(crate) const ROOT_SIEMENS: f64 = 1.0;

/// Which fixed branches are copper: wires, joints, earths, fuses, meters in series.
fn copper(tables: &Tables) -> Vec<bool> {
    let mut is_copper = vec![false; tables.fixed.len()];
    for wire in &tables.wires {
        is_copper[wire.branch] = true;
    }
    for row in &tables.elements {
        let always = matches!(row.kind, Kind::Joined | Kind::Earth | Kind::Fuse { .. });
        for branch in &row.branches {
            if let BranchRef::Fixed(idx) = *branch {
                let is_shunt = row.kind == Kind::Meter && tables.fixed[idx].siemens > SHUNT_SIEMENS;
                is_copper[idx] |= always || is_shunt;
            }
        }
    }
    for (idx, branch) in tables.fixed.iter().enumerate() {
        is_copper[idx] &= branch.siemens > 0.0;
    }
    is_copper
}

/// A meter of less than 0.1 ohm is an ammeter.
pub(crate) const SHUNT_SIEMENS: f64 = 10.0;

/// Groups the steps and the reference by branches.
fn group(n: usize, branches: impl Iterator<Item = (u32, u32)>) -> Islands {
    let mut joined = petgraph::unionfind::UnionFind::<u32>::new(n + 1);
    for (a, b) in branches {
        joined.union(a, b);
    }
    let labels = joined.into_labeling();
    let mut number = vec![u32::MAX; n + 1];
    let mut count = 0;
    let of = labels
        .iter()
        .map(|label| {
            let at = &mut number[*label as usize];
            if *at == u32::MAX {
                *at = count;
                count += 1;
            }
            *at
        })
        .collect();
    Islands { of, count: count as usize }
}

/// Notes the parts that no position of any control joins to a supply.
fn note_afloat(tables: &mut Tables) {
    if tables.reference.is_none() {
        return;
    }
    let n = tables.symbolic.n;
    let all = group(n, branch_ends(tables).map(|[a, b]| (a, b)));
    let home = all.of[n];
    let is_afloat = |terminals: &[(String, Place)]| {
        !terminals.is_empty() && terminals.iter().all(|(_, place)| all.of[*place as usize] != home)
    };
    let afloat: Vec<PartId> = tables
        .terminals
        .iter()
        .filter(|(_, terminals)| is_afloat(terminals))
        .map(|(part, _)| *part)
        .collect();
    if !afloat.is_empty() {
        tables.notes.push(Note { kind: NoteKind::Afloat, parts: afloat, wires: Vec::new() });
    }
}

impl Network {
    /// The same network with parts taken out of it: a blown fuse, a dead lamp, a pulled relay.
    ///
    /// Their terminals stay as places to which wires go; what stood between them is gone.
    #[must_use]
    pub fn without(&self, parts: &[PartId]) -> Self {
        let taken: BTreeSet<PartId> = parts.iter().copied().collect();
        let mut tables = (*self.tables).clone();
        for row in tables.elements.iter().filter(|row| taken.contains(&row.part)) {
            for branch in &row.branches {
                match *branch {
                    BranchRef::Fixed(idx) => {
                        tables.fixed[idx].siemens = 0.0;
                    }
                    BranchRef::Law(idx) => {
                        tables.laws[idx].law = Law::GONE;
                        tables.laws[idx].by_engine = None;
                    }
                    BranchRef::Switch(idx) => {
                        let never = Closed::At { control: 0, positions: Vec::new() };
                        tables.switches[idx].closed = never;
                    }
                }
            }
        }
        tables.taken_out.extend(taken);
        refresh(&mut tables);
        Self { tables: Arc::new(tables) }
    }

    /// The same network with the motors of these parts kept from turning: a jammed fan, a wiper frozen to the glass.
    ///
    /// A jammed motor is its armature alone, and takes its stall current for as long as it is fed.
    #[must_use]
    pub fn jammed(&self, parts: &[PartId]) -> Self {
        let mut tables = (*self.tables).clone();
        let rows = tables.elements.iter().filter(|row| parts.contains(&row.part));
        for branch in rows.flat_map(|row| &row.branches) {
            if let BranchRef::Law(idx) = *branch
                && let Law::Motor(motor) = tables.laws[idx].law
            {
                tables.laws[idx].law = Law::Motor(motor.jammed());
            }
        }
        Self { tables: Arc::new(tables) }
    }
}
