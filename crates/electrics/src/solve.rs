//! Newton's method on the nodal equations of one phase, in buffers that are kept.
//!
//! Only places where something changes (laws, contacts, coils) are iterated on: between them, all others come to a net
//! of conductances that was worked out when the network was built ([`Tables::reduced`]). Their own volts follow once
//! at the end.

use crate::finish::ROOT_SIEMENS;
use crate::law::Law;
use crate::network::{ByEngine, Closed, LawBranch, Tables, small};
use crate::past::{Past, Unrests};
use crate::solve::sums::{add, dot, greatest};
use crate::sparse::Factors;

pub use newton::Newton;

pub(crate) use islands::{find, join};

mod islands;
mod newton;
mod sums;

/// What decides which branches are there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Phase<'a> {
    pub setting: &'a [u8],
    pub relays: &'a [bool],
    /// Flashers whose contact is closed.
    pub flashers: &'a [bool],
}

impl Closed {
    pub(crate) fn is_closed(&self, phase: Phase<'_>) -> bool {
        match self {
            Self::At { control, positions } => {
                let at = phase.setting.get(*control).copied().unwrap_or(0);
                positions.get(usize::from(at)).copied().unwrap_or(false)
            }
            Self::Relay { relay, when_out, when_in } => {
                if phase.relays[*relay] {
                    *when_in
                } else {
                    *when_out
                }
            }
            Self::Flasher(flasher) => phase.flashers[*flasher],
            Self::Excited { control, field, positions } => {
                let at = phase.setting.get(*control).copied().unwrap_or(0);
                let is_excited = phase.relays.get(*field).copied().unwrap_or(false);
                positions.get(usize::from(at)).is_some_and(|closed| closed[usize::from(is_excited)])
            }
        }
    }
}

/// The law that a branch follows in a phase.
pub(crate) fn law_in(tables: &Tables, idx: usize, phase: Phase<'_>) -> Law {
    let branch = &tables.laws[idx];
    let Some(ByEngine { control, field, laws }) = &branch.by_engine else { return branch.law };
    let at = phase.setting.get(*control).copied().unwrap_or(0);
    let is_excited = field.is_some_and(|field| phase.relays.get(field).copied().unwrap_or(false));
    laws.get(usize::from(at)).map_or(branch.law, |laws| laws[usize::from(is_excited)])
}

/// Work done, for tests that count it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    /// Operating points solved.
    pub solves: u64,
    /// Newton iterations, each with one factorisation.
    pub iterations: u64,
    /// Times that all branch currents were worked out.
    pub evaluations: u64,
}

/// How a solve ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ended {
    pub iterations: u32,
    pub residual: f64,
    pub is_converged: bool,
}

/// The current that may be left over at a place: this, and this share of the greatest current.
const RESIDUAL: (f64, f64) = (1e-9, 1e-12);

/// A residual that no longer falls but is under this is as good as arithmetic allows.
const STALLED: f64 = 1e-6;

/// The last step may have been so many volts: a tenth of what a good meter shows.
const STEP_VOLTS: f64 = 1e-4;

/// A step of no more volts than this shows that the next ones will be far smaller, Newton's method being quadratic.
const SETTLED_VOLTS: f64 = 0.05;

const MOST_ITERATIONS: u32 = 80;
/// From this many iterations on, overshooting is cut shorter: steps to and fro over a sharp bend, as the limit of a
/// generator is, would else shrink by a tenth each.
const PATIENT_FROM: u32 = 12;
const MOST_CUTS: u32 = 10;

/// Buffers for solving one network over and over.
#[derive(Debug)]
pub(crate) struct Solver<'a> {
    pub tables: &'a Tables,
    /// Volts of each step; the reference's last, always zero.
    pub volts: Vec<f64>,
    pub closed: Vec<bool>,
    pub work: Work,
    /// Volts of an earlier version of the car to start from.
    pub past: Option<&'a Past<'a>>,
    /// What flowed for a moment until relays moved, if that is to be kept.
    pub unrests: Option<Unrests>,
    /// Flashers that were closed in the lit phase of the rest found last.
    pub lit: Vec<bool>,
    /// Whether each static island is joined to the reference.
    pub is_home: Vec<bool>,
    factors: Factors,
    laws: Vec<Law>,
    slopes: Vec<f64>,
    roots: Vec<u32>,
    last_of: Vec<u32>,
    parent: Vec<u32>,
    residual: Vec<f64>,
    step: Vec<f64>,
    trial: Vec<f64>,
    /// The most that a place is moved in one step, V.
    most_step: f64,
}

impl<'a> Solver<'a> {
    pub(crate) fn new(tables: &'a Tables) -> Self {
        let n = tables.symbolic.n;
        let mut last_of = vec![0; tables.islands.count];
        for (step, island) in tables.islands.of.iter().enumerate() {
            last_of[*island as usize] = small(step);
        }
        Self {
            tables,
            volts: vec![0.0; n + 1],
            closed: vec![false; tables.switches.len()],
            work: Work::default(),
            past: None,
            unrests: None,
            lit: Vec::new(),
            is_home: vec![false; tables.islands.count],
            factors: Factors::of(&tables.symbolic),
            laws: vec![Law::GONE; tables.laws.len()],
            slopes: vec![0.0; tables.laws.len()],
            roots: Vec::with_capacity(tables.islands.count),
            last_of,
            parent: vec![0; tables.islands.count],
            residual: vec![0.0; n + 1],
            step: vec![0.0; n + 1],
            trial: vec![0.0; n + 1],
            // No two places are farther apart than all supplies in series.
            most_step: 2.0 * tables.laws.iter().map(most_volts).sum::<f64>().max(1.0),
        }
    }

    /// Solves a phase, from the volts there are; from none if `is_cold`. `is_enough` may end it early, once the volts
    /// are known to a few hundredths, where only a decision is wanted. `goes_on` is asked before each iteration; with a
    /// no there is no answer.
    pub(crate) fn solve(
        &mut self,
        phase: Phase<'_>,
        is_cold: bool,
        is_enough: &dyn Fn(&[f64]) -> bool,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Ended> {
        self.prepare(phase);
        self.work.solves += 1;
        let mut ended = Ended { iterations: 0, residual: 0.0, is_converged: true };
        let is_recalled = self.past.is_some_and(|past| past.recall(phase, &mut self.volts));
        let is_cold = is_cold && !is_recalled;
        if is_cold {
            self.guess();
            ended.iterations += 1;
        }
        std::mem::swap(&mut self.trial, &mut self.volts);
        let scale = self.evaluate();
        std::mem::swap(&mut self.trial, &mut self.volts);
        // What flowed in the same phase before an edit is near enough for tangents.
        if !is_cold && !is_recalled {
            self.take_first_slopes();
        }
        self.iterate(&mut ended, scale, is_enough, goes_on)?;
        self.tables.base.expand(&self.tables.symbolic, &mut self.volts);
        Some(ended)
    }

    /// Nothing if `goes_on` said no.
    fn iterate(
        &mut self,
        ended: &mut Ended,
        scale: f64,
        is_enough: &dyn Fn(&[f64]) -> bool,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<()> {
        let mut scale = scale;
        let mut stalled = 0;
        loop {
            let size = self.greatest_residual();
            ended.residual = size;
            // Where only a leak holds a place, a small current left over is still a large error in volts; the step
            // last gone shows that.
            let is_small = size <= RESIDUAL.0 + RESIDUAL.1 * scale;
            if is_small && (ended.iterations == 0 || self.greatest_step() < STEP_VOLTS) {
                return Some(());
            }
            if ended.iterations > 0
                && self.greatest_step() < SETTLED_VOLTS
                && is_enough(&self.volts)
            {
                return Some(());
            }
            if ended.iterations >= MOST_ITERATIONS || stalled >= 4 {
                ended.is_converged = size <= STALLED + 1e-9 * scale;
                return Some(());
            }
            if !goes_on() {
                return None;
            }
            self.newton_step();
            scale = self.advance(if ended.iterations < PATIENT_FROM { 0.9 } else { 0.3 });
            ended.iterations += 1;
            stalled = if self.greatest_residual() < 0.5 * size { 0 } else { stalled + 1 };
            // While far away, slow progress is progress.
            if size > STALLED {
                stalled = 0;
            }
        }
    }

    /// Current through a fixed branch, from its first end to its second.
    pub(crate) fn fixed_amps(&self, idx: usize) -> f64 {
        let branch = &self.tables.fixed[idx];
        branch.siemens * (self.volts[branch.a as usize] - self.volts[branch.b as usize])
    }

    fn take_first_slopes(&mut self) {
        for (idx, branch) in self.tables.laws.iter().enumerate() {
            let v = self.volts[branch.a as usize] - self.volts[branch.b as usize];
            if let Law::Filament { .. } = self.laws[idx] {
                let (amps, slope) = self.laws[idx].at(v);
                self.slopes[idx] = self.laws[idx].first_slope(v, amps, slope);
            }
        }
    }

    fn greatest_step(&self) -> f64 {
        greatest(&self.step[self.tables.symbolic.fixed..])
    }

    fn prepare(&mut self, phase: Phase<'_>) {
        for (closed, switch) in self.closed.iter_mut().zip(&self.tables.switches) {
            *closed = switch.closed.is_closed(phase);
        }
        for idx in 0..self.laws.len() {
            self.laws[idx] = law_in(self.tables, idx, phase);
        }
        self.find_islands();
    }

    /// Joins the static islands by the closed contacts; each that the reference is not in gets a root.
    fn find_islands(&mut self) {
        let islands = &self.tables.islands;
        for (idx, parent) in self.parent.iter_mut().enumerate() {
            *parent = small(idx);
        }
        for (switch, _) in self.tables.switches.iter().zip(&self.closed).filter(|(_, c)| **c) {
            let a = islands.of[switch.a as usize];
            let b = islands.of[switch.b as usize];
            join(&mut self.parent, a, b);
        }
        let home = find(&mut self.parent, islands.of[self.tables.symbolic.n]);
        self.roots.clear();
        for idx in 0..small(self.parent.len()) {
            let top = find(&mut self.parent, idx);
            self.is_home[idx as usize] = top == home;
            // An island of fixed steps only was given its root when the network was built.
            let root = self.last_of[top as usize];
            if top == idx && top != home && root as usize >= self.tables.symbolic.fixed {
                self.roots.push(root);
            }
        }
    }

    /// First volts: every law a straight line.
    fn guess(&mut self) {
        self.step.fill(0.0);
        for (idx, branch) in self.tables.laws.iter().enumerate() {
            let (siemens, amps) = self.laws[idx].guess();
            self.slopes[idx] = siemens;
            add(&mut self.step, branch.a, branch.b, amps);
        }
        self.factorise();
        self.factors.solve(&self.tables.symbolic, &mut self.step);
        let n = self.tables.symbolic.n;
        self.step[n] = 0.0;
        self.volts.copy_from_slice(&self.step);
    }

    fn factorise(&mut self) {
        self.work.iterations += 1;
        let symbolic = &self.tables.symbolic;
        self.factors.start_from(&self.tables.base, symbolic);
        let values = &mut self.factors.values;
        for (branch, slope) in self.tables.laws.iter().zip(&self.slopes) {
            values[branch.slot] += slope;
        }
        for (switch, closed) in self.tables.switches.iter().zip(&self.closed) {
            if *closed {
                values[switch.slot] += switch.siemens;
            }
        }
        for root in &self.roots {
            values[symbolic.n_entries() + *root as usize] += ROOT_SIEMENS;
        }
        self.factors.factorise(symbolic, symbolic.fixed, symbolic.n, self.tables.first_pair);
    }

    /// Works out the current left over at each place with the trial volts, and the slopes; returns the greatest
    /// current in any branch.
    fn evaluate(&mut self) -> f64 {
        self.work.evaluations += 1;
        let volts = &self.trial;
        let across = |a: u32, b: u32| volts[a as usize] - volts[b as usize];
        self.residual[self.tables.symbolic.fixed..].fill(0.0);
        let mut scale = 0.0_f64;
        for branch in &self.tables.reduced {
            let amps = branch.siemens * across(branch.a, branch.b);
            scale = scale.max(amps.abs());
            add(&mut self.residual, branch.a, branch.b, -amps);
        }
        for (idx, branch) in self.tables.laws.iter().enumerate() {
            let (amps, slope) = self.laws[idx].at(across(branch.a, branch.b));
            self.slopes[idx] = slope;
            add(&mut self.residual, branch.a, branch.b, -amps);
        }
        for (switch, closed) in self.tables.switches.iter().zip(&self.closed) {
            if *closed {
                let amps = switch.siemens * across(switch.a, switch.b);
                add(&mut self.residual, switch.a, switch.b, -amps);
            }
        }
        for root in &self.roots {
            self.residual[*root as usize] -= ROOT_SIEMENS * volts[*root as usize];
        }
        let n = self.tables.symbolic.n;
        self.residual[n] = 0.0;
        scale
    }

    fn greatest_residual(&self) -> f64 {
        greatest(&self.residual[self.tables.symbolic.fixed..])
    }

    /// The step that would take away what is left over if all laws were straight.
    fn newton_step(&mut self) {
        self.factorise();
        let changing = self.tables.symbolic.fixed..;
        self.step[changing.clone()].copy_from_slice(&self.residual[changing]);
        self.factors.solve(&self.tables.symbolic, &mut self.step);
        let n = self.tables.symbolic.n;
        self.step[n] = 0.0;
    }

    /// Goes along the step, less far where that would overshoot, and no farther than supplies can lift a place: a
    /// generator at its limit on a place that only leaks hold would throw it millions of volts up.
    ///
    /// With laws that rise, the left-over currents are the slope of a convex function (the content of the network),
    /// which falls along the step; the step is cut until its own slope at the end is less steep, by this share, than at the start.
    fn advance(&mut self, most_share: f64) -> f64 {
        let first = self.tables.symbolic.fixed;
        let slope = dot(&self.step[first..], &self.residual[first..]);
        let mut share = (self.most_step / self.greatest_step().max(f64::MIN_POSITIVE)).min(1.0);
        let mut scale = 0.0;
        for _ in 0..MOST_CUTS {
            let steps = self.volts[first..].iter().zip(&self.step[first..]);
            for (trial, (volts, step)) in self.trial[first..].iter_mut().zip(steps) {
                *trial = volts + share * step;
            }
            scale = self.evaluate();
            let here = dot(&self.step[first..], &self.residual[first..]);
            if here >= -most_share * slope {
                break;
            }
            share *= (slope / (slope - here)).clamp(0.1, 0.9);
        }
        std::mem::swap(&mut self.trial, &mut self.volts);
        scale
    }
}

/// The most that a branch can lift one end over the other, V.
fn most_volts(branch: &LawBranch) -> f64 {
    branch.all_laws().map(|law| law.emf()).fold(0.0, f64::max)
}
