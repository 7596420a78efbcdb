//! What stands still on a sheet, whatever becomes of its letters: what these must not cover, and what they are of.

use std::borrow::Cow;
use std::sync::Arc;

use loomwright_circuit::{Box2, PartId, Point, WireId};
use rustc_hash::{FxHashMap, FxHashSet};

use super::rank::letters;
use super::{Sight, address, tag};
use crate::clutter::{Clutter, Kind};
use crate::{Ink, Item, Prim, Sheet, Subject, parts};

/// Room that letters keep to other letters, and to a line, mm.
pub(super) const APART: f64 = 0.4;
const FROM_LINE: f64 = 0.3;

/// What stands still.
pub(super) struct Ground<'a> {
    clutter: Clutter,
    /// The edge of the over-ink of each part that is to fit.
    edges: FxHashMap<PartId, Box2>,
    /// Each part with its place among them and what its symbol covers.
    pub(super) parts: FxHashMap<PartId, (usize, Box2)>,
    /// Each wire with its place among them and its corners.
    pub(super) wires: FxHashMap<WireId, (usize, &'a [Point])>,
    pub(super) terminals: FxHashMap<PartId, Vec<Point>>,
    /// What letters may take of the sheet: a little more than it covers, as the view does that shows it whole.
    pub(super) all: Box2,
}

/// What is no other's to letters.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Own {
    pub(super) is_plate: bool,
    /// The wire that they lie on.
    pub(super) wire: Option<usize>,
    /// The symbol within which they may stand, clear of its lines.
    pub(super) body: Option<usize>,
}

/// By what is already in the way of letters as drawn: no other place may be worse.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Covered {
    things: f64,
    near: f64,
    lines: f64,
}

impl Covered {
    /// Whether letters so many times as large cover no more.
    pub(super) fn is_no_worse(self, than: Self, times: f64) -> bool {
        let most = times * times;
        self.things <= than.things && self.near <= than.near && self.lines <= than.lines * most
    }
}

/// Tags grow whatever there is, so that words make way for them that they did not cover as drawn.
const GROWN_TAG: Kind = Kind::Tip(usize::MAX);

/// The lines of a symbol, within which numbers of its terminals may stand.
const SYMBOL_INK: Kind = Kind::Tip(usize::MAX - 1);

/// A wire, or its light, that is farther off than this, mm, is not taken for that which a line leads to.
pub(super) const WELL_OFF: f64 = 1.0;

/// Letters go so far beyond what the sheet covers, mm.
const BEYOND: f64 = 5.0;

impl<'a> Ground<'a> {
    pub(super) fn of(sheet: &'a Sheet, sight: Sight) -> Self {
        let all =
            sheet.bounds.unwrap_or_else(|| Box2 { min: Point::default(), max: Point::default() });
        let mut ground = Self {
            clutter: Clutter::default(),
            edges: FxHashMap::default(),
            parts: FxHashMap::default(),
            wires: FxHashMap::default(),
            terminals: FxHashMap::default(),
            all: all.grown(BEYOND),
        };
        for (idx, (wire, route)) in sheet.routes.iter().enumerate() {
            ground.wires.insert(*wire, (idx, route));
        }
        for (part, _, at) in &sheet.terminals {
            ground.terminals.entry(*part).or_default().push(*at);
            ground.clutter.add(Box2 { min: *at, max: *at }.grown(1.0), Kind::Spot);
        }
        // Letters stand the same in all phases of the flashers, and so clear of what there is in any.
        let here: FxHashSet<usize> = sheet.items.iter().map(|item| address(item)).collect();
        let elsewhen = sheet.elsewhen.iter().filter(|item| !here.contains(&address(item)));
        for item in sheet.items.iter().chain(elsewhen) {
            ground.add(item, sight);
        }
        ground
    }

    fn add(&mut self, item: &Arc<Item>, sight: Sight) {
        match item.subject {
            Subject::Part(id) => {
                // The edge of its over-ink comes first.
                let edge = self.edges.get(&id).copied();
                let body = edge.map_or(item.bounds, |edge| edge.union(item.bounds));
                let known = self.parts.get(&id).copied();
                let (idx, body) =
                    known.map_or((self.parts.len(), body), |(idx, known)| (idx, known.union(body)));
                self.parts.insert(id, (idx, body));
                self.clutter.add(item.bounds, Kind::Body(idx));
                if let Some(edge) = edge {
                    self.clutter.add(edge, Kind::OverInk(usize::MAX));
                }
                for prim in item.prims.iter() {
                    self.add_ink(prim);
                }
            }
            Subject::UnderPart(id) => {
                let is_edge = |prim: &Prim| match prim {
                    Prim::Line { ink, .. } => *ink == Ink::ToFitEdge,
                    Prim::Area { fill, .. } | Prim::Circle { fill, .. } => {
                        *fill == Some(Ink::ToFitEdge)
                    }
                    Prim::Text { .. } => false,
                };
                if item.prims.iter().any(is_edge) {
                    self.edges.insert(id, item.bounds);
                }
            }
            Subject::Wire(id) | Subject::UnderWire(id) => self.add_wire(id, item),
            Subject::Tag(_) => {
                let shown = tag(item, sight.least);
                let has_grown = matches!(shown, Cow::Owned(_));
                let plate = shown.iter().find(|prim| matches!(prim, Prim::Area { .. }));
                let kind = if has_grown { GROWN_TAG } else { Kind::Lettering };
                if let Some(rect) = plate.and_then(Prim::bounds) {
                    self.clutter.add(rect, kind);
                }
            }
            Subject::Note(_) => {
                // The frame around a group has lettering inside it.
                let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
                self.add_letters(Some(plate.and_then(Prim::bounds).unwrap_or(item.bounds)));
            }
            Subject::Heading => {
                let is_read = |prim: &&Prim| letters(prim).is_some_and(|it| it >= sight.least);
                for prim in item.prims.iter().filter(is_read) {
                    self.add_letters(prim.bounds());
                }
            }
            Subject::Flow(_) => {
                for rect in item.prims.iter().filter_map(Prim::bounds) {
                    self.clutter.add(rect, Kind::Spot);
                }
            }
            Subject::Continuation(..) => {
                if let Some(head) = item.prims.first().and_then(Prim::bounds) {
                    self.clutter.add(head, Kind::Spot);
                }
            }
            Subject::Flag(_) | Subject::Amps(_) | Subject::Label(_) => {}
        }
    }

    fn add_letters(&mut self, rect: Option<Box2>) {
        if let Some(rect) = rect {
            self.clutter.add(rect, Kind::Lettering);
        }
    }

    /// The lines of a symbol: straight ones whole, others in pieces.
    fn add_ink(&mut self, prim: &Prim) {
        let mut pieces = Vec::new();
        match prim {
            Prim::Line { points, width, .. } => {
                for pair in points.windows(2) {
                    let is_straight = pair[0].x == pair[1].x || pair[0].y == pair[1].y;
                    match Box2::around(pair.iter().copied()) {
                        Some(rect) if is_straight => pieces.push(rect.grown(width / 2.0)),
                        _ => parts::pieces(prim, &mut pieces),
                    }
                }
            }
            _ => parts::pieces(prim, &mut pieces),
        }
        for piece in pieces {
            self.clutter.add(piece, SYMBOL_INK);
        }
    }

    /// A cable, what is marked on it, and the light at its sides.
    fn add_wire(&mut self, id: WireId, item: &Item) {
        let idx = self.wires.get(&id).map_or(usize::MAX, |(idx, _)| *idx);
        let is_cable = item.subject == Subject::Wire(id);
        let mut has_casing = false;
        for prim in item.prims.iter() {
            match prim {
                // Cover and tracer lie within the casing, which comes first.
                Prim::Line { .. } if is_cable && has_casing => {}
                Prim::Line { points, width, ink, .. } => {
                    has_casing |= *ink == Ink::Casing;
                    // Paper is between a live wire and its light, and over-ink lies within its edge.
                    if is_cable || !matches!(ink, Ink::Paper | Ink::ToFit) {
                        let is_soft = *ink == Ink::ToFitEdge;
                        let kind = if is_soft { Kind::OverInk(idx) } else { Kind::Wire(idx) };
                        for rect in points.windows(2).filter_map(|it| Box2::around(it.to_vec())) {
                            self.clutter.add(rect.grown(width / 2.0), kind);
                        }
                    }
                }
                Prim::Text { .. } => self.add_letters(prim.bounds()),
                Prim::Area { .. } | Prim::Circle { .. } => {
                    if let Some(rect) = prim.bounds() {
                        self.clutter.add(rect, Kind::Spot);
                    }
                }
            }
        }
    }

    /// Whether a tag that has grown lies here.
    pub(super) fn is_under_tag(&self, rect: Box2) -> bool {
        self.clutter.cost(rect, |kind| f64::from(u8::from(kind == GROWN_TAG))) > 0.0
    }

    /// What letters cover here. What is on its own wire covers nothing by that, and over-ink may lie under a plate.
    pub(super) fn covered(&self, rect: Box2, own: Own) -> Covered {
        let is_thing = |kind| match kind {
            Kind::Body(idx) => f64::from(u8::from(Some(idx) != own.body)),
            _ => f64::from(u8::from(kind == Kind::Lettering || kind == SYMBOL_INK)),
        };
        let near = self.clutter.cost(rect.grown(APART), is_thing);
        let things = if near > 0.0 { self.clutter.cost(rect, is_thing) } else { 0.0 };
        let lines = self.clutter.cost(rect.grown(FROM_LINE), |kind| match kind {
            Kind::Wire(idx) if Some(idx) == own.wire => 0.0,
            Kind::Wire(_) | Kind::Spot => 1.0,
            Kind::OverInk(_) if !own.is_plate => 1.0,
            _ => 0.0,
        });
        Covered { things, near, lines }
    }

    /// Whether a symbol other than its own stands as near to letters.
    pub(super) fn is_nearer_to_another(&self, rect: Box2, own: usize, off: f64) -> bool {
        let others = self.clutter.cost(rect.grown((off + 0.4).max(0.0)), |kind| match kind {
            Kind::Body(other) if other != own => 1.0,
            _ => 0.0,
        });
        others > 0.0
    }

    /// Whether a wire other than its own lies as near to a plate.
    pub(super) fn is_nearer_to_another_wire(&self, rect: Box2, own: usize, off: f64) -> bool {
        let others = self.clutter.cost(rect.grown(off), |kind| match kind {
            Kind::Wire(other) if other != own => 1.0,
            _ => 0.0,
        });
        others > 0.0
    }

    /// Whether another terminal stands as near to a number as its own, which is so far off.
    pub(super) fn is_nearer_to_another_terminal(&self, rect: Box2, own: Point) -> bool {
        let off = super::rank::nearest(rect, own).distance(own);
        let near = self.clutter.cost(rect.grown((off - 1.05).max(0.0)), |kind| match kind {
            Kind::Spot => 1.0,
            _ => 0.0,
        });
        near > 0.0
    }

    /// Whether a line from a plate to its wire covers something else.
    pub(super) fn is_tie_clear(&self, [from, to]: [Point; 2], own_wire: usize) -> bool {
        const STEP: f64 = 0.8;
        let n_steps = crate::number::count(from.distance(to) / STEP).clamp(1, 40);
        (0..=n_steps).all(|n| {
            let at = from + (to - from) * (n as f64 / n_steps as f64);
            let cost =
                self.clutter.cost(Box2 { min: at, max: at }.grown(0.15), |kind| match kind {
                    Kind::Wire(idx) if idx == own_wire => 0.0,
                    Kind::OverInk(_) => 0.0,
                    Kind::Spot if n == n_steps => 0.0,
                    _ => 1.0,
                });
            cost == 0.0
        })
    }
}
