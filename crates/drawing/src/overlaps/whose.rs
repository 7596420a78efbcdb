//! Names that could be read as another part's.

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, PartId, Point};

use super::{HAIR, Overlap, OverlapSort, lines};
use crate::{Ink, Item, Prim, Sheet, Subject};

/// How much nearer another part must be than its own for a name to be doubtful, mm.
const NEARER: f64 = 1.3;

/// Names without a line to their part that stand nearer to another of its kind.
pub(super) fn names(sheet: &Sheet) -> Vec<Overlap> {
    let symbols = sheet.items.iter().filter_map(|item| match item.subject {
        Subject::Part(id) => Some((id, item.as_ref())),
        _ => None,
    });
    let symbols: BTreeMap<PartId, &Item> = symbols.collect();
    let mut found = Vec::new();
    for item in &sheet.items {
        let Subject::Label(id) = item.subject else { continue };
        let Some(own) = symbols.get(&id) else { continue };
        if lines::leader(item).is_some() {
            continue;
        }
        let Some(name) = name(item) else { continue };
        let far = gap(name, own.bounds);
        let nearer = symbols.iter().find(|(other, part)| {
            **other != id && kind(part) == kind(own) && gap(name, part.bounds) + NEARER < far
        });
        if let Some((_, other)) = nearer {
            found.push(Overlap {
                sort: OverlapSort::WhoseName,
                about: [item.subject, other.subject],
                at: name,
                says: format!("{} stands at {}", item.title, other.title),
            });
        }
    }
    found
}

/// Numbers further from their terminal than this, mm, or than it is to another terminal, are looked for.
const FAR: f64 = 6.0;

/// Numbers of terminals far from their terminal, or nearer to another that no number stands at.
pub(super) fn numbers(sheet: &Sheet) -> Vec<Overlap> {
    let mut found = Vec::new();
    for item in &sheet.items {
        let Subject::Label(id) = item.subject else { continue };
        let own = || sheet.terminals.iter().filter(move |(part, ..)| *part == id);
        for prim in item.prims.iter() {
            let Prim::Text { text, .. } = prim else { continue };
            let Some(rect) = prim.bounds() else { continue };
            let away = |at: Point| gap(rect, Box2 { min: at, max: at });
            let named = own().filter(|(_, name, _)| **name == **text).map(|(.., at)| away(*at));
            let Some(off) = named.reduce(f64::min) else { continue };
            let others = own().filter(|(_, name, _)| **name != **text);
            let is_nearer = others.map(|(.., at)| away(*at)).any(|other| other + HAIR < off);
            if off > FAR || is_nearer {
                found.push(Overlap {
                    sort: OverlapSort::WhoseNumber,
                    about: [item.subject; 2],
                    at: rect,
                    says: format!("{text} of {}, some way off", item.title),
                });
            }
        }
    }
    found
}

/// The kind of a part, of its title with its standing.
fn kind(item: &Item) -> &str {
    let words = item.title.split(", ").filter(|word| !word.starts_with("to "));
    words.last().unwrap_or_default()
}

/// Where a name stands: it is written in full ink, with its figures in line with it.
fn name(item: &Item) -> Option<Box2> {
    let line = item.prims.iter().find_map(|prim| match prim {
        Prim::Text { ink: Ink::Ink, at, .. } => Some(at.x),
        _ => None,
    })?;
    let name = item.prims.iter().filter_map(|prim| match prim {
        Prim::Text { at, .. } if at.x == line => prim.bounds(),
        _ => None,
    });
    name.reduce(Box2::union)
}

/// How far two rectangles are from each other, mm.
fn gap(a: Box2, b: Box2) -> f64 {
    let x = (b.min.x - a.max.x).max(a.min.x - b.max.x).max(0.0);
    let y = (b.min.y - a.max.y).max(a.min.y - b.max.y).max(0.0);
    x.hypot(y)
}
