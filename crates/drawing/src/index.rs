//! Where on a sheet its items and terminals lie, so that who asks about a part of the sheet need not walk all of it.

use std::ops::Range;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, OnceLock};

use loomwright_circuit::{Box2, PartId, Point};

use crate::{Item, Sheet};

/// The index of a sheet. It is no part of what the sheet is: a copy makes its own.
#[derive(Default)]
pub(crate) struct Index {
    items: Late,
    terminals: Late,
}

/// A grid that is made once it is worth it.
#[derive(Default)]
struct Late {
    grid: OnceLock<Grid>,
    n_asked: AtomicU32,
}

/// Questions that are answered by going through all. Making the grid takes as long as some thirty, and a sheet that stands
/// for a frame or two is asked less than this.
const MOST_WITHOUT: u32 = 16;

impl Late {
    /// What may lie in `area`, of all these.
    fn near(&self, area: Box2, all: impl ExactSizeIterator<Item = Box2> + Clone) -> Near {
        if self.grid.get().is_none() && self.n_asked.fetch_add(1, Ordering::Relaxed) < MOST_WITHOUT
        {
            return Near::All(0..all.len());
        }
        Near::Some(self.grid.get_or_init(|| Grid::of(all)).near(area).into_iter())
    }
}

/// Places of items in the sheet's list.
enum Near {
    All(Range<usize>),
    Some(std::vec::IntoIter<usize>),
}

impl Iterator for Near {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        match self {
            Self::All(places) => places.next(),
            Self::Some(places) => places.next(),
        }
    }
}

impl DoubleEndedIterator for Near {
    fn next_back(&mut self) -> Option<usize> {
        match self {
            Self::All(places) => places.next_back(),
            Self::Some(places) => places.next_back(),
        }
    }
}

impl Clone for Index {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for Index {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

impl std::fmt::Debug for Index {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Index")
    }
}

impl Sheet {
    /// The items whose rectangles share a point with `area`, in painting order.
    ///
    /// Items must not be moved once this was asked; a copy of the sheet may be changed at will.
    pub fn items_in(&self, area: Box2) -> impl DoubleEndedIterator<Item = &Item> {
        let is_all = self.bounds.is_none_or(|all| area.contains(all.min) && area.contains(all.max));
        let near = if is_all {
            // Who asks for all of it needs no index.
            Near::All(0..self.items.len())
        } else {
            self.index.items.near(area, self.items.iter().map(|item| item.bounds))
        };
        let items = near.filter_map(|at| self.items.get(at)).map(Arc::as_ref);
        items.filter(move |item: &&Item| item.bounds.meets(area))
    }

    /// The terminals within `area`, in the sheet's order.
    pub fn terminals_in(&self, area: Box2) -> impl Iterator<Item = &(PartId, Arc<str>, Point)> {
        let places = self.terminals.iter().map(|(.., at)| Box2 { min: *at, max: *at });
        let near = self.index.terminals.near(area, places);
        near.filter_map(|at| self.terminals.get(at)).filter(move |(.., at)| area.contains(*at))
    }
}

/// Rectangles, each known in every cell of a regular grid that it meets.
struct Grid {
    n_rects: usize,
    corner: Point,
    /// Side of a cell, mm.
    side: f64,
    columns: usize,
    rows: usize,
    /// Where the rectangles of each cell begin in `rects`; one more than there are cells.
    begins: Vec<u32>,
    rects: Vec<u32>,
    /// Those that meet too many cells to stand in each.
    wide: Vec<u32>,
}

/// Rectangles to a cell, on average.
const TO_A_CELL: f64 = 6.0;

/// Cells that a rectangle may stand in.
const MOST_CELLS: usize = 24;

impl Grid {
    fn of(rects: impl Iterator<Item = Box2> + Clone) -> Self {
        let all = rects.clone().reduce(Box2::union);
        let n_rects = rects.clone().count();
        let all = all.unwrap_or_else(|| Box2 { min: Point::default(), max: Point::default() });
        let (width, height) = (all.width().max(1.0), all.height().max(1.0));
        let side = (width * height * TO_A_CELL / n_rects.max(1) as f64).sqrt();
        // A narrow strip must not come to more cells than rectangles.
        let side = side.max(width.max(height) / n_rects.max(1) as f64);
        let cells = |length: f64| number(length / side) + 1;
        let (columns, rows) = (cells(width), cells(height));
        let mut grid = Self {
            n_rects,
            corner: all.min,
            side,
            columns,
            rows,
            begins: vec![0; columns * rows + 1],
            rects: Vec::new(),
            wide: Vec::new(),
        };
        grid.fill(rects);
        grid
    }

    /// Counts what each cell holds, then puts it in its place.
    fn fill(&mut self, rects: impl Iterator<Item = Box2> + Clone) {
        for (at, rect) in (0..).zip(rects.clone()) {
            match self.cells(rect) {
                Some(cells) => cells.for_each(|cell| self.begins[cell + 1] += 1),
                None => self.wide.push(at),
            }
        }
        for cell in 1..self.begins.len() {
            self.begins[cell] += self.begins[cell - 1];
        }
        let mut next = self.begins.clone();
        self.rects = vec![0; self.begins.last().copied().unwrap_or(0) as usize];
        for (at, rect) in (0..).zip(rects) {
            for cell in self.cells(rect).into_iter().flatten() {
                self.rects[next[cell] as usize] = at;
                next[cell] += 1;
            }
        }
    }

    /// The cells that a rectangle meets; nothing where they are too many.
    fn cells(&self, rect: Box2) -> Option<impl Iterator<Item = usize> + use<>> {
        let ([left, top], [right, bottom]) = (self.cell(rect.min), self.cell(rect.max));
        let columns = self.columns;
        let is_few = (right - left + 1) * (bottom - top + 1) <= MOST_CELLS;
        is_few.then(|| {
            (top..=bottom).flat_map(move |row| (left..=right).map(move |at| row * columns + at))
        })
    }

    /// Column and row of a place; outside the grid, those nearest to it.
    fn cell(&self, at: Point) -> [usize; 2] {
        let from = at - self.corner;
        [
            number(from.x / self.side).min(self.columns - 1),
            number(from.y / self.side).min(self.rows - 1),
        ]
    }

    /// Rectangles that may meet an area, in order.
    fn near(&self, area: Box2) -> Vec<usize> {
        let ([left, top], [right, bottom]) = (self.cell(area.min), self.cell(area.max));
        if (right - left + 1) * (bottom - top + 1) * 2 > self.columns * self.rows {
            return (0..self.n_rects).collect();
        }
        let mut near = self.wide.clone();
        for row in top..=bottom {
            // Cells of a row lie one behind the other.
            let (from, to) = (row * self.columns + left, row * self.columns + right + 1);
            near.extend(&self.rects[self.begins[from] as usize..self.begins[to] as usize]);
        }
        near.sort_unstable();
        near.dedup();
        near.into_iter().map(|at| at as usize).collect()
    }
}

/// A count of cells; nothing for what lies before the first.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded before")]
fn number(cells: f64) -> usize {
    cells.clamp(0.0, 1e6) as usize
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn rects(reach: f64) -> impl Strategy<Value = Vec<Box2>> {
        let rect = (-reach..reach, -reach..reach, 0.0..60.0f64, 0.0..9.0f64).prop_map(
            |(x, y, width, height)| {
                let min = Point::new(x, y);
                Box2 { min, max: min + Point::new(width, height) }
            },
        );
        prop::collection::vec(rect, 0..120)
    }

    proptest! {
        #[test]
        fn the_index_finds_what_a_walk_finds(rects in rects(200.0), areas in rects(260.0)) {
            let grid = Grid::of(rects.iter().copied());
            for area in areas {
                let area = area.grown(2.0 * area.height());
                let is_met = |at: &usize| rects[*at].meets(area);
                let walked: Vec<usize> = (0..rects.len()).filter(is_met).collect();
                let found: Vec<usize> = grid.near(area).into_iter().filter(is_met).collect();
                prop_assert_eq!(found, walked);
            }
        }
    }

    #[test]
    fn a_small_area_of_many_leaves_most_of_them_out() {
        let at = |n: usize| Point::new((n % 100) as f64 * 10.0, (n / 100) as f64 * 10.0);
        let grid = Grid::of((0..10_000).map(|n| Box2 { min: at(n), max: at(n) }.grown(4.0)));
        let near = grid.near(Box2 { min: Point::new(500.0, 500.0), max: Point::new(510.0, 505.0) });
        assert!(near.len() < 100, "{}", near.len());
    }
}
