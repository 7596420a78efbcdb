//! What is written over something else on many cars drawn in haste: `cargo run -p loomwright-drawing --example crowded
//! -- 300`.

#[path = "../tests/it/composed.rs"]
mod composed;
#[path = "../tests/it/hasty.rs"]
mod hasty;

#[expect(clippy::print_stdout, reason = "an example says what it finds")]
fn main() {
    let n_cars = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(100);
    let (counts, all) = composed::over(0..n_cars);
    for line in &all {
        println!("{line}");
    }
    println!("{} overlaps on {} sheets", all.len(), n_cars * composed::N_WAYS as u64);
    for ((sort, way), count) in counts {
        println!("{count:6} {sort:?}, {way}");
    }
}
