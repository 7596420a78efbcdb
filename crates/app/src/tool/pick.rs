//! What lies under the pointer.

use std::collections::BTreeSet;

use loomwright_circuit::{Anchor, Box2, Name, NoteId, PartId, Point, SheetId, WireId};
use loomwright_drawing::{Item, Prim, Subject};

use crate::tool::Scene;

/// What the pointer means.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Target {
    /// Empty paper.
    #[default]
    Nothing,
    /// A terminal of a part.
    Terminal(PartId, Name),
    /// The loose end of a wire; `true` is its `to` end.
    Loose(WireId, bool),
    /// A part.
    Part(PartId),
    /// A wire.
    Wire(WireId),
    /// The place where a wire goes on, on another sheet.
    Onward(WireId, SheetId),
    /// A note, or the title of a frame.
    Note(NoteId),
    /// The tag of a finding.
    Tag(usize),
    /// The mark on a selected wire by which an end of it is plugged elsewhere; `true` is its `to` end.
    Plug(WireId, bool),
}

impl Target {
    /// The part meant, by itself or by one of its terminals.
    pub fn part(&self) -> Option<PartId> {
        match self {
            Self::Terminal(id, _) | Self::Part(id) => Some(*id),
            _ => None,
        }
    }
}

/// What lies at a place: small things before large ones.
pub fn pick(scene: &Scene<'_>, at: Point) -> Target {
    plug(scene, at)
        .or_else(|| middle_of_wire(scene, at))
        .or_else(|| terminal(scene, at))
        .or_else(|| loose_end(scene, at))
        .or_else(|| stem(scene, at))
        .or_else(|| boxed(scene, at, true))
        .or_else(|| wire(scene, at))
        .or_else(|| boxed(scene, at, false))
        .unwrap_or_default()
}

/// How far along a wire from its end the mark stands by which that end is plugged elsewhere, in reaches.
const PLUG_ALONG: f64 = 2.0;

/// Where on the one selected wire its ends are taken hold of to plug them elsewhere: a little way from terminals, so
/// that a drag from a terminal still runs a new wire.
pub fn plugs(scene: &Scene<'_>) -> Vec<(WireId, bool, Point)> {
    let Some(id) = scene.selection.only_wire() else { return Vec::new() };
    let Some((wire, route)) = scene.car.wire(id).zip(scene.laid.routes.get(&id)) else {
        return Vec::new();
    };
    let length: f64 = route.windows(2).map(|ends| ends[0].distance(ends[1])).sum();
    let along = (scene.reach * PLUG_ALONG).min(length / 3.0);
    let back: Vec<Point> = route.iter().rev().copied().collect();
    let lines = [(&wire.from.at, false, &**route), (&wire.to.at, true, &back)];
    let here = lines.into_iter().filter_map(|(anchor, is_to, line)| {
        let (sheet, at) = scene.car.pos_on_sheet(anchor)?;
        // A loose end is taken hold of itself.
        let is_here = sheet == scene.sheet && anchor.part().is_some();
        let is_here = is_here && line.first() == Some(&at);
        is_here.then(|| (id, is_to, beside_flags(scene, id, along_route(line, along))))
    });
    here.collect()
}

/// A place on a wire, or a little beside it where the wire's own flag would be covered: on a short wire there is room for
/// one of them alone.
fn beside_flags(scene: &Scene<'_>, id: WireId, at: Point) -> Point {
    let near = around(at, scene.reach * 4.0);
    let flags = scene.laid.items_in(near).filter(|item| item.subject == Subject::Flag(id));
    let flags: Vec<Box2> = flags.map(|item| item.bounds.grown(scene.reach * 0.6)).collect();
    let Some(all) = flags.iter().copied().filter(|flag| flag.contains(at)).reduce(Box2::union)
    else {
        return at;
    };
    // To the nearer side of it, upright: flags are wider than they are high.
    let y = if at.y - all.min.y <= all.max.y - at.y { all.min.y } else { all.max.y };
    let x = if at.x - all.min.x <= all.max.x - at.x { all.min.x } else { all.max.x };
    if all.width() > all.height() { Point::new(at.x, y) } else { Point::new(x, at.y) }
}

fn along_route(line: &[Point], mut along: f64) -> Point {
    for ends in line.windows(2) {
        let length = ends[0].distance(ends[1]);
        if along <= length && length > 0.0 {
            return ends[0] + (ends[1] - ends[0]) * (along / length);
        }
        along -= length;
    }
    line.last().copied().unwrap_or_default()
}

fn plug(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let near = plugs(scene).into_iter().map(|(id, is_to, place)| (place.distance(at), id, is_to));
    let near = near.filter(|(far, ..)| *far <= scene.reach * 0.75);
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, id, is_to)| Target::Plug(id, is_to))
}

/// Between the terminal and the plate there is no gap in which a drag would bend the wire.
fn stem(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let near = plugs(scene).into_iter().filter_map(|(id, is_to, place)| {
        let wire = scene.car.wire(id)?;
        let end = if is_to { &wire.to } else { &wire.from };
        let (_, from) = scene.car.pos_on_sheet(&end.at)?;
        let far = nearest_on_stretch(from, place, at).distance(at);
        (far <= scene.reach * 0.75).then_some((far, id, is_to))
    });
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, id, is_to)| Target::Plug(id, is_to))
}

/// What a drag would begin on an end of the one selected wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EndHere {
    /// The wire.
    pub wire: WireId,
    /// Whether it is its `to` end.
    pub is_to: bool,
    /// Whether the end is moved; else another wire begins there.
    pub moves: bool,
}

/// The end of the one selected wire that is pointed at: its plate, or the terminal that it is on.
pub fn end_here(scene: &Scene<'_>, target: &Target) -> Option<EndHere> {
    match target {
        Target::Plug(wire, is_to) => Some(EndHere { wire: *wire, is_to: *is_to, moves: true }),
        Target::Terminal(part, name) => {
            let id = scene.selection.only_wire()?;
            let anchor = Anchor::terminal(*part, name);
            let ends = scene.car.wire(id)?.ends();
            let is_to = ends.iter().position(|end| end.at == anchor)? == 1;
            Some(EndHere { wire: id, is_to, moves: scene.just_run != Some(id) })
        }
        _ => None,
    }
}

/// The square around a place.
fn around(at: Point, reach: f64) -> Box2 {
    Box2 { min: at, max: at }.grown(reach)
}

/// Nearer than this share of the reach is on it.
const ON_IT: f64 = 0.4;

/// A wire whose own middle third this is: terminals are taken from farther off, and of a short wire reach that far.
fn middle_of_wire(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let on_it = scene.reach * ON_IT;
    let mut ends = scene.laid.terminals_in(around(at, scene.reach)).peekable();
    // With no terminal in reach the order in which things are looked for is the same without it.
    ends.peek()?;
    if ends.any(|(.., place)| place.distance(at) <= on_it) {
        return None;
    }
    let is_middle = |id: &WireId| {
        let Some(route) = scene.laid.routes.get(id) else { return false };
        let length: f64 = route.windows(2).map(|ends| ends[0].distance(ends[1])).sum();
        let ends = [route.first(), route.last()].into_iter().flatten();
        distance_to_route(route, at) <= on_it
            && ends.copied().all(|end| end.distance(at) > length / 3.0)
    };
    let id = wires_near(scene, at).into_iter().find(is_middle)?;
    // What stands on the wire is meant as ever.
    let here = boxed(scene, at, true).filter(|target| *target != Target::Wire(id));
    here.is_none().then_some(Target::Wire(id))
}

/// The nearest terminal in reach.
pub(super) fn terminal(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let near = scene
        .laid
        .terminals_in(around(at, scene.reach))
        .map(|(part, name, place)| (place.distance(at), part, name))
        .filter(|(distance, ..)| *distance <= scene.reach)
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Target::Terminal(*near.1, near.2.to_string()))
}

/// How far beside its route a wire may be drawn, mm: those that leave a terminal the same way go side by side.
const BESIDE: f64 = 10.0;

/// Wires whose routes may come into the square around a place, in order.
fn wires_near(scene: &Scene<'_>, at: Point) -> BTreeSet<WireId> {
    let items = scene.laid.items_in(around(at, scene.reach + BESIDE));
    let wire = |item: &Item| match item.subject {
        Subject::Wire(id) => Some(id),
        _ => None,
    };
    items.filter_map(wire).collect()
}

/// The nearest loose end in reach.
pub(super) fn loose_end(scene: &Scene<'_>, at: Point) -> Option<Target> {
    wires_near(scene, at).into_iter().find_map(|id| {
        let wire = scene.car.wire(id)?;
        wire.ends().into_iter().zip([false, true]).find_map(|(end, is_to)| match &end.at {
            Anchor::Loose { sheet, at: place }
                if *sheet == scene.sheet && place.distance(at) <= scene.reach =>
            {
                Some(Target::Loose(id, is_to))
            }
            _ => None,
        })
    })
}

/// The nearest wire in reach.
pub(super) fn wire(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let near = wires_near(scene, at)
        .into_iter()
        .filter_map(|id| Some((distance_to_route(scene.laid.routes.get(&id)?, at), id)))
        .filter(|(distance, _)| *distance <= scene.reach)
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Target::Wire(near.1))
}

/// The topmost item whose rectangle holds the place: tags, flags and symbols first, lettering afterwards.
pub(super) fn boxed(scene: &Scene<'_>, at: Point, is_first: bool) -> Option<Target> {
    // No body reaches beyond the bounds.
    let under = scene.laid.items_in(around(at, 0.0)).rev();
    under.filter(|item| holds(item, at)).find_map(|item| match (item.subject, is_first) {
        (Subject::Tag(n), true) => Some(Target::Tag(n)),
        (Subject::Note(id), true) => Some(Target::Note(id)),
        (Subject::Flag(id) | Subject::Amps(id), true) => Some(Target::Wire(id)),
        (Subject::Continuation(id, sheet), true) => Some(Target::Onward(id, sheet)),
        (Subject::Part(id), true) | (Subject::Label(id), false) => Some(Target::Part(id)),
        _ => None,
    })
}

/// Whether a place is on an item. Between the arrow of a wire that goes on and the words about it others may stand.
fn holds(item: &Item, at: Point) -> bool {
    /// Room around letters and arrow, mm.
    const AROUND: f64 = 0.5;
    match item.subject {
        Subject::Continuation(..) => {
            item.prims.iter().filter_map(Prim::bounds).any(|it| it.grown(AROUND).contains(at))
        }
        _ => body(item).contains(at),
    }
}

/// What of an item is clicked on.
///
/// Of a frame that is the plate of its title, of a tag or a flag its plate, and of a name its words, since what ties them
/// to their row leads across others, and its rectangle with that may hold a whole part.
pub fn body(item: &Item) -> Box2 {
    let own = match item.subject {
        Subject::Tag(_) | Subject::Note(_) | Subject::Flag(_) | Subject::Amps(_) => {
            let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
            plate.and_then(Prim::bounds)
        }
        Subject::Label(_) => {
            let words = item.prims.iter().filter(|prim| matches!(prim, Prim::Text { .. }));
            words.filter_map(Prim::bounds).reduce(Box2::union)
        }
        _ => None,
    };
    own.unwrap_or(item.bounds)
}

/// Distance of a place from the nearest stretch of a route, mm.
pub(super) fn distance_to_route(route: &[Point], at: Point) -> f64 {
    let stretches =
        route.windows(2).map(|ends| nearest_on_stretch(ends[0], ends[1], at).distance(at));
    stretches.fold(f64::INFINITY, f64::min)
}

fn nearest_on_stretch(a: Point, b: Point, at: Point) -> Point {
    let along = b - a;
    let length_squared = along.x * along.x + along.y * along.y;
    if length_squared == 0.0 {
        return a;
    }
    let to = at - a;
    let share = ((to.x * along.x + to.y * along.y) / length_squared).clamp(0.0, 1.0);
    a + along * share
}

/// The stretch of a route that is nearest to a place.
pub(crate) fn nearest_stretch(route: &[Point], at: Point) -> Option<usize> {
    let far = |idx: &usize| nearest_on_stretch(route[*idx], route[*idx + 1], at).distance(at);
    (0..route.len().saturating_sub(1)).min_by(|a, b| far(a).total_cmp(&far(b)))
}

/// The place on a route that is nearest to `at`, on the grid along the route.
pub(super) fn nearest_on_route(route: &[Point], at: Point, pitch: f64) -> Option<Point> {
    let nearest = route
        .windows(2)
        .map(|ends| (nearest_on_stretch(ends[0], ends[1], at), ends[0], ends[1]))
        .min_by(|a, b| a.0.distance(at).total_cmp(&b.0.distance(at)))?;
    let (place, a, b) = nearest;
    let snapped = place.snapped(pitch);
    // Snap along an upright stretch only in the direction in which it runs.
    Some(if (a.x - b.x).abs() < 1e-9 {
        Point::new(a.x, snapped.y)
    } else if (a.y - b.y).abs() < 1e-9 {
        Point::new(snapped.x, a.y)
    } else {
        place
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distance_is_to_the_nearest_stretch() {
        let route = [Point::new(0.0, 0.0), Point::new(10.0, 0.0), Point::new(10.0, 10.0)];
        assert_eq!(distance_to_route(&route, Point::new(5.0, 3.0)), 3.0);
        assert_eq!(distance_to_route(&route, Point::new(12.0, 5.0)), 2.0);
        assert_eq!(distance_to_route(&route, Point::new(-3.0, -4.0)), 5.0);
        assert_eq!(distance_to_route(&[], Point::new(0.0, 0.0)), f64::INFINITY);
    }

    #[test]
    fn the_string_of_a_tag_is_no_place_to_click() {
        let plate = Box2::around([Point::new(40.0, 40.0), Point::new(50.0, 45.0)]);
        let plate = plate.expect("a box");
        let line = vec![Point::new(0.0, 0.0), plate.min];
        let corners = vec![plate.min, Point::new(50.0, 40.0), plate.max, Point::new(40.0, 45.0)];
        let ink = loomwright_drawing::Ink::Danger;
        let item = Item {
            subject: Subject::Tag(0),
            title: "Tag 1".into(),
            bounds: Box2 { min: Point::new(0.0, 0.0), max: plate.max },
            prims: [
                Prim::Line { points: line, width: 0.35, ink, dash: None },
                Prim::Area { points: corners, fill: Some(ink), edge: None },
            ]
            .into(),
            letters: std::sync::Arc::default(),
        };
        assert!(body(&item).contains(plate.centre()));
        assert!(!body(&item).contains(Point::new(20.0, 20.0)));
    }

    #[test]
    fn what_stands_between_the_arrow_and_the_words_of_a_wire_that_goes_on_is_not_hidden_by_them() {
        let ink = loomwright_drawing::Ink::Danger;
        let line = |from: Point, to: Point| Prim::Line {
            points: vec![from, to],
            width: 0.35,
            ink,
            dash: None,
        };
        let arrow = line(Point::new(30.0, 0.0), Point::new(33.0, 0.0));
        let words = line(Point::new(0.0, 6.0), Point::new(30.0, 6.0));
        let bounds = Box2 { min: Point::new(0.0, 0.0), max: Point::new(33.0, 6.0) };
        let item = Item {
            subject: Subject::Continuation(WireId(1), SheetId(2)),
            title: "goes on".into(),
            bounds,
            prims: [arrow, words].into(),
            letters: std::sync::Arc::default(),
        };
        assert!(holds(&item, Point::new(31.0, 0.0)) && holds(&item, Point::new(4.0, 6.0)));
        assert!(!holds(&item, Point::new(4.0, 2.0)), "a fuse may stand there");
    }

    #[test]
    fn a_tap_stays_on_its_wire() {
        let route = [Point::new(0.0, 1.0), Point::new(10.0, 1.0)];
        let place = nearest_on_route(&route, Point::new(5.9, 2.0), 2.5);
        assert_eq!(place, Some(Point::new(5.0, 1.0)));
    }
}
