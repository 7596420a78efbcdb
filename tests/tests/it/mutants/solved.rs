//! A setting of a plan, solved: a dense matrix, laws put in by iteration, relays pulled until they rest.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::plan::{Kind, Plan};

/// Leak from every place to the reference, S: what floats has some volts.
const LEAK: f64 = 1e-7;
/// Steps of the laws; what has not come to rest by then is not judged.
const STEPS_MOST: usize = 80;
/// Moves of relays in one setting.
const PULLS_MOST: usize = 12;
/// A closed contact, S.
const CLOSED: f64 = 100.0;

/// What flows in one setting.
#[derive(Debug, Clone)]
pub(crate) struct Solved {
    pub(crate) volts: Vec<f64>,
    /// Conductance of each branch as it came to rest, S.
    pub(crate) siemens: Vec<f64>,
    /// Current that each branch drives from its first place to its second beside what its volts do, A.
    drives: Vec<f64>,
    factor: Cholesky<f64, Dyn>,
    /// A relay goes in and out without end.
    pub(crate) buzzes: bool,
}

impl Solved {
    /// Current through a branch, from its first place to its second, A.
    pub(crate) fn amps(&self, plan: &Plan, branch: usize) -> f64 {
        let row = &plan.branches[branch];
        (self.volts[row.from] - self.volts[row.to]) * self.siemens[branch] + self.drives[branch]
    }

    /// Volts over a branch, the first place against the second.
    pub(crate) fn over(&self, plan: &Plan, branch: usize) -> f64 {
        let row = &plan.branches[branch];
        self.volts[row.from] - self.volts[row.to]
    }

    /// Volts that one ampere, put in at a place and taken out at another, adds everywhere.
    pub(crate) fn reply(&self, plan: &Plan, into: usize, out: usize) -> Vec<f64> {
        let mut amps = DVector::zeros(plan.places);
        amps[into] += 1.0;
        amps[out] -= 1.0;
        amps[plan.reference] = 0.0;
        self.factor.solve(&amps).iter().copied().collect()
    }
}

/// Solves a setting: one position for each control, from relays that are out. Nothing where it does not come to rest.
pub(crate) fn solve(plan: &Plan, setting: &[usize], flashers_lit: bool) -> Option<Solved> {
    solve_from(plan, setting, flashers_lit, vec![false; plan.coils.len()])
}

/// Whether what came before decides over what flows: a relay that is in stays in where one that is out stays out.
pub(crate) fn remembers(plan: &Plan) -> bool {
    settings(plan).iter().any(|setting| {
        let [out, pulled] = [false, true]
            .map(|is_in| solve_from(plan, setting, true, vec![is_in; plan.coils.len()]));
        let (Some(out), Some(pulled)) = (out, pulled) else { return true };
        out.volts.iter().zip(&pulled.volts).any(|(a, b)| (a - b).abs() > 0.1)
    })
}

fn solve_from(
    plan: &Plan,
    setting: &[usize],
    flashers_lit: bool,
    mut is_in: Vec<bool>,
) -> Option<Solved> {
    let mut volts = vec![0.0; plan.places];
    for _ in 0..PULLS_MOST {
        let solved = settle(plan, setting, &is_in, flashers_lit, &volts)?;
        let after: Vec<bool> = plan
            .coils
            .iter()
            .zip(&is_in)
            .map(|(coil, is_in)| {
                let over = (solved.volts[coil.from] - solved.volts[coil.to]).abs();
                over >= if *is_in { coil.drops_out } else { coil.pulls_in }
            })
            .collect();
        if after == is_in {
            return Some(solved);
        }
        is_in = after;
        volts = solved.volts;
    }
    settle(plan, setting, &is_in, flashers_lit, &volts)
        .map(|solved| Solved { buzzes: true, ..solved })
}

/// The laws, with relays as they are.
fn settle(
    plan: &Plan,
    setting: &[usize],
    is_in: &[bool],
    flashers_lit: bool,
    start: &[f64],
) -> Option<Solved> {
    let mut volts = start.to_vec();
    let mut conducts = vec![false; plan.branches.len()];
    for step in 0..STEPS_MOST {
        let laws: Vec<(f64, f64)> = plan
            .branches
            .iter()
            .zip(&mut conducts)
            .map(|(row, conducts)| {
                let over = volts[row.from] - volts[row.to];
                law(row.kind, over, setting, is_in, flashers_lit, &volts, conducts)
            })
            .collect();
        let factor = Cholesky::new(matrix(plan, &laws))?;
        let after = factor.solve(&right_side(plan, &laws));
        let moved = volts.iter().zip(after.iter()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        volts = after.iter().copied().collect();
        if moved < 1e-4 && step > 0 {
            let (siemens, drives) = laws.into_iter().unzip();
            return Some(Solved { volts, siemens, drives, factor, buzzes: false });
        }
    }
    None
}

/// Conductance and driven current of a branch at these volts.
fn law(
    kind: Kind,
    over: f64,
    setting: &[usize],
    is_in: &[bool],
    flashers_lit: bool,
    volts: &[f64],
    conducts: &mut bool,
) -> (f64, f64) {
    let contact = |is_closed: bool| if is_closed { CLOSED } else { 0.0 };
    match kind {
        Kind::Fixed(siemens) => (siemens, 0.0),
        Kind::Source(emf, siemens) => (siemens, -emf * siemens),
        Kind::Filament(watts, marked) => {
            // Current goes with the 0.55th power of volts; a cold filament has a twelfth of its hot resistance.
            let hot = watts / marked / marked;
            let hotter = libm::pow((over.abs() / marked).max(1e-6), -0.45);
            (hot * hotter.min(12.0), 0.0)
        }
        Kind::OneWay(threshold, siemens) => {
            *conducts = over > threshold;
            if *conducts { (siemens, -threshold * siemens) } else { (0.0, 0.0) }
        }
        Kind::Contact { control, closed } => (contact(closed >> setting[control] & 1 == 1), 0.0),
        Kind::Relay { relay, when_in } => (contact(is_in[relay] == when_in), 0.0),
        Kind::Flasher { earth } => {
            // One with an earth of its own does nothing without it; half a volt is what is left over a good one.
            let works = earth.is_none_or(|earth| volts[earth].abs() < 3.0);
            (contact(flashers_lit && works), 0.0)
        }
    }
}

fn matrix(plan: &Plan, laws: &[(f64, f64)]) -> DMatrix<f64> {
    let mut matrix = DMatrix::from_diagonal_element(plan.places, plan.places, LEAK);
    for (row, (siemens, _)) in plan.branches.iter().zip(laws) {
        let (from, to) = (row.from, row.to);
        matrix[(from, from)] += siemens;
        matrix[(to, to)] += siemens;
        matrix[(from, to)] -= siemens;
        matrix[(to, from)] -= siemens;
    }
    // The reference is held at nothing.
    matrix[(plan.reference, plan.reference)] += 1e6;
    matrix
}

fn right_side(plan: &Plan, laws: &[(f64, f64)]) -> DVector<f64> {
    let mut amps = DVector::zeros(plan.places);
    for (row, (_, drives)) in plan.branches.iter().zip(laws) {
        amps[row.from] -= drives;
        amps[row.to] += drives;
    }
    amps
}

/// Every setting: one position for each control.
pub(crate) fn settings(plan: &Plan) -> Vec<Vec<usize>> {
    plan.controls.iter().fold(vec![Vec::new()], |all, (_, positions)| {
        all.iter()
            .flat_map(|setting| {
                (0..positions.len()).map(|at| setting.iter().copied().chain([at]).collect())
            })
            .collect()
    })
}
