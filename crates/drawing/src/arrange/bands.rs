//! A long row of columns folded into bands below each other, as a line of words is on a page.

use super::columns::Room;

/// Sheets up to this many times as wide as high are left alone.
const LONG: f64 = 2.6;
/// A row no longer than this needs no folding: at seven tenths it stands whole on an A4 page on its side, 265 mm within
/// its margins.
const SHORT: f64 = 370.0;
/// Width over height that bands aim at: a page on its side without its margins, ISO 216.
const PAGE: f64 = 1.5;
/// Room between bands, mm, and what each wire from one to the next adds to it.
const BETWEEN: f64 = 30.0;
const TRACK: f64 = 2.5;
const MOST_TRACKS: usize = 16;
const MOST_BANDS: usize = 6;

/// Where each column's left edge stands, and how far down it moves.
pub(super) fn shifts(rooms: &[Room]) -> Vec<(f64, f64)> {
    let whole = folded(rooms, &[0]);
    if whole.width < SHORT || whole.width < LONG * whole.height {
        return whole.shifts;
    }
    let folds =
        (2..=MOST_BANDS.min(rooms.len())).map(|n_bands| folded(rooms, &starts(rooms, n_bands)));
    let all = std::iter::once(whole).chain(folds);
    let best = all.min_by(|a, b| a.off_page().total_cmp(&b.off_page()));
    best.map_or_else(Vec::new, |fold| fold.shifts)
}

struct Fold {
    width: f64,
    height: f64,
    shifts: Vec<(f64, f64)>,
}

impl Fold {
    /// How many times wider or higher than a page.
    fn off_page(&self) -> f64 {
        let ratio = self.width / self.height.max(1.0) / PAGE;
        ratio.max(1.0 / ratio)
    }
}

/// The first column of each band, for bands of like width: each breaks near its share, where the fewest wires cross.
fn starts(rooms: &[Room], n_bands: usize) -> Vec<usize> {
    let total: f64 = rooms.iter().map(|room| room.width).sum();
    let mut starts = vec![0];
    for band in 1..n_bands {
        let share = total * band as f64 / n_bands as f64;
        let mut before = 0.0;
        let mut best: Option<(f64, usize)> = None;
        for (column_idx, room) in rooms.iter().enumerate().take(rooms.len() - 1) {
            before += room.width;
            // A wire that crosses a fold runs back over the whole width: as bad as a band some columns too long.
            let cost = (before - share).abs() + 15.0 * room.n_tracks as f64;
            let is_free = starts.last().is_none_or(|last| *last <= column_idx);
            if is_free && best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, column_idx + 1));
            }
        }
        starts.extend(best.map(|(_, start)| start));
    }
    starts
}

/// The columns in bands that start at the given ones.
fn folded(rooms: &[Room], starts: &[usize]) -> Fold {
    let mut fold = Fold { width: 0.0, height: 0.0, shifts: Vec::with_capacity(rooms.len()) };
    for (band, start) in starts.iter().enumerate() {
        let end = starts.get(band + 1).copied().unwrap_or(rooms.len());
        let columns = &rooms[*start..end];
        let spans = columns.iter().filter_map(|room| room.span);
        let span = spans.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]).unwrap_or_default();
        if band > 0 {
            let n_tracks = rooms[*start - 1].n_tracks.min(MOST_TRACKS);
            fold.height += BETWEEN + TRACK * n_tracks as f64;
        }
        // A single band stays where it is, so that short rows keep their places.
        let down = if starts.len() == 1 { 0.0 } else { fold.height - span[0] };
        let mut x = 0.0;
        for room in columns {
            fold.shifts.push((x, down));
            x += room.width;
        }
        fold.width = fold.width.max(x);
        fold.height += span[1] - span[0];
    }
    fold
}
