//! Sheets that somebody drew in haste, where they are parted and where only the alteration is drawn: nothing is written
//! over anything there either.

#[path = "../../../drawing/tests/it/hasty.rs"]
#[expect(dead_code, reason = "the drawing's tests ask it for more")]
mod hasty;

use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, Version};
use loomwright_drawing::{Harm, Item, Overlap, Sheet, Subject, overlaps, stretch};
use loomwright_electrics::{Bound, Network, explore};
use loomwright_rules::{Report, check_all};

use super::fit::Fit;
use super::{lay_out_for_paper, part_items, used};
use crate::PackOptions;

const N_CARS: u64 = 6;
/// So many times as far apart, across and down, parts take more than a page.
const LARGER: [f64; 2] = [3.0, 3.0];
/// What may take a second look on all of these pages together, such as numbers some way off their terminals.
const IN_THE_WAY_ON_PARTS: usize = 40;
const IN_THE_WAY_OF_ALTERATION: usize = 10;

fn report(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let explored = explore(&network, Bound::default(), &mut |_| true);
    check_all(car, &network, &explored)
}

/// Each page of a sheet as it is painted.
fn pages(car: &Car, fit: &Fit) -> Vec<Sheet> {
    let Some(bounds) = fit.sheet.bounds else { return Vec::new() };
    if fit.is_whole() {
        return vec![(*fit.sheet).clone()];
    }
    let page = |place: usize| {
        let window = fit.window(bounds, place);
        let mut sheet = (*fit.sheet).clone();
        sheet.items = part_items(car, fit, bounds, place);
        sheet.terminals.retain(|(.., at)| window.contains(*at));
        sheet
    };
    used(fit, bounds).into_iter().map(page).collect()
}

/// What is in the way on these pages, in words: what is covered, and what takes a second look.
fn told(place: &str, pages: &[Sheet]) -> [Vec<String>; 2] {
    let all: Vec<Overlap> = pages.iter().flat_map(overlaps).collect();
    [Harm::Covered, Harm::InTheWay].map(|harm| {
        let bad = all.iter().filter(|overlap| overlap.sort.harm() == harm);
        bad.map(|overlap| format!("{place}: {:?}: {}", overlap.sort, overlap.says)).collect()
    })
}

/// Nothing is covered, and no more than so much takes a second look.
fn assert_clear(all: Vec<[Vec<String>; 2]>, n_pages: usize, most: usize) {
    let (covered, in_the_way): (Vec<_>, Vec<_>) =
        all.into_iter().map(|[covered, doubtful]| (covered, doubtful)).unzip();
    let (covered, in_the_way) = (covered.concat(), in_the_way.concat());
    for (told, most) in [(covered, 0), (in_the_way, most)] {
        let n = told.len();
        assert!(n <= most, "{n} on {n_pages} pages:\n{}", told.join("\n"));
    }
}

/// Wires of which so much shows on a page are told there, mm.
const SHOWN: f64 = 15.0;

/// Wires of which much shows on a page that does not tell them.
fn untold(fit: &Fit, pages: &[Sheet]) -> Vec<String> {
    let Some(bounds) = fit.sheet.bounds else { return Vec::new() };
    let mut untold = Vec::new();
    for (page, place) in pages.iter().zip(used(fit, bounds)) {
        let window = fit.window(bounds, place);
        let shown = |pair: &[Point]| {
            let inside = |at: Point| {
                let [min, max] = [window.min, window.max];
                Point::new(at.x.clamp(min.x, max.x), at.y.clamp(min.y, max.y))
            };
            let stretch = Box2::around(pair.iter().copied()).filter(|it| it.meets(window));
            stretch.map_or(0.0, |_| inside(pair[0]).distance(inside(pair[1])))
        };
        for (wire, route) in &page.routes {
            let length: f64 = route.windows(2).map(shown).sum();
            let is_its = |item: &&Arc<Item>| item.subject == Subject::Flag(*wire);
            let flags = page.items.iter().filter(is_its);
            let is_told = flags.into_iter().any(|flag| window.union(flag.bounds) == window);
            if length * fit.scale > SHOWN && !is_told {
                untold.push(format!("{wire}, {length:.0} mm, on part {}", place + 1));
            }
        }
    }
    untold
}

#[test]
fn each_page_of_a_sheet_in_parts_tells_the_wires_that_it_shows() {
    let (mut all, mut n_pages) = (Vec::new(), 0);
    for seed in 0..N_CARS {
        let (car, options) = (large(seed), PackOptions::default());
        let laid = lay_out_for_paper(&car, &report(&car), &options, hasty::SHEET);
        let pages = pages(&car, laid.fit());
        n_pages += pages.len();
        all.extend(untold(laid.fit(), &pages).into_iter().map(|it| format!("car {seed}: {it}")));
    }
    assert!(n_pages >= 20, "{n_pages}");
    assert!(all.is_empty(), "{} on {n_pages} pages:\n{}", all.len(), all.join("\n"));
}

/// The same car with its parts so far apart that no page shows the sheet whole.
fn large(seed: u64) -> Car {
    let mut car = hasty::car(seed);
    let patch = car.plan(stretch(&car, hasty::SHEET, LARGER)).expect("places on the sheet");
    car.apply(&patch);
    car
}

#[test]
fn a_sheet_in_parts_can_be_read_at_its_cuts() {
    let (mut all, mut n_pages) = (Vec::new(), 0);
    for seed in 0..N_CARS {
        let (car, options) = (large(seed), PackOptions::default());
        let laid = lay_out_for_paper(&car, &report(&car), &options, hasty::SHEET);
        assert!(!laid.fit().is_whole(), "car {seed} stands on one page");
        let pages = pages(&car, laid.fit());
        n_pages += pages.len();
        all.push(told(&format!("car {seed}"), &pages));
    }
    assert!(n_pages >= 20, "{n_pages}");
    assert_clear(all, n_pages, IN_THE_WAY_ON_PARTS);
}

#[test]
fn the_alteration_alone_can_be_read() {
    let (mut all, mut n_pages) = (Vec::new(), 0);
    for seed in 0..N_CARS {
        let car = hasty::car(seed);
        let options = PackOptions { alteration_only: true, ..PackOptions::default() };
        let (report, drawn) = (report(&car), options.drawn(&car));
        let laid = lay_out_for_paper(&drawn, &report, &options, hasty::SHEET);
        let pages = pages(&drawn, laid.fit());
        n_pages += pages.len();
        all.push(told(&format!("car {seed}"), &pages));
    }
    assert!(n_pages >= 6, "{n_pages}");
    assert_clear(all, n_pages, IN_THE_WAY_OF_ALTERATION);
}
