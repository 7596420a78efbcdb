//! What on a sheet is written over something else, and what makes it hard to read.

mod lines;
#[cfg(test)]
mod tests;
mod whose;

use loomwright_circuit::{Box2, Point};

use self::lines::{is_inked, is_on_line};
use crate::{Ink, Item, Prim, Sheet, Subject};

/// Sorts of overlap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OverlapSort {
    /// Letters on letters, a flag or a tag among them.
    Words,
    /// Letters on a symbol.
    Symbol,
    /// Letters on a cable.
    Wire,
    /// Letters on the edge of the over-ink of what is to fit.
    OverInk,
    /// Letters on a terminal.
    Terminal,
    /// A name that stands nearer to another part of its kind than to its own, without a line to it.
    WhoseName,
    /// The string of a tag over letters or over a symbol that it is not tied to.
    String,
    /// Letters with a ground of their own, since nothing near was free: a last resort.
    Ground,
    /// The line from a name or a flag to what it is of over another such line, over letters, a cable or a symbol: it can
    /// be followed, but nobody likes to.
    Leader,
    /// The number of a terminal that stands nearer to another terminal, or to another's lead, than to its own.
    WhoseNumber,
    /// A flag beside its wire that stands nearer to another: the two could be swapped.
    WhoseFlag,
    /// The number of a terminal that stands far off it.
    FarNumber,
    /// Words of two things in one line with hardly a gap between them: they read as one phrase.
    RunOn,
    /// Letters that all but touch other letters or a cable.
    Near,
    /// A name or a flag so far off that it needs a line to what it is of.
    Led,
}

/// How bad an overlap is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Harm {
    /// All can be read; with more room it would look better.
    Crowded,
    /// Nothing is covered, but it takes a second look.
    InTheWay,
    /// Something is covered.
    Covered,
}

impl OverlapSort {
    /// How bad it is.
    pub fn harm(self) -> Harm {
        match self {
            Self::Words
            | Self::Symbol
            | Self::Wire
            | Self::OverInk
            | Self::Terminal
            | Self::WhoseName
            | Self::WhoseNumber
            | Self::String => Harm::Covered,
            Self::Ground | Self::Leader | Self::WhoseFlag | Self::FarNumber | Self::RunOn => {
                Harm::InTheWay
            }
            Self::Near | Self::Led => Harm::Crowded,
        }
    }
}

/// Two things on a sheet that are in each other's way.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlap {
    /// Of what sort.
    pub sort: OverlapSort,
    /// What is written, and what is beneath it.
    pub about: [Subject; 2],
    /// The letters or the line that are in the way, mm on the sheet.
    pub at: Box2,
    /// Both in words.
    pub says: String,
}

/// A hair's breadth: what shares an edge does not cover.
const HAIR: f64 = 0.05;
/// What stands nearer, mm, all but touches.
const NEAR: f64 = 0.6;
/// Words in one line that stand no further apart, mm, run on into each other.
const RUN_ON: f64 = 2.0;
/// Letters of one row of a symbol that stand no further apart, mm, are read as one word.
const ONE_WORD: f64 = 0.8;

/// A line of letters, or a whole flag or tag.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    item_idx: usize,
    subject: Subject,
    /// What is written.
    pub text: &'a str,
    /// Where, mm on the sheet, a hair's breadth inside its edge.
    pub rect: Box2,
    /// Whether a ground of paper lies behind the letters.
    has_ground: bool,
}

/// All that is written over something else, in the order in which it is painted.
///
/// # Complexity
/// Each line of letters is held against each item of the sheet.
pub fn overlaps(sheet: &Sheet) -> Vec<Overlap> {
    let words = words(sheet);
    let mut found = Vec::new();
    for (idx, one) in words.iter().enumerate() {
        found.extend(words[idx + 1..].iter().filter_map(|other| one.on_words(other)));
        let item = &sheet.items[one.item_idx];
        match one.subject {
            Subject::Heading => {}
            Subject::Part(_) => {
                if one.text.chars().count() > 1 && is_inked(one.rect, &item.prims) {
                    found.push(one.on_item(OverlapSort::Symbol, item));
                }
            }
            // What has a ground is counted by that.
            _ if one.has_ground => {}
            _ => {
                found.extend(sheet.items.iter().filter_map(|item| one.on(item)));
                found.extend(one.on_terminals(sheet));
            }
        }
    }
    found.extend(grounds(sheet));
    found.extend(lines::led(sheet));
    found.extend(lines::strings(sheet, &words));
    found.extend(lines::leaders(sheet, &words));
    found.extend(whose::names(sheet));
    found.extend(whose::numbers(sheet));
    found.extend(whose::flags(sheet));
    found
}

/// What one more thing that is written would cover on a sheet, all of whose own words are given.
pub fn covered_by(item: &Item, sheet: &Sheet, words: &[Words<'_>]) -> Vec<Overlap> {
    let mut found = Vec::new();
    for one in written(usize::MAX, item) {
        found.extend(words.iter().filter_map(|other| one.on_words(other)));
        found.extend(sheet.items.iter().filter_map(|item| one.on(item)));
        found.extend(one.on_terminals(sheet));
        found.extend(lines::over(&one, sheet));
    }
    found
}

/// All that is written on a sheet, in the order in which it is painted.
pub fn words(sheet: &Sheet) -> Vec<Words<'_>> {
    let items = sheet.items.iter().enumerate();
    items.flat_map(|(item_idx, item)| written(item_idx, item)).collect()
}

fn written(item_idx: usize, item: &Item) -> impl Iterator<Item = Words<'_>> {
    let subject = item.subject;
    item.prims.iter().filter_map(move |prim| {
        let Prim::Text { text, .. } = prim else { return None };
        let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
        let rect = match subject {
            Subject::Flag(_) | Subject::Tag(_) => plate.and_then(Prim::bounds),
            _ => prim.bounds(),
        };
        let rect = rect?.grown(-HAIR);
        let has_ground =
            matches!(subject, Subject::Label(_))
                && item.prims.iter().filter(|prim| is_ground(prim)).any(|ground| {
                    ground.bounds().is_some_and(|ground| ground.union(rect) == ground)
                });
        Some(Words { item_idx, subject, text, rect, has_ground })
    })
}

impl Words<'_> {
    fn on_words(&self, other: &Self) -> Option<Overlap> {
        let is_one_item = self.item_idx == other.item_idx;
        let is_symbol = matches!(self.subject, Subject::Part(_));
        if is_one_item && !is_symbol {
            return None;
        }
        let apart = if is_one_item { ONE_WORD } else { 0.0 };
        let meets = |apart: f64| self.rect.grown(apart).meets(other.rect);
        let is_near = !is_one_item && !self.is_on_paper(other) && meets(NEAR);
        let sort = meets(apart).then_some(OverlapSort::Words);
        let sort = sort.or_else(|| self.runs_on(other).then_some(OverlapSort::RunOn));
        sort.or_else(|| is_near.then_some(OverlapSort::Near)).map(|sort| Overlap {
            sort,
            about: [self.subject, other.subject],
            at: self.rect.union(other.rect),
            says: format!("'{}' and '{}'", self.text, other.text),
        })
    }

    /// Whether the letters stand on paper of their own, with an edge around it.
    fn is_plate(&self) -> bool {
        matches!(self.subject, Subject::Flag(_) | Subject::Tag(_))
    }

    /// Whether an edge lies between these letters and others.
    fn is_on_paper(&self, other: &Self) -> bool {
        self.is_plate() && other.is_plate()
    }

    /// Whether another thing's words stand in line with these, with hardly a gap.
    fn runs_on(&self, other: &Self) -> bool {
        let is_words = |words: &Self| {
            !words.is_plate()
                && words.text.chars().count() > 2
                && words.rect.width() > words.rect.height()
        };
        let gap = (self.rect.min.x - other.rect.max.x).max(other.rect.min.x - self.rect.max.x);
        let off = (self.rect.centre().y - other.rect.centre().y).abs();
        self.item_idx != other.item_idx
            && is_words(self)
            && is_words(other)
            && gap < RUN_ON
            && off < self.rect.height().min(other.rect.height()) / 2.0
    }

    fn on_item(&self, sort: OverlapSort, item: &Item) -> Overlap {
        Overlap {
            sort,
            about: [self.subject, item.subject],
            at: self.rect,
            says: format!("'{}' and {}, {:?}", self.text, item.title, item.subject),
        }
    }

    /// What the letters cover of a symbol, a wire or over-ink.
    fn on(&self, item: &Item) -> Option<Overlap> {
        if !item.bounds.grown(1.0).meets(self.rect) {
            return None;
        }
        let beside = |prim: &Prim, room: f64| match prim {
            Prim::Line { points, width, .. } => is_on_line(self.rect, points, *width + 2.0 * room),
            _ => false,
        };
        let line = |prim: &Prim| beside(prim, 0.0);
        match item.subject {
            Subject::Part(_) => {
                is_inked(self.rect, &item.prims).then(|| self.on_item(OverlapSort::Symbol, item))
            }
            Subject::Wire(id) if self.subject != Subject::Flag(id) => {
                // The first line of a wire is its casing.
                let casing = item.prims.first().filter(|prim| matches!(prim, Prim::Line { .. }))?;
                let is_near = || !self.is_plate() && beside(casing, NEAR);
                let sort = line(casing).then_some(OverlapSort::Wire);
                let sort = sort.or_else(|| is_near().then_some(OverlapSort::Near));
                sort.map(|sort| self.on_item(sort, item))
            }
            Subject::UnderWire(id) if self.subject != Subject::Flag(id) => {
                let is_over_ink = |prim: &&Prim| matches!(prim, Prim::Line { ink: Ink::ToFit, .. });
                let is_on = item.prims.iter().filter(is_over_ink).any(line);
                is_on.then(|| self.on_item(OverlapSort::OverInk, item))
            }
            _ => None,
        }
    }

    fn on_terminals(&self, sheet: &Sheet) -> Vec<Overlap> {
        let covered = sheet.terminals.iter().filter(|(.., at)| self.rect.contains(*at));
        let overlap = |(part, name, _): &(_, _, Point)| Overlap {
            sort: OverlapSort::Terminal,
            about: [self.subject, Subject::Part(*part)],
            at: self.rect,
            says: format!("'{}' and terminal {name} of {part}", self.text),
        };
        covered.map(overlap).collect()
    }
}

fn is_ground(prim: &Prim) -> bool {
    matches!(prim, Prim::Area { fill: Some(Ink::Paper), .. })
}

/// Letters of parts that were given a ground.
fn grounds(sheet: &Sheet) -> impl Iterator<Item = Overlap> + '_ {
    let labels = sheet.items.iter().filter(|item| matches!(item.subject, Subject::Label(_)));
    labels.flat_map(|item| {
        let grounds = item.prims.iter().filter(|prim| is_ground(prim));
        grounds.filter_map(Prim::bounds).map(|at| Overlap {
            sort: OverlapSort::Ground,
            about: [item.subject; 2],
            at,
            says: item.title.to_string(),
        })
    })
}
