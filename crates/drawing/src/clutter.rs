//! What already covers the sheet, so that lettering finds free places.

use std::collections::HashMap;

use loomwright_circuit::{Box2, Point};

use crate::number::floor;

/// Side of a square of the index, mm.
const SIDE: f64 = 20.0;
/// A rectangle over more squares than this is kept apart.
const MOST_SQUARES: i64 = 400;

/// Rectangles that lettering must not cover, found by place.
#[derive(Debug, Default)]
pub(crate) struct Clutter {
    /// Nothing where it was taken away again.
    boxes: Vec<Option<(Box2, Kind)>>,
    squares: HashMap<(i64, i64), Vec<usize>>,
    large: Vec<usize>,
}

/// What covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A part's symbol.
    Body,
    /// Letters, flags, tags, marks.
    Lettering,
    /// A stretch of the wire with this index.
    Wire(usize),
    /// A place that must stay visible: a wire's corner, a hop, the end of a wire.
    Spot,
    /// The arrowhead of the wire with this index, where it goes on elsewhere.
    Tip(usize),
}

impl Clutter {
    /// Adds a rectangle; what is returned takes it away again.
    pub(crate) fn add(&mut self, rect: Box2, kind: Kind) -> usize {
        let idx = self.boxes.len();
        self.boxes.push(Some((rect, kind)));
        match squares(rect) {
            Some(squares) => {
                for square in squares {
                    self.squares.entry(square).or_default().push(idx);
                }
            }
            None => self.large.push(idx),
        }
        idx
    }

    /// Takes a rectangle away.
    pub(crate) fn remove(&mut self, idx: usize) {
        self.boxes[idx] = None;
    }

    /// Adds a wire's line, `width` mm wide, with its corners as spots.
    pub(crate) fn add_wire(&mut self, wire_idx: usize, points: &[Point], width: f64) {
        for pair in points.windows(2) {
            if let Some(rect) = Box2::around(pair.iter().copied()) {
                self.add(rect.grown(width / 2.0), Kind::Wire(wire_idx));
            }
        }
        for corner in points.iter().skip(1).take(points.len().saturating_sub(2)) {
            self.add(Box2 { min: *corner, max: *corner }.grown(width / 2.0), Kind::Spot);
        }
    }

    /// Area in mm² by which `rect` would cover what is there, each kind by its weight; a line counts at least 1.
    pub(crate) fn cost(&self, rect: Box2, weight: impl Fn(Kind) -> f64) -> f64 {
        let mut found: Vec<usize> = match squares(rect) {
            Some(squares) => {
                squares.filter_map(|square| self.squares.get(&square)).flatten().copied().collect()
            }
            None => (0..self.boxes.len()).collect(),
        };
        found.extend(&self.large);
        found.sort_unstable();
        found.dedup();
        found
            .into_iter()
            .filter_map(|idx| self.boxes[idx])
            .map(
                |(other, kind)| {
                    if rect.meets(other) {
                        weight(kind) * (1.0 + overlap(rect, other))
                    } else {
                        0.0
                    }
                },
            )
            .sum()
    }
}

fn overlap(a: Box2, b: Box2) -> f64 {
    let width = a.max.x.min(b.max.x) - a.min.x.max(b.min.x);
    let height = a.max.y.min(b.max.y) - a.min.y.max(b.min.y);
    width.max(0.0) * height.max(0.0)
}

/// The squares that a rectangle touches; nothing where they are too many.
fn squares(rect: Box2) -> Option<impl Iterator<Item = (i64, i64)>> {
    let square = |mm: f64| floor(mm / SIDE);
    let (x0, x1) = (square(rect.min.x), square(rect.max.x));
    let (y0, y1) = (square(rect.min.y), square(rect.max.y));
    let n_squares = (x1.saturating_sub(x0) + 1).saturating_mul(y1.saturating_sub(y0) + 1);
    (n_squares <= MOST_SQUARES).then(|| (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y))))
}
