//! Symmetric sparse factorisation of a conductance matrix, free of subtraction.
//!
//! A network's matrix has one positive conductance for each pair of joined places and one to the reference for each
//! place; its diagonal is their sum. Eliminating a place joins its neighbours by new positive conductances (the
//! star-mesh rule), so the factors L and D of L·D·Lᵀ come out by additions, products and quotients of positive
//! numbers only: every factor keeps its relative accuracy however far the conductances lie apart, and no pivot can
//! turn negative.
//!
//! # Source
//! Star-mesh transformation: A. Rosen, IEE Journal 62 (1924). Absence of cancellation: W. Grassmann, M. Taksar,
//! D. Heyman, Operations Research 33 (1985). Minimum degree: W. Tinney, J. Walker, Proc. IEEE 55 (1967).

use std::collections::BTreeSet;

use crate::network::small;

/// Which entries the factors have, and in which order they are worked out: once for each network.
#[derive(Debug, Clone, Default)]
pub(crate) struct Symbolic {
    /// Number of unknown places.
    pub n: usize,
    /// Place eliminated at each step.
    pub order: Vec<u32>,
    /// Step at which each place is eliminated.
    pub position: Vec<u32>,
    /// Where the entries of each step start; one more at the end.
    starts: Vec<u32>,
    /// Step of the other place of each entry, rising within a step.
    rows: Vec<u32>,
    /// Entries that the pairs of a step add to, in order of use.
    targets: Vec<u32>,
    /// Steps at the front whose entries no state changes.
    pub fixed: usize,
}

/// Values of the entries, then conductances to the reference, then one entry for what leads nowhere.
#[derive(Debug, Clone, Default)]
pub(crate) struct Factors {
    pub values: Vec<f64>,
    /// One over the pivot of each step.
    inverse: Vec<f64>,
}

impl Symbolic {
    /// Orders the places by least degree: those that no state changes first, as long as they have few neighbours. Nothing
    /// if `goes_on`, asked again and again, says no.
    ///
    /// # Complexity
    /// O((n + fill) log n).
    pub(crate) fn of(
        n: usize,
        pairs: &[(u32, u32)],
        is_fixed: &[bool],
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        let mut near: Vec<BTreeSet<u32>> = vec![BTreeSet::new(); n];
        for (idx, &(a, b)) in pairs.iter().enumerate() {
            if idx.is_multiple_of(ASKED_EACH) && !goes_on() {
                return None;
            }
            if a != b {
                near[a as usize].insert(b);
                near[b as usize].insert(a);
            }
        }
        let mut out = Self { n, position: vec![0; n], starts: vec![0], ..Self::default() };
        let mut columns: Vec<Vec<u32>> = Vec::with_capacity(n);
        let is_easy = |place: usize, degree| degree <= FEW_NEIGHBOURS && is_fixed[place];
        eliminate(&mut near, &mut out.order, &mut columns, is_easy, goes_on)?;
        out.fixed = out.order.len();
        eliminate(&mut near, &mut out.order, &mut columns, |_, _| true, goes_on)?;
        for (step, place) in out.order.iter().enumerate() {
            out.position[*place as usize] = small(step);
        }
        for column in &columns {
            let mut rows: Vec<u32> =
                column.iter().map(|place| out.position[*place as usize]).collect();
            rows.sort_unstable();
            out.rows.extend(rows);
            out.starts.push(small(out.rows.len()));
        }
        if !goes_on() {
            return None;
        }
        out.index_pairs();
        Some(out)
    }

    /// Number of entries below the diagonal.
    pub(crate) fn n_entries(&self) -> usize {
        self.rows.len()
    }

    /// Where a branch between two steps adds its conductance; `n` stands for the reference.
    pub(crate) fn slot(&self, a: usize, b: usize) -> usize {
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            self.nowhere()
        } else if high == self.n {
            self.n_entries() + low
        } else {
            self.entry(low, high).unwrap_or_else(|| self.nowhere())
        }
    }

    fn nowhere(&self) -> usize {
        self.n_entries() + self.n
    }

    fn column(&self, step: usize) -> std::ops::Range<usize> {
        self.starts[step] as usize..self.starts[step + 1] as usize
    }

    fn entry(&self, low: usize, high: usize) -> Option<usize> {
        let range = self.column(low);
        let found = self.rows[range.clone()].binary_search(&small(high)).ok()?;
        Some(range.start + found)
    }

    fn index_pairs(&mut self) {
        let mut targets = Vec::new();
        for step in 0..self.n {
            let range = self.column(step);
            for p in range.clone() {
                for q in p + 1..range.end {
                    let (low, high) = (self.rows[p] as usize, self.rows[q] as usize);
                    let target = self.entry(low, high).unwrap_or_else(|| self.nowhere());
                    targets.push(small(target));
                }
            }
        }
        self.targets = targets;
    }

    /// Number of pairs worked in the steps before this one.
    fn pairs_before(&self, step: usize) -> usize {
        (0..step)
            .map(|step| {
                let m = self.column(step).len();
                m * m.saturating_sub(1) / 2
            })
            .sum()
    }
}

/// Eliminating a place with so few neighbours adds at most as many entries as it takes away.
const FEW_NEIGHBOURS: usize = 3;

/// Whether to go on is asked after so many places.
const ASKED_EACH: usize = 64;

fn eliminate(
    near: &mut [BTreeSet<u32>],
    order: &mut Vec<u32>,
    columns: &mut Vec<Vec<u32>>,
    is_wanted: impl Fn(usize, usize) -> bool,
    goes_on: &mut dyn FnMut() -> bool,
) -> Option<()> {
    let mut is_done = vec![false; near.len()];
    for place in order.iter() {
        is_done[*place as usize] = true;
    }
    let mut queue: BTreeSet<(usize, u32)> = (0..near.len())
        .filter(|place| !is_done[*place] && is_wanted(*place, near[*place].len()))
        .map(|place| (near[place].len(), small(place)))
        .collect();
    while let Some((_, place)) = queue.pop_first() {
        if columns.len().is_multiple_of(ASKED_EACH) && !goes_on() {
            return None;
        }
        let neighbours: Vec<u32> = std::mem::take(&mut near[place as usize]).into_iter().collect();
        for &neighbour in &neighbours {
            let at = neighbour as usize;
            queue.remove(&(near[at].len(), neighbour));
            near[at].remove(&place);
            near[at].extend(neighbours.iter().copied().filter(|other| *other != neighbour));
            if is_wanted(at, near[at].len()) {
                queue.insert((near[at].len(), neighbour));
            }
        }
        order.push(place);
        columns.push(neighbours);
    }
    Some(())
}

impl Factors {
    /// Room for the factors of a network.
    pub(crate) fn of(symbolic: &Symbolic) -> Self {
        Self {
            values: vec![0.0; symbolic.n_entries() + symbolic.n + 1],
            inverse: vec![0.0; symbolic.n],
        }
    }

    /// Works steps `from..to` out of the values put in.
    pub(crate) fn factorise(&mut self, symbolic: &Symbolic, from: usize, to: usize, pair: usize) {
        let excess = symbolic.n_entries();
        let mut pair = pair;
        for step in from..to {
            let range = symbolic.column(step);
            let to_reference = self.values[excess + step];
            let mut pivot = to_reference;
            for value in &self.values[range.clone()] {
                pivot += value;
            }
            // A place joined to nothing keeps zero volts.
            let inverse = if pivot > 0.0 { 1.0 / pivot } else { 0.0 };
            self.inverse[step] = inverse;
            for p in range.clone() {
                let share = self.values[p] * inverse;
                self.values[excess + symbolic.rows[p] as usize] += share * to_reference;
                for q in p + 1..range.end {
                    let other = self.values[q];
                    self.values[symbolic.targets[pair] as usize] += share * other;
                    pair += 1;
                }
                self.values[p] = share;
            }
        }
    }

    /// Index of the first pair of the changing steps, for [`Factors::factorise`].
    pub(crate) fn first_changing_pair(symbolic: &Symbolic) -> usize {
        symbolic.pairs_before(symbolic.fixed)
    }

    /// Replaces currents into the changing places by the volts that they make; both in order of steps. Nothing flows
    /// into the fixed ones.
    pub(crate) fn solve(&self, symbolic: &Symbolic, x: &mut [f64]) {
        for step in symbolic.fixed..symbolic.n {
            let current = x[step];
            for p in symbolic.column(step) {
                x[symbolic.rows[p] as usize] += self.values[p] * current;
            }
            x[step] = current * self.inverse[step];
        }
        for step in (symbolic.fixed..symbolic.n).rev() {
            let mut volts = x[step];
            for p in symbolic.column(step) {
                volts += self.values[p] * x[symbolic.rows[p] as usize];
            }
            x[step] = volts;
        }
    }

    /// Puts the volts of the fixed places in, which follow from those of the changing ones.
    pub(crate) fn expand(&self, symbolic: &Symbolic, x: &mut [f64]) {
        for step in (0..symbolic.fixed).rev() {
            let mut volts = 0.0;
            for p in symbolic.column(step) {
                volts += self.values[p] * x[symbolic.rows[p] as usize];
            }
            x[step] = volts;
        }
    }

    /// Takes over what the fixed steps left to the changing ones in factors worked before.
    pub(crate) fn start_from(&mut self, base: &Self, symbolic: &Symbolic) {
        let first = symbolic.starts[symbolic.fixed] as usize;
        self.values[first..].copy_from_slice(&base.values[first..]);
    }

    /// What the fixed steps left to the changing ones: conductances between two of these, or to the reference.
    pub(crate) fn left_over(&self, symbolic: &Symbolic) -> Vec<(u32, u32, f64)> {
        let mut left = Vec::new();
        for step in symbolic.fixed..symbolic.n {
            for p in symbolic.column(step) {
                left.push((small(step), symbolic.rows[p], self.values[p]));
            }
            left.push((small(step), small(symbolic.n), self.values[symbolic.n_entries() + step]));
        }
        left.retain(|(.., siemens)| *siemens > 0.0);
        left
    }
}
