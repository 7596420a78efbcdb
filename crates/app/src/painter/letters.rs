//! How high letters of a sheet must be on a screen.

use std::sync::Arc;

use loomwright_circuit::Box2;
use loomwright_drawing::{Ink, Item, Legible, Prim, Sheet, Sight, Subject};

use super::Screen;

/// Capitals that are easily read, and the lowest that can be, screen points. A pixel face has five rows at the least;
/// below four a letter is a blot.
const EASY: f64 = 6.0;
const LEAST: f64 = 4.0;

/// How the letters of a sheet are shown on a screen.
pub(crate) fn legible(screen: &Screen, sheet: &Sheet) -> Arc<Legible> {
    // Whoever has all shown larger reads more easily so: letters grow beyond the points that everything has grown by, since
    // the sheet has fewer of these, but those that would be read at the usual size stay.
    let larger = screen.larger.max(1.0);
    let (least, plain, easy) = (LEAST / larger, EASY / larger, EASY * larger.sqrt());
    let [least, plain, easy] = [least, plain, easy].map(|points| points / screen.scale);
    sheet.legible(Sight { least, plain, easy })
}

/// Where the letters of an item stand as they are shown, mm.
pub(crate) fn lettered(legible: &Legible, item: &Item) -> Vec<Box2> {
    // A plus or a minus beside a part is drawn, not lettered.
    let is_label = matches!(item.subject, Subject::Label(_));
    let is_letters = |prim: &&Prim| match prim {
        Prim::Text { .. } => true,
        Prim::Area { fill, .. } => is_label && *fill == Some(Ink::Ink),
        _ => false,
    };
    if !item.prims.iter().any(|prim| is_letters(&prim)) {
        return Vec::new();
    }
    legible.shown(item).iter().filter(is_letters).filter_map(Prim::bounds).collect()
}

#[cfg(test)]
mod tests;
