//! Cars drawn tightly and in haste: nothing is written over anything else. `cargo run -p loomwright-drawing --example
//! crowded -- 300` measures as many of them.

use loomwright_circuit::load;
use loomwright_drawing::Harm;

use crate::composed::{Counts, N_WAYS, measured, over};

/// What is allowed on a hundred sheets in the window, each of some 40 words and drawn by an owner who left no room:
/// what is covered, most of it by strings of tags; and what takes a second look: letters with a ground of their own, lines
/// from names that cross something, numbers some way off their terminals.
const COVERED_IN_WINDOW: usize = 60;
const IN_THE_WAY_IN_WINDOW: usize = 300;
/// On a hundred sheets of paper, which makes room, nothing is covered; and what takes a second look.
const IN_THE_WAY_ON_PAPER: usize = 130;
/// The same of the one car that is drawn as tightly as can be.
const IN_THE_WAY_WHERE_TIGHT: usize = 100;

fn assert_few(counts: &Counts, (n_cars, on_paper_at_most): (usize, usize), all: &[String]) {
    let of = |is_window: bool, harm| -> usize {
        let of = counts
            .iter()
            .filter(|((sort, way), _)| (way == "window") == is_window && sort.harm() == harm);
        of.map(|(_, count)| *count).sum()
    };
    let says = || all.join("\n");
    assert_eq!(of(false, Harm::Covered), 0, "on paper:\n{}", says());
    let on_paper = of(false, Harm::InTheWay) * 100;
    assert!(on_paper <= on_paper_at_most * n_cars * (N_WAYS - 1), "on paper:\n{}", says());
    let [covered, in_the_way] = [Harm::Covered, Harm::InTheWay].map(|harm| of(true, harm) * 100);
    assert!(covered <= COVERED_IN_WINDOW * n_cars, "in the window:\n{}", says());
    assert!(in_the_way <= IN_THE_WAY_IN_WINDOW * n_cars, "in the window:\n{}", says());
}

/// A car that somebody drew by hand with its parts close together, with fixes of the rules in it.
#[test]
fn a_car_drawn_tightly_by_hand_can_be_read() {
    let car = load(include_bytes!("tight.loom.json")).expect("an invented car opens");
    let mut counts = Counts::new();
    let all = measured(0, &car, &mut counts);
    assert_few(&counts, (1, IN_THE_WAY_WHERE_TIGHT), &all);
}

#[test]
fn cars_drawn_in_haste_can_be_read() {
    let (counts, all) = over(0..8);
    assert_few(&counts, (8, IN_THE_WAY_ON_PAPER), &all);
}
