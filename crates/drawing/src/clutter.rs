//! What already covers the sheet, so that lettering finds free places.

use loomwright_circuit::{Box2, Point};
use rustc_hash::FxHashMap;

use crate::number::floor;

/// Side of a square of the index, mm.
const SIDE: f64 = 10.0;
/// A rectangle over more squares than this is kept apart.
const MOST_SQUARES: i64 = 1_000;

/// Rectangles that lettering must not cover, found by place.
#[derive(Debug, Default)]
pub(crate) struct Clutter {
    /// The squares that each rectangle lies in, to take it away again.
    spans: Vec<Span>,
    squares: FxHashMap<(i64, i64), Vec<Cover>>,
    large: Vec<Cover>,
}

/// A rectangle in a square.
#[derive(Debug, Clone, Copy)]
struct Cover {
    idx: usize,
    rect: Box2,
    kind: Kind,
    /// The first of the squares that it lies in.
    first: (i64, i64),
}

/// What covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The symbol of the part with this index.
    Body(usize),
    /// Letters, flags, tags, marks.
    Lettering,
    /// A stretch of the wire with this index.
    Wire(usize),
    /// The soft over-ink around a stretch of that wire, with the line around it.
    OverInk(usize),
    /// A place that must stay visible: a wire's corner, a hop, the end of a wire.
    Spot,
    /// The arrowhead of the wire with this index, where it goes on elsewhere.
    Tip(usize),
}

impl Clutter {
    /// Adds a rectangle; what is returned takes it away again.
    pub(crate) fn add(&mut self, rect: Box2, kind: Kind) -> usize {
        let idx = self.spans.len();
        let span = Span::of(rect);
        let cover = Cover { idx, rect, kind, first: span.first };
        self.spans.push(span);
        if span.is_large() {
            self.large.push(cover);
        } else {
            for square in span.squares() {
                self.squares.entry(square).or_default().push(cover);
            }
        }
        idx
    }

    /// Takes a rectangle away.
    pub(crate) fn remove(&mut self, idx: usize) {
        let span = self.spans[idx];
        if span.is_large() {
            self.large.retain(|cover| cover.idx != idx);
            return;
        }
        for square in span.squares() {
            if let Some(covers) = self.squares.get_mut(&square) {
                covers.retain(|cover| cover.idx != idx);
            }
        }
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

    /// Adds the over-ink around a wire's line, `width` mm wide.
    pub(crate) fn add_over_ink(&mut self, wire_idx: usize, points: &[Point], width: f64) {
        for pair in points.windows(2) {
            if let Some(rect) = Box2::around(pair.iter().copied()) {
                self.add(rect.grown(width / 2.0), Kind::OverInk(wire_idx));
            }
        }
    }

    /// Area in mm² by which `rect` would cover what is there, each kind by its weight; a line counts at least 1.
    pub(crate) fn cost(&self, rect: Box2, weight: impl Fn(Kind) -> f64) -> f64 {
        self.cost_beside(rect, usize::MAX, weight)
    }

    /// The same, without one of the rectangles that are there.
    pub(crate) fn cost_beside(
        &self,
        rect: Box2,
        left_out: usize,
        weight: impl Fn(Kind) -> f64,
    ) -> f64 {
        let price = |cover: &Cover| {
            if cover.idx != left_out && rect.meets(cover.rect) {
                weight(cover.kind) * (1.0 + overlap(rect, cover.rect))
            } else {
                0.0
            }
        };
        let mut sum: f64 = self.large.iter().map(price).sum();
        let span = Span::of(rect);
        if span.is_large() {
            let firsts = self.squares.iter().flat_map(|(square, covers)| {
                covers.iter().filter(move |cover| cover.first == *square)
            });
            let mut covers: Vec<&Cover> = firsts.collect();
            covers.sort_unstable_by_key(|cover| cover.idx);
            return sum + covers.into_iter().map(price).sum::<f64>();
        }
        for square in span.squares() {
            let Some(covers) = self.squares.get(&square) else { continue };
            for cover in covers {
                // What lies in several of these squares counts in the first of them.
                let counts_at = (cover.first.0.max(span.first.0), cover.first.1.max(span.first.1));
                if counts_at == square {
                    sum += price(cover);
                }
            }
        }
        sum
    }
}

fn overlap(a: Box2, b: Box2) -> f64 {
    let width = a.max.x.min(b.max.x) - a.min.x.max(b.min.x);
    let height = a.max.y.min(b.max.y) - a.min.y.max(b.min.y);
    width.max(0.0) * height.max(0.0)
}

/// The squares that a rectangle touches, from the first to the last of them.
#[derive(Debug, Clone, Copy)]
struct Span {
    first: (i64, i64),
    last: (i64, i64),
}

impl Span {
    fn of(rect: Box2) -> Self {
        let square = |point: Point| (floor(point.x / SIDE), floor(point.y / SIDE));
        Self { first: square(rect.min), last: square(rect.max) }
    }

    fn is_large(self) -> bool {
        let across = self.last.0.saturating_sub(self.first.0).saturating_add(1);
        let down = self.last.1.saturating_sub(self.first.1).saturating_add(1);
        across.saturating_mul(down) > MOST_SQUARES
    }

    fn squares(self) -> impl Iterator<Item = (i64, i64)> {
        (self.first.0..=self.last.0)
            .flat_map(move |x| (self.first.1..=self.last.1).map(move |y| (x, y)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x: f64, y: f64, width: f64, height: f64) -> Box2 {
        Box2 { min: Point::new(x, y), max: Point::new(x + width, y + height) }
    }

    #[test]
    fn what_lies_in_several_squares_counts_once() {
        let mut clutter = Clutter::default();
        clutter.add(rect(-3.0, -3.0, 40.0, 40.0), Kind::Body(0));
        let small = clutter.add(rect(8.0, 8.0, 4.0, 4.0), Kind::Lettering);
        let all = |_| 1.0;
        // 25 by 25 mm of the first, all 16 mm² of the second, and 1 for meeting each.
        assert_eq!(clutter.cost(rect(5.0, 5.0, 25.0, 25.0), all), 625.0 + 16.0 + 2.0);
        assert_eq!(clutter.cost_beside(rect(5.0, 5.0, 25.0, 25.0), small, all), 626.0);
        clutter.remove(small);
        assert_eq!(clutter.cost(rect(5.0, 5.0, 25.0, 25.0), all), 626.0);
        assert_eq!(clutter.cost(rect(50.0, 50.0, 5.0, 5.0), all), 0.0);
    }

    #[test]
    fn what_is_very_large_counts_too() {
        let mut clutter = Clutter::default();
        clutter.add(rect(0.0, 0.0, 1000.0, 1000.0), Kind::Body(0));
        clutter.add(rect(3.0, 3.0, 15.0, 1.0), Kind::Spot);
        let all = |_| 1.0;
        assert_eq!(clutter.cost(rect(3.0, 3.0, 1.0, 1.0), all), 4.0);
        assert_eq!(clutter.cost(rect(0.0, 0.0, 1000.0, 1000.0), all), 1e6 + 15.0 + 2.0);
    }
}
