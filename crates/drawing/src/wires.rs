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

/// The wash below a live wire: broad where current flows.
pub(crate) fn live(wire: &Wire, points: &[Point], live: LiveWire) -> Option<Prim> {
    let more = if is_flowing(live) { 2.6 } else { 1.5 };
    live.is_live.then(|| Prim::Line {
        points: points.to_vec(),
        width: width(wire) + more,
        ink: Ink::Live,
        dash: None,
    })
}

/// Currents below this are not drawn as flowing, A.
pub(crate) fn is_flowing(live: LiveWire) -> bool {
    live.amps.abs() >= 0.005
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
