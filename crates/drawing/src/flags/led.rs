//! Plates that stand on free paper near their wire, led to it by a line.

use loomwright_circuit::{Box2, Point};

use super::{ACROSS, Flag, covered, cramped, doubt_within, size, tie_covers_but};
use crate::Face;
use crate::clutter::{Clutter, Kind};
use crate::number::count;

/// How long the line may be, mm, and how short.
const REACH: f64 = 18.0;
const LEAST: f64 = 1.5;
/// How far places are apart on paper and along the wire, mm, and from how many places on that a line is looked for.
const PITCH: f64 = 1.5;
const ALONG: f64 = 1.0;
const MOST_SPOTS: usize = 8;
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
///
/// # Complexity
/// Some thousand places at the most, however long the wire is.
pub(crate) fn on_free_paper(
    wire_idx: usize,
    line: &[Point],
    (words, height): (&str, f64),
    clutter: &Clutter,
) -> Option<Flag> {
    let face = Face::Drawing;
    let size = size(words, face, (height, ACROSS));
    let spots = seen(line, clutter);
    let off = off(size);
    let places = off.iter().flat_map(|(by, line)| spots.iter().map(move |spot| (by, line, spot)));
    let mut flags =
        places.filter(|(_, line, spot)| is_steep(**line, spot.along)).map(|(by, _, spot)| {
            let (centre, tied_to) = (spot.at + *by, Some(spot.at));
            Flag { wire_idx, centre, size, is_upward: false, face, tied_to }
        });
    flags.find(|flag| is_free(flag, clutter))
}

/// How far off a place the middle of a plate may be, with the line that leads to it, the best first.
fn off((width, height): (f64, f64)) -> Vec<(Point, Point)> {
    let (half, steps) = (Point::new(width / 2.0, height / 2.0), |room: f64| {
        let most = count((room / PITCH).floor());
        (0..=2 * most).map(move |n| (n as f64 - most as f64) * PITCH)
    });
    let each =
        steps(REACH + half.y).flat_map(|y| steps(REACH + half.x).map(move |x| Point::new(x, y)));
    let led = each.filter_map(|by| {
        let line =
            Point::new(by.x - by.x.clamp(-half.x, half.x), by.y - by.y.clamp(-half.y, half.y));
        let length = line.x.hypot(line.y);
        let cost = length + ASLANT * line.x.abs().min(line.y.abs());
        (LEAST..=REACH).contains(&length).then_some((cost, (by, line)))
    });
    let mut led: Vec<_> = led.collect();
    led.sort_by(|one, other| one.0.total_cmp(&other.0));
    led.into_iter().map(|(_, off)| off).collect()
}

fn is_steep(line: Point, along: Point) -> bool {
    (line.x * along.y - line.y * along.x).abs() >= STEEP * line.x.hypot(line.y)
}

fn is_free(flag: &Flag, clutter: &Clutter) -> bool {
    let Some(to) = flag.tied_to else { return false };
    covered(flag, clutter) == 0.0
        && cramped(flag, clutter) == 0.0
        && doubt_within(flag, to, WELL_OFF, clutter) == 0.0
        && tie_covers_but(flag, to, |kind| kind == Kind::Tip(flag.wire_idx), clutter) == 0.0
}

/// Places on a wire where it is seen, spread over its length.
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
    let n_each = spots.len().div_ceil(MOST_SPOTS).max(1);
    spots.into_iter().skip(n_each / 2).step_by(n_each).collect()
}
