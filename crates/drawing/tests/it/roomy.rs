//! Room made on crowded sheets: only places change, and all stays in the order in which it was drawn.

use loomwright_circuit::{Car, Edit, Point, load};
use loomwright_drawing::{Harm, Options, lay_out, overlaps, room_on, stretch};

use crate::hasty::{self, SHEET};

fn tight() -> Car {
    load(include_bytes!("tight.loom.json")).expect("an invented car opens")
}

fn after(car: &Car, edit: Edit) -> Car {
    let mut after = car.clone();
    after.apply(&car.plan(edit).expect("an edit that the car takes"));
    after
}

fn places(car: &Car) -> Vec<Point> {
    car.parts().values().map(|part| part.place.at).collect()
}

/// Whether of any two parts the one still lies on the same side of the other, or still in line with it.
fn is_in_order(before: &[Point], after: &[Point]) -> bool {
    let order = |places: &[Point], a: usize, b: usize| {
        [places[a].x.total_cmp(&places[b].x), places[a].y.total_cmp(&places[b].y)]
    };
    let pairs = (0..before.len()).flat_map(|a| (0..a).map(move |b| (a, b)));
    pairs.into_iter().all(|(a, b)| order(before, a, b) == order(after, a, b))
}

/// As a page at that scale asks for it.
fn on_paper(scale: f64) -> Options {
    Options {
        flag_height: Some(2.5 / scale),
        least_height: Some(2.5 / scale),
        has_sizes: true,
        flags_at_both_ends: true,
        ..Options::default()
    }
}

/// What is covered, in words.
fn covered(car: &Car, options: &Options) -> Vec<String> {
    let overlaps = overlaps(&lay_out(car, SHEET, options)).into_iter();
    // Letters within one symbol are as near as the symbol draws them.
    let apart = overlaps.filter(|overlap| overlap.about[0] != overlap.about[1]);
    let covered = apart.filter(|overlap| overlap.sort.harm() == Harm::Covered);
    covered.map(|overlap| format!("{:?}: {}", overlap.sort, overlap.says)).collect()
}

#[test]
fn room_is_made_where_something_is_covered() {
    let mut n_before = 0;
    for seed in 0..6 {
        let car = hasty::car(seed);
        let options = Options { tags: hasty::tags(&car), ..on_paper(0.6) };
        let before = covered(&car, &options);
        n_before += before.len();
        if before.is_empty() {
            continue;
        }
        let edit = room_on(&car, SHEET, &options).expect("room");
        let roomy = after(&car, edit);
        let still = covered(&roomy, &options);
        assert!(still.is_empty(), "car {seed}, {} before: {still:?}", before.len());
        assert!(is_in_order(&places(&car), &places(&roomy)), "car {seed}");
        assert!(roomy.is_wired_as(&car), "car {seed}");
    }
    assert!(n_before >= 3, "{n_before}");
}

#[test]
fn a_sheet_is_drawn_out_evenly() {
    let car = tight();
    let drawn_out = after(&car, stretch(&car, SHEET, [1.0, 1.5]));
    let (before, after) = (places(&car), places(&drawn_out));
    let top = before.iter().map(|at| at.y).fold(f64::INFINITY, f64::min);
    for (before, after) in before.iter().zip(&after) {
        assert_eq!(after.x, before.x);
        let wanted = top + (before.y - top) * 1.5;
        assert!((after.y - wanted).abs() <= 1.25 + 1e-9, "{} for {wanted}", after.y);
        assert!(((after.y - before.y) / 2.5).fract().abs() < 1e-9, "off the grid");
    }
    assert!(is_in_order(&before, &after));
    assert!(drawn_out.is_wired_as(&car));
}
