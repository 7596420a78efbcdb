//! Packs made in a row, with what each takes and the most memory that the process has had:
//! `cargo run --release -p loomwright-papers --example packs -- "300 wires" 5`.
#![expect(clippy::disallowed_methods, reason = "it measures time and memory")]

use std::time::Instant;

use loomwright_papers::{PackOptions, pack};

#[path = "../benches/pack/cars.rs"]
mod cars;

/// What the program takes, too.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

#[expect(clippy::print_stdout, reason = "an example says what it finds")]
fn main() {
    let mut args = std::env::args().skip(1);
    let name = args.next().unwrap_or_else(|| "demo car".to_owned());
    let n_packs = args.next().and_then(|n| n.parse().ok()).unwrap_or(1);
    let (car, report) = cars::car(&name);
    for n in 1..=n_packs {
        let car = cars::edited(&car, n);
        let from = Instant::now();
        let made = pack(&car, &report, &PackOptions::default()).expect("a pack");
        println!("pack {n}: {} ms, {} drawings", from.elapsed().as_millis(), made.drawings.len());
    }
    // Linux alone tells it so.
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find(|line| line.starts_with("VmHWM"));
    println!("{}", peak.unwrap_or("the most memory is not known here"));
}
