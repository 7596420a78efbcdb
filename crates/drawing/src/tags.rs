//! Tie-on tags: numbered, tied with a string to the culprit, told apart by shape.

use loomwright_circuit::{Box2, Point};

use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::scene::{Scene, ScenePart};
use crate::symbol::arc;
use crate::{Align, Face, Ink, Prim, Tag, TagShape, parts, text_width};

const HEIGHT: f64 = 5.4;
const LETTERS: f64 = 2.7;
/// From the pointed end to where the tag has its full height.
const POINT: f64 = 2.6;

/// A tag in its place.
#[derive(Debug, Clone)]
pub(crate) struct PlacedTag {
    pub(crate) tag_idx: usize,
    /// Left edge at half height.
    at: Point,
    width: f64,
    /// Whether the hole is at the right.
    is_mirrored: bool,
    culprit: Point,
    /// How much larger than usual, so that the number can be read.
    times: f64,
}

/// Places all tags whose culprit is on this sheet.
pub(crate) fn place(
    scene: &Scene<'_>,
    lines: &[Vec<Point>],
    clutter: &mut Clutter,
) -> Vec<PlacedTag> {
    let mut placed = Vec::new();
    for (tag_idx, tag) in scene.options.tags.iter().enumerate() {
        let own = Own::of(scene, tag);
        let culprits = culprits(scene, lines, own);
        let times = scene.capitals(LETTERS) / LETTERS;
        let Some(best) = best((tag_idx, tag), (own, &culprits), times, clutter) else { continue };
        clutter.add(best.rect().grown(0.5), Kind::Lettering);
        placed.push(best);
    }
    placed
}

/// What a tag is tied to.
#[derive(Clone, Copy)]
struct Own {
    part_idx: Option<usize>,
    wire_idx: Option<usize>,
}

impl Own {
    fn of(scene: &Scene<'_>, tag: &Tag) -> Self {
        let part_idx = tag.part.and_then(|id| scene.parts.iter().position(|part| part.id == id));
        let wire_idx = tag.wire.and_then(|id| scene.wires.iter().position(|wire| wire.id == id));
        Self { part_idx, wire_idx: wire_idx.filter(|_| part_idx.is_none()) }
    }
}

/// Points that a string may be tied to, best first.
fn culprits(scene: &Scene<'_>, lines: &[Vec<Point>], own: Own) -> Vec<Point> {
    if let Some(part) = own.part_idx.map(|part_idx| &scene.parts[part_idx]) {
        if part.is_joint() {
            return vec![part.body.centre()];
        }
        return on_ink(scene, part);
    }
    let Some(line) = own.wire_idx.map(|wire_idx| &lines[wire_idx]) else { return Vec::new() };
    let mut points = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        let n_points = count(length / 3.0).clamp(1, 12);
        for n in 0..n_points {
            points.push(pair[0] + (pair[1] - pair[0]) * ((n as f64 + 0.5) / n_points as f64));
        }
    }
    points
}

/// Points on the lines of a symbol, the outermost of each side, clear of its terminals.
fn on_ink(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Point> {
    let ink = ink_of(scene, part);
    let sides = [
        (1.0, -1.0),
        (-1.0, -1.0),
        (1.0, 1.0),
        (-1.0, 1.0),
        (0.0, -1.0),
        (0.0, 1.0),
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.5, -1.0),
        (-0.5, -1.0),
        (0.5, 1.0),
        (-0.5, 1.0),
    ];
    let outermost = sides.into_iter().filter_map(|(x, y)| {
        let out = |at: &Point| at.x * x + at.y * y;
        ink.iter().copied().max_by(|a, b| out(a).total_cmp(&out(b)))
    });
    outermost.collect()
}

/// Points on the lines of a symbol, clear of its terminals.
pub(crate) fn ink_of(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Point> {
    let mut ink = Vec::new();
    for prim in parts::prims(scene, part) {
        match prim {
            Prim::Line { points, .. } => along(&points, &mut ink),
            Prim::Area { mut points, .. } => {
                points.extend(points.first().copied());
                along(&points, &mut ink);
            }
            Prim::Circle { centre, radius, .. } => ink.extend(arc(centre, radius, 0.0, 345.0)),
            Prim::Text { .. } => {}
        }
    }
    let is_near = |at: &Point| part.pins.iter().any(|pin| pin.at.distance(*at) < 1.8);
    let clear: Vec<_> = ink.iter().copied().filter(|at| !is_near(at)).collect();
    if clear.is_empty() { ink } else { clear }
}

/// Points along a line, a millimetre and a half apart.
fn along(points: &[Point], ink: &mut Vec<Point>) {
    for pair in points.windows(2) {
        let n_steps = count(pair[0].distance(pair[1]) / 1.5).clamp(1, 40);
        ink.extend(
            (0..=n_steps).map(|n| pair[0] + (pair[1] - pair[0]) * (n as f64 / n_steps as f64)),
        );
    }
}

fn best(
    (tag_idx, tag): (usize, &Tag),
    (own, culprits): (Own, &[Point]),
    times: f64,
    clutter: &Clutter,
) -> Option<PlacedTag> {
    let letters = text_width(Face::Drawing, LETTERS, &tag.number.to_string());
    let width = times * (POINT + 2.6 + letters + 2.2);
    let point = times * POINT;
    let mut best: Option<(f64, PlacedTag)> = None;
    for (rank, culprit) in culprits.iter().enumerate() {
        // A string tied where letters stand would be lost.
        let tied = Box2 { min: *culprit, max: *culprit }.grown(0.4);
        let hidden = clutter.cost(tied, |kind| if kind == Kind::Lettering { 30.0 } else { 0.0 });
        for distance in [3.5, 5.0, 7.0, 9.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 52.0, 64.0] {
            for (x, y) in AROUND {
                let is_mirrored = x < 0.0;
                let hole = *culprit + Point::new(x, y) * distance;
                let left = if is_mirrored { hole.x - width + point } else { hole.x - point };
                let at = Point::new(left, hole.y);
                let culprit = *culprit;
                let placed = PlacedTag { tag_idx, at, width, is_mirrored, culprit, times };
                let least = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
                let alone = hidden + distance * 0.2 + rank as f64 * 0.05;
                // What it covers only adds to that, so most places need not be looked at.
                if alone < least
                    && let Some(cost) = placed.cost_below(least - alone, own, clutter)
                {
                    best = Some((alone + cost, placed));
                }
            }
        }
    }
    best.map(|(_, placed)| placed)
}

const AROUND: [(f64, f64); 18] = [
    (0.8, -0.6),
    (-0.8, -0.6),
    (0.8, 0.6),
    (-0.8, 0.6),
    (0.45, -0.9),
    (-0.45, -0.9),
    (0.45, 0.9),
    (-0.45, 0.9),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.1, -1.0),
    (0.1, 1.0),
    (0.92, -0.38),
    (-0.92, -0.38),
    (0.92, 0.38),
    (-0.92, 0.38),
    (-0.1, -1.0),
    (-0.1, 1.0),
];

impl PlacedTag {
    pub(crate) fn rect(&self) -> Box2 {
        let half = Point::new(0.0, self.times * HEIGHT / 2.0);
        Box2 { min: self.at - half, max: self.at + half + Point::new(self.width, 0.0) }
    }

    fn hole(&self) -> Point {
        let point = self.times * POINT;
        let from_left = if self.is_mirrored { self.width - point } else { point };
        self.at + Point::new(from_left, 0.0)
    }

    /// What it covers; nothing where that comes to `least` or more.
    fn cost_below(&self, least: f64, own: Own, clutter: &Clutter) -> Option<f64> {
        let mut cost = clutter.cost(self.rect().grown(0.8), |_| 6.0);
        for at in &self.string()[1..] {
            if cost >= least {
                return None;
            }
            cost += clutter.cost(Box2 { min: *at, max: *at }.grown(0.2), |kind| match kind {
                Kind::Lettering => 30.0,
                // It ends on its own symbol, and should not run across it.
                Kind::Body(part_idx) if own.part_idx == Some(part_idx) => 0.3,
                Kind::Body(_) => 6.0,
                Kind::Spot | Kind::Tip(_) => 0.8,
                Kind::Wire(wire_idx) if own.wire_idx == Some(wire_idx) => 0.1,
                Kind::Wire(_) => 0.3,
                Kind::OverInk(_) => 0.02,
            });
        }
        (cost < least).then_some(cost)
    }

    /// A slack string from the culprit to the hole.
    fn string(&self) -> Vec<Point> {
        // Fine enough that no letter slips between two points.
        const STEPS: u32 = 16;
        let (a, b) = (self.culprit, self.hole());
        let sag = Point::new(0.0, 0.12 * a.distance(b));
        let bend = Point::new(a.x + (b.x - a.x) * 0.35, a.y + (b.y - a.y) * 0.75) - sag * 0.2;
        (0..=STEPS)
            .map(|step| {
                let t = f64::from(step) / f64::from(STEPS);
                a * ((1.0 - t) * (1.0 - t)) + bend * (2.0 * t * (1.0 - t)) + b * (t * t)
            })
            .collect()
    }

    /// Tag, string and number.
    pub(crate) fn prims(&self, tag: &Tag) -> Vec<Prim> {
        let (ink, letters, fill) = match tag.shape {
            TagShape::Pointed => (Ink::Danger, Ink::OnTag, Ink::Danger),
            TagShape::Square => (Ink::Fault, Ink::Fault, Ink::Field),
            TagShape::Round => (Ink::Advice, Ink::Advice, Ink::Field),
        };
        let middle = self.at + Point::new(self.width / 2.0, 0.0);
        let turned = |point: Point| {
            if self.is_mirrored { Point::new(2.0 * middle.x - point.x, point.y) } else { point }
        };
        let points = self.outline(tag.shape).into_iter().map(turned).collect();
        let off = self.times * if self.is_mirrored { -0.9 } else { 0.9 };
        let hole = self.hole();
        vec![
            Prim::Line { points: self.string(), width: 0.35, ink, dash: None },
            Prim::Circle { centre: self.culprit, radius: 0.7, fill: Some(ink), edge: None },
            Prim::Area { points, fill: Some(fill), edge: Some((ink, 0.4)) },
            Prim::Circle {
                centre: hole,
                radius: 0.65,
                fill: Some(Ink::Paper),
                edge: Some((ink, 0.3)),
            },
            Prim::Text {
                at: middle + Point::new(off, 0.0),
                text: tag.number.to_string(),
                height: self.times * LETTERS,
                align: Align::Centre,
                ink: letters,
                face: Face::Drawing,
                upward: false,
            },
        ]
    }

    /// The outline with the hole at its left: cut corners there, and the far end by level.
    fn outline(&self, shape: TagShape) -> Vec<Point> {
        let (half, point) = (self.times * HEIGHT / 2.0, self.times * POINT);
        let mut points =
            vec![(point, half), (0.3, half * 0.42), (0.3, -half * 0.42), (point, -half)];
        let points: Vec<_> = {
            match shape {
                TagShape::Pointed => {
                    points.extend([
                        (self.width - 1.4, -half),
                        (self.width + 0.9, 0.0),
                        (self.width - 1.4, half),
                    ]);
                }
                TagShape::Square => points.extend([(self.width, -half), (self.width, half)]),
                TagShape::Round => {
                    let centre = Point::new(self.width - half, 0.0);
                    points.extend(arc(centre, half, -90.0, 180.0).into_iter().map(|p| (p.x, p.y)));
                }
            }
            points
        };
        points.into_iter().map(|(x, y)| self.at + Point::new(x, y)).collect()
    }
}
