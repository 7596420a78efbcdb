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
