//! Plates that stand on free paper near their wire, led to it by a line.

use loomwright_circuit::{Box2, Point};

use super::{ACROSS, Flag, covered, cramped, doubt_within, size, tie_covers_but};
use crate::Face;
use crate::clutter::{Clutter, Kind};
use crate::number::count;

/// How long the line may be, mm, and how short.
const REACH: f64 = 18.0;
const LEAST: f64 = 1.5;
/// How far places are apart, on paper and along the wire, mm.
const PITCH: f64 = 1.5;
const ALONG: f64 = 1.0;
/// Another wire may be nearer than its own where it is farther off than this, mm: its light does not come near.
const WELL_OFF: f64 = 2.4;
/// The line meets its wire at no flatter angle than this, as its sine: it would run into it.
const STEEP: f64 = 0.5;
/// What each mm costs that a line runs aslant.
const ASLANT: f64 = 0.2;

/// Where a line may meet a wire, and which way that runs there.
struct Spot {
    at: Point,
    along: Point,
}

/// The nearest free paper for a plate with words.
pub(crate) fn on_free_paper(
    wire_idx: usize,
    line: &[Point],
    (words, height): (&str, f64),
    clutter: &Clutter,
) -> Option<Flag> {
    let face = Face::Drawing;
    let size = size(words, face, (height, ACROSS));
    let spots = seen(line, clutter);
    let mut places = Vec::new();
    for centre in around(line, size) {
        let flag = Flag { wire_idx, centre, size, is_upward: false, face, tied_to: None };
        for spot in &spots {
            let by = flag.nearest(spot.at) - spot.at;
            let length = by.x.hypot(by.y);
            let across = (by.x * spot.along.y - by.y * spot.along.x).abs();
            if (LEAST..=REACH).contains(&length) && across >= STEEP * length {
                let cost = length + ASLANT * by.x.abs().min(by.y.abs());
                places.push((cost, Flag { tied_to: Some(spot.at), ..flag.clone() }));
            }
        }
    }
    places.sort_by(|one, other| one.0.total_cmp(&other.0));
    places.into_iter().map(|(_, flag)| flag).find(|flag| is_free(flag, clutter))
}

fn is_free(flag: &Flag, clutter: &Clutter) -> bool {
    let Some(to) = flag.tied_to else { return false };
    covered(flag, clutter) == 0.0
        && cramped(flag, clutter) == 0.0
        && doubt_within(flag, to, WELL_OFF, clutter) == 0.0
        && tie_covers_but(flag, to, |kind| kind == Kind::Tip(flag.wire_idx), clutter) == 0.0
}

/// Places on a wire where it is seen.
fn seen(line: &[Point], clutter: &Clutter) -> Vec<Spot> {
    let mut spots = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        let n_steps = count((length / ALONG).floor());
        let along = (pair[1] - pair[0]) * (1.0 / length.max(1e-6));
        let places = (1..n_steps).map(|n| pair[0] + along * (n as f64 / n_steps as f64 * length));
        let is_seen = |at: &Point| {
            let dot = Box2 { min: *at, max: *at }.grown(0.5);
            clutter.cost(dot, |kind| match kind {
                Kind::Wire(_) | Kind::OverInk(_) | Kind::Tip(_) => 0.0,
                Kind::Body(_) | Kind::Lettering | Kind::Spot => 1.0,
            }) == 0.0
        };
        spots.extend(places.filter(is_seen).map(|at| Spot { at, along }));
    }
    spots
}

/// Places all around a wire.
fn around(line: &[Point], (width, height): (f64, f64)) -> Vec<Point> {
    let Some(area) = Box2::around(line.iter().copied()) else { return Vec::new() };
    let by = Point::new(REACH + width / 2.0, REACH + height / 2.0);
    let (min, size) = (area.min - by, area.max - area.min + by * 2.0);
    let (across, down) = (count((size.x / PITCH).floor()), count((size.y / PITCH).floor()));
    let row = |y: usize| (0..=across).map(move |x| Point::new(x as f64, y as f64) * PITCH);
    (0..=down).flat_map(row).map(|at| min + at).collect()
}
