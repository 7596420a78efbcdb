//! Flags: the number and colour letters of a wire, on the wire itself.

mod led;

use loomwright_circuit::{Box2, ColourCode, Point, Standing, Wire};
use loomwright_units::trimmed;

use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::scene::{Scene, SceneEnd};
use crate::{Align, Face, Ink, Options, Prim, text_width};

pub(crate) use led::on_free_paper;

/// Usual height of the capitals on a flag, mm.
pub(crate) const HEIGHT: f64 = 2.5;
/// Room at both ends of the letters, above and below them, and that where wires lie close, as a share of the capitals.
const PADDING: f64 = 0.34;
const ACROSS: f64 = 0.28;
const SLIM: f64 = 0.14;
/// How round the corners of a plate are, mm.
const ROUND: f64 = 0.7;
/// Room to a corner of the wire, and to an end of it, mm.
const TO_CORNER: f64 = 1.6;
const TO_END: f64 = 2.2;
/// What must be left to see of a wire that carries a flag near both ends, mm, and the least length of such a wire in lengths
/// of its flag: on a shorter one, two flags alike are read as those of two wires.
const BETWEEN: f64 = 8.0;
const LEAST_FLAGS: f64 = 3.5;
/// Room between a flag and other lettering, mm.
const TO_LETTERING: f64 = 0.7;
/// What stands farther off than this from other lettering is not crowded, mm.
const OFF: f64 = 1.6;

/// A flag in its place.
#[derive(Debug, Clone)]
pub(crate) struct Flag {
    pub(crate) wire_idx: usize,
    centre: Point,
    /// Along and across its letters, mm.
    size: (f64, f64),
    is_upward: bool,
    face: Face,
    /// Where a thin line ties it to its wire, when it has no room on it.
    tied_to: Option<Point>,
}

/// What stands on the flag of a wire: its number, the letters of its colour, and where asked its size in mm².
pub fn flag_words(wire: &Wire, code: ColourCode, has_sizes: bool) -> String {
    let letters = wire.colour.map_or_else(|| "?".to_owned(), |colour| colour.letters(code));
    let mut words = format!("{} {letters}", wire.label);
    if has_sizes {
        match wire.size {
            Some(size) => words = words + " " + &trimmed(size.square_mm(), 3),
            None => words += " ?",
        }
    }
    words
}

pub(crate) fn words(scene: &Scene<'_>, wire: &Wire) -> String {
    flag_words(wire, scene.car.vehicle().colours, scene.options.has_sizes)
}

/// Finds places for the flags of all wires.
pub(crate) fn place(scene: &Scene<'_>, lines: &[Vec<Point>], clutter: &mut Clutter) -> Vec<Flag> {
    let mut order: Vec<usize> = (0..lines.len()).filter(|idx| lines[*idx].len() >= 2).collect();
    // Wires with the least room choose first.
    let longest =
        |line: &[Point]| line.windows(2).map(|pair| pair[0].distance(pair[1])).fold(0.0, f64::max);
    order.sort_by(|a, b| longest(&lines[*a]).total_cmp(&longest(&lines[*b])).then(a.cmp(b)));
    let mut flags = Vec::new();
    let mut seconds = Vec::new();
    let height = height(scene.options);
    for wire_idx in order {
        let line = &lines[wire_idx];
        let words = words(scene, scene.wires[wire_idx].wire);
        let (near, second) = wanted(scene, wire_idx, line, &words);
        let mut flag = best(wire_idx, line, &words, height, near, clutter);
        // A second flag is worth having only where both lie on the wire itself.
        if second.is_some() && flag.tied_to.is_some() {
            flag = best(wire_idx, line, &words, height, 0.5, clutter);
        } else if let Some(near) = second {
            seconds.push((flag.clone(), words, near));
        }
        clutter.add(flag.rect().grown(0.3), Kind::Lettering);
        flags.push(flag);
    }
    // Second flags take only room that nothing else wants.
    for (first, words, near) in seconds {
        let line = &lines[first.wire_idx];
        let flag = best(first.wire_idx, line, &words, height, near, clutter);
        let is_free = flag.tied_to.is_none() && flag.is_clear(clutter);
        if is_free && !first.rect().grown(2.0).meets(flag.rect()) {
            clutter.add(flag.rect().grown(0.3), Kind::Lettering);
            flags.push(flag);
        }
    }
    flags.sort_by_key(|flag| flag.wire_idx);
    flags
}

/// Where along the wire a flag is wanted, and where a second one, as a share of its length.
fn wanted(scene: &Scene<'_>, wire_idx: usize, line: &[Point], words: &str) -> (f64, Option<f64>) {
    let length: f64 = line.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let (along, _) = size(words, Face::Drawing, (height(scene.options), ACROSS));
    let is_whole =
        !scene.wires[wire_idx].ends.iter().any(|end| matches!(end, SceneEnd::Elsewhere(_)));
    let least = (2.0 * along + BETWEEN).max(LEAST_FLAGS * along);
    if scene.options.flags_at_both_ends && is_whole && length > least {
        let near = (along / 2.0 + TO_END) / length;
        (near, Some(1.0 - near))
    } else {
        (0.5, None)
    }
}

fn height(options: &Options) -> f64 {
    options.flag_height.unwrap_or(HEIGHT)
}

fn size(words: &str, face: Face, (height, across): (f64, f64)) -> (f64, f64) {
    (text_width(face, height, words) + 2.0 * PADDING * height, height * (1.0 + 2.0 * across))
}

impl Flag {
    pub(crate) fn rect(&self) -> Box2 {
        let (along, across) = self.size;
        let (width, height) = if self.is_upward { (across, along) } else { (along, across) };
        let half = Point::new(width / 2.0, height / 2.0);
        Box2 { min: self.centre - half, max: self.centre + half }
    }

    /// The flag of a wire with its number and letters.
    pub(crate) fn prims(&self, wire: &Wire, words: &str, options: &Options) -> Vec<Prim> {
        let ink = if wire.standing == Standing::ToRemove { Ink::Muted } else { Ink::Ink };
        self.plate(words, height(options), ink)
    }

    /// A plate with words, tied to the wire where it does not lie on it.
    pub(crate) fn plate(&self, words: &str, height: f64, ink: Ink) -> Vec<Prim> {
        let mut prims = Vec::new();
        if let Some(to) = self.tied_to {
            let points = vec![self.nearest(to), to];
            prims.push(Prim::Line { points, width: 0.25, ink, dash: None });
            prims.push(Prim::Circle { centre: to, radius: 0.5, fill: Some(ink), edge: None });
        }
        let points = rounded(self.rect(), ROUND);
        prims.push(Prim::Area { points, fill: Some(Ink::Field), edge: Some((ink, 0.25)) });
        prims.push(Prim::Text {
            at: self.centre,
            text: words.to_owned(),
            height,
            align: Align::Centre,
            ink,
            face: self.face,
            upward: self.is_upward,
        });
        prims
    }

    /// The point of the flag's edge nearest to a place outside it.
    fn nearest(&self, to: Point) -> Point {
        let Box2 { min, max } = self.rect();
        Point::new(to.x.clamp(min.x, max.x), to.y.clamp(min.y, max.y))
    }

    /// The straight part of its edge below its letters, from where a reader begins.
    pub(crate) fn edge_below_letters(&self) -> [Point; 2] {
        let Box2 { min, max } = self.rect();
        if self.is_upward {
            [Point::new(max.x, max.y - ROUND), Point::new(max.x, min.y + ROUND)]
        } else {
            [Point::new(min.x + ROUND, max.y), Point::new(max.x - ROUND, max.y)]
        }
    }

    /// Whether it covers something else, or is tied across it.
    pub(crate) fn is_clear(&self, clutter: &Clutter) -> bool {
        covered(self, clutter) + self.tied_to.map_or(0.0, |to| tie_covers(self, to, clutter)) == 0.0
    }

    /// Whether it lies on its wire, or no other is as near.
    pub(crate) fn is_plainly_its_own(&self, clutter: &Clutter) -> bool {
        self.tied_to.is_none_or(|to| doubt(self, to, clutter) == 0.0)
    }

    /// Whether its words are read without turning the head.
    pub(crate) fn is_level(&self) -> bool {
        !self.is_upward
    }

    /// Whether it stands so far from other lettering and from joints that each is taken in by itself.
    pub(crate) fn stands_off(&self, clutter: &Clutter) -> bool {
        let near = clutter.cost(self.rect().grown(OFF), |kind| match kind {
            Kind::Lettering | Kind::Spot => 1.0,
            _ => 0.0,
        });
        near == 0.0
    }
}

/// A rectangle with rounded corners.
pub(crate) fn rounded(rect: Box2, radius: f64) -> Vec<Point> {
    let radius = radius.min(rect.width() / 2.0).min(rect.height() / 2.0);
    let (min, max) = (rect.min, rect.max);
    let corners = [
        (Point::new(max.x - radius, max.y - radius), 0.0),
        (Point::new(min.x + radius, max.y - radius), 90.0),
        (Point::new(min.x + radius, min.y + radius), 180.0),
        (Point::new(max.x - radius, min.y + radius), 270.0),
    ];
    corners
        .into_iter()
        .flat_map(|(centre, from)| {
            (0..=3).map(move |step| {
                let angle = (from + f64::from(step) * 30.0_f64).to_radians();
                centre + Point::new(angle.cos(), angle.sin()) * radius
            })
        })
        .collect()
}

/// Ways for a flag to look, with what each costs: slim where wires lie close.
const LOOKS: [(Face, f64, f64); 4] = [
    (Face::Drawing, ACROSS, 0.0),
    (Face::Drawing, SLIM, 0.8),
    (Face::Narrow, ACROSS, 1.5),
    (Face::Narrow, SLIM, 2.3),
];

/// The best place for a flag: on a straight stretch if one has room, else beside the wire.
pub(crate) fn best(
    wire_idx: usize,
    line: &[Point],
    words: &str,
    height: f64,
    near: f64,
    clutter: &Clutter,
) -> Flag {
    // Nothing is looked at that is worse by its place alone than what was found.
    let mut least = f64::INFINITY;
    let mut best: Option<Flag> = None;
    for (face, across, worse) in LOOKS {
        let size = size(words, face, (height, across));
        for (centre, is_upward, rank) in on_wire(line, size, near) {
            if rank + worse >= least {
                break;
            }
            let flag = Flag { wire_idx, centre, size, is_upward, face, tied_to: None };
            let mut cost = covered(&flag, clutter) + rank + worse;
            if cost < least {
                cost += cramped(&flag, clutter);
            }
            if cost < least {
                (least, best) = (cost, Some(flag));
            }
        }
    }
    if least > 6.0 {
        best = beside(wire_idx, line, words, (height, least), clutter).or(best);
    }
    best.expect("a line has at least one place beside it")
}

/// The best place beside a wire that costs less than what is known.
pub(crate) fn beside(
    wire_idx: usize,
    line: &[Point],
    words: &str,
    (height, mut least): (f64, f64),
    clutter: &Clutter,
) -> Option<Flag> {
    let mut best = None;
    let face = Face::Drawing;
    let size = size(words, face, (height, ACROSS));
    for (centre, to, rank) in beside_wire(line, size) {
        if rank >= least {
            break;
        }
        let flag = Flag { wire_idx, centre, size, is_upward: false, face, tied_to: Some(to) };
        let mut cost = covered(&flag, clutter) + rank;
        if cost < least {
            cost +=
                cramped(&flag, clutter) + tie_cost(&flag, to, clutter) + doubt(&flag, to, clutter);
        }
        if cost < least {
            (least, best) = (cost, Some(flag));
        }
    }
    best
}

fn covered(flag: &Flag, clutter: &Clutter) -> f64 {
    clutter.cost(flag.rect().grown(0.35), |kind| match kind {
        Kind::Wire(wire_idx) if wire_idx == flag.wire_idx && flag.tied_to.is_none() => 0.0,
        Kind::OverInk(wire_idx) if wire_idx == flag.wire_idx && flag.tied_to.is_none() => 0.0,
        Kind::Wire(_) => 8.0,
        Kind::OverInk(_) => 7.0,
        Kind::Body(_) | Kind::Spot | Kind::Tip(_) | Kind::Lettering => 10.0,
    })
}

/// What it costs a flag beside its wire to stand as near to another: the two could be swapped.
fn doubt(flag: &Flag, to: Point, clutter: &Clutter) -> f64 {
    doubt_within(flag, to, f64::INFINITY, clutter)
}

/// The same, where another wire counts that is within so many mm.
fn doubt_within(flag: &Flag, to: Point, most: f64, clutter: &Clutter) -> f64 {
    let off = flag.nearest(to).distance(to).min(most);
    let others = clutter.cost(flag.rect().grown(off), |kind| match kind {
        Kind::Wire(wire_idx) if wire_idx != flag.wire_idx => 1.0,
        _ => 0.0,
    });
    if others > 0.0 { NEARER_WIRE } else { 0.0 }
}

/// What it costs to stand so near to other lettering that the two are read as one.
fn cramped(flag: &Flag, clutter: &Clutter) -> f64 {
    clutter.cost(flag.rect().grown(TO_LETTERING), |kind| match kind {
        Kind::Lettering => CRAMPED,
        _ => 0.0,
    })
}

/// What it costs that another wire is as near, that letters are all but touched, and each bit of a line over another wire.
const NEARER_WIRE: f64 = 4.0;
const CRAMPED: f64 = 2.0;
const OVER_WIRE: f64 = 3.0;

/// What the thin line to the wire would cover, and the lettering that it would run along.
fn tie_cost(flag: &Flag, to: Point, clutter: &Clutter) -> f64 {
    tie_covers(flag, to, clutter) + tie_runs_along(flag.nearest(to), to, clutter)
}

fn tie_runs_along(from: Point, to: Point, clutter: &Clutter) -> f64 {
    let Some(around) = Box2::around([from, to]) else { return 0.0 };
    clutter.cost(around.grown(TO_LETTERING), |kind| match kind {
        Kind::Lettering => 1.0,
        _ => 0.0,
    })
}

/// What the thin line to the wire would cover.
fn tie_covers(flag: &Flag, to: Point, clutter: &Clutter) -> f64 {
    tie_covers_but(flag, to, |_| false, clutter)
}

/// The same without what it may run over.
fn tie_covers_but(flag: &Flag, to: Point, passes: impl Fn(Kind) -> bool, clutter: &Clutter) -> f64 {
    let from = flag.nearest(to);
    let n_steps = count(from.distance(to) / 0.8).clamp(2, 40);
    let step = (to - from) * (1.0 / n_steps as f64);
    (0..=n_steps)
        .map(|n| {
            let at = from + step * n as f64;
            clutter.cost(Box2 { min: at, max: at }.grown(0.15), |kind| match kind {
                Kind::Wire(wire_idx) if wire_idx == flag.wire_idx => 0.0,
                Kind::OverInk(_) => 0.0,
                kind if passes(kind) => 0.0,
                // A line across another wire could be read as that one's.
                Kind::Wire(_) => OVER_WIRE,
                // A corner of its own wire lies under its end.
                Kind::Spot if n == n_steps => 0.0,
                _ => 4.0,
            })
        })
        .sum()
}

/// Places on the wire, best first: middle, whether to be read upwards, and how much worse than the best it is.
fn on_wire(line: &[Point], (along, across): (f64, f64), near: f64) -> Vec<(Point, bool, f64)> {
    let total: f64 = line.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let longest = line.windows(2).map(|pair| pair[0].distance(pair[1])).fold(0.0, f64::max);
    let n_stretches = line.len() - 1;
    let mut places = Vec::new();
    let mut before = 0.0;
    for (stretch_idx, pair) in line.windows(2).enumerate() {
        let length = pair[0].distance(pair[1]);
        let is_level = (pair[0].y - pair[1].y).abs() < 1e-6;
        let start = if stretch_idx == 0 { TO_END } else { TO_CORNER };
        let end = if stretch_idx + 1 == n_stretches { TO_END } else { TO_CORNER };
        let ways: &[(f64, bool, f64)] = if is_level {
            &[(along, false, 0.0)]
        } else {
            &[(across, false, 0.3), (along, true, 1.2)]
        };
        for (room, is_upward, rank) in ways {
            let (low, high) = (start + room / 2.0, length - end - room / 2.0);
            if low > high {
                continue;
            }
            for at in spread(low, high) {
                // A single flag is best in the middle of its stretch; one of two, near its end of the wire.
                let off = if near == 0.5 {
                    (at / length - 0.5).abs()
                } else {
                    ((before + at) / total - near).abs()
                };
                let short = if near == 0.5 { (longest - length) / 25.0 } else { 0.0 };
                let point = pair[0] + (pair[1] - pair[0]) * (at / length);
                places.push((point, *is_upward, rank + 2.0 * off + short));
            }
        }
        before += length;
    }
    places.sort_by(|a, b| a.2.total_cmp(&b.2));
    places
}

/// Places from the middle outwards, 2.5 mm apart; wider on a long stretch.
fn spread(low: f64, high: f64) -> impl Iterator<Item = f64> {
    let middle = f64::midpoint(low, high);
    let half = (high - low) / 2.0;
    let n_steps = count(half / 2.5).min(24);
    let pitch = if n_steps == 0 { 0.0 } else { half / n_steps as f64 };
    (0..=n_steps).flat_map(move |step| {
        let by = pitch * step as f64;
        [Some(middle + by), (step > 0).then_some(middle - by)].into_iter().flatten()
    })
}

/// Places beside the wire, nearest first, with the point of it that the flag is tied to: near, and straight across if possible.
fn beside_wire(line: &[Point], (along, across): (f64, f64)) -> Vec<(Point, Point, f64)> {
    let mut places = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        // Close together on a short stretch, where a terminal's number may stand in the way of the line.
        let n_points = count(length / 2.0).clamp(1, 7);
        for n in 0..n_points {
            let share = (n as f64 + 0.5) / n_points as f64;
            let to = pair[0] + (pair[1] - pair[0]) * share;
            let off = (share - 0.5).abs() + if length < 4.0 { 4.0 } else { 0.0 };
            for distance in [2.0, 3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0, 34.0, 44.0] {
                let rank = off + 3.0 + distance * 0.45;
                for (x, y, aslant) in [
                    (0.0, -1.0, 0.0),
                    (0.0, 1.0, 0.0),
                    (1.0, 0.0, 0.0),
                    (-1.0, 0.0, 0.0),
                    (0.6, -1.0, 0.3),
                    (-0.6, -1.0, 0.3),
                    (0.6, 1.0, 0.3),
                    (-0.6, 1.0, 0.3),
                    (1.0, -1.0, 0.8),
                    (-1.0, -1.0, 0.8),
                    (1.0, 1.0, 0.8),
                    (-1.0, 1.0, 0.8),
                ] {
                    let x_by =
                        if y == 0.0 { x * (along / 2.0 + distance) } else { x * (along / 2.0) };
                    let by = Point::new(x_by, y * (across / 2.0 + distance));
                    places.push((to + by, to, rank + aslant));
                }
            }
        }
    }
    places.sort_by(|a, b| a.2.total_cmp(&b.2));
    places
}
