//! The demo cars as a screen shows them at every zoom: all of a rank in one size or none of it, and nothing that is shown
//! covers anything else.

use std::collections::BTreeSet;
use std::sync::Arc;

use loomwright_circuit::{Box2, Car, PartId, Point, SheetId, Version, WireId, load};
use loomwright_drawing::{
    Ink, Item, Legible, Live, LiveWire, Options, Prim, Rank, Sheet, Sight, Subject, Tag, TagShape,
    lay_out,
};

const FILES: [&[u8]; 3] = [
    include_bytes!("../../../../demo-projects/curlew-roadster.loom.json"),
    include_bytes!("../../../../demo-projects/heron-van.loom.json"),
    include_bytes!("../../../../demo-projects/learners-sheet.loom.json"),
];

/// A screen of 96 points to the inch, as much smaller than life as so many hundredths.
pub(crate) fn sight(percent: f64) -> Sight {
    let scale = 96.0 / 25.4 * percent / 100.0;
    Sight { least: 4.0 / scale, plain: 6.0 / scale, easy: 6.0 / scale }
}

pub(crate) const ZOOMS: [f64; 14] =
    [25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 100.0, 150.0];

/// A car in which all wires carry something, each a little more than the one before.
fn live(car: &Car) -> Live {
    let wires = car.wires().keys().enumerate().map(|(n, id)| {
        let amps = 0.4 + 0.37 * n as f64;
        let load = Some((n % 12) as f64 / 10.0);
        (*id, LiveWire { amps: [amps; 2], is_live: n % 3 != 0, load, ..LiveWire::default() })
    });
    Live { wires: wires.collect(), ..Live::default() }
}

fn tags(car: &Car, sheet: SheetId) -> Vec<Tag> {
    let parts = car.parts().iter().filter(|(_, part)| part.sheet == sheet).step_by(7);
    let tag = |(idx, id): (usize, &PartId)| Tag {
        number: idx + 1,
        shape: TagShape::Pointed,
        part: Some(*id),
        wire: None,
    };
    parts.map(|(id, _)| id).enumerate().map(tag).collect()
}

/// A demo car.
pub(crate) fn demo_car(n: usize) -> Car {
    load(FILES[n]).expect("a demo car can be read")
}

/// Each sheet of each demo car as the window lays it out, drawn and tried.
pub(crate) fn each_sheet(mut look: impl FnMut(&str, &Sheet)) {
    for n_car in 0..FILES.len() {
        let car = demo_car(n_car);
        for (n, id) in car.sheets().keys().enumerate() {
            let drawn = Options { has_heading: true, is_for_screen: true, ..Options::default() };
            let (live, version) = (Some(live(&car)), Some(Version::After));
            let tried = Options { live, version, ..drawn.clone() };
            let tagged = Options { tags: tags(&car, *id), ..drawn };
            let name = format!("car {n_car}, sheet {}", n + 1);
            look(&format!("{name}, drawn"), &lay_out(&car, *id, &tagged));
            look(&format!("{name}, tried"), &lay_out(&car, *id, &tried));
        }
    }
}

/// What stands on a sheet: each line of letters, or a whole plate, with its rank, its height on the screen as a share of
/// that which is easily read, and where it is.
struct Shown {
    rank: Option<Rank>,
    text: String,
    height: f64,
    rect: Box2,
    item_idx: usize,
}

fn shown(sheet: &Sheet, legible: &Legible) -> Vec<Shown> {
    let mut all = Vec::new();
    for (item_idx, item) in sheet.items.iter().enumerate() {
        let prims = legible.shown(item);
        let plate = prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
        for prim in prims.iter() {
            all.extend(sign(item, prim).map(|(text, height, rect)| Shown {
                rank: Some(Rank::Polarity),
                text,
                height,
                rect,
                item_idx,
            }));
            let Prim::Text { text, height, ink, .. } = prim else { continue };
            let is_plate =
                matches!(item.subject, Subject::Flag(_) | Subject::Amps(_) | Subject::Tag(_));
            let rect = if is_plate { plate.and_then(Prim::bounds) } else { prim.bounds() };
            let rank = rank(sheet, item, (text, *ink));
            let (text, height) = (text.clone(), *height);
            all.extend(rect.map(|rect| Shown { rank, text, height, rect, item_idx }));
        }
    }
    all
}

/// The level stroke of a plus or a minus beside a terminal, with its length.
fn sign(item: &Item, prim: &Prim) -> Option<(String, f64, Box2)> {
    let Prim::Area { fill: Some(Ink::Ink), .. } = prim else { return None };
    let rect = prim.bounds().filter(|rect| rect.width() > rect.height())?;
    matches!(item.subject, Subject::Label(_)).then(|| ("a sign".to_owned(), rect.width(), rect))
}

fn rank(sheet: &Sheet, item: &Item, (text, ink): (&str, Ink)) -> Option<Rank> {
    match item.subject {
        Subject::Flag(_) => Some(Rank::Wire),
        Subject::Amps(_) => Some(Rank::Amps),
        Subject::Continuation(..) => Some(Rank::Onward),
        Subject::Label(id) => {
            let named = |name: &str| name == text || name == "-" && text == "\u{2212}";
            let is_number = sheet.terminals.iter().any(|(of, name, _)| *of == id && named(name));
            match ink {
                Ink::Ink => Some(Rank::Name),
                _ if is_number => Some(Rank::Terminal),
                _ => None,
            }
        }
        _ => None,
    }
}

#[test]
fn all_of_a_rank_are_shown_in_one_size_or_none_is() {
    let mut n_looked = 0;
    each_sheet(|name, sheet| {
        let all = shown(sheet, &sheet.legible(sight(1_000.0)));
        for percent in ZOOMS {
            let shown = shown(sheet, &sheet.legible(sight(percent)));
            for rank in Rank::ALL {
                let of_rank = shown.iter().filter(|it| it.rank == Some(rank));
                let heights: BTreeSet<u64> =
                    of_rank.clone().map(|it| (it.height * 1e6).round().to_bits()).collect();
                let (n, n_all) =
                    (of_rank.count(), all.iter().filter(|it| it.rank == Some(rank)).count());
                assert!(heights.len() <= 1, "{name} at {percent} %: {rank:?} in {heights:?}");
                assert!(n == 0 || n == n_all, "{name} at {percent} %: {n} of {n_all} {rank:?}");
                n_looked += n;
            }
            let least = sight(percent).least;
            let low = shown.iter().find(|it| it.height < least - 1e-9);
            assert!(low.is_none(), "{name} at {percent} %: {:?}", low.map(|it| &it.text));
        }
    });
    assert!(n_looked > 10_000, "{n_looked}");
}

/// Whoever misses something is told that it is left out, and what.
#[test]
fn what_is_left_out_is_told() {
    let (mut n_ranks, mut n_told) = (0, 0);
    each_sheet(|name, sheet| {
        let all = shown(sheet, &sheet.legible(sight(1_000.0)));
        for percent in ZOOMS {
            let legible = sheet.legible(sight(percent));
            let shown = shown(sheet, &legible);
            let n = |of: &[Shown], rank| of.iter().filter(|it| it.rank == Some(rank)).count();
            let missing = Rank::ALL.into_iter().filter(|it| n(&all, *it) > n(&shown, *it));
            let missing: Vec<Rank> = missing.collect();
            assert_eq!(legible.ranks_left_out(), missing, "{name} at {percent} %");
            n_ranks += missing.len();
        }
        let is_told =
            |wanted: &WireId| sheet.items.iter().any(|item| item.subject == Subject::Amps(*wanted));
        let is_live = sheet.items.iter().any(|item| matches!(item.subject, Subject::Flow(_)));
        for id in sheet.routes.keys().filter(|_| is_live) {
            assert_eq!(sheet.untold.contains(id), !is_told(id), "{name}: {id}");
            n_told += usize::from(is_told(id));
        }
    });
    assert!(n_ranks > 20 && n_told > 140, "{n_ranks} {n_told}");
}

#[test]
fn names_and_numbers_of_wires_are_read_where_a_small_window_shows_a_sheet_whole() {
    let mut missing = Vec::new();
    each_sheet(|name, sheet| {
        let all = sheet.legible(sight(1_000.0));
        for percent in ZOOMS.into_iter().filter(|percent| *percent >= 40.0) {
            let legible = sheet.legible(sight(percent));
            for rank in [Rank::Name, Rank::Wire] {
                if legible.times(rank).is_none() && all.times(rank).is_some() {
                    missing.push(format!("{name} at {percent} %: {rank:?}"));
                }
            }
        }
    });
    assert_eq!(missing, Vec::<String>::new());
}

#[test]
fn which_side_is_plus_is_read_with_the_names_from_thirty_per_cent_on() {
    let (mut missing, mut n_signs) = (Vec::new(), 0);
    each_sheet(|name, sheet| {
        let has_signs = sheet.legible(sight(1_000.0)).times(Rank::Polarity).is_some();
        for percent in ZOOMS.into_iter().filter(|percent| has_signs && *percent >= 30.0) {
            let legible = sheet.legible(sight(percent));
            n_signs +=
                shown(sheet, &legible).iter().filter(|it| it.rank == Some(Rank::Polarity)).count();
            if legible.times(Rank::Polarity).is_none() && legible.times(Rank::Name).is_some() {
                missing.push(format!("{name} at {percent} %"));
            }
        }
    });
    assert!(n_signs > 100, "{n_signs}");
    assert_eq!(missing, Vec::<String>::new());
}

#[test]
fn nothing_that_is_shown_covers_other_letters() {
    let mut covered = Vec::new();
    each_sheet(|name, sheet| {
        for percent in ZOOMS {
            let shown = shown(sheet, &sheet.legible(sight(percent)));
            for (n, one) in shown.iter().enumerate() {
                let others = shown[n + 1..].iter().filter(|it| it.item_idx != one.item_idx);
                let rect = one.rect.grown(-0.01);
                for other in others.filter(|it| it.rect.grown(-0.01).meets(rect)) {
                    let (one, other) = (&one.text, &other.text);
                    covered.push(format!("{name} at {percent} %: '{one}' and '{other}'"));
                }
            }
        }
    });
    assert!(covered.is_empty(), "{}:\n{}", covered.len(), covered.join("\n"));
}

/// How far a rectangle is from a line with square corners, mm.
pub(crate) fn away(rect: Box2, line: &[Point]) -> f64 {
    let each = line.windows(2).filter_map(|pair| Box2::around([pair[0], pair[1]])).map(|at| {
        let x = (at.min.x - rect.max.x).max(rect.min.x - at.max.x).max(0.0);
        let y = (at.min.y - rect.max.y).max(rect.min.y - at.max.y).max(0.0);
        x.hypot(y)
    });
    each.fold(f64::INFINITY, f64::min)
}

#[test]
fn what_flows_is_told_nearer_to_its_own_wire_than_to_any_other() {
    /// From here on a line leads past what is nearer, mm from the middle of that: a wire's light ends well before.
    const LED: f64 = 2.5;
    let (mut doubtful, mut n_told, mut n_beside, mut n_led) = (Vec::new(), 0, 0, 0);
    each_sheet(|name, sheet| {
        for percent in ZOOMS {
            let legible = sheet.legible(sight(percent));
            for item in &sheet.items {
                let Subject::Amps(id) = item.subject else { continue };
                let shown = legible.shown(item);
                let plate = shown.iter().find(|prim| matches!(prim, Prim::Area { .. }));
                let Some(rect) = plate.and_then(Prim::bounds) else { continue };
                let own = away(rect, &sheet.routes[&id]);
                let others = sheet.routes.iter().filter(|(other, _)| **other != id);
                let nearest =
                    others.map(|(_, line)| away(rect, line)).fold(f64::INFINITY, f64::min);
                (n_told, n_beside) = (n_told + 1, n_beside + usize::from(own > 0.0));
                n_led += usize::from(nearest < own);
                if nearest < (own + 0.01).min(LED) && own > 0.0 || nearest <= 0.0 {
                    doubtful.push(format!("{name} at {percent} %: {}, {own:.1}", item.title));
                }
            }
        }
    });
    assert!(n_told > 1_000 && n_beside > 50, "{n_told} {n_beside}");
    assert!(n_led > 20 && n_led * 10 < n_told, "{n_led} of {n_told} are led to");
    assert_eq!(doubtful, Vec::<String>::new());
}

/// The straight lines of a symbol.
fn strokes(item: &Item) -> Vec<Box2> {
    let outlines = item.prims.iter().filter_map(|prim| match prim {
        Prim::Line { points, .. } => Some(points.clone()),
        Prim::Area { points, .. } => Some(points.iter().chain(points.first()).copied().collect()),
        _ => None,
    });
    let lines = outlines.flat_map(|points: Vec<Point>| {
        points.windows(2).map(|pair| Box2::around([pair[0], pair[1]])).collect::<Vec<_>>()
    });
    let lines = lines.flatten();
    lines.filter(|line| line.width() < 0.01 || line.height() < 0.01).collect()
}

#[test]
fn no_line_of_a_symbol_goes_through_the_numbers_of_its_terminals() {
    let mut struck = Vec::new();
    each_sheet(|name, sheet| {
        let symbols = sheet.items.iter().filter(|it| matches!(it.subject, Subject::Part(_)));
        let strokes: Vec<Box2> = symbols.flat_map(|item| strokes(item)).collect();
        let n_struck = |percent: f64| {
            let shown = shown(sheet, &sheet.legible(sight(percent)));
            let numbers = shown.iter().filter(|it| it.rank == Some(Rank::Terminal));
            let is_struck = |it: &&Shown| strokes.iter().any(|line| line.meets(it.rect));
            numbers.filter(is_struck).count()
        };
        let as_drawn = n_struck(1_000.0);
        for percent in ZOOMS {
            let n = n_struck(percent);
            if n > as_drawn {
                struck.push(format!("{name} at {percent} %: {n}, as drawn {as_drawn}"));
            }
        }
    });
    assert_eq!(struck, Vec::<String>::new());
}

#[test]
fn letters_that_grow_cover_no_terminal_and_no_other_symbol() {
    let mut covered = Vec::new();
    each_sheet(|name, sheet| {
        let drawn = shown(sheet, &sheet.legible(sight(1_000.0)));
        let hides = |it: &Shown| {
            let item = &sheet.items[it.item_idx];
            let of_item = |part: &Arc<Item>| part.title == item.title;
            let symbols = sheet.items.iter().filter(|it| matches!(it.subject, Subject::Part(_)));
            let on_symbol =
                symbols.filter(|part| !of_item(part)).any(|part| part.bounds.meets(it.rect));
            on_symbol || sheet.terminals.iter().any(|(.., at)| it.rect.contains(*at))
        };
        let is_ranked = |it: &&Shown| it.rank.is_some();
        let n_drawn = drawn.iter().filter(is_ranked).filter(|it| hides(it)).count();
        for percent in ZOOMS {
            let shown = shown(sheet, &sheet.legible(sight(percent)));
            let n = shown.iter().filter(is_ranked).filter(|it| hides(it)).count();
            if n > n_drawn {
                covered.push(format!("{name} at {percent} %: {n}, as drawn {n_drawn}"));
            }
        }
    });
    assert_eq!(covered, Vec::<String>::new());
}
