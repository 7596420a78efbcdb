//! Laying out sheets of 50, 500 and 5,000 wires, from nothing and after an edit.

use loomwright_circuit::{Change, Patch, Row, RowId};
use loomwright_drawing::{Options, lay_out, lay_out_again, lay_out_in_hand};

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

/// A part of that car dragged over the sheet, a frame at a time.
#[divan::bench(sample_count = 97, sample_size = 1)]
fn part_in_hand(bencher: divan::Bencher<'_, '_>) {
    let file = include_bytes!("../../../demo-projects/curlew-roadster.loom.json");
    let car = loomwright_circuit::load(file).expect("the demo car is a car file");
    let (id, part) = car.parts().iter().next().expect("a part");
    let (id, part) = (*id, part.clone());
    let sheet = part.sheet;
    let previous = lay_out(&car, sheet, &Options::default());
    let mut step = 0;
    bencher.bench_local(|| {
        step += 1;
        let mut row = part.clone();
        row.place.at.x += 5.0 * f64::from(step % 97) * 0.6;
        row.place.at.y += f64::from((step * 7) % 96) * 1.2;
        let before = Row::Part(part.clone());
        let change =
            Change { row: RowId::Part(id), before: Some(before), after: Some(Row::Part(row)) };
        let mut moved = car.clone();
        moved.apply(&Patch { changes: vec![change], last_id: 1_000_000 });
        lay_out_in_hand(&moved, sheet, &Options::default(), &previous)
    });
}
