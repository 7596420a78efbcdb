//! One step of Newton's method by itself, to be compared with other ways to the same answer.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Solver;
use crate::finish::ROOT_SIEMENS;
use crate::network::{Tables, small};
use crate::{Network, Solution};

/// The nodal equations of one phase, made linear about its volts: conductance matrix times volts are the amps put in.
///
/// The solver takes such a step in each iteration. By itself it serves tests and benches, which solve the same matrix
/// by another library.
#[derive(Debug)]
pub struct Newton<'a> {
    solver: Solver<'a>,
}

impl Network {
    /// The equations about the volts of a solution; nothing for a solution of another network, or of none.
    pub fn newton(&self, solution: &Solution) -> Option<Newton<'_>> {
        let flow = solution.flow()?;
        let (tables, _) = solution.tables_and_flow()?;
        if !std::ptr::eq(tables, Arc::as_ptr(&self.tables)) {
            return None;
        }
        let mut solver = Solver::new(&self.tables);
        solver.prepare(flow.phase());
        solver.volts.copy_from_slice(&flow.volts);
        solver.trial.copy_from_slice(&flow.volts);
        solver.evaluate();
        Some(Newton { solver })
    }
}

impl Newton<'_> {
    /// Number of places whose volts are unknown.
    pub fn size(&self) -> usize {
        self.solver.tables.symbolic.n
    }

    /// Number of those that are iterated on, which are the last ones: where a law, a contact or a coil is.
    pub fn changing(&self) -> usize {
        self.size() - self.solver.tables.symbolic.fixed
    }

    /// The matrix of all places, S: row, column and value on and below the diagonal, each once, column by column.
    pub fn matrix(&self) -> Vec<(usize, usize, f64)> {
        let mut lower = Lower::new(self.size(), 0);
        let Solver { tables, .. } = &self.solver;
        for branch in &tables.fixed {
            lower.put(branch.a, branch.b, branch.siemens);
        }
        for root in fixed_roots(tables) {
            lower.put(root, small(self.size()), ROOT_SIEMENS);
        }
        self.put_changing(&mut lower);
        lower.triplets()
    }

    /// The same of the places iterated on, counted from the first of them: all others are eliminated, to which nothing
    /// but other places is joined.
    pub fn reduced(&self) -> Vec<(usize, usize, f64)> {
        let Solver { tables, .. } = &self.solver;
        let mut lower = Lower::new(self.size(), tables.symbolic.fixed);
        for branch in &tables.reduced {
            lower.put(branch.a, branch.b, branch.siemens);
        }
        self.put_changing(&mut lower);
        lower.triplets()
    }

    fn put_changing(&self, lower: &mut Lower) {
        let Solver { tables, slopes, closed, roots, .. } = &self.solver;
        for (branch, slope) in tables.laws.iter().zip(slopes) {
            lower.put(branch.a, branch.b, *slope);
        }
        for (switch, _) in tables.switches.iter().zip(closed).filter(|(_, closed)| **closed) {
            lower.put(switch.a, switch.b, switch.siemens);
        }
        for root in roots {
            lower.put(*root, small(self.size()), ROOT_SIEMENS);
        }
    }

    /// Factorises and solves for the volts that amps into the places iterated on make there, as each iteration does.
    pub fn solve(&mut self, amps: &[f64]) -> &[f64] {
        let places = self.solver.tables.symbolic.fixed..self.solver.tables.symbolic.n;
        self.solver.residual[places.clone()].copy_from_slice(amps);
        self.solver.newton_step();
        &self.solver.step[places]
    }
}

/// The lower half of a matrix of conductances, being added up.
struct Lower {
    n: usize,
    /// The first place of the matrix.
    first: usize,
    entries: BTreeMap<(usize, usize), f64>,
}

impl Lower {
    fn new(n: usize, first: usize) -> Self {
        Self { n, first, entries: BTreeMap::new() }
    }

    fn put(&mut self, a: u32, b: u32, siemens: f64) {
        let (low, high) = (a.min(b) as usize, a.max(b) as usize);
        if low == high {
            return;
        }
        let mut add = |column: usize, row: usize, siemens: f64| {
            *self.entries.entry((column - self.first, row - self.first)).or_insert(0.0) += siemens;
        };
        add(low, low, siemens);
        if high < self.n {
            add(high, high, siemens);
            add(low, high, -siemens);
        }
    }

    fn triplets(self) -> Vec<(usize, usize, f64)> {
        self.entries.into_iter().map(|((column, row), siemens)| (row, column, siemens)).collect()
    }
}

/// Roots of islands that no state changes.
fn fixed_roots(tables: &Tables) -> Vec<u32> {
    let mut last_of = vec![0; tables.islands.count];
    for (step, island) in tables.islands.of.iter().enumerate() {
        last_of[*island as usize] = small(step);
    }
    last_of.retain(|last| (*last as usize) < tables.symbolic.fixed);
    last_of
}
