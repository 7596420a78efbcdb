//! How the work grows with the car, and how long background work goes on once it is told to end.
//!
//! `cargo bench -p loomwright-electrics --bench growth` fits time ~ wires^x from 100 to 10,000 wires and prints x.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use std::hint::black_box;

use loomwright_circuit::Version;
use loomwright_electrics::{Bound, Losses, Network, explore, survey};

use timing::{Gaps, median, micros, once, product};

#[path = "../tests/it/fleet.rs"]
mod fleet;
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
#[path = "../tests/it/rig.rs"]
mod rig;
#[path = "support/timing.rs"]
mod timing;

const WIRES: [usize; 5] = [100, 320, 1_000, 3_200, 10_000];

/// States visited of each car.
const STATES: Bound = Bound { states: 60 };

fn main() {
    println!("wires      resolve, µs   one state, µs   all on, µs   explored, µs a state");
    let mut points: [Vec<(f64, f64)>; 4] = Default::default();
    for wires in WIRES {
        let times = times(wires);
        let [resolve, state, all_on, explored] = times;
        println!("{wires:6}  {resolve:14.1}  {state:14.1}  {all_on:11.1}  {explored:21.1}");
        for (points, time) in points.iter_mut().zip(times) {
            points.push((wires as f64, time));
        }
    }
    let together: Vec<(f64, f64)> =
        points[0].iter().zip(&points[1]).map(|(a, b)| (a.0, a.1 + b.1)).collect();
    println!("exponent of resolving and one state: {:.2}", exponent(&together));
    let [resolve, state, all_on, explored] = points.map(|points| exponent(&points));
    println!("exponent{resolve:14.2}  {state:14.2}  {all_on:11.2}  {explored:21.2}");
    println!();
    println!("longest time between two questions whether to go on, µs");
    for (wires, controls) in [(500, 9), (260, 30), (5_000, 9), (5_000, 30)] {
        let rig = fleet::car_of(wires, controls);
        let resolved = longest(|goes_on| {
            Network::of_while(&rig.car, Version::After, Losses::USUAL, &mut || goes_on(0))
        });
        let network = rig.network();
        let explored = longest(|goes_on| explore(&network, Bound { states: 500 }, goes_on));
        let surveyed = longest(|goes_on| survey(&network, Bound { states: 500 }, goes_on));
        println!(
            "{wires:6} wires, {controls:2} controls: resolving {resolved:8.0}, exploring {explored:8.0}, surveying {surveyed:8.0}"
        );
    }
    let kernel = median((0..50).map(|_| micros(|| drop(black_box(product())))).collect());
    println!("calibration kernel: {kernel:.1} µs");
}

/// Resolving, a state from nothing, one with everything on, and a state of many; µs.
fn times(wires: usize) -> [f64; 4] {
    let rig = fleet::car(wires);
    let network = rig.network();
    let rest = network.at_rest().state;
    let mut setting = network.rest();
    for (at, control) in setting.0.iter_mut().zip(network.controls()) {
        *at = u8::from(control.positions.len() > 1);
    }
    let typical = |call: &mut dyn FnMut()| median((0..9).map(|_| once(&mut *call)).collect());
    [
        typical(&mut || drop(black_box(Network::of(&rig.car, Version::After)))),
        typical(&mut || drop(black_box(network.at_rest()))),
        typical(&mut || drop(black_box(network.moved(&rest, &setting)))),
        typical(&mut || drop(black_box(explore(&network, STATES, &mut |_| true))))
            / STATES.states as f64,
    ]
}

/// x of time ~ wires^x by least squares.
fn exponent(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> =
        points.iter().map(|(wires, time)| (libm::log(*wires), libm::log(*time))).collect();
    let count = logs.len() as f64;
    let [x, y] = [
        logs.iter().map(|(x, _)| x).sum::<f64>() / count,
        logs.iter().map(|(_, y)| y).sum::<f64>() / count,
    ];
    let over: f64 = logs.iter().map(|(at, time)| (at - x) * (time - y)).sum();
    let under: f64 = logs.iter().map(|(at, _)| (at - x) * (at - x)).sum();
    over / under
}

/// The longest gap between two questions, and to the end: the least of some runs, the machine having other work too.
fn longest<T>(work: impl Fn(&mut dyn FnMut(usize) -> bool) -> T) -> f64 {
    let run = |_| {
        let mut gaps = Gaps::start();
        let explored = work(&mut |_| {
            gaps.ask();
            true
        });
        gaps.ask();
        drop(black_box(explored));
        gaps.longest_micros()
    };
    (0..5).map(run).fold(f64::MAX, f64::min)
}
