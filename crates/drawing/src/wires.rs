//! Wires as real cable: casing, cover, tracer, and the marks of their standing.

use loomwright_circuit::{Point, Standing, Wire};
use loomwright_units::WireArea;

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

/// The soft over-ink below a wire that is to fit.
pub(crate) fn to_fit(wire: &Wire, points: &[Point]) -> Prim {
    Prim::Line { points: points.to_vec(), width: width(wire) + 2.8, ink: Ink::ToFit, dash: None }
}

/// The wash below a live wire: broad where current flows; with an edge of its own where all that is live is outlined.
pub(crate) fn live(wire: &Wire, points: &[Point], live: LiveWire, has_outlines: bool) -> Vec<Prim> {
    if !live.is_live {
        return Vec::new();
    }
    let more = if is_flowing(live) { 2.6 } else { 1.5 };
    let line = |more, ink| Prim::Line {
        points: points.to_vec(),
        width: width(wire) + more,
        ink,
        dash: None,
    };
    if has_outlines {
        vec![line(5.0, Ink::Danger), line(3.8, Ink::Live)]
    } else {
        vec![line(more, Ink::Live)]
    }
}

/// Currents below this are not drawn as flowing, A.
pub(crate) fn is_flowing(live: LiveWire) -> bool {
    live.amps.iter().any(|amps| amps.abs() >= 0.005)
}

/// Length after which the pattern of the load begins anew, mm.
const PERIOD: f64 = 5.0;
/// Loads below this share of the rating have no pattern.
const LEAST_LOAD: f64 = 0.05;
/// Room that the pattern leaves at corners and ends, mm.
const INSET: f64 = 1.6;

/// The load of a wire against its rating, as strokes along both its sides: as much of the way is drawn as is borne, and
/// all of it, heavier, from the rating on.
pub(crate) fn load(wire: &Wire, line: &[Point], live: LiveWire) -> Vec<Prim> {
    let Some(load) = live.load.filter(|load| *load >= LEAST_LOAD) else { return Vec::new() };
    let is_over = load >= 1.0;
    let (ink, width) = if is_over { (Ink::Danger, 0.8) } else { (Ink::Ink, 0.4) };
    let dash = (!is_over).then_some([PERIOD * load, PERIOD * (1.0 - load)]);
    let away = full_width(wire) / 2.0 + 0.9;
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
            prims.push(Prim::Line { points, width, ink, dash });
        }
    }
    prims
}

/// Small crosses along a wire that is to remove, clear of its ends.
pub(crate) fn strikes(line: &[Point]) -> Vec<Prim> {
    let mut prims = Vec::new();
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        let n_crosses = count((length / 10.0).round()).max(usize::from(length > 4.0));
        for cross in 0..n_crosses {
            let share = (cross as f64 + 0.5) / n_crosses as f64;
            let at = pair[0] + (pair[1] - pair[0]) * share;
            for (dx, dy) in [(1.1, 1.1), (1.1, -1.1)] {
                let arm = Point::new(dx, dy);
                let points = vec![at - arm, at + arm];
                prims.push(Prim::Line { points, width: 0.35, ink: Ink::ToRemove, dash: None });
            }
        }
    }
    prims
}
