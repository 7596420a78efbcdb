//! Names, numbers and flags that could be read as another's.

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, PartId, Point, WireId};

use super::{Overlap, OverlapSort, lines};
use crate::labels::gap;
use crate::parts::RING;
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
        let within = name.grown((far - NEARER).max(0.0));
        let nearer = symbols.iter().find(|(other, part)| {
            within.meets(part.bounds)
                && **other != id
                && kind(part) == kind(own)
                && gap(name, part.bounds) + NEARER < far
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

/// Numbers further from their terminal than this are looked for, mm.
const FAR: f64 = 6.0;
/// What is so much nearer is only as near: letters have rounded corners. mm.
const AS_NEAR: f64 = 0.1;

/// Numbers of terminals that could be read as another's, or that have to be looked for.
pub(super) fn numbers(sheet: &Sheet) -> Vec<Overlap> {
    let leads = leads(sheet);
    let mut found = Vec::new();
    for item in &sheet.items {
        let Subject::Label(id) = item.subject else { continue };
        for prim in item.prims.iter() {
            let Prim::Text { text, .. } = prim else { continue };
            let Some(rect) = prim.bounds() else { continue };
            let named = sheet.terminals.iter().filter(|it| it.0 == id && is_number(text, &it.1));
            let away = |at: Point| gap(rect, Box2 { min: at, max: at });
            let own = named.map(|(.., at)| *at).min_by(|a, b| away(*a).total_cmp(&away(*b)));
            let Some(own) = own else { continue };
            let sort = match nearer(sheet, &leads, rect, own) {
                true => OverlapSort::WhoseNumber,
                false if away(own) > FAR => OverlapSort::FarNumber,
                false => continue,
            };
            found.push(Overlap {
                sort,
                about: [item.subject; 2],
                at: rect,
                says: format!("{text} of {}, some way off", item.title),
            });
        }
    }
    found
}

/// Whether letters are the name of a terminal: the minus post has a proper minus sign.
fn is_number(text: &str, name: &str) -> bool {
    text == name || text == "\u{2212}" && name == "-"
}

/// A cable as it is painted, stretch by stretch, half its breadth, and the places where it ends.
struct Lead<'a> {
    wire: WireId,
    stretches: Vec<Box2>,
    /// Around all of them.
    bounds: Box2,
    half: f64,
    route: &'a [Point],
}

fn leads(sheet: &Sheet) -> Vec<Lead<'_>> {
    let cables = sheet.items.iter().filter_map(|item| {
        let Subject::Wire(id) = item.subject else { return None };
        // The first line of a wire is its casing.
        let Some(Prim::Line { points, width, .. }) = item.prims.first() else { return None };
        let stretches = points.windows(2).filter_map(|pair| Box2::around(pair.iter().copied()));
        Some(Lead {
            wire: id,
            stretches: stretches.collect(),
            bounds: Box2::around(points.iter().copied())?,
            half: width / 2.0,
            route: sheet.routes.get(&id)?,
        })
    });
    cables.collect()
}

impl Lead<'_> {
    /// How far letters stand from the edge of the cable.
    fn away(&self, rect: Box2) -> f64 {
        let each = self.stretches.iter().map(|stretch| gap(rect, *stretch));
        each.reduce(f64::min).map_or(f64::INFINITY, |least| (least - self.half).max(0.0))
    }

    /// Whether letters stand nearer to its edge than so far. Most leads are nowhere near, and told so by their bounds.
    fn is_nearer(&self, rect: Box2, than: f64) -> bool {
        rect.grown(than + self.half).meets(self.bounds) && self.away(rect) + AS_NEAR < than
    }
}

/// Flags beside their wire that stand nearer to another.
pub(super) fn flags(sheet: &Sheet) -> Vec<Overlap> {
    let leads = leads(sheet);
    let mut found = Vec::new();
    for item in sheet.items.iter().filter(|item| lines::leader(item).is_some()) {
        let Subject::Flag(id) = item.subject else { continue };
        let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
        let Some(at) = plate.and_then(Prim::bounds) else { continue };
        let its = leads.iter().filter(|lead| lead.wire == id).map(|lead| lead.away(at));
        let Some(own) = its.reduce(f64::min) else { continue };
        let mut others = leads.iter().filter(|lead| lead.wire != id);
        if let Some(other) = others.find(|lead| lead.is_nearer(at, own)) {
            found.push(Overlap {
                sort: OverlapSort::WhoseFlag,
                about: [item.subject, Subject::Wire(other.wire)],
                at,
                says: format!("the flag of {} stands at {}", item.title, other.wire),
            });
        }
    }
    found
}

/// Whether another terminal than its own is nearer to a number, or another cable than its own and than its terminal.
fn nearer(sheet: &Sheet, leads: &[Lead<'_>], rect: Box2, own: Point) -> bool {
    let away = |at: Point| gap(rect, Box2 { min: at, max: at });
    let off = away(own);
    let within = rect.grown(off);
    let mut terminals =
        sheet.terminals.iter().filter(|(.., at)| within.contains(*at) && *at != own);
    if terminals.any(|(.., at)| away(*at) + AS_NEAR < off) {
        return true;
    }
    let is_own = |lead: &Lead<'_>| [lead.route.first(), lead.route.last()].contains(&Some(&own));
    let its = leads.iter().filter(|lead| is_own(lead)).map(|lead| lead.away(rect));
    let least = its.fold((off - RING).max(0.0), f64::min);
    leads.iter().any(|lead| lead.is_nearer(rect, least) && !is_own(lead))
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
