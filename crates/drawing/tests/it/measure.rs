//! What on a sheet is written over something else.

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, PartId, Point};
use loomwright_drawing::{Ink, Item, Prim, Sheet, Subject};

/// Sorts of overlap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Sort {
    /// Letters on letters, a flag or a tag among them.
    Words,
    /// Letters on a symbol.
    Symbol,
    /// Letters on a cable.
    Wire,
    /// Letters on the edge of the over-ink of what is to fit.
    OverInk,
    /// Letters on a terminal.
    Terminal,
    /// Letters with a ground of their own, since nothing near was free: a last resort.
    Ground,
    /// A name that stands nearer to another part of its kind than to its own, without a line to it.
    WhoseName,
    /// The string of a tag over letters or over a symbol that it is not tied to.
    String,
}

/// A line of letters, or a whole flag or tag.
struct Words<'a> {
    item_idx: usize,
    subject: Subject,
    text: &'a str,
    rect: Box2,
    /// Whether a ground of paper lies behind the letters.
    has_ground: bool,
}

/// A hair's breadth: what shares an edge does not cover.
const HAIR: f64 = 0.05;

fn words(sheet: &Sheet) -> Vec<Words<'_>> {
    let mut found = Vec::new();
    for (item_idx, item) in sheet.items.iter().enumerate() {
        for prim in item.prims.iter() {
            let Prim::Text { text, .. } = prim else { continue };
            let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
            let rect = match item.subject {
                Subject::Flag(_) | Subject::Tag(_) => plate.and_then(Prim::bounds),
                _ => prim.bounds(),
            };
            let subject = item.subject;
            let Some(rect) = rect.map(|rect| rect.grown(-HAIR)) else { continue };
            let has_ground = matches!(subject, Subject::Label(_))
                && item.prims.iter().filter(|prim| is_ground(prim)).any(|ground| {
                    ground.bounds().is_some_and(|ground| ground.union(rect) == ground)
                });
            found.push(Words { item_idx, subject, text, rect, has_ground });
        }
    }
    found
}

/// Whether a stretch of a line runs through a rectangle.
pub(crate) fn runs_through(rect: Box2, a: Point, b: Point) -> bool {
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

fn is_on_line(rect: Box2, points: &[Point], width: f64) -> bool {
    let rect = rect.grown(width / 2.0);
    points.windows(2).any(|pair| runs_through(rect, pair[0], pair[1]))
}

/// Whether any line of a symbol runs through a rectangle.
fn is_inked(rect: Box2, prims: &[Prim]) -> bool {
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

/// All that is written over something else, with words that say what.
pub(crate) fn clashes(sheet: &Sheet) -> Vec<(Sort, String)> {
    let words = words(sheet);
    let mut found = Vec::new();
    for (idx, one) in words.iter().enumerate() {
        let is_symbol = matches!(one.subject, Subject::Part(_));
        for other in &words[idx + 1..] {
            let is_block = one.item_idx == other.item_idx && !is_symbol;
            // Letters of one row of a symbol that all but touch are read as one word.
            let apart = if one.item_idx == other.item_idx { 0.8 } else { 0.0 };
            if !is_block && one.rect.grown(apart).meets(other.rect) {
                found.push((Sort::Words, format!("'{}' and '{}'", one.text, other.text)));
            }
        }
        if is_symbol || one.subject == Subject::Heading {
            let own = &sheet.items[one.item_idx];
            if is_symbol && one.text.chars().count() > 1 && is_inked(one.rect, &own.prims) {
                found.push((Sort::Symbol, format!("'{}' and its own {}", one.text, own.title)));
            }
            continue;
        }
        // What has a ground is counted by that.
        if one.has_ground {
            continue;
        }
        for item in &sheet.items {
            found.extend(on_item(one, item));
        }
        for (part, name, at) in &sheet.terminals {
            if one.rect.contains(*at) {
                found.push((
                    Sort::Terminal,
                    format!("'{}' and terminal {name} of {part}", one.text),
                ));
            }
        }
    }
    found.extend(grounds(sheet));
    found.extend(strings(sheet, &words));
    found.extend(whose(sheet));
    found
}

fn on_item(one: &Words<'_>, item: &Item) -> Option<(Sort, String)> {
    let line = |prim: &Prim| match prim {
        Prim::Line { points, width, .. } => is_on_line(one.rect, points, *width),
        _ => false,
    };
    let is_covered =
        |sort| (sort, format!("'{}' and {}, {:?}", one.text, item.title, item.subject));
    match item.subject {
        Subject::Part(_) => is_inked(one.rect, &item.prims).then(|| is_covered(Sort::Symbol)),
        Subject::Wire(id) if one.subject != Subject::Flag(id) => {
            // The first line of a wire is its casing.
            let casing = item.prims.first().filter(|prim| matches!(prim, Prim::Line { .. }))?;
            line(casing).then(|| is_covered(Sort::Wire))
        }
        Subject::UnderWire(id) if one.subject != Subject::Flag(id) => {
            let is_over_ink = |prim: &&Prim| matches!(prim, Prim::Line { ink: Ink::ToFit, .. });
            item.prims.iter().filter(is_over_ink).any(line).then(|| is_covered(Sort::OverInk))
        }
        _ => None,
    }
}

fn is_ground(prim: &Prim) -> bool {
    matches!(prim, Prim::Area { fill: Some(Ink::Paper), .. })
}

/// Letters of parts that were given a ground.
fn grounds(sheet: &Sheet) -> Vec<(Sort, String)> {
    let labels = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Label(_)));
    let grounds = labels.flat_map(|item| {
        item.prims
            .iter()
            .filter(|prim| is_ground(prim))
            .map(|_| (Sort::Ground, item.title.to_string()))
    });
    grounds.collect()
}

/// Strings of tags over letters, and over symbols of others.
fn strings(sheet: &Sheet, words: &[Words<'_>]) -> Vec<(Sort, String)> {
    let mut found = Vec::new();
    for (item_idx, item) in sheet.items.iter().enumerate() {
        if !matches!(item.subject, Subject::Tag(_)) {
            continue;
        }
        let Some(Prim::Line { points, .. }) = item.prims.first() else { continue };
        let Some(start) = points.first() else { continue };
        for one in words.iter().filter(|one| one.item_idx != item_idx) {
            if is_on_line(one.rect, points, 0.0) {
                found.push((Sort::String, format!("{} over '{}'", item.title, one.text)));
            }
        }
        for part in sheet.items.iter().filter(|item| matches!(item.subject, Subject::Part(_))) {
            // What it is tied to, it starts on.
            let is_own = part.bounds.grown(0.5).contains(*start);
            if !is_own && is_on_line(part.bounds, points, 0.0) && crosses(points, &part.prims) {
                found.push((Sort::String, format!("{} over {}", item.title, part.title)));
            }
        }
    }
    found
}

/// Whether a line runs over any line of a symbol.
fn crosses(points: &[Point], prims: &[Prim]) -> bool {
    points.windows(2).any(|pair| {
        // A piece of a string is no longer than some millimetres.
        const N_STEPS: u32 = 16;
        (0..=N_STEPS).any(|n| {
            let at = pair[0] + (pair[1] - pair[0]) * (f64::from(n) / f64::from(N_STEPS));
            is_inked(Box2 { min: at, max: at }.grown(0.2), prims)
        })
    })
}

/// Names without a line to their part that stand nearer to another.
fn whose(sheet: &Sheet) -> Vec<(Sort, String)> {
    let symbols: BTreeMap<PartId, (&Item, Box2)> = sheet
        .items
        .iter()
        .filter_map(|item| match item.subject {
            Subject::Part(id) => Some((id, (item, item.bounds))),
            _ => None,
        })
        .collect();
    let kind = |item: &Item| {
        let words = item.title.split(", ").filter(|word| !word.starts_with("to "));
        words.last().unwrap_or_default().to_owned()
    };
    let mut found = Vec::new();
    for item in &sheet.items {
        let Subject::Label(id) = item.subject else { continue };
        let Some((own, body)) = symbols.get(&id) else { continue };
        if item.prims.iter().any(|prim| matches!(prim, Prim::Line { .. })) {
            continue;
        }
        // The name itself is written in full ink; its figures stand in line with it.
        let line = item.prims.iter().find_map(|prim| match prim {
            Prim::Text { ink: Ink::Ink, at, .. } => Some(at.x),
            _ => None,
        });
        let name = item.prims.iter().filter_map(|prim| match prim {
            Prim::Text { at, .. } if Some(at.x) == line => prim.bounds(),
            _ => None,
        });
        let Some(name) = name.reduce(Box2::union) else { continue };
        let far = gap(name, *body);
        let nearer = symbols.iter().find(|(other, (item, other_body))| {
            **other != id && kind(item) == kind(own) && gap(name, *other_body) + 1.3 < far
        });
        if let Some((_, (other, _))) = nearer {
            found.push((Sort::WhoseName, format!("{} stands at {}", item.title, other.title)));
        }
    }
    found
}

/// How far two rectangles are from each other.
fn gap(a: Box2, b: Box2) -> f64 {
    let x = (b.min.x - a.max.x).max(a.min.x - b.max.x).max(0.0);
    let y = (b.min.y - a.max.y).max(a.min.y - b.max.y).max(0.0);
    x.hypot(y)
}
