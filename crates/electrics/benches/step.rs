//! One step of Newton's method in a whole car, beside the same matrix refactorised and solved by a general library.
//!
//! `cargo bench -p loomwright-electrics --bench step`: both in one run on one thread, in turns, with the calibration kernel.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use std::hint::black_box;

use loomwright_circuit::Version;
use loomwright_electrics::Network;
use nalgebra::DVector;
use nalgebra_sparse::factorization::CscCholesky;
use nalgebra_sparse::{CooMatrix, CscMatrix};

#[expect(dead_code, reason = "shared with the other benches, which use all of it")]
#[path = "support/timing.rs"]
mod timing;
#[path = "../../../tests/tests/it/whole_car.rs"]
mod whole_car;

use timing::{median, micros, product};

/// Turns of measuring; the median of each is printed.
const TURNS: usize = 400;

fn main() {
    let car = loomwright_sketch::parse(&whole_car::sketch()).expect("a sketch");
    let network = Network::of(&car, Version::After);
    let mut setting = network.rest();
    setting.0.fill(1);
    let settled = network.moved(&network.at_rest().state, &setting);
    let mut newton = network.newton(&settled.on).expect("its own solution");
    let (n, changing) = (newton.size(), newton.changing());
    let mut whole = General::of(n, &newton.matrix());
    let mut reduced = General::of(changing, &newton.reduced());
    let amps: Vec<f64> = (0..changing).map(|idx| (idx % 5) as f64).collect();

    let [mut ours, mut of_whole, mut of_reduced, mut kernel] = [const { Vec::new() }; 4];
    for _ in 0..TURNS {
        ours.push(micros(|| {
            black_box(newton.solve(black_box(&amps)));
        }));
        of_whole.push(micros(|| whole.step()));
        of_reduced.push(micros(|| reduced.step()));
        kernel.push(micros(|| drop(black_box(product()))));
    }
    let [ours, of_whole, of_reduced, kernel] = [ours, of_whole, of_reduced, kernel].map(median);
    println!("{n} places, {changing} of them iterated on");
    println!("one step here:                              {ours:8.2} µs");
    println!("all places by nalgebra-sparse:              {of_whole:8.2} µs");
    println!("those iterated on by nalgebra-sparse:       {of_reduced:8.2} µs");
    println!("ours over theirs: {:.2} and {:.2}", ours / of_whole, ours / of_reduced);
    let states = state_micros(&network);
    println!(
        "one state from nothing, on average of {}:   {states:8.2} µs",
        whole_car::CIRCUITS + 1
    );
    println!("calibration kernel:                         {kernel:8.2} µs");
}

/// A matrix with its factors by the general library.
struct General {
    matrix: CscMatrix<f64>,
    cholesky: CscCholesky<f64>,
    right: DVector<f64>,
    volts: DVector<f64>,
}

impl General {
    fn of(n: usize, lower: &[(usize, usize, f64)]) -> Self {
        let matrix = csc(n, lower);
        let cholesky = CscCholesky::factor(&matrix).expect("positive definite");
        let right = DVector::from_fn(n, |idx, _| (idx % 5) as f64);
        Self { matrix, cholesky, volts: right.clone(), right }
    }

    /// One numeric refactorisation and one solve; where entries are was worked out before.
    fn step(&mut self) {
        self.cholesky.refactor(black_box(self.matrix.values())).expect("positive definite");
        self.volts.copy_from(&self.right);
        self.cholesky.solve_mut(black_box(&mut self.volts));
    }
}

/// Time of a state of the car solved from nothing, on average from none to all circuits on, µs.
fn state_micros(network: &Network) -> f64 {
    let rest = network.at_rest().state;
    let settings = (0..=whole_car::CIRCUITS).map(|count| {
        let mut setting = network.rest();
        setting.0[..count].fill(1);
        setting
    });
    let of = |setting| {
        median((0..40).map(|_| micros(|| drop(network.moved(&rest, &setting)))).collect())
    };
    settings.map(of).sum::<f64>() / (whole_car::CIRCUITS + 1) as f64
}

/// The whole symmetric matrix of its lower half, in the order in which places are eliminated here: the library, which
/// has no ordering of its own, gets a good one for nothing.
fn csc(n: usize, lower: &[(usize, usize, f64)]) -> CscMatrix<f64> {
    let mut entries = CooMatrix::new(n, n);
    for &(row, column, siemens) in lower {
        entries.push(row, column, siemens);
        if row != column {
            entries.push(column, row, siemens);
        }
    }
    CscMatrix::from(&entries)
}
