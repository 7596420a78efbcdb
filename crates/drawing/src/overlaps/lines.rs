//! Whether lines run through letters and symbols.

use loomwright_circuit::{Box2, Point, WireId};

use super::{Overlap, OverlapSort, Words};
use crate::{Item, Prim, Sheet, Subject};

/// Whether a stretch of a line runs through a rectangle.
fn runs_through(rect: Box2, a: Point, b: Point) -> bool {
    // The stretch is cut down to what lies between the rectangle's sides, one pair after the other.
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let sides =
        [(a.x, b.x - a.x, rect.min.x, rect.max.x), (a.y, b.y - a.y, rect.min.y, rect.max.y)];
    for (start, step, low, high) in sides {
        if step.abs() < 1e-9 {
            if start <= low || start >= high {
                return false;
            }
            continue;
        }
        let (one, other) = ((low - start) / step, (high - start) / step);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from < to
}

/// Whether a line so wide runs through a rectangle.
pub(super) fn is_on_line(rect: Box2, points: &[Point], width: f64) -> bool {
    let rect = rect.grown(width / 2.0);
    points.windows(2).any(|pair| runs_through(rect, pair[0], pair[1]))
}

/// Whether any line of a symbol runs through a rectangle.
pub(super) fn is_inked(rect: Box2, prims: &[Prim]) -> bool {
    prims.iter().any(|prim| match prim {
        Prim::Line { points, .. } => is_on_line(rect, points, 0.0),
        Prim::Area { points, .. } => {
            let next = points.iter().cycle().skip(1);
            points.iter().zip(next).any(|(a, b)| runs_through(rect, *a, *b))
        }
        Prim::Circle { centre, radius, .. } => {
            let nearest = Point::new(
                centre.x.clamp(rect.min.x, rect.max.x),
                centre.y.clamp(rect.min.y, rect.max.y),
            );
            let far = (centre.x - rect.min.x).abs().max((centre.x - rect.max.x).abs());
            let far_y = (centre.y - rect.min.y).abs().max((centre.y - rect.max.y).abs());
            nearest.distance(*centre) < *radius && far.hypot(far_y) > *radius
        }
        Prim::Text { .. } => false,
    })
}

/// Whether a line runs over any line of a symbol.
fn crosses(points: &[Point], prims: &[Prim]) -> bool {
    points.windows(2).any(|pair| {
        // A piece of a string or of a leader is no longer than some millimetres.
        const N_STEPS: u32 = 16;
        (0..=N_STEPS).any(|n| {
            let at = pair[0] + (pair[1] - pair[0]) * (f64::from(n) / f64::from(N_STEPS));
            is_inked(Box2 { min: at, max: at }.grown(0.2), prims)
        })
    })
}

/// Whether two stretches cross.
fn cross(a: [Point; 2], b: [Point; 2]) -> bool {
    let side = |line: [Point; 2], at: Point| {
        let (along, to) = (line[1] - line[0], at - line[0]);
        along.x * to.y - along.y * to.x
    };
    let apart =
        |line: [Point; 2], other: [Point; 2]| side(line, other[0]) * side(line, other[1]) < 0.0;
    apart(a, b) && apart(b, a)
}

/// Strings of tags over letters, and over symbols of others.
pub(super) fn strings(sheet: &Sheet, words: &[Words<'_>]) -> Vec<Overlap> {
    let mut found = Vec::new();
    for (item_idx, item) in sheet.items.iter().enumerate() {
        if !matches!(item.subject, Subject::Tag(_)) {
            continue;
        }
        let Some(Prim::Line { points, .. }) = item.prims.first() else { continue };
        let Some(start) = points.first() else { continue };
        let over = |other, says| Overlap {
            sort: OverlapSort::String,
            about: [item.subject, other],
            at: Box2::around(points.iter().copied()).unwrap_or(item.bounds),
            says: format!("{} over {says}", item.title),
        };
        for one in words.iter().filter(|one| one.item_idx != item_idx) {
            if is_on_line(one.rect, points, 0.0) {
                found.push(over(one.subject, format!("'{}'", one.text)));
            }
        }
        for part in symbols(sheet) {
            // What it is tied to, it starts on.
            let is_own = part.bounds.grown(0.5).contains(*start);
            if !is_own && is_on_line(part.bounds, points, 0.0) && crosses(points, &part.prims) {
                found.push(over(part.subject, part.title.to_string()));
            }
        }
    }
    found
}

/// Strings of tags and lines from names and flags that run over words which are not on the sheet.
pub(super) fn over(words: &Words<'_>, sheet: &Sheet) -> Vec<Overlap> {
    let lines = sheet.items.iter().filter_map(|item| {
        let (sort, points) = match (item.subject, item.prims.first()) {
            (Subject::Tag(_), Some(Prim::Line { points, .. })) => {
                (OverlapSort::String, points.clone())
            }
            _ => (OverlapSort::Leader, leader(item)?.to_vec()),
        };
        is_on_line(words.rect, &points, 0.0).then(|| Overlap {
            sort,
            about: [words.subject, item.subject],
            at: words.rect,
            says: format!("the line of {} over '{}'", item.title, words.text),
        })
    });
    lines.collect()
}

fn symbols(sheet: &Sheet) -> impl Iterator<Item = &Item> {
    sheet.items.iter().map(AsRef::as_ref).filter(|item| matches!(item.subject, Subject::Part(_)))
}

/// The line from a name to its part or from a flag to its wire, where it has one.
pub(super) fn leader(item: &Item) -> Option<[Point; 2]> {
    let is_led = match item.subject {
        Subject::Label(_) => true,
        // The line from a flag ends in a dot on its wire.
        Subject::Flag(_) => item.prims.iter().any(|prim| matches!(prim, Prim::Circle { .. })),
        _ => false,
    };
    item.prims.iter().filter(|_| is_led).find_map(|prim| match prim {
        Prim::Line { points, .. } => Some([*points.first()?, *points.last()?]),
        _ => None,
    })
}

/// Names, and flags, that need a line to what they are of.
pub(super) fn led(sheet: &Sheet) -> impl Iterator<Item = Overlap> + '_ {
    sheet.items.iter().filter(|item| leader(item).is_some()).map(|item| Overlap {
        sort: OverlapSort::Led,
        about: [item.subject; 2],
        at: item.bounds,
        says: item.title.to_string(),
    })
}

/// Lines from names and flags to what they are of over anything else.
pub(super) fn leaders(sheet: &Sheet, words: &[Words<'_>]) -> Vec<Overlap> {
    let items = sheet.items.iter().enumerate();
    let led: Vec<_> = items.filter_map(|(idx, item)| Some((idx, item, leader(item)?))).collect();
    let mut found = Vec::new();
    for (n, (item_idx, item, line)) in led.iter().enumerate() {
        let Some(at) = Box2::around(line.iter().copied()) else { continue };
        let over = |other: Subject, says: &str| Overlap {
            sort: OverlapSort::Leader,
            about: [item.subject, other],
            at,
            says: format!("the line to {} over {says}", item.title),
        };
        for (_, other, other_line) in &led[n + 1..] {
            if cross(*line, *other_line) {
                found.push(over(other.subject, &format!("that to {}", other.title)));
            }
        }
        for one in words.iter().filter(|one| one.item_idx != *item_idx) {
            if is_on_line(one.rect, line, 0.0) {
                found.push(over(one.subject, one.text));
            }
        }
        let others = |wire: &WireId| item.subject != Subject::Flag(*wire);
        for (wire, route) in sheet.routes.iter().filter(|(wire, _)| others(wire)) {
            if route.windows(2).any(|pair| cross(*line, [pair[0], pair[1]])) {
                found.push(over(Subject::Wire(*wire), &format!("wire {wire}")));
            }
        }
        for part in symbols(sheet).filter(|part| !is_of(part, item)) {
            if is_on_line(part.bounds, line, 0.0) && crosses(line, &part.prims) {
                found.push(over(part.subject, &part.title));
            }
        }
    }
    found
}

fn is_of(part: &Item, label: &Item) -> bool {
    matches!((part.subject, label.subject), (Subject::Part(a), Subject::Label(b)) if a == b)
}
