//! Fitting a sheet onto paper: on one page if its letters stay legible, else over several with an overlap.

use loomwright_circuit::{Box2, Point};

use crate::number::count;
use crate::{Prim, Sheet};

/// Paper with the room to draw on it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    /// Width of the room, margins taken off, mm.
    pub width: f64,
    /// Height of the room, mm.
    pub height: f64,
}

/// One page of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    /// The part of the sheet that it shows, mm on the sheet.
    pub view: Box2,
    /// mm on paper for a mm on the sheet.
    pub scale: f64,
    /// Column of this page among the pages laid side by side, from 0.
    pub column: usize,
    /// Row of this page, from 0.
    pub row: usize,
    /// Whether the paper lies on its side.
    pub is_landscape: bool,
}

/// What neighbouring pages share, mm on paper: they are laid over each other by it.
pub const OVERLAP: f64 = 15.0;
/// Room around the sheet, mm on the sheet.
const MARGIN: f64 = 4.0;
/// A small sheet is not blown up more than this.
const LARGEST: f64 = 1.6;
/// Nobody sticks more pages than this together, either way; beyond it the letters get smaller.
const MOST_PAGES: usize = 12;

/// The pages that show the whole sheet, upright or on their side as fits better.
///
/// No capital comes out lower than `least_height` mm on paper: there is one page where that can be, else there are as
/// few as possible. Nothing is cut off.
pub fn pages(sheet: &Sheet, paper: Paper, least_height: f64) -> Vec<Tile> {
    let Some(bounds) = sheet.bounds else { return Vec::new() };
    let bounds = bounds.grown(MARGIN);
    let least_scale = least_height / lowest_capital(sheet).unwrap_or(least_height);
    let ways = [false, true].map(|is_landscape| {
        let upright =
            Paper { width: paper.width.min(paper.height), height: paper.width.max(paper.height) };
        let room = if is_landscape {
            Paper { width: upright.height, height: upright.width }
        } else {
            upright
        };
        tiles(bounds, room, least_scale, is_landscape)
    });
    let [upright, lying] = ways;
    // Fewer pages first, then the larger picture.
    let worth = |tiles: &[Tile]| tiles.first().map_or(0.0, |tile| tile.scale);
    let is_lying_better = match upright.len().cmp(&lying.len()) {
        std::cmp::Ordering::Less => false,
        std::cmp::Ordering::Greater => true,
        std::cmp::Ordering::Equal => worth(&lying) > worth(&upright),
    };
    if is_lying_better { lying } else { upright }
}

/// Height of the lowest capitals on the sheet, mm.
fn lowest_capital(sheet: &Sheet) -> Option<f64> {
    let heights = sheet.items.iter().flat_map(|item| &item.prims).filter_map(|prim| match prim {
        Prim::Text { height, .. } => Some(*height),
        _ => None,
    });
    heights.min_by(f64::total_cmp)
}

fn tiles(bounds: Box2, room: Paper, least_scale: f64, is_landscape: bool) -> Vec<Tile> {
    let fitting = (room.width / bounds.width()).min(room.height / bounds.height()).min(LARGEST);
    if fitting >= least_scale {
        return vec![Tile { view: bounds, scale: fitting, column: 0, row: 0, is_landscape }];
    }
    let n_pages = |extent: f64, room: f64| {
        let step = (room - OVERLAP).max(1.0);
        count(((extent * least_scale - OVERLAP) / step).ceil()).max(1)
    };
    let n_columns = n_pages(bounds.width(), room.width).min(MOST_PAGES);
    let n_rows = n_pages(bounds.height(), room.height).min(MOST_PAGES);
    // The largest scale that these pages still hold.
    let span = |n: usize, room: f64| room * n as f64 - OVERLAP * (n as f64 - 1.0);
    let scale = (span(n_columns, room.width) / bounds.width())
        .min(span(n_rows, room.height) / bounds.height())
        .min(LARGEST.max(least_scale));
    let size = Point::new(room.width / scale, room.height / scale);
    let step = size - Point::new(OVERLAP / scale, OVERLAP / scale);
    let mut tiles = Vec::with_capacity(n_columns * n_rows);
    for row in 0..n_rows {
        for column in 0..n_columns {
            let min = bounds.min + Point::new(step.x * column as f64, step.y * row as f64);
            tiles.push(Tile {
                view: Box2 { min, max: min + size },
                scale,
                column,
                row,
                is_landscape,
            });
        }
    }
    tiles
}
