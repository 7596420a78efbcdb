//! Blocks of letters on a sheet, and what they are of.

use std::ops::Range;
use std::sync::Arc;

use loomwright_circuit::{Box2, Point};

use crate::block::SIGN;
use crate::lay_out::item;
use crate::{Ink, Item, Prim, Sheet, Subject};

/// What letters are of, what is needed first foremost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// Which side of a battery or of a diode is plus: seated before all else.
    Polarity,
    /// The name of a part.
    Name,
    /// The number and colour letters of a wire.
    Wire,
    /// What flows in a wire.
    Amps,
    /// The number of a terminal.
    Terminal,
    /// Where a wire goes on, and names of joints.
    Onward,
}

pub(super) const N_RANKS: usize = 6;

impl Rank {
    /// All of them, what is needed first foremost.
    pub const ALL: [Self; N_RANKS] =
        [Self::Polarity, Self::Name, Self::Wire, Self::Amps, Self::Terminal, Self::Onward];

    /// How many steps it may grow beyond names that stopped, up to the plain height of letters and beyond that; nothing where
    /// it matters not. Large numbers over small names would look the more important ones.
    pub(super) fn may_lead_by(self, is_beyond: bool) -> Option<usize> {
        match self {
            Self::Wire => Some(2),
            Self::Terminal => is_beyond.then_some(0),
            Self::Polarity | Self::Name | Self::Amps | Self::Onward => None,
        }
    }

    /// What must be shown before it is: nobody looks for a terminal of parts without names.
    pub(super) fn needs(self) -> &'static [Self] {
        match self {
            Self::Polarity | Self::Name | Self::Wire => &[],
            Self::Amps | Self::Terminal | Self::Onward => &[Self::Name, Self::Wire],
        }
    }
}

/// Some of an item's primitives that are shown, drawn larger and moved together: a block of lettering, with the plate under
/// it.
#[derive(Debug, Clone, PartialEq)]
pub struct LetterBlock {
    /// What it is of.
    pub rank: Rank,
    /// Which of the item's primitives.
    pub(super) prims: Range<usize>,
    /// Which of them are figures below a name.
    pub(super) figures: Range<usize>,
    /// Which are the line that ties it to what it is of.
    ties: Range<usize>,
    /// Where that ends.
    pub(super) tie: Option<Point>,
}

impl LetterBlock {
    fn of(rank: Rank, from: usize, prims: &[Prim]) -> Self {
        // A tie, and the dot at its end, come before the letters.
        let is_tie = |prim: &&Prim| matches!(prim, Prim::Line { .. } | Prim::Circle { .. });
        let first = from + prims.iter().take_while(is_tie).count();
        let tie = match prims.first() {
            Some(Prim::Line { points, .. }) if first > from => points.last().copied(),
            _ => None,
        };
        let end = from + prims.len();
        let is_figures = |prim: &Prim| matches!(prim, Prim::Text { ink: Ink::Muted, .. });
        let figures = prims.iter().position(is_figures).filter(|_| rank == Rank::Name);
        let figures = figures.map_or(end..end, |idx| from + idx..end);
        Self { rank, prims: first..end, figures, ties: from..first, tie }
    }

    /// The same on an item that was shifted.
    pub(crate) fn shifted(&self, by: Point) -> Self {
        Self { tie: self.tie.map(|at| at + by), ..self.clone() }
    }

    /// Whether a primitive is of it, or ties it.
    pub(super) fn has(&self, idx: usize) -> bool {
        self.prims.contains(&idx) || self.ties.contains(&idx)
    }

    /// What it covers as drawn, with its figures or without.
    pub(super) fn rect(&self, item: &Item, has_figures: bool) -> Option<Box2> {
        let end = if has_figures { self.prims.end } else { self.figures.start };
        let prims = item.prims.get(self.prims.start..end)?;
        prims.iter().filter_map(Prim::bounds).reduce(Box2::union)
    }
}

/// An item whose primitives are blocks of lettering.
pub(crate) fn lettered(
    subject: Subject,
    title: String,
    blocks: Vec<(Vec<Prim>, Rank)>,
) -> Option<Item> {
    let (mut prims, mut letters) = (Vec::new(), Vec::new());
    for (block, rank) in blocks {
        letters.push(LetterBlock::of(rank, prims.len(), &block));
        prims.extend(block);
    }
    Some(Item { letters: letters.into(), ..item(subject, title, prims)? })
}

/// A plate with its letters.
pub(crate) fn plate(
    subject: Subject,
    title: String,
    (prims, rank): (Vec<Prim>, Rank),
) -> Option<Item> {
    lettered(subject, title, vec![(prims, rank)])
}

/// An arrowhead with its words.
pub(crate) fn onward(subject: Subject, title: String, prims: Vec<Prim>) -> Option<Item> {
    let words = LetterBlock::of(Rank::Onward, 1, prims.get(1..)?);
    Some(Item { letters: Arc::new([words]), ..item(subject, title, prims)? })
}

/// The line from letters to what they are of: a hair's breadth off the letters of a name, and from the edge of a plate to
/// a dot on its wire.
pub(super) fn tie(item: &Item, rect: Box2, to: Point) -> Vec<Prim> {
    let is_plate = matches!(item.subject, Subject::Flag(_) | Subject::Amps(_));
    let from = nearest(if is_plate { rect } else { rect.grown(0.7) }, to);
    let mut inks = item.prims.iter().rev().filter(|_| is_plate).filter_map(|prim| match prim {
        Prim::Text { ink, .. } => Some(*ink),
        _ => None,
    });
    let ink = inks.next().unwrap_or(Ink::Muted);
    let width = if is_plate { 0.25 } else { 0.2 };
    let line = Prim::Line { points: vec![from, to], width, ink, dash: None };
    let dot = Prim::Circle { centre: to, radius: 0.5, fill: Some(ink), edge: None };
    std::iter::once(line).chain(is_plate.then_some(dot)).collect()
}

/// The point of a rectangle nearest to a place.
pub(super) fn nearest(rect: Box2, to: Point) -> Point {
    Point::new(to.x.clamp(rect.min.x, rect.max.x), to.y.clamp(rect.min.y, rect.max.y))
}

/// The height of a primitive's capitals, mm; nothing for what bears no letters.
pub(super) fn letters(prim: &Prim) -> Option<f64> {
    match prim {
        Prim::Text { height, .. } => Some(*height),
        _ => None,
    }
}

/// How high letters are drawn, mm.
pub(super) struct Heights {
    /// The lowest of each rank; nothing where it has none.
    pub(super) ranks: [Option<f64>; N_RANKS],
    /// Of the figures below names.
    pub(super) figures: Option<f64>,
    pub(super) n_blocks: usize,
}

pub(super) fn heights(sheet: &Sheet) -> Heights {
    let mut heights = Heights { ranks: [None; N_RANKS], figures: None, n_blocks: 0 };
    for item in &sheet.items {
        for block in item.letters.iter() {
            heights.n_blocks += 1;
            let lowest = |range: Range<usize>| {
                let prims = item.prims.get(range).unwrap_or_default();
                prims.iter().filter_map(letters).reduce(f64::min)
            };
            let lower = |known: &mut Option<f64>, height: Option<f64>| {
                *known = known.iter().copied().chain(height).reduce(f64::min);
            };
            let own = lowest(block.prims.start..block.figures.start);
            // A plus or a minus of a screen is drawn, not lettered.
            let own = own.or_else(|| (block.rank == Rank::Polarity).then_some(SIGN));
            lower(&mut heights.ranks[block.rank as usize], own);
            lower(&mut heights.figures, lowest(block.figures.clone()));
        }
    }
    heights
}
