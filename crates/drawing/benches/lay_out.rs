//! Laying out sheets of 50, 500 and 5,000 wires, from nothing and after an edit.

use loomwright_drawing::{Options, lay_out, lay_out_again};

#[expect(dead_code, reason = "the tests use the rest")]
#[path = "../tests/it/samples.rs"]
mod samples;

fn main() {
    divan::main();
}

#[divan::bench(args = [50, 500, 5_000], sample_count = 10)]
fn from_nothing(bencher: divan::Bencher<'_, '_>, n_wires: usize) {
    let (pad, sheet) = samples::rows(n_wires);
    bencher.bench(|| lay_out(&pad.car, sheet, &Options::default()));
}

#[divan::bench(args = [50, 500, 5_000], sample_count = 10)]
fn after_an_edit(bencher: divan::Bencher<'_, '_>, n_wires: usize) {
    let (pad, sheet) = samples::rows(n_wires);
    let previous = lay_out(&pad.car, sheet, &Options::default());
    bencher.bench(|| lay_out_again(&pad.car, sheet, &Options::default(), &previous));
}

/// Every sheet of the open two-seater, from nothing: what each edit and each frame of a drag costs.
#[divan::bench(sample_count = 20)]
fn demo_sheets(bencher: divan::Bencher<'_, '_>) {
    let file = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");
    let car = loomwright_circuit::load(file).expect("the demo car is a car file");
    bencher.bench(|| {
        for sheet in car.sheets().keys() {
            divan::black_box(lay_out(&car, *sheet, &Options::default()));
        }
    });
}
