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
const BROAD: f64 = 0.75;
const NARROW: f64 = 0.4;
/// Width of the edge of the light where all that is live is outlined, mm.
const EDGE: f64 = 0.3;

/// Width of a wire with the light at both its sides, mm.
pub(crate) fn lit_width(wire: &Wire) -> f64 {
    full_width(wire) + 2.0 * (GAP + BROAD)
}

/// The light at both sides of a live wire: broad where current flows; with an edge of its own where all that is live is
/// outlined. The paper between it and the wire comes by itself ([`gap`]), over the light of all wires.
pub(crate) fn live(wire: &Wire, points: &[Point], live: LiveWire, has_outlines: bool) -> Vec<Prim> {
    if !live.is_live {
        return Vec::new();
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
pub(crate) fn is_flowing(live: LiveWire) -> bool {
    live.amps.iter().any(|amps| amps.abs() >= 0.005)
}

/// Room that the strokes of an overload leave at corners and ends, mm.
const INSET: f64 = 1.6;

/// A wire that carries more than it bears: heavy strokes along both its sides. Below that, the plate with its current
/// shows how much of its rating is taken.
pub(crate) fn overload(wire: &Wire, line: &[Point], live: LiveWire) -> Vec<Prim> {
    if live.load.is_none_or(|load| load < 1.0) {
        return Vec::new();
    }
    let away = full_width(wire) / 2.0 + GAP + BROAD;
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
