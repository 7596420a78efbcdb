//! Lettering of a sheet as a screen shows it from so far away, by one rule: all of a rank in one size, or none of it.
//!
//! What is too low to be read there is drawn larger as far as all of its rank finds room, names of parts first, then the
//! numbers of wires, then the rest; a rank that could not be read even so is left out. Words that grow move aside for
//! that, and nothing that is shown covers anything else.

mod ground;
mod rank;
mod seats;
mod spots;

use std::borrow::Cow;
use std::sync::{Arc, Mutex, PoisonError};

use loomwright_circuit::{Box2, Point};
use rustc_hash::FxHashMap;

pub use self::rank::{LetterBlock, Rank};
pub(crate) use self::rank::{lettered, onward, plate};

use self::rank::{N_RANKS, letters};
use self::seats::Seats;
use crate::{Item, Prim, Sheet, Subject};

/// Heights of capitals on the sheet, mm, as a screen shows it from so far away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// What is lower cannot be read.
    pub least: f64,
    /// Up to this height all of it grows first.
    pub plain: f64,
    /// From this height on it is easily read, also by whoever has all shown larger.
    pub easy: f64,
}

/// Sheets seen from nearly as far have their letters in the same places: heights are taken in steps, each so many times
/// the one below, from the first on.
const STEP: f64 = 1.06;
const FIRST: f64 = 0.25;
/// No letters are larger than this many steps.
const MOST_STEPS: usize = 120;

impl Sight {
    /// The step that holds for it, so that nothing lies anew for each bit of a zoom; its heights are no lower.
    fn in_steps(self) -> Self {
        let steps = std::iter::successors(Some(FIRST), |height| Some(height * STEP));
        let plain = steps.take(MOST_STEPS).find(|height| *height >= self.plain);
        let plain = plain.unwrap_or(self.plain);
        let more = plain / self.plain;
        Self { least: self.least * more, plain, easy: self.easy * more }
    }
}

/// How the letters of a sheet are shown from so far away.
#[derive(Debug, Default)]
pub struct Legible {
    /// How many times as large as drawn the words of each rank are; nothing where the rank is left out.
    times: [Option<f64>; N_RANKS],
    /// Whether names have their figures below them.
    has_figures: bool,
    /// Letters of no rank are left out below this height, mm.
    least: f64,
    /// Ranks of which the sheet has letters that are left out, what is needed first foremost.
    left_out: Vec<Rank>,
    /// Whether names have figures that are left out.
    leaves_figures_out: bool,
    /// Items whose words are not where they were drawn, by the address of their primitives, which are held so long.
    moved: FxHashMap<usize, Moved>,
}

/// Where the blocks of an item's letters are.
#[derive(Debug)]
struct Moved {
    prims: Arc<[Prim]>,
    places: Box<[Place]>,
}

/// Where a block of letters is: its places on the sheet so many times as far from the origin, and then shifted.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    times: f64,
    by: Point,
    /// The place of its wire or its symbol that a thin line ties it to.
    tie: Option<Point>,
}

/// What was found for sights of a sheet, the latest last.
#[derive(Default, Clone)]
pub(crate) struct Known(Arc<Mutex<Vec<Found>>>);

type Found = (Sight, Arc<Legible>);

/// So many sights of a sheet are known at a time.
const MOST_KNOWN: usize = 4;

impl Known {
    /// Whether what is found for the one is known for the other.
    pub(crate) fn is_of(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl PartialEq for Known {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

impl std::fmt::Debug for Known {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Known")
    }
}

impl Sheet {
    /// How its letters are shown from so far away; found once, and kept with the sheet and its copies.
    pub fn legible(&self, sight: Sight) -> Arc<Legible> {
        let sight = sight.in_steps();
        let mut known = self.known.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, legible)) = known.iter().find(|(other, _)| *other == sight) {
            return Arc::clone(legible);
        }
        let legible = Arc::new(Legible::of(self, sight));
        if known.len() == MOST_KNOWN {
            known.remove(0);
        }
        known.push((sight, Arc::clone(&legible)));
        legible
    }
}

/// On a sheet with more blocks of letters than this, none grows: from so far that it is seen whole nothing could be read.
const MOST_BLOCKS: usize = 800;

impl Legible {
    /// # Complexity
    /// Each block of letters is held against what is near it, for a few sizes of its rank.
    fn of(sheet: &Sheet, sight: Sight) -> Self {
        let heights = rank::heights(sheet);
        let mut all = heights.ranks.into_iter().flatten().chain(heights.figures);
        let is_read = |height: f64| height >= sight.least;
        if all.all(|height| height >= sight.easy) || heights.n_blocks > MOST_BLOCKS {
            let times = heights.ranks.map(|height| height.filter(|it| is_read(*it)).map(|_| 1.0));
            let has_figures = heights.figures.is_some_and(is_read);
            let legible = Self { times, has_figures, least: sight.least, ..Self::default() };
            return legible.without_the_rest(&heights);
        }
        Seats::of(sheet, sight).legible(&heights).without_the_rest(&heights)
    }

    /// Notes what is left out.
    fn without_the_rest(mut self, heights: &rank::Heights) -> Self {
        let is_left_out = |rank: &Rank| {
            heights.ranks[*rank as usize].is_some() && self.times[*rank as usize].is_none()
        };
        self.left_out = Rank::ALL.into_iter().filter(is_left_out).collect();
        self.leaves_figures_out = heights.figures.is_some() && !self.has_figures;
        self
    }

    /// Ranks of which the sheet has letters that are left out, what is needed first foremost.
    pub fn ranks_left_out(&self) -> &[Rank] {
        &self.left_out
    }

    /// Whether figures below names are left out.
    pub fn leaves_figures_out(&self) -> bool {
        self.leaves_figures_out
    }

    /// What of an item is painted: its letters where they are read from so far, without those that could not be.
    pub fn shown<'a>(&self, item: &'a Item) -> Cow<'a, [Prim]> {
        if let Subject::Tag(_) = item.subject {
            return tag(item, self.least);
        }
        if item.letters.is_empty() && !item.prims.iter().any(|prim| letters(prim).is_some()) {
            return Cow::Borrowed(&item.prims);
        }
        let places = self.places(item);
        let is_left_out = |idx: usize| self.leaves_out(item, idx);
        if places.is_none() && !(0..item.prims.len()).any(is_left_out) {
            return Cow::Borrowed(&item.prims);
        }
        let mut shown = Vec::with_capacity(item.prims.len() + 1);
        for (idx, prim) in item.prims.iter().enumerate().filter(|(idx, _)| !is_left_out(*idx)) {
            let block = item.letters.iter().zip(places.into_iter().flatten());
            let Some((block, place)) = block.into_iter().find(|(block, _)| block.has(idx)) else {
                shown.push(prim.clone());
                continue;
            };
            if !block.prims.contains(&idx) {
                // What ties it comes with its first primitive, from where it is now.
                continue;
            }
            if idx == block.prims.start {
                shown.extend(self.tied(item, block, place));
            }
            shown.push(placed(prim, place));
        }
        Cow::Owned(shown)
    }

    /// The words of an item that are left out.
    pub fn left_out<'a>(&self, item: &'a Item) -> impl Iterator<Item = &'a str> {
        let idxs = (0..item.prims.len()).filter(|idx| self.leaves_out(item, *idx));
        let words = idxs.filter_map(|idx| match &item.prims[idx] {
            Prim::Text { text, .. } => Some(text.as_str()),
            _ => None,
        });
        words.collect::<Vec<_>>().into_iter()
    }

    /// The capitals' height of a rank as shown, as times what is drawn; nothing where it is left out.
    pub fn times(&self, rank: Rank) -> Option<f64> {
        self.times[rank as usize]
    }

    /// Whether an item is shown as it was with the letters of another sight or sheet.
    pub fn shows_as(&self, other: &Self, item: &Item) -> bool {
        let is_alike = |block: &LetterBlock| {
            self.times(block.rank) == other.times(block.rank)
                && (block.figures.is_empty() || self.has_figures == other.has_figures)
        };
        self.shows_all_as(other)
            || self.least == other.least
                && item.letters.iter().all(is_alike)
                && self.places(item) == other.places(item)
    }

    /// Whether no item of any sheet is shown in another way, told without a look at one.
    fn shows_all_as(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
            || self.times == other.times
                && self.has_figures == other.has_figures
                && self.least == other.least
                && self.moved.is_empty()
                && other.moved.is_empty()
    }

    fn places(&self, item: &Item) -> Option<&[Place]> {
        let moved = self.moved.get(&address(item))?;
        Arc::ptr_eq(&moved.prims, &item.prims).then_some(&*moved.places)
    }

    /// Whether a primitive of an item is left out: letters that could not be read, with what belongs to them alone.
    fn leaves_out(&self, item: &Item, idx: usize) -> bool {
        match item.letters.iter().find(|block| block.has(idx)) {
            Some(block) => {
                let is_figure = block.figures.contains(&idx);
                self.times[block.rank as usize].is_none() || is_figure && !self.has_figures
            }
            None => letters(&item.prims[idx]).is_some_and(|height| height < self.least),
        }
    }

    /// The line that ties a block to what it is of, from where it is now.
    fn tied(&self, item: &Item, block: &LetterBlock, place: &Place) -> Vec<Prim> {
        let Some(to) = place.tie else { return Vec::new() };
        let has_figures = self.has_figures;
        let Some(rect) = block.rect(item, has_figures).map(|rect| place.rect(rect)) else {
            return Vec::new();
        };
        rank::tie(item, rect, to)
    }
}

/// The address of an item's primitives.
fn address(item: &Item) -> usize {
    Arc::as_ptr(&item.prims).cast::<Prim>().addr()
}

impl Place {
    /// Where a rectangle is that was drawn there.
    fn rect(&self, rect: Box2) -> Box2 {
        Box2 { min: rect.min * self.times + self.by, max: rect.max * self.times + self.by }
    }
}

/// A primitive of a block; lines keep their width.
fn placed(prim: &Prim, place: &Place) -> Prim {
    let mut prim = prim.with_places(|at| at * place.times + place.by);
    match &mut prim {
        Prim::Text { height, .. } => *height *= place.times,
        Prim::Circle { radius, .. } => *radius *= place.times,
        Prim::Line { .. } | Prim::Area { .. } => {}
    }
    prim
}

/// A tag, as much larger about its middle that its number is read: a mark that says no number would send its reader to no
/// finding.
fn tag(item: &Item, least: f64) -> Cow<'_, [Prim]> {
    let plate = item.prims.iter().position(|prim| matches!(prim, Prim::Area { .. }));
    let middle = plate.and_then(|plate| item.prims[plate].bounds()).map(Box2::centre);
    let high = item.prims.iter().find_map(letters);
    let (Some(plate), Some(middle), Some(high)) = (plate, middle, high) else {
        return Cow::Borrowed(&item.prims);
    };
    let times = (least / high).max(1.0);
    if times == 1.0 {
        return Cow::Borrowed(&item.prims);
    }
    let place = Place { times, by: middle - middle * times, tie: None };
    let grown = |(idx, prim): (usize, &Prim)| {
        if idx < plate { prim.clone() } else { placed(prim, &place) }
    };
    Cow::Owned(item.prims.iter().enumerate().map(grown).collect())
}
