//! Places for letters that are drawn larger or have to move aside, the best first.

use loomwright_circuit::{Box2, Point};

use super::rank::nearest;

/// A place for letters: what they then cover, and where a line ties them to, if one does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) rect: Box2,
    pub(super) tie: Option<Point>,
    /// What the line takes that ties it, where it was not drawn so.
    pub(super) line: Option<Box2>,
    pub(super) cost: f64,
}

/// What each mm costs by which the middle of letters moves.
const MOVED: f64 = 0.3;
/// What each mm costs that a plate is tied off its wire, and how far off it may be, mm.
const OFF: f64 = 0.45;
const OFFS: [f64; 7] = [1.8, 3.2, 5.0, 7.5, 11.0, 15.0, 20.0];
/// How far letters are shifted, mm, and which ways.
const SHIFTS: [f64; 4] = [1.2, 2.4, 4.0, 6.5];
const WAYS: [(f64, f64); 8] = [
    (0.0, -1.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (1.0, 0.0),
    (-1.0, -1.0),
    (1.0, -1.0),
    (-1.0, 1.0),
    (1.0, 1.0),
];
/// Room between a symbol and its name, mm.
const GAPS: [f64; 3] = [1.0, 2.0, 3.5];
/// Room between a plate and a corner or an end of its wire, mm.
const TO_CORNER: f64 = 1.4;
/// No farther than this does anything move, mm.
pub(super) const FARTHEST: f64 = 30.0;
/// How far a plate slides along its stretch, mm.
const SLIDES: [f64; 11] = [0.0, 1.5, -1.5, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0, 16.0, -16.0];

/// A rectangle so many times as large, about a place.
fn scaled(rect: Box2, about: Point, times: f64) -> Box2 {
    let at = |corner: Point| about + (corner - about) * times;
    Box2 { min: at(rect.min), max: at(rect.max) }
}

fn shifted(rect: Box2, by: Point) -> Box2 {
    Box2 { min: rect.min + by, max: rect.max + by }
}

/// Letters as drawn that are so many times as large: about their corners, the middles of their edges and their middle, what
/// is nearest to what they are of first.
fn grown(drawn: Box2, home: Point, times: f64) -> impl Iterator<Item = Box2> {
    let middle = drawn.centre();
    let about = nearest(drawn, home);
    let xs = [drawn.min.x, middle.x, drawn.max.x];
    let ys = [drawn.min.y, middle.y, drawn.max.y];
    let others = ys.into_iter().flat_map(move |y| xs.map(|x| Point::new(x, y)));
    let n = if times > 1.0 { 9 } else { 0 };
    std::iter::once(about).chain(others.take(n)).map(move |about| scaled(drawn, about, times))
}

/// The same, and shifted a little every way.
pub(super) fn around(drawn: Box2, home: Point, times: f64, tie: Option<Point>) -> Vec<Spot> {
    let first = scaled(drawn, nearest(drawn, home), times);
    let aside = SHIFTS
        .into_iter()
        .flat_map(|shift| WAYS.map(|(x, y)| shifted(first, Point::new(x, y) * shift)));
    let rects = grown(drawn, home, times).chain(aside);
    let spots =
        rects.map(|rect| Spot { rect, tie, line: None, cost: moved(drawn, rect) }).collect();
    sorted(spots)
}

/// Places for the name of a part: where it is drawn, and all around its symbol.
pub(super) fn of_name(drawn: Box2, symbol: Box2, times: f64) -> Vec<Spot> {
    let mut spots = around(drawn, symbol.centre(), times, None);
    let size = (drawn.max - drawn.min) * times;
    for gap in GAPS {
        let Box2 { min, max } = symbol.grown(gap);
        let middle = symbol.centre() - size * 0.5;
        let xs = [symbol.min.x, middle.x, symbol.max.x - size.x];
        let ys = [symbol.min.y, middle.y, symbol.max.y - size.y];
        let across = xs.map(|x| [Point::new(x, min.y - size.y), Point::new(x, max.y)]);
        let down = ys.map(|y| [Point::new(min.x - size.x, y), Point::new(max.x, y)]);
        for corner in across.into_iter().chain(down).flatten() {
            let rect = Box2 { min: corner, max: corner + size };
            spots.push(Spot { rect, tie: None, line: None, cost: moved(drawn, rect) + gap });
        }
    }
    sorted(spots)
}

/// Places for a plate along its wire, or near to where it is tied to it.
pub(super) fn of_plate(
    drawn: Box2,
    line: &[Point],
    times: f64,
    (is_upward, tie): (bool, Option<Point>),
) -> Vec<Spot> {
    let size = (drawn.max - drawn.min) * times;
    let half = size * 0.5;
    let about = |centre: Point| Box2 { min: centre - half, max: centre + half };
    let middle = drawn.centre();
    let mut spots = match tie {
        Some(to) => around(drawn, to, times, tie),
        None => vec![Spot { rect: about(middle), tie, line: None, cost: 0.0 }],
    };
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        let is_level = (pair[0].y - pair[1].y).abs() < 1e-6;
        let room = if is_level { size.x } else { size.y };
        let (low, high) = (TO_CORNER + room / 2.0, length - TO_CORNER - room / 2.0);
        if low <= high && !(is_level && is_upward) {
            let along = (pair[1] - pair[0]) * (1.0 / length);
            let to_middle = middle - pair[0];
            let here = (to_middle.x * along.x + to_middle.y * along.y).clamp(low, high);
            let places = SLIDES.map(|by| here + by).into_iter();
            for at in places.filter(|at| (low..=high).contains(at)) {
                let rect = about(pair[0] + along * at);
                spots.push(Spot { rect, tie: None, line: None, cost: moved(drawn, rect) });
            }
        }
    }
    spots.retain(|spot| is_near(drawn, spot));
    sorted(spots)
}

/// Places for a plate beside its wire, tied to it.
pub(super) fn beside_wire(drawn: Box2, line: &[Point], times: f64) -> Vec<Spot> {
    let half = (drawn.max - drawn.min) * (times * 0.5);
    let mut spots = Vec::new();
    for pair in line.windows(2) {
        for share in [0.5, 0.3, 0.7, 0.1, 0.9] {
            let to = pair[0] + (pair[1] - pair[0]) * share;
            for off in OFFS {
                for (x, y) in WAYS {
                    let centre = to + Point::new(x * (half.x + off), y * (half.y + off));
                    let rect = Box2 { min: centre - half, max: centre + half };
                    let cost = off * OFF + moved(drawn, rect);
                    let line = Box2::around([nearest(rect, to), to]);
                    spots.push(Spot { rect, tie: Some(to), line, cost });
                }
            }
        }
    }
    spots.retain(|spot| is_near(drawn, spot));
    sorted(spots)
}

fn is_near(drawn: Box2, spot: &Spot) -> bool {
    spot.rect.centre().distance(drawn.centre()) <= FARTHEST
}

fn moved(drawn: Box2, rect: Box2) -> f64 {
    drawn.centre().distance(rect.centre()) * MOVED
}

fn sorted(mut spots: Vec<Spot>) -> Vec<Spot> {
    spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    spots
}
