//! Wires as real cable: casing, cover, tracer, and the marks of their standing.

use loomwright_circuit::{Box2, Point, Standing, Wire};
use loomwright_units::WireArea;

use crate::live::pieces;
use crate::number::count;
use crate::{Ink, LiveWire, Prim};

/// Width of the casing line on each side, mm.
const CASING: f64 = 0.25;

/// Width of a wire's cover on the drawing, mm: a little more for heavy cable.
pub(crate) fn width(wire: &Wire) -> f64 {
    let full = match wire.size.map(WireArea::square_mm) {
        Some(area) if area >= 16.0 => 1.9,
        Some(area) if area >= 6.0 => 1.5,
        _ => 1.1,
    };
    if wire.standing == Standing::ToRemove { full * 0.55 } else { full }
}

/// Width with its casing, mm.
pub(crate) fn full_width(wire: &Wire) -> f64 {
    width(wire) + 2.0 * CASING
}

/// The cable along a line that already has its hops.
pub(crate) fn cable(wire: &Wire, points: &[Point]) -> Vec<Prim> {
    let width = width(wire);
    let line = |width, ink, dash| Prim::Line { points: points.to_vec(), width, ink, dash };
    let main = wire.colour.map(|colour| colour.main);
    let mut prims =
        vec![line(width + 2.0 * CASING, Ink::Casing, None), line(width, Ink::Cable(main), None)];
    if main.is_none() {
        // Rungs across it, so that a cover not known is told from every colour by its shape too.
        prims.push(line(width, Ink::Casing, Some([0.3, 1.5])));
    }
    if let Some(tracer) = wire.colour.and_then(|colour| colour.tracer) {
        prims.push(line(width * 0.4, Ink::Cable(Some(tracer)), Some([2.4, 1.6])));
    }
    prims
}

/// By how much the over-ink of what is to fit is wider than the cover, mm, and the line that papers draw around it.
const OVER_INK: f64 = 2.8;
const AROUND_OVER_INK: f64 = 0.3;

/// The soft over-ink below a wire that is to fit.
pub(crate) fn to_fit(wire: &Wire, points: &[Point]) -> Prim {
    let width = width(wire) + OVER_INK;
    Prim::Line { points: points.to_vec(), width, ink: Ink::ToFit, dash: None }
}

/// Width of that over-ink, the line around it included, mm.
pub(crate) fn over_ink_width(wire: &Wire) -> f64 {
    width(wire) + OVER_INK + 2.0 * AROUND_OVER_INK
}

/// Width of the edge around the over-ink of what is to fit, mm.
const OVER_EDGE: f64 = 0.3;

/// The over-ink a little wider and in the ink of its edge: what shows of it is that.
pub(crate) fn edged(mut prims: Vec<Prim>) -> Vec<Prim> {
    for prim in &mut prims {
        match prim {
            Prim::Line { width, ink, .. } => {
                *width += 2.0 * OVER_EDGE;
                *ink = Ink::ToFitEdge;
            }
            Prim::Area { fill, edge, .. } | Prim::Circle { fill, edge, .. } => {
                let width = edge.map_or(0.0, |(_, width)| width) + 2.0 * OVER_EDGE;
                *fill = Some(Ink::ToFitEdge);
                *edge = Some((Ink::ToFitEdge, width));
            }
            Prim::Text { .. } => {}
        }
    }
    prims
}

/// Paper between a live wire and the light at both its sides, mm, so that it is told from a dead one by its shape too,
/// whatever the colour of its cover.
const GAP: f64 = 0.45;
/// Width of the light at each side where current flows, and where a wire only stands at volts, mm.
const BROAD: f64 = 0.95;
const NARROW: f64 = 0.65;
/// How far the light goes beyond a wire, mm.
pub(crate) const LIGHT: f64 = GAP + BROAD;
/// Width of the edge of the light where all that is live is outlined, mm.
const EDGE: f64 = 0.3;

/// Width of a wire with the light at both its sides, mm.
pub(crate) fn lit_width(wire: &Wire) -> f64 {
    full_width(wire) + 2.0 * LIGHT
}

/// The light at both sides of a live wire: broad where current flows; with an edge of its own where all that is live is
/// outlined. The paper between it and the wire comes by itself ([`gap`]), over the light of all wires.
pub(crate) fn live(wire: &Wire, points: &[Point], live: LiveWire, has_outlines: bool) -> Vec<Prim> {
    if !live.is_live {
        return Vec::new();
    }
    if let Some(pieces_live) = live.broken {
        let pieces = pieces(points).into_iter().zip(pieces_live).filter(|(_, is_live)| *is_live);
        let whole = LiveWire { broken: None, ..live };
        return pieces
            .flat_map(|(piece, _)| self::live(wire, &piece, whole, has_outlines))
            .collect();
    }
    let around = |more: f64, ink| Prim::Line {
        points: points.to_vec(),
        width: full_width(wire) + 2.0 * (GAP + more),
        ink,
        dash: None,
    };
    match (has_outlines, is_flowing(live)) {
        (true, _) => vec![around(BROAD + EDGE, Ink::Danger), around(BROAD, Ink::Live)],
        (false, true) => vec![around(BROAD, Ink::Live)],
        (false, false) => vec![around(NARROW, Ink::Live)],
    }
}

/// The paper between a live wire and its light.
pub(crate) fn gap(wire: &Wire, points: &[Point], live: LiveWire) -> Vec<Prim> {
    let width = full_width(wire) + 2.0 * GAP;
    let paper = || Prim::Line { points: points.to_vec(), width, ink: Ink::Paper, dash: None };
    live.is_live.then(paper).into_iter().collect()
}

/// Currents below this are not drawn as flowing, A.
pub(crate) const LEAST_AMPS: f64 = 0.005;

/// Whether a wire is drawn as one in which something flows.
pub(crate) fn is_flowing(live: LiveWire) -> bool {
    live.amps.iter().any(|amps| amps.abs() >= LEAST_AMPS)
}

/// Room that the strokes of an overload leave at corners and ends, mm.
const INSET: f64 = 1.6;

/// A wire that carries more than it bears: heavy strokes along both its sides. Below that, the plate with its current
/// shows how much of its rating is taken.
pub(crate) fn overload(wire: &Wire, line: &[Point], live: LiveWire) -> Vec<Prim> {
    if live.load.is_none_or(|load| load < 1.0) {
        return Vec::new();
    }
    let away = full_width(wire) / 2.0 + LIGHT;
    let mut prims = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        if length < 2.0 * INSET + 1.0 {
            continue;
        }
        let along = (pair[1] - pair[0]) * (1.0 / length);
        let across = Point::new(-along.y, along.x) * away;
        for side in [across, across * -1.0] {
            let points = vec![pair[0] + along * INSET + side, pair[1] - along * INSET + side];
            prims.push(Prim::Line { points, width: 0.8, ink: Ink::Danger, dash: None });
        }
    }
    prims
}

/// Half the side of a cross on a wire that is to remove, mm.
const ARM: f64 = 1.3;

/// A stroke through what is to remove.
pub(crate) fn strike(points: Vec<Point>) -> Prim {
    Prim::Line { points, width: 0.5, ink: Ink::ToRemove, dash: None }
}

/// Crosses stand no nearer to each other than this, mm, and to the end of a straight stretch than that.
const CROSSES_APART: f64 = 10.0;
const CROSS_TO_CORNER: f64 = 2.5;
/// Places for a cross are looked at so far apart, mm.
const CROSS_STEP: f64 = 1.25;

/// Small crosses along a wire that is to remove, clear of its corners and of lettering: what is half covered is no cross.
pub(crate) fn strikes(line: &[Point], lettering: &[Box2]) -> Vec<Prim> {
    let is_free = |at: &Point| {
        let cross = Box2 { min: *at, max: *at }.grown(ARM + 0.3);
        !lettering.iter().any(|rect| rect.meets(cross))
    };
    let mut crosses: Vec<Point> = Vec::new();
    for at in line.windows(2).flat_map(|pair| places_for_crosses(pair[0], pair[1])) {
        if is_free(&at) && crosses.iter().all(|other| other.distance(at) >= CROSSES_APART) {
            crosses.push(at);
        }
    }
    if crosses.is_empty() {
        crosses.extend(least_covered(line, lettering));
    }
    let arms = [Point::new(ARM, ARM), Point::new(ARM, -ARM)];
    let strokes =
        crosses.into_iter().flat_map(|at| arms.map(|arm| strike(vec![at - arm, at + arm])));
    strokes.collect()
}

/// Where a short line shows most of a cross, however near to its ends: the middle of its longest free piece, or of all of it.
fn least_covered(line: &[Point], lettering: &[Box2]) -> Option<Point> {
    let fine = line.windows(2).flat_map(|pair| {
        let length = pair[0].distance(pair[1]);
        let n_steps = count(length / FINE_STEP).max(1);
        (0..=n_steps)
            .map(move |step| pair[0] + (pair[1] - pair[0]) * (step as f64 / n_steps as f64))
    });
    let places: Vec<Point> = fine.collect();
    let is_bare = |at: &Point| !lettering.iter().any(|rect| rect.contains(*at));
    let bare = places.chunk_by(|a, b| is_bare(a) == is_bare(b)).filter(|run| is_bare(&run[0]));
    let longest = bare.max_by_key(|run| run.len()).unwrap_or(&places);
    longest.get(longest.len() / 2).copied()
}

/// On a short line, places are looked at so far apart, mm.
const FINE_STEP: f64 = 0.25;

/// Places on a straight stretch, clear of both its ends.
fn places_for_crosses(from: Point, to: Point) -> impl Iterator<Item = Point> {
    let length = from.distance(to);
    let room = length - 2.0 * CROSS_TO_CORNER;
    let n_steps = if room < 0.0 { None } else { Some(count(room / CROSS_STEP)) };
    let places = n_steps.into_iter().flat_map(|n_steps| 0..=n_steps);
    places.map(move |step| {
        let at = CROSS_TO_CORNER + step as f64 * CROSS_STEP;
        from + (to - from) * (at / length)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crosses(line: &[[f64; 2]], lettering: &[Box2]) -> Vec<Point> {
        let line: Vec<Point> = line.iter().copied().map(Point::from).collect();
        let strokes = strikes(&line, lettering);
        let middle = |pair: &[Prim]| pair[0].bounds().expect("a stroke").centre();
        strokes.chunks(2).map(middle).collect()
    }

    #[test]
    fn crosses_keep_clear_of_corners_and_of_lettering() {
        let line = [[0.0, 0.0], [40.0, 0.0], [40.0, 3.0]];
        let all = crosses(&line, &[]);
        assert_eq!(all.len(), 4, "{all:?}");
        let flag = Box2 { min: Point::new(8.0, -2.0), max: Point::new(30.0, 2.0) };
        let beside = crosses(&line, &[flag]);
        assert!(beside.len() >= 2, "{beside:?}");
        assert!(beside.iter().all(|at| at.x < 8.0 - ARM || at.x > 30.0 + ARM), "{beside:?}");
        // However little room there is, it is crossed out.
        assert_eq!(crosses(&[[0.0, 0.0], [4.0, 0.0]], &[flag]).len(), 1);
        // A short lead to another sheet bears its flag in the middle: the cross is beside that.
        let stub = Box2 { min: Point::new(2.5, -2.0), max: Point::new(8.0, 2.0) };
        let beside = crosses(&[[0.0, 0.0], [11.0, 0.0]], &[stub]);
        assert!(matches!(beside[..], [at] if !stub.contains(at)), "{beside:?}");
    }
}
