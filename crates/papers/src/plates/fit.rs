//! How large a sheet stands on the paper, and in how many parts.

use std::cell::RefCell;
use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, SheetId};
use loomwright_drawing::{
    Harm, Item, Options, Overlap, Prim, Sheet, Subject, Words, lay_out_again, overlaps, words,
};
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
/// Height that the numbers of one circuit should not stay below, mm: 12 pt letters.
pub(super) const LEAST_OF_ONE_CIRCUIT: f64 = 3.0;
/// A sheet with no more wires shows one circuit.
const ONE_CIRCUIT: usize = 12;
/// Symbols may shrink to this before the sheet is parted; their letters do not.
const LEAST_SCALE: f64 = 0.7;
/// Scales at which a sheet may be parted, the best first.
const PART_SCALES: [f64; 4] = [1.0, 0.9, 0.8, LEAST_SCALE];
/// Beyond this a sheet with little on it only looks crude.
const GREATEST_SCALE: f64 = 1.35;
/// Room between the drawing and its frame, mm.
pub(super) const PADDING: f64 = 4.0;
/// What neighbouring parts share at the least, mm on paper, the best first; more where words would be cut on each of
/// them.
const OVERLAPS: [f64; 3] = [20.0, 40.0, 60.0];
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
    pub(super) lettering: Lettering,
    /// How often things on it are in each other's way, the worst first.
    pub(super) harm: [usize; 3],
}

impl Fit {
    pub(super) fn is_whole(&self) -> bool {
        self.columns * self.rows == 1
    }

    /// What decides between ways to letter it: on one circuit the largest numbers are better, elsewhere those that lie on
    /// their wires.
    fn crowd(&self) -> Crowd {
        let n_tied = if self.is_one_circuit() { 0 } else { n_tied(&self.sheet) };
        [self.harm[0], usize::from(self.is_low()), self.harm[1], n_tied]
    }

    fn is_one_circuit(&self) -> bool {
        self.sheet.routes.len() <= ONE_CIRCUIT
    }

    /// Whether its numbers are lower than they should be.
    pub(super) fn is_low(&self) -> bool {
        self.is_one_circuit() && self.lettering.0 < LEAST_OF_ONE_CIRCUIT
    }

    /// Whether another sheet lies just so on its page.
    fn is_like(&self, other: &Self) -> bool {
        let place = |fit: &Self| (fit.scale, fit.paper, fit.frame, fit.columns, fit.rows);
        place(self) == place(other)
            && self.lettering == other.lettering
            && self.sheet == other.sheet
    }

    /// How many lines of letters no page shows whole.
    fn n_cut(&self) -> usize {
        let Some(bounds) = self.sheet.bounds.filter(|_| !self.is_whole()) else { return 0 };
        let n_parts = self.columns * self.rows;
        let windows: Vec<Box2> = (0..n_parts).map(|idx| self.window(bounds, idx)).collect();
        let is_cut =
            |words: &&Words<'_>| windows.iter().all(|window| window.union(words.rect) != *window);
        words(&self.sheet).iter().filter(is_cut).count()
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

/// How wires are lettered: the height of their numbers and codes, mm on paper, and whether long wires carry them near
/// both ends.
pub(super) type Lettering = (f64, bool);

/// How hard a sheet is to read: how often something is covered, whether the numbers of one circuit are lower than they
/// should be, how often something is only in the way, and, where that counts, how many flags are off their wires.
type Crowd = [usize; 4];

/// Lays a sheet out with letters for paper: whole on one page, with as large wire numbers as find room, if nothing is
/// then written over anything; otherwise in parts. No capitals stay below the least height. Where parts stand too close
/// for their names, room is made between them.
pub(crate) fn lay_out_for_paper(
    car: &Car,
    report: &Report,
    options: &PackOptions,
    id: SheetId,
) -> Laid {
    let known = kept::sheet(id);
    let before = known.as_ref().map(|known| Arc::clone(&known.as_drawn.sheet));
    let drawer = Drawer { before, ..Drawer::of(car, report, options, id) };
    let (as_drawn, whole) = drawer.fit(car);
    if as_drawn.harm == [0; 3] && !as_drawn.is_low() {
        return Laid { as_drawn, roomy: None };
    }
    let known = known.filter(|known| known.as_drawn.is_like(&as_drawn));
    let roomy = known.and_then(|known| known.roomy);
    let roomy = roomy.unwrap_or_else(|| drawer.with_room(car, &as_drawn, whole));
    Laid { as_drawn, roomy: Some(roomy) }
}

/// How a sheet lies as it was drawn, and once room was made on it where it was crowded.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    as_drawn: Fit,
    roomy: Option<Fit>,
}

impl Laid {
    /// How it is printed.
    pub(crate) fn fit(&self) -> &Fit {
        self.roomy.as_ref().unwrap_or(&self.as_drawn)
    }
}

/// How often things on a sheet are in each other's way, the worst first.
fn harm(overlaps: &[Overlap]) -> [usize; 3] {
    [Harm::Covered, Harm::InTheWay, Harm::Crowded]
        .map(|harm| overlaps.iter().filter(|overlap| overlap.sort.harm() == harm).count())
}

/// How many flags found no room on their wire.
fn n_tied(sheet: &Sheet) -> usize {
    let flags = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Flag(_)));
    let is_tied =
        |item: &&Arc<Item>| item.prims.iter().any(|prim| matches!(prim, Prim::Circle { .. }));
    flags.filter(is_tied).count()
}

/// What a sheet is laid out for.
pub(super) struct Drawer<'a> {
    report: &'a Report,
    options: &'a PackOptions,
    key: Key,
    pub(super) id: SheetId,
    /// How it lay in the last pack.
    before: Option<Arc<Sheet>>,
}

impl<'a> Drawer<'a> {
    pub(super) fn of(car: &Car, report: &'a Report, options: &'a PackOptions, id: SheetId) -> Self {
        Self { report, options, key: Key::of(car, id), id, before: None }
    }
}

impl Drawer<'_> {
    /// How the drawing is asked for.
    pub(super) fn drawing(&self, (flags, at_both_ends): Lettering, scale: f64) -> Options {
        Options {
            version: self.options.version,
            flag_height: Some(flags / scale),
            least_height: Some(LEAST_CAPITALS / scale),
            has_sizes: true,
            flags_at_both_ends: at_both_ends,
            tags: tags(self.report),
            ..Options::default()
        }
    }

    /// The best way to put the sheet of a car on paper, and the best to put it there whole: the same, unless something is
    /// covered then.
    pub(super) fn fit(&self, car: &Car) -> (Fit, Option<Fit>) {
        let lay = self.layer(car);
        let whole = self.best_whole(&lay);
        if let Some(fit) = whole.as_ref().filter(|fit| fit.crowd()[0] == 0) {
            return (fit.clone(), whole);
        }
        // A clash, or a word that no page shows whole, is as bad as a page more, and of the best the largest.
        let lettering = (LEAST_CAPITALS, true);
        let parts = PART_SCALES.into_iter().flat_map(|scale| {
            let sheet = lay(lettering, scale);
            OVERLAPS.map(|overlap| {
                let sheet = Arc::clone(&sheet);
                self.in_parts(lettering, (sheet, scale), overlap)
            })
        });
        let parted = parts.min_by_key(|fit| fit.crowd()[0] + fit.n_cut() + fit.columns * fit.rows);
        let clearest = whole.iter().cloned().chain(parted).min_by_key(|fit| fit.crowd()[0]);
        let in_parts = || self.in_parts(lettering, (lay(lettering, 1.0), 1.0), OVERLAPS[0]);
        (clearest.unwrap_or_else(in_parts), whole)
    }

    /// Lays the sheet of a car out with letters so high, at a scale. The wires run the same way whatever the lettering, so
    /// that they are routed once.
    fn layer<'c>(&'c self, car: &'c Car) -> impl Fn(Lettering, f64) -> Arc<Sheet> + 'c {
        let before = RefCell::new(self.before.clone().unwrap_or_default());
        move |lettering: Lettering, scale: f64| {
            let drawing = self.drawing(lettering, scale);
            let laid = lay_out_again(car, self.id, &drawing, &before.borrow());
            let sheet = Arc::new(outlined(laid));
            before.replace(Arc::clone(&sheet));
            sheet
        }
    }

    /// The best way to put the sheet on one page; nothing where its symbols would be too small.
    fn best_whole(&self, lay: &impl Fn(Lettering, f64) -> Arc<Sheet>) -> Option<Fit> {
        let mut best: Option<Fit> = None;
        // Where a second number on each long wire leaves no room for something else, each carries one.
        for at_both_ends in [true, false] {
            let wholes = FLAGS.into_iter().filter_map(|flags| {
                let lettering = (flags, at_both_ends);
                self.whole_at(lettering, &|scale| lay(lettering, scale))
            });
            best = best.into_iter().chain(wholes).min_by_key(Fit::crowd);
            if best.as_ref().is_some_and(|fit| fit.crowd()[0] == 0) {
                break;
            }
        }
        best
    }

    /// The frame on a page as turned, mm.
    fn frame(&self, paper: [f64; 2]) -> [f64; 2] {
        let width = paper[0] - BESIDE;
        [width, paper[1] - ABOVE_AND_BELOW - self.key.height(width)]
    }

    /// The sheet whole on one page, as large as fits; nothing where its symbols would be too small.
    fn whole_at(&self, lettering: Lettering, lay: &impl Fn(f64) -> Arc<Sheet>) -> Option<Fit> {
        // Larger letters take more room, which may shrink the drawing, which asks for larger letters.
        let mut scale = GREATEST_SCALE;
        for round in 0..8 {
            let sheet = lay(scale);
            let size = size_of(&sheet);
            let fitting = self.best_scale(size);
            if fitting >= scale {
                return Some(self.whole(lettering, sheet, size, scale));
            }
            // A hair smaller than needed, or the next round could fail by a rounding; and more, where letters that change
            // places keep it from settling.
            scale = fitting * if round < 4 { 0.999 } else { 0.97 };
            if scale < LEAST_SCALE {
                break;
            }
        }
        None
    }

    fn best_scale(&self, size: [f64; 2]) -> f64 {
        let paper = self.options.paper.size();
        scale_in(self.frame(paper), size).max(scale_in(self.frame(turned(paper, true)), size))
    }

    fn whole(&self, lettering: Lettering, sheet: Arc<Sheet>, size: [f64; 2], scale: f64) -> Fit {
        let upright = self.options.paper.size();
        let wide = turned(upright, true);
        // Upright pages lie easier in a ring binder, so a sheet that fits both ways stands upright, unless the pages of
        // text lie on their sides.
        let [text_width, text_height] = self.options.paper.for_text().0;
        let fits_wide = text_width > text_height && scale_in(self.frame(wide), size) >= scale;
        let is_upright = !fits_wide && scale_in(self.frame(upright), size) >= scale;
        let paper = if is_upright { upright } else { wide };
        let frame = self.frame(paper);
        self.placed(lettering, sheet, scale, Parted { paper, frame, columns: 1, rows: 1 })
    }

    fn in_parts(
        &self,
        lettering: Lettering,
        (sheet, scale): (Arc<Sheet>, f64),
        overlap: f64,
    ) -> Fit {
        let size = size_of(&sheet).map(|side| side * scale);
        let parted = |is_wide: bool| {
            let paper = turned(self.options.paper.size(), is_wide);
            let frame = self.frame(paper);
            let n = |side: f64, frame: f64| {
                let more = (side + 2.0 * PADDING - overlap) / (frame - overlap);
                // A sheet has at most some metres of drawing; the bound keeps a broken one from filling the disk.
                let n = more.ceil().clamp(1.0, 20.0);
                (1..=20).find(|count| *count as f64 >= n).unwrap_or(20)
            };
            Parted { paper, frame, columns: n(size[0], frame[0]), rows: n(size[1], frame[1]) }
        };
        let (upright, wide) = (parted(false), parted(true));
        let is_wide = wide.columns * wide.rows <= upright.columns * upright.rows;
        let mut chosen = if is_wide { wide } else { upright };
        // Of what stands beside the cut only a strip is shown twice: the parts are as large as they need be.
        let needed = |side: f64, frame: f64, n: usize| {
            let n = n as f64;
            if n > 1.0 {
                frame.min((side + 2.0 * PADDING + (n - 1.0) * overlap) / n)
            } else {
                frame
            }
        };
        chosen.frame = [
            needed(size[0], chosen.frame[0], chosen.columns),
            needed(size[1], chosen.frame[1], chosen.rows),
        ];
        self.placed(lettering, sheet, scale, chosen)
    }

    fn placed(&self, lettering: Lettering, sheet: Arc<Sheet>, scale: f64, on: Parted) -> Fit {
        let Parted { paper, frame, columns, rows } = on;
        let (id, key, harm) = (self.id, self.key.clone(), harm(&overlaps(&sheet)));
        Fit { id, sheet, scale, paper, frame, columns, rows, key, lettering, harm }
    }
}

/// In how many parts a sheet stands on pages.
#[derive(Clone, Copy)]
struct Parted {
    /// The page as turned, mm.
    paper: [f64; 2],
    /// The frame of each page, mm.
    frame: [f64; 2],
    columns: usize,
    rows: usize,
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
