//! What must be seen on a sheet is not covered.

use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId, Version};
use loomwright_drawing::{Live, LiveWire, Options, Prim, Sheet, Subject, Tag, TagShape, lay_out};

use crate::samples::{driving_lamps, rows};

/// Every line of letters with its rectangle; a flag or tag as a whole.
fn lettering(sheet: &Sheet) -> Vec<(Subject, String, Box2)> {
    let mut found = Vec::new();
    for item in &sheet.items {
        for prim in item.prims.iter() {
            let Prim::Text { text, .. } = prim else { continue };
            let whole = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
            let rect = match item.subject {
                Subject::Flag(_) | Subject::Amps(_) | Subject::Tag(_) => {
                    whole.and_then(Prim::bounds)
                }
                _ => prim.bounds(),
            };
            found.extend(rect.map(|rect| (item.subject, text.clone(), rect)));
        }
    }
    found
}

fn assert_clear(car: &Car, id: SheetId, options: &Options) {
    assert_sheet_clear(&lay_out(car, id, options));
}

fn assert_sheet_clear(sheet: &Sheet) {
    let lettering = lettering(sheet);
    for (idx, (subject, text, rect)) in lettering.iter().enumerate() {
        // Letters inside a symbol belong to the symbol.
        if matches!(subject, Subject::Part(_)) {
            continue;
        }
        for (other, other_text, other_rect) in &lettering[idx + 1..] {
            // A hair's breadth, for rectangles that share an edge.
            let touches = rect.grown(-0.01).meets(other_rect.grown(-0.01));
            let is_one_block = subject == other && rect.centre().x == other_rect.centre().x;
            assert!(
                !touches || is_one_block,
                "'{text}' ({subject:?}) covers '{other_text}' ({other:?})"
            );
        }
        for (part, name, at) in &sheet.terminals {
            assert!(!rect.contains(*at), "'{text}' covers terminal {name} of {part}");
        }
        for (wire, line) in &sheet.routes {
            for corner in line.iter().skip(1).take(line.len().saturating_sub(2)) {
                assert!(!rect.contains(*corner), "'{text}' covers a corner of {wire}");
            }
            let is_own = matches!(subject, Subject::Flag(id) | Subject::Amps(id) if id == wire);
            for pair in line.windows(2) {
                let stretch = Box2::around(pair.iter().copied()).expect("two points");
                let is_covered = !is_own && stretch.meets(*rect);
                assert!(!is_covered, "'{text}' covers a stretch of {wire}");
            }
        }
    }
}

fn tags(car: &Car) -> Vec<Tag> {
    let shapes = [TagShape::Pointed, TagShape::Square, TagShape::Round];
    let parts = car.parts().keys().map(|id| (Some(*id), None));
    let wires = car.wires().keys().map(|id| (None, Some(*id)));
    parts
        .chain(wires)
        .step_by(4)
        .enumerate()
        .map(|(idx, (part, wire))| Tag { number: idx + 1, shape: shapes[idx % 3], part, wire })
        .collect()
}

#[test]
fn a_wire_bears_two_flags_only_where_it_is_long_enough_for_one_wire_with_both() {
    let [mut n_two, mut n_short] = [0; 2];
    for n in 0..3 {
        let car = crate::legible::demo_car(n);
        let options = Options { flags_at_both_ends: true, has_sizes: true, ..Options::default() };
        for id in car.sheets().keys() {
            let sheet = lay_out(&car, *id, &options);
            for (wire, route) in &sheet.routes {
                let flags = sheet.items.iter().filter(|it| it.subject == Subject::Flag(*wire));
                let plates: Vec<Box2> = flags.map(|item| item.bounds).collect();
                let length: f64 = route.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
                let along = plates.iter().map(|it| it.width().max(it.height())).fold(0.0, f64::max);
                n_short += usize::from(length <= 3.4 * along && length > 2.0 * along + 8.0);
                if plates.len() > 1 {
                    n_two += 1;
                    assert!(length > 3.4 * along, "{wire} on {id}: {length:.1} for {along:.1}");
                }
            }
        }
    }
    assert!(n_two > 10 && n_short > 2, "{n_two} with two, {n_short} that would have had room");
}

fn live_wire() -> LiveWire {
    LiveWire { amps: [-12.34; 2], is_live: true, load: Some(0.4), ..LiveWire::default() }
}

fn live(car: &Car) -> Live {
    let wires = car.wires().keys().map(|id| (*id, live_wire()));
    Live { wires: wires.collect(), ..Live::default() }
}

#[test]
fn nothing_written_covers_anything_else() {
    let (pad, sheet) = driving_lamps();
    let plain = Options { has_heading: true, ..Options::default() };
    assert_clear(&pad.car, sheet, &plain);
    assert_clear(&pad.car, sheet, &Options { tags: tags(&pad.car), ..plain.clone() });
    assert_clear(&pad.car, sheet, &Options { flags_at_both_ends: true, ..plain.clone() });
    assert_clear(&pad.car, sheet, &Options { has_sizes: true, ..plain });
    let (pad, sheet) = rows(60);
    assert_clear(&pad.car, sheet, &Options::default());
    assert_clear(&pad.car, sheet, &Options { tags: tags(&pad.car), ..Options::default() });
}

#[test]
fn amps_stand_clear_in_try() {
    let (pad, sheet) = driving_lamps();
    assert_clear(&pad.car, sheet, &Options { live: Some(live(&pad.car)), ..Options::default() });
}

/// What of a wire lies under none of some rectangles, mm.
fn left_to_see(line: &[Point], plates: &[Box2]) -> f64 {
    const STEP: f64 = 0.1;
    let mut seen = 0.0;
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        let mut at = STEP / 2.0;
        while at < length {
            let place = pair[0] + (pair[1] - pair[0]) * (at / length);
            seen += if plates.iter().any(|plate| plate.contains(place)) { 0.0 } else { STEP };
            at += STEP;
        }
    }
    seen
}

#[test]
fn the_plates_of_currents_leave_their_wire_to_be_seen_and_tell_each_figure_once() {
    let (pad, sheet) = driving_lamps();
    let options = Options { live: Some(live(&pad.car)), is_for_screen: true, ..Options::default() };
    let laid = lay_out(&pad.car, sheet, &options);
    let mut n_told = 0;
    for (wire, line) in &laid.routes {
        let plates = |subject| {
            let items = laid.items.iter().filter(move |item| item.subject == subject);
            items
                .filter_map(|item| item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. })))
        };
        let amps = plates(Subject::Amps(*wire)).count();
        assert!(amps <= 1, "{wire} carries the same at both ends and tells it {amps} times");
        let both = plates(Subject::Amps(*wire)).chain(plates(Subject::Flag(*wire)));
        let both: Vec<_> = both.filter_map(Prim::bounds).collect();
        let flag: Vec<_> = plates(Subject::Flag(*wire)).filter_map(Prim::bounds).collect();
        let (seen, before) = (left_to_see(line, &both), left_to_see(line, &flag));
        let is_hidden = seen < before - 0.2 && seen < 6.0;
        assert!(!is_hidden, "{wire}: {seen:.1} mm of {before:.1} left");
        n_told += amps;
    }
    assert!(n_told * 2 > laid.routes.len(), "{n_told} of {}", laid.routes.len());
}

#[test]
fn numbers_of_terminals_stand_in_the_same_places_in_draw_and_try() {
    let (pad, sheet) = driving_lamps();
    let plain = Options { has_heading: true, is_for_screen: true, ..Options::default() };
    let live = Options { live: Some(live(&pad.car)), ..plain.clone() };
    let labels = |options: &Options| {
        let laid = lay_out(&pad.car, sheet, options);
        let items = laid.items.into_iter();
        let labels = items.filter(|item| matches!(item.subject, Subject::Label(_)));
        labels.map(|item| (item.subject, Arc::clone(&item.prims))).collect::<Vec<_>>()
    };
    assert_eq!(labels(&plain), labels(&live));
}

/// In Try as on paper: the number of a terminal is read beside its wire, not in the light of it.
#[test]
fn numbers_of_terminals_stand_clear_of_the_light_of_live_wires() {
    let (pad, sheet) = driving_lamps();
    // What is tried is the car as altered.
    let version = Some(Version::After);
    let lit = Some(live(&pad.car));
    let options = Options { live: lit, is_for_screen: true, version, ..Options::default() };
    let laid = lay_out(&pad.car, sheet, &options);
    let lights: Vec<Box2> = laid.items.iter().flat_map(|item| light(item)).collect();
    let (mut n_numbers, mut lit) = (0, Vec::new());
    for item in &laid.items {
        let Subject::Label(part) = item.subject else { continue };
        for prim in item.prims.iter() {
            let Prim::Text { text, .. } = prim else { continue };
            let is_number =
                laid.terminals.iter().any(|(of, name, _)| *of == part && **name == **text);
            let rect = prim.bounds().expect("letters have a size");
            n_numbers += usize::from(is_number);
            if is_number && lights.iter().any(|light| light.meets(rect)) {
                lit.push(format!("{} {text}", item.title));
            }
        }
    }
    assert!(n_numbers > 10 && lights.len() > 10, "{n_numbers} numbers, {} lights", lights.len());
    assert_eq!(lit, Vec::<String>::new());
}

/// Where the light of a live wire falls, stretch by stretch.
fn light(item: &loomwright_drawing::Item) -> Vec<Box2> {
    if !matches!(item.subject, Subject::UnderWire(_)) {
        return Vec::new();
    }
    let lines = item.prims.iter().filter_map(|prim| match prim {
        Prim::Line { points, width, .. } => Some((points, *width)),
        _ => None,
    });
    let stretches = lines.flat_map(|(points, width)| {
        points
            .windows(2)
            .filter_map(move |pair| Some(Box2::around(pair.iter().copied())?.grown(width / 2.0)))
    });
    stretches.collect()
}

#[test]
fn the_same_car_gives_the_same_sheet() {
    let (pad, sheet) = driving_lamps();
    let options = Options { tags: tags(&pad.car), ..Options::default() };
    assert_eq!(lay_out(&pad.car, sheet, &options), lay_out(&pad.car, sheet, &options));
}

/// How far a point is from a line.
fn distance(line: &[Point], at: Point) -> f64 {
    let to_stretch = |a: Point, b: Point| {
        let (along, to) = (b - a, at - a);
        let squared = along.x * along.x + along.y * along.y;
        let share = if squared > 0.0 { (to.x * along.x + to.y * along.y) / squared } else { 0.0 };
        (a + along * share.clamp(0.0, 1.0)).distance(at)
    };
    line.windows(2).map(|pair| to_stretch(pair[0], pair[1])).fold(f64::INFINITY, f64::min)
}

/// How far a point is from the lines of primitives.
fn from_ink(prims: &[Prim], at: Point) -> f64 {
    let each = prims.iter().map(|prim| match prim {
        Prim::Line { points, .. } => distance(points, at),
        Prim::Area { points, .. } => {
            let closed: Vec<_> = points.iter().chain(points.first()).copied().collect();
            distance(&closed, at)
        }
        Prim::Circle { centre, radius, .. } => {
            (centre.distance(at) - radius).abs().min(centre.distance(at))
        }
        Prim::Text { .. } => f64::INFINITY,
    });
    each.fold(f64::INFINITY, f64::min)
}

#[test]
fn strings_and_leaders_end_on_the_ink_of_what_they_mean() {
    let (pad, sheet) = driving_lamps();
    let tags = tags(&pad.car);
    let options = Options { tags: tags.clone(), flag_height: Some(4.0), ..Options::default() };
    let sheet = lay_out(&pad.car, sheet, &options);
    let prims_of = |subject: Subject| {
        sheet.items.iter().find(|item| item.subject == subject).map(|item| &item.prims)
    };
    let mut n_ends = 0;
    for item in &sheet.items {
        // The dot at the end of a string, or of a leader.
        let dot = item.prims.iter().find_map(|prim| match prim {
            Prim::Circle { centre, .. } => Some(*centre),
            _ => None,
        });
        let (Some(dot), line) = (
            dot,
            match item.subject {
                Subject::Tag(idx) => (tags[idx].part.map(Subject::Part), tags[idx].wire),
                Subject::Flag(wire) | Subject::Amps(wire) => (None, Some(wire)),
                _ => continue,
            },
        ) else {
            continue;
        };
        let off = match line {
            (Some(part), _) => prims_of(part).map_or(0.0, |prims| from_ink(prims, dot)),
            (None, Some(wire)) => distance(&sheet.routes[&wire], dot),
            (None, None) => continue,
        };
        assert!(off < 0.2, "{}: the dot at {dot:?} is {off:.2} mm off", item.title);
        n_ends += 1;
    }
    assert!(n_ends > 4, "{n_ends}");
}

#[test]
fn the_heading_stays_where_tags_and_currents_come_and_go() {
    let (pad, sheet) = driving_lamps();
    let plain = Options { has_heading: true, ..Options::default() };
    let heading = |options: &Options| {
        let laid = lay_out(&pad.car, sheet, options);
        let item = laid.items.iter().find(|item| item.subject == Subject::Heading);
        item.map(|item| item.bounds.min)
    };
    let still = heading(&plain);
    assert!(still.is_some());
    assert_eq!(heading(&Options { tags: tags(&pad.car), ..plain.clone() }), still);
    let live = Options { live: Some(live(&pad.car)), version: Some(Version::After), ..plain };
    assert_eq!(heading(&live), still);
}
