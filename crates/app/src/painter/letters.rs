//! Lettering of a sheet as a screen shows it: drawn larger where it is too small to be read and there is room, and left
//! out where it cannot be read even so.

use std::borrow::Cow;

use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Item, Larger, Prim, Subject};

use super::Screen;

/// Capitals that are easily read, and the lowest that can be, screen points. A pixel face has five rows at the least;
/// below four a letter is a blot.
const EASY: f64 = 6.0;
const LEAST: f64 = 4.0;

/// How much larger a tag is drawn, about its middle, so that its number is read: a mark that says no number would send its
/// reader to no finding.
fn tag(screen: &Screen, item: &Item) -> Option<Vec<Prim>> {
    let high = item.prims.iter().find_map(letters)?;
    let times = LEAST / (high * screen.scale);
    let plate = item.prims.iter().position(|prim| matches!(prim, Prim::Area { .. }))?;
    let middle = item.prims[plate].bounds()?.centre();
    let grown = |(idx, prim): (usize, &Prim)| {
        if idx < plate { prim.clone() } else { with_discs(&larger(prim, middle, times), times) }
    };
    (times > 1.0).then(|| item.prims.iter().enumerate().map(grown).collect())
}

/// The same with its disc, if it is one, as much larger.
fn with_discs(prim: &Prim, times: f64) -> Prim {
    let mut prim = prim.clone();
    if let Prim::Circle { radius, .. } = &mut prim {
        *radius *= times;
    }
    prim
}

/// What of an item is painted: its lettering as large as there is need and room for, without what nobody could read.
pub(super) fn as_read<'a>(screen: &Screen, item: &'a Item) -> Cow<'a, [Prim]> {
    if let (Subject::Tag(_), Some(tag)) = (item.subject, tag(screen, item)) {
        return Cow::Owned(tag);
    }
    let is_small = |prim: &Prim| letters(prim).is_some_and(|high| high * screen.scale < EASY);
    if !item.prims.iter().any(is_small) {
        return Cow::Borrowed(&item.prims);
    }
    let mut shown = Vec::with_capacity(item.prims.len());
    for (idx, prim) in item.prims.iter().enumerate() {
        match item.larger.iter().find(|block| block.prims.contains(&idx)) {
            Some(block) => {
                let times = times(screen, item, block);
                shown.push(if times > 1.0 {
                    larger(prim, block.about, times)
                } else {
                    prim.clone()
                });
            }
            None => shown.push(prim.clone()),
        }
    }
    let is_read = |prim: &Prim| letters(prim).is_none_or(|high| high * screen.scale >= LEAST);
    let is_plate = matches!(item.subject, Subject::Flag(_) | Subject::Amps(_));
    // A plate without its letters says nothing.
    if is_plate && !shown.iter().all(is_read) {
        shown.clear();
    }
    shown.retain(is_read);
    Cow::Owned(shown)
}

/// Where the letters of an item stand as they are shown, mm.
pub(crate) fn lettered(screen: &Screen, item: &Item) -> Vec<Box2> {
    if !item.prims.iter().any(|prim| letters(prim).is_some()) {
        return Vec::new();
    }
    let shown = as_read(screen, item);
    shown.iter().filter(|prim| letters(prim).is_some()).filter_map(Prim::bounds).collect()
}

/// The words of an item that are too small to be painted.
pub(crate) fn unread(screen: &Screen, item: &Item) -> Vec<String> {
    let mut words = Vec::new();
    for (idx, prim) in item.prims.iter().enumerate() {
        let Prim::Text { text, height, .. } = prim else { continue };
        let block = item.larger.iter().find(|block| block.prims.contains(&idx));
        let times = block.map_or(1.0, |block| times(screen, item, block));
        if height * times * screen.scale < LEAST {
            words.push(text.clone());
        }
    }
    words
}

/// How much larger a block is drawn, so that the lowest of its letters are easily read.
fn times(screen: &Screen, item: &Item, block: &Larger) -> f64 {
    let prims = item.prims.get(block.prims.clone()).unwrap_or_default();
    let lowest = prims.iter().filter_map(letters).reduce(f64::min);
    lowest.map_or(1.0, |high| (EASY / (high * screen.scale)).min(block.most).max(1.0))
}

/// The height of a primitive's capitals, mm; nothing for what bears no letters.
fn letters(prim: &Prim) -> Option<f64> {
    match prim {
        Prim::Text { height, .. } => Some(*height),
        _ => None,
    }
}

/// A primitive so many times as large about a place; lines keep their width.
fn larger(prim: &Prim, about: Point, times: f64) -> Prim {
    let mut prim = prim.with_places(|at| about + (at - about) * times);
    if let Prim::Text { height, .. } = &mut prim {
        *height *= times;
    }
    prim
}

#[cfg(test)]
mod tests;
