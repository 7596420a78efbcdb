//! How full the pages are: none is turned for three lines, but for what leaves the pack.

use std::collections::BTreeSet;

use loomwright_circuit::{Car, Version, load};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_papers::{PackOptions, PageImage, Pages, Paper};
use loomwright_rules::{Report, check_all};

use crate::cars;

const PIXELS_PER_PT: f64 = 0.3;
/// Between head and foot, pixels from the edges of the page: 24 and 21 mm.
const TOP: usize = 20;
const BOTTOM: usize = 18;

fn demo(bytes: &[u8]) -> (Car, Report) {
    let car = load(bytes).expect("a demo car can be read");
    let network = Network::of(&car, Version::After);
    let explored = look_around(&network, Bound::default(), &mut |_| true);
    let report = check_all(&car, &network, &explored);
    (car, report)
}

/// How far down a page is printed, as a share of its room; of one with two columns, on the mean of both.
fn filled(image: &PageImage, n_columns: usize) -> f64 {
    let (first, last) = (TOP, image.height - BOTTOM);
    let width = image.width / n_columns;
    let is_inked = |x: usize, y: usize| {
        let at = 4 * (y * image.width + x);
        image.rgba[at..at + 3].iter().any(|channel| *channel < 200)
    };
    let columns = (0..n_columns).map(|column| {
        let across = || column * width..(column + 1) * width;
        let lowest = (first..last).rev().find(|y| across().any(|x| is_inked(x, *y)));
        lowest.map_or(0.0, |y| (y - first) as f64 / (last - first) as f64)
    });
    columns.sum::<f64>() / n_columns as f64
}

/// Pages that are handed on or cut up, by how their names begin.
const ALONE: [&str; 3] = ["Shopping list", "Fuse card", "Wire labels"];

#[test]
fn no_page_is_turned_for_a_few_lines_but_what_leaves_the_pack() {
    let cars = [
        demo(include_bytes!("../../../../demo-projects/curlew-roadster.loom.json")),
        demo(include_bytes!("../../../../demo-projects/heron-van.loom.json")),
        demo(include_bytes!("../../../../demo-projects/learners-sheet.loom.json")),
        (cars::driving_lamps(), cars::report(&cars::driving_lamps())),
    ];
    let mut thin = Vec::new();
    for (car, report) in &cars {
        let sheets: BTreeSet<&str> = car.sheets().values().map(|row| row.title.as_str()).collect();
        for paper in Paper::ALL {
            let options = PackOptions { paper, ..PackOptions::default() };
            let pages = Pages::set(car, report, &options).expect("pages");
            let n_columns = if paper == Paper::A3 { 2 } else { 1 };
            for (idx, name) in pages.names().iter().enumerate() {
                let is_drawing = sheets.iter().any(|title| name.starts_with(title));
                let may_be_thin = is_drawing || ALONE.iter().any(|alone| name.starts_with(alone));
                // The last page before what leaves the pack ends where there is no more to say.
                let is_end = pages
                    .names()
                    .get(idx + 1)
                    .is_some_and(|next| ALONE.iter().any(|alone| next.starts_with(alone)));
                let share =
                    filled(&pages.render(idx + 1, PIXELS_PER_PT).expect("a page"), n_columns);
                if !may_be_thin && !is_end && share < 1.0 / 3.0 {
                    let car = &car.vehicle().name;
                    thin.push(format!("{car}, {paper:?}, page {}, {name}: {share:.2}", idx + 1));
                }
            }
        }
    }
    assert!(thin.is_empty(), "{}", thin.join("\n"));
}

#[test]
fn the_pack_of_a_small_car_is_a_thin_one() {
    let (car, report) = demo(include_bytes!("../../../../demo-projects/curlew-roadster.loom.json"));
    let pages = Pages::set(&car, &report, &PackOptions::default()).expect("pages");
    // With each section on pages of its own it would take 53. What a wrong reading means, what no promise speaks of, and what
    // burns or slips where it is read take seven of them.
    assert!(pages.n_pages() <= 46, "{:?}", pages.names());
}
