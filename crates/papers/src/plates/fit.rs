//! How large a sheet stands on the paper, and in how many parts.

use std::cell::RefCell;
use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId};
use loomwright_drawing::{Item, Options, Prim, Sheet, Subject, lay_out_again};
use loomwright_rules::Report;

use super::key::Key;
use super::new_work::outlined;
use super::tags;
use crate::{PackOptions, kept};

/// Heights of the capitals of wire numbers and codes, mm, the best first: 14 pt letters and 12 pt letters where they
/// find room, as on a sheet of one circuit, else the least.
const FLAGS: [f64; 3] = [3.55, 3.05, LEAST_CAPITALS];
/// Height that no capitals stay below, mm.
const LEAST_CAPITALS: f64 = 2.5;
/// A sheet with no more wires shows one circuit.
const ONE_CIRCUIT: usize = 12;
/// Symbols may shrink to this before the sheet is parted; their letters do not.
const LEAST_SCALE: f64 = 0.7;
/// Scales at which a sheet may be parted, the best first.
const PART_SCALES: [f64; 4] = [1.0, 0.9, 0.8, LEAST_SCALE];
/// Beyond this a sheet with little on it only looks crude.
const GREATEST_SCALE: f64 = 1.35;
/// Room between the drawing and its frame, mm.
const PADDING: f64 = 4.0;
/// What neighbouring parts share at the least, mm on paper.
const OVERLAP: f64 = 20.0;
/// Left and right of the frame, mm; a little more at the left, for the punch.
pub(super) const BESIDE: f64 = 14.0 + 18.0;
/// Above and below the frame: margins, running lines, heading and legend, mm.
const ABOVE_AND_BELOW: f64 = 25.0 + 22.0 + 8.5 + 9.5;

/// A laid-out sheet with its place on paper.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub(crate) id: SheetId,
    pub(crate) sheet: Arc<Sheet>,
    /// mm on paper for each mm on the sheet.
    pub(crate) scale: f64,
    /// The page as turned, mm.
    pub(super) paper: [f64; 2],
    /// The frame of each page, mm.
    pub(super) frame: [f64; 2],
    pub(super) columns: usize,
    pub(super) rows: usize,
    pub(super) key: Key,
}

impl Fit {
    pub(super) fn is_whole(&self) -> bool {
        self.columns * self.rows == 1
    }

    /// What all parts together show of the sheet: no less than one frame each way.
    pub(super) fn window_of_all(&self, bounds: Box2) -> Box2 {
        let side = |frame: f64, n: usize, extent: f64| {
            if n == 1 { frame / self.scale } else { extent + 2.0 * PADDING / self.scale }
        };
        let size = Point::new(
            side(self.frame[0], self.columns, bounds.width()),
            side(self.frame[1], self.rows, bounds.height()),
        );
        let half = size * 0.5;
        Box2 { min: bounds.centre() - half, max: bounds.centre() + half }
    }

    /// What the n-th part shows, counted row by row from 0.
    pub(super) fn window(&self, bounds: Box2, idx: usize) -> Box2 {
        let all = self.window_of_all(bounds);
        let size = Point::new(self.frame[0], self.frame[1]) * (1.0 / self.scale);
        let step = |room: f64, size: f64, n: usize, at: usize| {
            if n == 1 { 0.0 } else { (room - size) * at as f64 / (n as f64 - 1.0) }
        };
        let min = all.min
            + Point::new(
                step(all.width(), size.x, self.columns, idx % self.columns),
                step(all.height(), size.y, self.rows, idx / self.columns),
            );
        Box2 { min, max: min + size }
    }

    /// What neighbouring parts share, across and down the page, mm on paper.
    pub(super) fn overlap(&self, bounds: Box2) -> [f64; 2] {
        let first = self.window(bounds, 0);
        let next = self.window(bounds, self.columns * self.rows - 1);
        let shared = |frame: f64, from: f64, to: f64, n: usize| {
            let step = if n == 1 { 0.0 } else { (to - from) * self.scale / (n as f64 - 1.0) };
            crate::paint::round(frame - step)
        };
        [
            shared(self.frame[0], first.min.x, next.min.x, self.columns),
            shared(self.frame[1], first.min.y, next.min.y, self.rows),
        ]
    }
}

/// Lays a sheet out with letters for paper: whole on one page, with as large wire numbers as find room, if nothing is
/// then written over anything; otherwise in parts. No capitals stay below the least height.
pub(crate) fn lay_out_for_paper(
    car: &Car,
    report: &Report,
    options: &PackOptions,
    id: SheetId,
) -> Fit {
    // The wires run the same way whatever the lettering, so that they are routed once.
    let before = RefCell::new(kept::sheet(id).unwrap_or_default());
    let room = Room { options, key: Key::of(car, id) };
    let lay = |(flags, at_both_ends): (f64, bool), scale: f64| {
        let drawing = Options {
            version: options.version,
            flag_height: Some(flags / scale),
            least_height: Some(LEAST_CAPITALS / scale),
            has_sizes: true,
            flags_at_both_ends: at_both_ends,
            tags: tags(report),
            ..Options::default()
        };
        let sheet = Arc::new(outlined(lay_out_again(car, id, &drawing, &before.borrow())));
        before.replace(Arc::clone(&sheet));
        sheet
    };
    // The clearest way wins; then the largest numbers on one circuit, and elsewhere those that lie on their wires.
    let key = |fit: &Fit| {
        let is_one_circuit = fit.sheet.routes.len() <= ONE_CIRCUIT;
        (n_clashes(&fit.sheet), if is_one_circuit { 0 } else { n_tied(&fit.sheet) })
    };
    // Where a second number on each long wire leaves no room for something else, each carries one.
    let mut whole: Option<((usize, usize), Fit)> = None;
    for at_both_ends in [true, false] {
        let wholes = FLAGS
            .into_iter()
            .filter_map(|flags| whole_at(&room, id, &|scale| lay((flags, at_both_ends), scale)));
        let wholes = wholes.map(|fit| (key(&fit), fit));
        whole = whole.into_iter().chain(wholes).min_by_key(|(key, _)| *key);
        if let Some(((0, _), fit)) = whole {
            return fit;
        }
    }
    // A clash is as bad as a page more, and of the best the largest.
    let parts = PART_SCALES
        .into_iter()
        .map(|scale| in_parts(&room, id, lay((LEAST_CAPITALS, true), scale), scale));
    let parted = parts.map(|fit| (key(&fit), fit));
    let parted = parted.min_by_key(|((n_clashes, _), fit)| n_clashes + fit.columns * fit.rows);
    let clearest = whole.into_iter().chain(parted).min_by_key(|((n_clashes, _), _)| *n_clashes);
    clearest
        .map_or_else(|| in_parts(&room, id, lay((LEAST_CAPITALS, true), 1.0), 1.0), |(_, fit)| fit)
}

/// How many flags found no room on their wire.
fn n_tied(sheet: &Sheet) -> usize {
    let flags = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Flag(_)));
    let is_tied = |item: &&Item| item.prims.iter().any(|prim| matches!(prim, Prim::Circle { .. }));
    flags.filter(is_tied).count()
}

/// The room that a page has for a drawing.
struct Room<'a> {
    options: &'a PackOptions,
    key: Key,
}

impl Room<'_> {
    /// The frame on a page as turned, mm.
    fn frame(&self, paper: [f64; 2]) -> [f64; 2] {
        let width = paper[0] - BESIDE;
        [width, paper[1] - ABOVE_AND_BELOW - self.key.height(width)]
    }
}

/// The sheet whole on one page, as large as fits; nothing where its symbols would be too small.
fn whole_at(room: &Room<'_>, id: SheetId, lay: &impl Fn(f64) -> Arc<Sheet>) -> Option<Fit> {
    // Larger letters take more room, which may shrink the drawing, which asks for larger letters.
    let mut scale = GREATEST_SCALE;
    for _ in 0..5 {
        let sheet = lay(scale);
        let size = size_of(&sheet);
        let fitting = best_scale(room, size);
        if fitting >= scale {
            return Some(whole(room, id, sheet, size, scale));
        }
        // A hair smaller than needed, or the next round could fail by a rounding.
        scale = fitting * 0.999;
        if scale < LEAST_SCALE {
            break;
        }
    }
    None
}

/// How often words stand on words or on a wire, or a flag or tag on a symbol.
fn n_clashes(sheet: &Sheet) -> usize {
    const TOUCH: f64 = 0.1;
    let words: Vec<(usize, Box2)> = sheet
        .items
        .iter()
        .enumerate()
        .flat_map(|(idx, item)| item.prims.iter().map(move |prim| (idx, item, prim)))
        .filter(|(_, _, prim)| matches!(prim, Prim::Text { .. }))
        .filter_map(|(idx, item, prim)| {
            let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
            let around = match item.subject {
                Subject::Flag(_) | Subject::Tag(_) => plate.and_then(Prim::bounds),
                _ => prim.bounds(),
            };
            Some((idx, around?.grown(-TOUCH)))
        })
        .collect();
    let on_words = |n: usize, (idx, around): (usize, Box2)| {
        // The words within one symbol must keep clear of each other, too.
        let is_symbol = matches!(sheet.items[idx].subject, Subject::Part(_));
        let is_on =
            |(other, rect): &&(usize, Box2)| (is_symbol || *other != idx) && rect.meets(around);
        words[n + 1..].iter().filter(is_on).count()
    };
    let on_symbols = |(idx, around): (usize, Box2)| {
        let is_plate = matches!(sheet.items[idx].subject, Subject::Flag(_) | Subject::Tag(_));
        let is_symbol = |item: &&Item| matches!(item.subject, Subject::Part(_));
        let symbols = sheet.items.iter().filter(is_symbol);
        if is_plate { symbols.filter(|item| item.bounds.meets(around)).count() } else { 0 }
    };
    let on_wires = |(idx, around): (usize, Box2)| {
        let subject = sheet.items[idx].subject;
        if matches!(subject, Subject::Part(_)) {
            return 0;
        }
        let others = sheet.routes.iter().filter(|(wire, _)| subject != Subject::Flag(**wire));
        let stretches = others.flat_map(|(_, line)| line.windows(2));
        let rects = stretches.filter_map(|pair| Box2::around(pair.iter().copied()));
        rects.filter(|rect| rect.meets(around)).count()
    };
    let each = words.iter().enumerate();
    each.map(|(n, one)| on_words(n, *one) + on_symbols(*one) + on_wires(*one)).sum()
}

fn size_of(sheet: &Sheet) -> [f64; 2] {
    sheet.bounds.map_or([0.0, 0.0], |bounds| [bounds.width(), bounds.height()])
}

fn turned(paper: [f64; 2], is_wide: bool) -> [f64; 2] {
    if is_wide { [paper[1], paper[0]] } else { paper }
}

fn scale_in(frame: [f64; 2], size: [f64; 2]) -> f64 {
    let room = frame.map(|side| side - 2.0 * PADDING);
    (room[0] / size[0].max(1.0)).min(room[1] / size[1].max(1.0))
}

fn best_scale(room: &Room<'_>, size: [f64; 2]) -> f64 {
    let paper = room.options.paper.size();
    scale_in(room.frame(paper), size).max(scale_in(room.frame(turned(paper, true)), size))
}

fn whole(room: &Room<'_>, id: SheetId, sheet: Arc<Sheet>, size: [f64; 2], scale: f64) -> Fit {
    let upright = room.options.paper.size();
    let wide = turned(upright, true);
    // Upright pages lie easier in a ring binder, so a sheet that fits both ways stands upright, unless the pages of
    // text lie on their sides.
    let [text_width, text_height] = room.options.paper.for_text().0;
    let fits_wide = text_width > text_height && scale_in(room.frame(wide), size) >= scale;
    let is_upright = !fits_wide && scale_in(room.frame(upright), size) >= scale;
    let paper = if is_upright { upright } else { wide };
    let (frame, key) = (room.frame(paper), room.key.clone());
    Fit { id, sheet, scale, paper, frame, columns: 1, rows: 1, key }
}

fn in_parts(room: &Room<'_>, id: SheetId, sheet: Arc<Sheet>, scale: f64) -> Fit {
    let size = size_of(&sheet).map(|side| side * scale);
    let parted = |is_wide: bool| {
        let paper = turned(room.options.paper.size(), is_wide);
        let frame = room.frame(paper);
        let n = |side: f64, frame: f64| {
            let more = (side + 2.0 * PADDING - OVERLAP) / (frame - OVERLAP);
            // A sheet has at most some metres of drawing; the bound keeps a broken one from filling the disk.
            let n = more.ceil().clamp(1.0, 20.0);
            (1..=20).find(|count| *count as f64 >= n).unwrap_or(20)
        };
        (paper, frame, n(size[0], frame[0]), n(size[1], frame[1]))
    };
    let (upright, wide) = (parted(false), parted(true));
    let chosen = if wide.2 * wide.3 <= upright.2 * upright.3 { wide } else { upright };
    let (paper, frame, columns, rows) = chosen;
    // Of what stands beside the cut only a strip is shown twice: the parts are as large as they need be.
    let needed = |side: f64, frame: f64, n: usize| {
        let n = n as f64;
        if n > 1.0 { frame.min((side + 2.0 * PADDING + (n - 1.0) * OVERLAP) / n) } else { frame }
    };
    let frame = [needed(size[0], frame[0], columns), needed(size[1], frame[1], rows)];
    let key = room.key.clone();
    Fit { id, sheet, scale, paper, frame, columns, rows, key }
}
