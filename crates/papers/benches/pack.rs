//! How long the garage pack takes: of a demo car and of a car of 300 wires, the first time and again after an edit.
//!
//! The first pack is made with nothing remembered, as by one call of the command line; the second is of the same car with
//! another purpose, as after an edit in a window that has made one before.

use divan::Bencher;
use loomwright_papers::{PackOptions, Pages, forget, pack};

use crate::cars::{car, edited};

#[path = "pack/cars.rs"]
mod cars;

/// What the program takes, too.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

/// A fixed piece of work, to compare machines by: sums of square roots.
#[divan::bench]
fn calibration() -> f64 {
    (0..1_000_000_u32).map(|n| f64::from(divan::black_box(n)).sqrt()).sum()
}

const CARS: [&str; 2] = ["demo car", "300 wires"];

#[divan::bench(args = CARS, sample_count = 7, sample_size = 1)]
fn first_pack(bencher: Bencher<'_, '_>, name: &str) {
    let (car, report) = car(name);
    bencher.with_inputs(forget).bench_local_values(|()| {
        pack(&car, &report, &options()).expect("a pack");
    });
}

#[divan::bench(args = CARS, sample_count = 7, sample_size = 1)]
fn second_pack(bencher: Bencher<'_, '_>, name: &str) {
    let (car, report) = car(name);
    forget();
    let mut n_edits = 0;
    pack(&car, &report, &options()).expect("a pack");
    bencher
        .with_inputs(|| {
            n_edits += 1;
            edited(&car, n_edits)
        })
        .bench_local_values(|car| {
            pack(&car, &report, &options()).expect("a pack");
        });
}

/// The pages alone, as the window sets them anew while somebody edits.
#[divan::bench(args = CARS, sample_count = 7, sample_size = 1)]
fn pages_again(bencher: Bencher<'_, '_>, name: &str) {
    let (car, report) = car(name);
    forget();
    let mut n_edits = 0;
    bencher
        .with_inputs(|| {
            n_edits += 1;
            edited(&car, n_edits)
        })
        .bench_local_values(|car| {
            Pages::set(&car, &report, &options()).expect("pages");
        });
}

fn options() -> PackOptions {
    PackOptions { date: "2026-03-31".to_owned(), ..PackOptions::default() }
}
