//! The demo cars' sheets as they print: nothing written over anything, and letters that are read at arm's length.

use loomwright_circuit::{Car, Direction, SheetId, Version, WireId, load};
use loomwright_drawing::{Harm, Item, Prim, Subject, Words, overlaps, words};
use loomwright_electrics::{Bound, Network, explore};
use loomwright_rules::{Report, check_all};

use super::fit::Fit;
use super::{lay_out_for_paper, sheet_title};
use crate::{PackOptions, Paper};

const FILES: [(&str, &[u8]); 4] = [
    ("roadster", include_bytes!("../../../../demo-projects/curlew-roadster.loom.json")),
    ("van", include_bytes!("../../../../demo-projects/heron-van.loom.json")),
    // Drawn by hand with its parts too close together: paper makes room.
    ("tight", include_bytes!("../../../drawing/tests/it/tight.loom.json")),
    ("learner", include_bytes!("../../../../demo-projects/learners-sheet.loom.json")),
];

fn cars() -> Vec<(&'static str, Car, Report)> {
    let cars = FILES.iter().map(|(name, bytes)| {
        let car = load(bytes).expect("a demo car can be read");
        let network = Network::of(&car, Version::After);
        let explored = explore(&network, Bound::default(), &mut |_| true);
        let report = check_all(&car, &network, &explored);
        (*name, car, report)
    });
    cars.collect()
}

/// Each sheet of each demo car as it goes on paper, whole and with its alteration alone.
fn each_sheet(mut look: impl FnMut(&str, &Car, &Fit)) {
    for (name, car, report) in &cars() {
        for paper in [Paper::A4, Paper::A3, Paper::Letter] {
            for alteration_only in [false, true] {
                let options = PackOptions { paper, alteration_only, ..PackOptions::default() };
                let drawn = options.drawn(car);
                for id in drawn.sheets().keys() {
                    let laid = lay_out_for_paper(&drawn, report, &options, *id);
                    if laid.fit().sheet.bounds.is_some() {
                        look(&place(name, &drawn, &options, *id), &drawn, laid.fit());
                    }
                }
            }
        }
    }
}

fn place(name: &str, car: &Car, options: &PackOptions, id: SheetId) -> String {
    let what = if options.alteration_only { ALTERATION_OF } else { "" };
    format!("{what}{name}, {}, {}", options.paper.title(), sheet_title(car, id))
}

/// What is written over something else, in words; and what takes a second look.
fn covered(fit: &Fit) -> [Vec<String>; 2] {
    [Harm::Covered, Harm::InTheWay].map(|harm| {
        let overlaps = overlaps(&fit.sheet).into_iter();
        let bad = overlaps.filter(|overlap| overlap.sort.harm() == harm);
        bad.map(|overlap| overlap.says).collect()
    })
}

/// So many words on all of these sheets may take a second look, such as numbers some way off the terminals of a switch
/// that has many.
const MOST_IN_THE_WAY: usize = 9;
const MOST_IN_THE_WAY_OF_ALTERATIONS: usize = 15;
/// How the name begins of a sheet that shows nothing else.
const ALTERATION_OF: &str = "alteration of ";

/// Heights of capitals that are read at arm's length, mm: those of 12 pt letters for the wires of one circuit, and
/// what technical drawings ask for elsewhere.
///
/// # Source
/// ISO 3098-1:2015, nominal heights of lettering: 2.5 mm and 3.5 mm (memory).
const LEAST_CAPITALS: f64 = 2.5;
const LEAST_FLAGS_OF_ONE_CIRCUIT: f64 = 3.0;
/// A sheet with no more wires shows one circuit.
const ONE_CIRCUIT: usize = 12;

/// Letters that are too low to be read at arm's length.
fn low(fit: &Fit) -> Vec<String> {
    let is_one_circuit = fit.sheet.routes.len() <= ONE_CIRCUIT;
    let mut low = Vec::new();
    for item in &fit.sheet.items {
        let is_flag = matches!(item.subject, Subject::Flag(_));
        let least =
            if is_flag && is_one_circuit { LEAST_FLAGS_OF_ONE_CIRCUIT } else { LEAST_CAPITALS };
        for prim in item.prims.iter() {
            let Prim::Text { text, height, .. } = prim else { continue };
            let on_paper = height * fit.scale;
            if on_paper < least - 1e-6 {
                low.push(format!("'{text}' is {on_paper:.2} mm high"));
            }
        }
    }
    low
}

/// Words that no page shows whole.
fn cropped(fit: &Fit) -> Vec<String> {
    let Some(bounds) = fit.sheet.bounds else { return vec!["nothing is drawn".to_owned()] };
    let windows: Vec<_> = (0..fit.columns * fit.rows).map(|idx| fit.window(bounds, idx)).collect();
    let is_whole =
        |words: &&Words<'_>| windows.iter().any(|window| window.union(words.rect) == *window);
    let words = words(&fit.sheet);
    let cut = words.iter().filter(|one| !is_whole(one));
    cut.map(|one| format!("'{}' is cut on every page", one.text)).collect()
}

/// A wire is long that is so many times as long as its flag: two flags then leave more of it to be seen than they hide.
const LONG: f64 = 5.0;

/// Whether a wire stands on this sheet from end to end; others are told once on each of their sheets.
fn is_whole(car: &Car, fit: &Fit, wire: WireId) -> bool {
    let ends = car.wire(wire).map(|wire| wire.ends().map(|end| car.pos_on_sheet(&end.at)));
    ends.is_some_and(|ends| ends.iter().flatten().all(|(sheet, _)| *sheet == fit.id))
}

/// Wires that are not told; and of how many long ones how many are told near both ends, as there is room for.
fn untold(car: &Car, fit: &Fit) -> (Vec<String>, [usize; 2]) {
    let (mut untold, mut n_long, mut n_twice) = (Vec::new(), 0, 0);
    for (wire, line) in &fit.sheet.routes {
        let is_its = |item: &&Item| item.subject == Subject::Flag(*wire);
        let flags: Vec<&Item> = fit.sheet.items.iter().map(AsRef::as_ref).filter(is_its).collect();
        let sides = flags.iter().flat_map(|flag| flag.prims.iter()).filter_map(|prim| match prim {
            Prim::Area { .. } => prim.bounds().map(|rect| rect.max - rect.min),
            _ => None,
        });
        let flag = sides.map(|side| side.x.max(side.y)).fold(0.0, f64::max);
        let n_flags = flags.len();
        let length: f64 = line.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        let is_long = length > LONG * flag && is_whole(car, fit, *wire);
        n_long += usize::from(is_long);
        n_twice += usize::from(is_long && n_flags == 2);
        if !(1..=2).contains(&n_flags) {
            untold.push(format!("{wire}, {:.0} mm, is told {n_flags} times", length * fit.scale));
        }
    }
    (untold, [n_long, n_twice])
}

/// So many numbers of terminals of a hundred may stand otherwise than the rule says, since something is in the way.
const MOST_OFF_THE_RULE: usize = 3;

/// How many numbers of terminals stand above the lead or right of it, and those that stand otherwise.
fn ruled(car: &Car, fit: &Fit) -> (usize, Vec<String>) {
    let (mut n_ruled, mut others) = (0, Vec::new());
    for item in &fit.sheet.items {
        let Subject::Label(id) = item.subject else { continue };
        let (Some(part), Some(part_type)) = (car.part(id), car.type_of(id)) else { continue };
        let terminals = fit.sheet.terminals.iter().filter(|(other, ..)| *other == id);
        for (_, name, at) in terminals {
            let of_it = |prim: &&Prim| matches!(prim, Prim::Text { text, .. } if **text == **name);
            let Some(number) = item.prims.iter().find(of_it).and_then(Prim::bounds) else {
                continue;
            };
            let Some(terminal) = part_type.terminal(name) else { continue };
            let is_ruled = match part.place.direction(terminal.leaves) {
                Direction::Left | Direction::Right => number.max.y < at.y,
                Direction::Up | Direction::Down => number.min.x > at.x,
            };
            n_ruled += usize::from(is_ruled);
            if !is_ruled {
                others.push(format!("{name} of {}", item.title));
            }
        }
    }
    (n_ruled, others)
}

#[test]
fn numbers_of_terminals_stand_by_one_rule() {
    let (mut n_ruled, mut all) = (0, Vec::new());
    each_sheet(|place, car, fit| {
        let (n, others) = ruled(car, fit);
        n_ruled += n;
        all.extend(others.into_iter().map(|what| format!("{place}: {what}")));
    });
    let n_off = all.len();
    assert!(n_ruled > 500, "{n_ruled}");
    assert!(n_off * 100 <= MOST_OFF_THE_RULE * n_ruled, "{n_off}, {n_ruled}:\n{}", all.join("\n"));
}

#[test]
fn all_that_is_written_can_be_read() {
    let (mut all, mut in_the_way) = (Vec::new(), Vec::new());
    let (mut n_circuits, mut n_long, mut n_twice) = (0, 0, 0);
    each_sheet(|place, car, fit| {
        n_circuits += usize::from(fit.sheet.routes.len() <= ONE_CIRCUIT);
        let (untold, [long, twice]) = untold(car, fit);
        (n_long, n_twice) = (n_long + long, n_twice + twice);
        let [covered, doubtful] = covered(fit);
        in_the_way.extend(doubtful.into_iter().map(|what| format!("{place}: {what}")));
        let found = [covered, low(fit), cropped(fit), untold].concat();
        all.extend(found.into_iter().map(|what| format!("{place}: {what}")));
    });
    assert!(all.is_empty(), "{}", all.join("\n"));
    let (altered, whole): (Vec<_>, Vec<_>) =
        in_the_way.into_iter().partition(|told| told.starts_with(ALTERATION_OF));
    let is_far = |told: &&String| told.starts_with("van") && told.ends_with("some way off");
    assert_eq!(whole.iter().find(is_far), None, "every number of the van stands at its terminal");
    for (told, most) in [(whole, MOST_IN_THE_WAY), (altered, MOST_IN_THE_WAY_OF_ALTERATIONS)] {
        assert!(told.len() <= most, "{}", told.join("\n"));
    }
    assert!(n_circuits >= 6, "{n_circuits}");
    assert!(n_long >= 6 && 2 * n_twice > n_long, "{n_twice} of {n_long} long wires are told twice");
}
