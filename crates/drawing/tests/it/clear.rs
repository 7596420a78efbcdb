//! What must be seen on a sheet is not covered.

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
                Subject::Flag(_) | Subject::Tag(_) => whole.and_then(Prim::bounds),
                _ => prim.bounds(),
            };
            found.extend(rect.map(|rect| (item.subject, text.clone(), rect)));
        }
    }
    found
}

fn assert_clear(car: &Car, id: SheetId, options: &Options) {
    let sheet = lay_out(car, id, options);
    let lettering = lettering(&sheet);
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
            let is_own = matches!(subject, Subject::Flag(id) if id == wire);
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
                Subject::Flag(wire) => (None, Some(wire)),
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
