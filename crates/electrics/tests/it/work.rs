//! Work done, in counts: solves, iterations, allocations, questions whether to go on. Times are the benches' business.

use loomwright_circuit::{Version, load};
use loomwright_electrics::{Bound, Exploration, Network, explore, survey};

use crate::fleet;

#[path = "../../../../tests/tests/it/whole_car.rs"]
mod whole_car;

fn whole_car() -> Network {
    let car = loomwright_sketch::parse(&whole_car::sketch()).expect("a sketch");
    Network::of(&car, Version::After)
}

fn roadster() -> Network {
    let bytes = include_bytes!("../../../../demo-projects/curlew-roadster.loom.json");
    Network::of(&load(bytes).expect("it loads"), Version::After)
}

#[test]
fn the_roadster_is_surveyed_with_few_solves() {
    let surveyed = survey(&roadster(), Bound::default(), &mut |_| true);
    let (work, visits) = (surveyed.work, surveyed.visits.len() as u64);
    assert!(visits <= 850, "{visits}");
    assert!(work.solves <= 2_100, "{work:?}");
    assert!(work.iterations <= 6_000, "{work:?}");
}

#[test]
fn thirty_one_controls_are_surveyed_with_few_solves() {
    let network = fleet::car_of(260, 30).network();
    assert_eq!(network.controls().len(), 31);
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let (work, visits) = (surveyed.work, surveyed.visits.len() as u64);
    assert!(surveyed.is_exact());
    assert!(visits <= 200, "{visits}");
    assert!(work.solves <= 380, "{work:?}");
    assert!(work.iterations <= 1_100, "{work:?}");
}

#[test]
fn each_iteration_is_one_factorisation() {
    // Without relays and flashers each state is one solve, and a solution tells its iterations.
    let network = whole_car();
    let explored = explore(&network, Bound { states: 400 }, &mut |_| true);
    let told: u32 = explored.visits.iter().map(|visit| visit.settled.on.iterations).sum();
    assert_eq!(explored.work.solves, explored.visits.len() as u64);
    assert_eq!(explored.work.iterations, u64::from(told));
    assert!(explored.work.iterations <= 4 * explored.work.solves, "{:?}", explored.work);
}

#[test]
fn iterations_allocate_nothing() {
    let network = whole_car();
    let rest = network.at_rest().state;
    let mut met = Vec::new();
    for count in 0..=whole_car::CIRCUITS {
        let mut setting = network.rest();
        setting.0[..count].fill(1);
        let mut iterations = 0;
        let info = allocation_counter::measure(|| {
            iterations = network.moved(&rest, &setting).on.iterations;
        });
        met.push((iterations, info.count_total));
    }
    let least = met.iter().min().expect("some");
    let most = met.iter().max().expect("some");
    assert!(least.0 < most.0, "all states take as many iterations: {met:?}");
    assert!(met.iter().all(|(_, allocations)| *allocations == least.1), "{met:?}");

    let settled = network.moved(&rest, &network.rest());
    let mut newton = network.newton(&settled.on).expect("its own solution");
    let amps = vec![1.0; newton.changing()];
    let info = allocation_counter::measure(|| {
        newton.solve(&amps);
    });
    assert_eq!(info.count_total, 0);
}

/// Ends the work at its so many-th question.
fn ended_at(
    last: u64,
    work: impl Fn(&mut dyn FnMut(usize) -> bool) -> Exploration,
) -> (u64, Exploration) {
    let mut asked = 0;
    let ended = work(&mut |_| {
        asked += 1;
        asked < last
    });
    (asked, ended)
}

#[test]
fn work_ends_at_the_question_that_is_answered_with_no() {
    let cars = [fleet::car(120).network(), fleet::car_of(260, 30).network(), roadster()];
    for network in &cars {
        let all = Bound { states: 300 };
        for last in (1..400).step_by(7) {
            for (asked, ended) in [
                ended_at(last, |goes_on| explore(network, all, goes_on)),
                ended_at(last, |goes_on| survey(network, all, goes_on)),
            ] {
                assert_eq!(asked, last, "it is asked again after a no, or not often enough");
                assert!(!ended.is_complete && !ended.is_exact());
                // Only the first guess at the volts of the state at rest is made unasked.
                assert!(ended.work.iterations <= asked + 1, "{:?} at {asked}", ended.work);
            }
        }
    }
}
