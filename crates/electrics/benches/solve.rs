//! How long resolving, solving and exploring take, beside a fixed kernel timed in the same run.

use loomwright_circuit::{Car, Change, Patch, Row, RowId, Version, Wire, load};
use loomwright_electrics::{
    Bound, Earlier, Extremes, Network, WhatIf, explore, protection, protection_study, survey,
    survey_again,
};
use loomwright_units::Metres;

#[path = "../tests/it/fleet.rs"]
mod fleet;
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
#[path = "../tests/it/rig.rs"]
mod rig;

fn main() {
    divan::main();
}

/// The measure for all others: a product of two 96 by 96 matrices, written out.
#[divan::bench]
fn calibration(bencher: divan::Bencher<'_, '_>) {
    const N: usize = 96;
    let a: Vec<f64> = (0..N * N).map(|idx| (idx % 17) as f64 * 0.25).collect();
    let b: Vec<f64> = (0..N * N).map(|idx| (idx % 23) as f64 * 0.125).collect();
    bencher.bench(|| {
        let mut c = vec![0.0; N * N];
        for row in 0..N {
            for k in 0..N {
                let factor = divan::black_box(&a)[row * N + k];
                for column in 0..N {
                    c[row * N + column] += factor * b[k * N + column];
                }
            }
        }
        c
    });
}

#[divan::bench(args = [50, 500, 5_000])]
fn resolve(bencher: divan::Bencher<'_, '_>, wires: usize) {
    let rig = fleet::car(wires);
    bencher.bench(|| Network::of(&rig.car, Version::After));
}

/// One state from nothing: first volts guessed, relays settled.
#[divan::bench(args = [50, 500, 5_000])]
fn state(bencher: divan::Bencher<'_, '_>, wires: usize) {
    let network = fleet::car(wires).network();
    bencher.bench(|| network.at_rest());
}

/// The same with every switch on and the indicators working.
#[divan::bench(args = [50, 500, 5_000])]
fn state_with_all_on(bencher: divan::Bencher<'_, '_>, wires: usize) {
    let network = fleet::car(wires).network();
    let rest = network.at_rest().state;
    let mut setting = network.rest();
    for (at, control) in setting.0.iter_mut().zip(network.controls()) {
        *at = u8::from(control.positions.len() > 1);
    }
    bencher.bench(|| network.moved(&rest, &setting));
}

/// All 1,536 settings with both phases of the flasher.
#[divan::bench(args = [120, 500], sample_count = 10)]
fn explore_1536_states(bencher: divan::Bencher<'_, '_>, wires: usize) {
    let network = fleet::car(wires).network();
    bencher.bench(|| explore(&network, Bound::default(), &mut |_| true));
}

fn roadster() -> Car {
    load(include_bytes!("../../../demo-projects/curlew-roadster.loom.json")).expect("it loads")
}

/// The demo car that opens by default: resolved and solved at rest, as after an edit.
#[divan::bench]
fn roadster_resolve_and_solve(bencher: divan::Bencher<'_, '_>) {
    let car = roadster();
    bencher.bench(|| Network::of(&car, Version::After).at_rest());
}

/// All reachable states of that car.
#[divan::bench(sample_count = 20)]
fn roadster_explore(bencher: divan::Bencher<'_, '_>) {
    let network = Network::of(&roadster(), Version::After);
    bencher.bench(|| explore(&network, Bound::default(), &mut |_| true));
}

/// The extremes of that car by its circuits.
#[divan::bench(sample_count = 20)]
fn roadster_survey(bencher: divan::Bencher<'_, '_>) {
    let network = Network::of(&roadster(), Version::After);
    bencher.bench(|| survey(&network, Bound::default(), &mut |_| true));
}

/// The protection study of that car: every wire touching the body.
#[divan::bench(sample_count = 20)]
fn roadster_protection_study(bencher: divan::Bencher<'_, '_>) {
    let network = Network::of(&roadster(), Version::After);
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    bencher.bench(|| protection_study(&network, &surveyed, &mut || true));
}

/// The extremes of that car again after a lead was made longer.
#[divan::bench(args = ["Horn", "Left front indicator", "Left headlamp"], sample_count = 20)]
fn roadster_survey_again(bencher: divan::Bencher<'_, '_>, lamp: &str) {
    let mut car = roadster();
    let before = Network::of(&car, Version::After);
    let found = survey(&before, Bound::default(), &mut |_| true);
    lengthen_a_lead(&mut car, lamp);
    let earlier = Earlier { network: &before, exploration: &found };
    bencher.bench(|| {
        let after = Network::of(&car, Version::After);
        survey_again(&after, earlier, Bound::default(), &mut |_| true)
    });
}

/// Makes a lead of a part half a metre longer.
fn lengthen_a_lead(car: &mut Car, part: &str) {
    let lamp = car.part_labelled(part).expect("it has one").0;
    let at_lamp = |wire: &&Wire| wire.ends().iter().any(|end| end.at.part() == Some(lamp));
    let lead = car.wires().values().find(at_lamp).expect("it is wired").clone();
    let id = *car.wires().iter().find(|(_, wire)| **wire == lead).expect("just found").0;
    let length = lead.length.map(|length| Metres(length.0 + 0.5));
    let after = Row::Wire(Wire { length, ..lead.clone() });
    let change = Change { row: RowId::Wire(id), before: Some(Row::Wire(lead)), after: Some(after) };
    car.apply(&Patch { changes: vec![change], last_id: 0 });
}

/// Every single fault of that car, in the states that its survey visits.
#[divan::bench(sample_count = 5)]
fn roadster_single_faults(bencher: divan::Bencher<'_, '_>) {
    let network = Network::of(&roadster(), Version::After);
    let surveyed = survey(&network, Bound::default(), &mut |_| true);
    let faults = network.single_faults();
    bencher.bench(|| {
        let mut what_if = WhatIf::new(&network, &surveyed);
        faults.iter().map(|fault| what_if.of(fault).visits.len()).sum::<usize>()
    });
}

/// Thirty-one controls, more than a thousand million settings.
#[divan::bench(sample_count = 20)]
fn survey_of_30_controls(bencher: divan::Bencher<'_, '_>) {
    let network = fleet::car_of(260, 30).network();
    bencher.bench(|| survey(&network, Bound::default(), &mut |_| true));
}

/// A thousand states of a large car.
#[divan::bench(sample_count = 3)]
fn explore_1000_states_of_5000_wires(bencher: divan::Bencher<'_, '_>) {
    let network = fleet::car(5_000).network();
    bencher.bench(|| explore(&network, Bound { states: 1_000 }, &mut |_| true));
}

#[divan::bench(sample_count = 10)]
fn extremes_of_1536_states(bencher: divan::Bencher<'_, '_>) {
    let network = fleet::car(120).network();
    let explored = explore(&network, Bound::default(), &mut |_| true);
    bencher.bench(|| Extremes::of(&network, &explored));
}

#[divan::bench(args = [120, 500])]
fn guards(bencher: divan::Bencher<'_, '_>, wires: usize) {
    let network = fleet::car(wires).network();
    bencher.bench(|| protection(&network));
}
