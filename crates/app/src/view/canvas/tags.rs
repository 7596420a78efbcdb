//! Tags near the edge of the canvas are kept whole and inside it, tied to their thing as before.

use std::sync::Arc;

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Item, Prim, Sheet as Laid, Subject};

use crate::state::Camera;
use crate::tool::body;

/// Their least distance from the edge, screen points.
const MARGIN: f64 = 5.0;

/// The sheet with the tags that the edge of the view would cut moved inside; nothing where it cuts none.
pub(super) fn kept_whole(laid: &Laid, camera: Camera, canvas: (f64, f64)) -> Option<Laid> {
    let margin = MARGIN / camera.scale;
    let (seen, room) = (camera.in_view(canvas), camera.in_view(canvas).grown(-margin));
    let has_room = |tag: Box2| tag.width() <= room.width() && tag.height() <= room.height();
    let is_cut = |item: &Item| {
        let Subject::Tag(_) = item.subject else { return false };
        let is_shown = culprit(item).is_some_and(|at| seen.contains(at)) || body(item).meets(seen);
        is_shown && !holds(room, body(item)) && has_room(body(item))
    };
    let idxs: Vec<usize> = (0..laid.items.len()).filter(|idx| is_cut(&laid.items[*idx])).collect();
    if idxs.is_empty() {
        return None;
    }
    let is_whole = |item: &&Arc<Item>| matches!(item.subject, Subject::Tag(_)) && !is_cut(item);
    let whole = laid.items.iter().filter(is_whole).map(Arc::as_ref);
    let mut taken: Vec<Box2> = whole.map(body).filter(|tag| tag.meets(seen)).collect();
    let names = laid.items_in(seen).filter(|item| matches!(item.subject, Subject::Label(_)));
    let names: Vec<Box2> = names.map(|item| item.bounds).collect();
    let mut moved = laid.clone();
    for idx in idxs {
        let item = &laid.items[idx];
        // Where a view is full of them, they lie over each other at its edge.
        let by = way_in(body(item), room, (&taken, &names));
        moved.items[idx] = Arc::new(shifted(item, by));
        taken.push(body(&moved.items[idx]));
    }
    Some(moved)
}

/// What a tag is tied to: where its string begins.
fn culprit(item: &Item) -> Option<Point> {
    item.prims.iter().find_map(|prim| match prim {
        Prim::Line { points, .. } => points.first().copied(),
        _ => None,
    })
}

fn holds(room: Box2, tag: Box2) -> bool {
    room.contains(tag.min) && room.contains(tag.max)
}

/// The shortest way into the room, and from there aside until no other tag is covered, and no name if there is a way.
fn way_in(tag: Box2, room: Box2, (taken, names): (&[Box2], &[Box2])) -> Point {
    let inward = |least: f64, most: f64, from: f64, to: f64| {
        if from < least { least - from } else { (most - to).min(0.0) }
    };
    let by = Point::new(
        inward(room.min.x, room.max.x, tag.min.x, tag.max.x),
        inward(room.min.y, room.max.y, tag.min.y, tag.max.y),
    );
    let (wide, high) = (tag.width() * 1.15, tag.height() * 1.25);
    let asides = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
    let mut places = asides
        .into_iter()
        .flat_map(|n| [by + Point::new(0.0, n * high), by + Point::new(n * wide, 0.0)]);
    let at = |by: Point| Box2 { min: tag.min + by, max: tag.max + by };
    let is_free = |by: &Point| {
        let place = at(*by);
        holds(room.grown(1e-6), place) && !taken.iter().any(|other| other.meets(place))
    };
    let hides = |by: &Point| names.iter().any(|name| name.meets(at(*by)));
    let best = places.clone().find(|by| is_free(by) && !hides(by));
    best.or_else(|| places.find(is_free)).unwrap_or(by)
}

/// The tag elsewhere; its string still begins where it is tied.
fn shifted(item: &Item, by: Point) -> Item {
    let prims = item.prims.iter().enumerate().map(|(idx, prim)| match prim {
        Prim::Line { points, width, ink, dash } => {
            let last = points.len().saturating_sub(1).max(1) as f64;
            let pulled = points.iter().enumerate().map(|(n, at)| *at + by * (n as f64 / last));
            Prim::Line { points: pulled.collect(), width: *width, ink: *ink, dash: *dash }
        }
        // The knot stays where it is tied; it comes right after the string.
        Prim::Circle { .. } if idx == 1 => prim.clone(),
        other => other.with_places(|at| at + by),
    });
    let prims: Arc<[Prim]> = prims.collect();
    let bounds = prims.iter().filter_map(Prim::bounds).reduce(Box2::union);
    Item {
        bounds: bounds.unwrap_or(item.bounds),
        prims,
        title: Arc::clone(&item.title),
        letters: Arc::clone(&item.letters),
        ..*item
    }
}

#[cfg(test)]
mod tests {
    use loomwright_drawing::{Options, Tag, TagShape, lay_out};

    use super::*;

    const CANVAS: (f64, f64) = (746.0, 610.0);

    /// The first demo car's first sheet with a tag on each part and wire.
    fn laid() -> Laid {
        let car = crate::demo::car(0);
        let sheet = *car.sheets().keys().next().expect("a sheet");
        let parts = car.parts().keys().map(|id| (Some(*id), None));
        let wires = car.wires().keys().map(|id| (None, Some(*id)));
        let tags = parts.chain(wires).step_by(3).enumerate();
        let shapes = [TagShape::Pointed, TagShape::Square, TagShape::Round];
        let tags =
            tags.map(|(n, (part, wire))| Tag { number: n + 1, shape: shapes[n % 3], part, wire });
        let options = Options { has_heading: true, tags: tags.collect(), ..Options::default() };
        lay_out(&car, sheet, &options)
    }

    fn tags(laid: &Laid) -> impl Iterator<Item = &Item> {
        laid.items.iter().map(Arc::as_ref).filter(|item| matches!(item.subject, Subject::Tag(_)))
    }

    #[test]
    fn whatever_is_looked_at_no_tag_is_cut_and_all_are_tied_where_they_were() {
        let laid = laid();
        let bounds = laid.bounds.expect("something is drawn");
        let mut n_moved = 0;
        for scale in [1.5, 3.0, 6.0] {
            for n in 0..40 {
                let share = f64::from(n) / 39.0;
                let across = Point::new(bounds.width() * share, 0.0);
                let down = Point::new(0.0, bounds.height() * (share * 7.0).fract());
                let camera = Camera { centre: bounds.min + across + down, scale };
                let Some(shown) = kept_whole(&laid, camera, CANVAS) else { continue };
                let seen = camera.in_view(CANVAS);
                for (before, after) in tags(&laid).zip(tags(&shown)) {
                    assert_eq!(culprit(before), culprit(after));
                    let (was, is) = (body(before), body(after));
                    assert!((was.width() - is.width()).abs() < 1e-9, "it keeps its size");
                    let is_seen =
                        is.meets(seen) || culprit(after).is_some_and(|at| seen.contains(at));
                    assert!(!is_seen || holds(seen, is), "{scale}: {is:?} is cut by {seen:?}");
                    n_moved += usize::from(was != is);
                }
                assert_eq!(laid.routes, shown.routes, "nothing else moves");
            }
        }
        assert!(n_moved > 20, "{n_moved}");
    }

    #[test]
    fn where_no_tag_is_cut_the_sheet_is_left_alone() {
        let laid = laid();
        let bounds = laid.bounds.expect("something is drawn");
        let camera = Camera::fitting(bounds.grown(20.0), CANVAS);
        assert_eq!(kept_whole(&laid, camera, CANVAS), None);
    }

    #[test]
    fn a_tag_makes_way_for_one_that_is_there_and_for_a_name() {
        let rect =
            |x: f64, y: f64| Box2 { min: Point::new(x, y), max: Point::new(x + 10.0, y + 5.0) };
        let room = Box2 { min: Point::default(), max: Point::new(100.0, 100.0) };
        assert_eq!(way_in(rect(-4.0, 20.0), room, (&[], &[])), Point::new(4.0, 0.0));
        assert_eq!(way_in(rect(96.0, 99.0), room, (&[], &[])), Point::new(-6.0, -4.0));
        for (tags, names) in [(vec![rect(1.0, 18.0)], vec![]), (vec![], vec![rect(1.0, 18.0)])] {
            let by = way_in(rect(-4.0, 20.0), room, (&tags, &names));
            assert!(!rect(-4.0 + by.x, 20.0 + by.y).meets(rect(1.0, 18.0)), "{by:?}");
        }
    }
}
