//! Cars drawn tightly and in haste: nothing is written over anything else. `cargo run -p loomwright-drawing --example
//! crowded -- 300` measures as many of them.

use loomwright_circuit::load;
use loomwright_drawing::OverlapSort;

use crate::composed::{Counts, N_WAYS, measured, over};

/// What is allowed on a hundred sheets, each of some 40 words: grounds behind designations of terminals, where nothing
/// near is free, and strings of tags over something. Hardly anything else is.
const MOST_GROUNDS: usize = 60;
const MOST_STRINGS: usize = 20;
/// But for one word in some ten thousand, on sheets that are full to the brim.
const MOST_OTHERS: usize = 5;

fn assert_few(counts: &Counts, n_cars: usize, all: &[String]) {
    let of = |sort| -> usize {
        counts.iter().filter(|((known, _), _)| *known == sort).map(|(_, count)| *count).sum()
    };
    let n_sheets = n_cars * N_WAYS;
    let (grounds, strings) = (of(OverlapSort::Ground), of(OverlapSort::String));
    let rest = all.len() - grounds - strings;
    let says = || all.join("\n");
    assert!(rest * 100 <= MOST_OTHERS * n_sheets, "{rest} on {n_sheets} sheets:\n{}", says());
    assert!(grounds * 100 <= MOST_GROUNDS * n_sheets, "{grounds} on {n_sheets}:\n{}", says());
    assert!(strings * 100 <= MOST_STRINGS * n_sheets, "{strings} on {n_sheets}:\n{}", says());
}

/// A car that somebody drew by hand with its parts close together, with fixes of the rules in it.
#[test]
fn a_car_drawn_tightly_by_hand_can_be_read() {
    let car = load(include_bytes!("tight.loom.json")).expect("an invented car opens");
    let mut counts = Counts::new();
    let all = measured(0, &car, &mut counts);
    assert_few(&counts, 1, &all);
}

#[test]
fn cars_drawn_in_haste_can_be_read() {
    let (counts, all) = over(0..8);
    assert_few(&counts, 8, &all);
}
