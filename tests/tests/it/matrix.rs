//! The matrix of each step of Newton's method, solved by dense LU of a general library.

use loomwright_electrics::{Network, Settled};
use nalgebra::{DMatrix, DVector};

use crate::bench_car::Bench;
use crate::whole_car;

/// From rest, the first so many controls in their second position.
fn with_on(network: &Network, count: usize) -> Settled {
    let mut setting = network.rest();
    setting.0[..count].fill(1);
    network.moved(&network.at_rest().state, &setting)
}

#[test]
fn the_car_of_24_circuits_is_as_large_as_a_whole_car() {
    let bench = Bench::of(&whole_car::sketch());
    let settled = with_on(&bench.network, whole_car::CIRCUITS);
    let newton = bench.network.newton(&settled.on).expect("its own solution");
    let branches = newton.matrix().iter().filter(|(row, column, _)| row != column).count();
    assert_eq!((newton.size(), branches), (342, 433));
    assert!(bench.network.entries() <= 3 * bench.network.places(), "{}", bench.network.entries());
}

fn dense(n: usize, lower: &[(usize, usize, f64)]) -> DMatrix<f64> {
    let mut dense = DMatrix::<f64>::zeros(n, n);
    for &(row, column, siemens) in lower {
        dense[(row, column)] = siemens;
        dense[(column, row)] = siemens;
    }
    dense
}

#[test]
fn a_step_is_that_of_dense_lu_with_few_and_with_all_circuits_on() {
    let bench = Bench::of(&whole_car::sketch());
    for count in [0, 1, 7, whole_car::CIRCUITS] {
        let settled = with_on(&bench.network, count);
        let mut newton = bench.network.newton(&settled.on).expect("its own solution");
        let (n, changing) = (newton.size(), newton.changing());
        let amps: Vec<f64> = (0..changing).map(|idx| f64::from(u8::from(idx % 5 == 2))).collect();
        // Of all places; nothing flows into those that are not iterated on.
        let mut into = DVector::zeros(n);
        into.rows_mut(n - changing, changing).copy_from_slice(&amps);
        let whole = dense(n, &newton.matrix()).lu().solve(&into).expect("regular");
        let reduced = dense(changing, &newton.reduced()).lu();
        let reduced = reduced.solve(&DVector::from_column_slice(&amps)).expect("regular");
        for (idx, volts) in newton.solve(&amps).iter().enumerate() {
            for expected in [whole[n - changing + idx], reduced[idx]] {
                let off = (volts - expected).abs();
                assert!(off <= 1e-9 * expected.abs(), "{volts} against {expected}");
            }
        }
    }
}

#[test]
fn a_solution_of_another_network_has_no_step_here() {
    let [one, other] = [(); 2].map(|()| Bench::of(&whole_car::sketch()));
    assert!(one.network.newton(&other.network.at_rest().on).is_none());
}
