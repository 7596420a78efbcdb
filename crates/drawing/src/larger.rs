//! How far lettering may be drawn larger than it stands, where a screen is too coarse for it.

use std::ops::Range;

use std::sync::Arc;

use loomwright_circuit::{Box2, Point, WireId};
use rustc_hash::FxHashMap;

use crate::clutter::{Clutter, Kind};
use crate::lay_out::item;
use crate::scene::Scene;
use crate::{Item, Prim, Subject, wires};

/// Some of an item's primitives that may be drawn larger together: a block of lettering, with the plate under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Larger {
    /// Which of the item's primitives.
    pub prims: Range<usize>,
    /// The place that stays where it is, mm.
    pub about: Point,
    /// So many times as large at most: nothing else is covered then.
    pub most: f64,
}

/// Steps by which lettering grows, all of a sheet by the first before any by the second.
const STEPS: [f64; 4] = [1.2, 1.45, 1.7, 2.0];
/// Room to other lettering, mm.
const APART: f64 = 0.5;

/// An item whose primitives are blocks of lettering, each with the place that it grows from.
pub(crate) fn lettered(
    subject: Subject,
    title: String,
    blocks: Vec<(Vec<Prim>, Point)>,
) -> Option<Item> {
    let (mut prims, mut larger) = (Vec::new(), Vec::new());
    for (block, about) in blocks {
        // A line that ties letters to what they name stays as it is.
        let from = prims.len() + usize::from(matches!(block.first(), Some(Prim::Line { .. })));
        prims.extend(block);
        larger.push(Larger { prims: from..prims.len(), about, most: 1.0 });
    }
    Some(Item { larger: larger.into(), ..item(subject, title, prims)? })
}

/// A plate with its letters; where it is tied to its wire, it grows from the knot.
pub(crate) fn plate(subject: Subject, title: String, prims: Vec<Prim>) -> Option<Item> {
    let from = prims.iter().position(|prim| matches!(prim, Prim::Area { .. }))?;
    let rect = prims[from].bounds()?;
    let about = match prims.first() {
        Some(Prim::Line { points, .. }) if from > 0 => points.first().copied(),
        _ => None,
    };
    let larger = Larger {
        prims: from..prims.len(),
        about: about.unwrap_or_else(|| rect.centre()),
        most: 1.0,
    };
    Some(Item { larger: Arc::new([larger]), ..item(subject, title, prims)? })
}

/// A block that may still grow.
struct Growing {
    item: usize,
    block: usize,
    rect: Box2,
    /// The wire that it lies on.
    wire: Option<usize>,
    clutter_idx: usize,
}

/// Finds out how far each block of a sheet's lettering may grow.
pub(crate) fn give_room(scene: &Scene<'_>, lines: &[Vec<Point>], items: &mut [Item]) {
    let mut clutter = around(scene, lines, items);
    let Some(all) = items.iter().map(|item| item.bounds).reduce(Box2::union) else { return };
    let mut growing = blocks(scene, items, &mut clutter);
    for step in STEPS {
        growing.retain_mut(|one| {
            let about = items[one.item].larger[one.block].about;
            let rect = scaled(one.rect, about, step);
            let covers = |kind| match kind {
                Kind::Wire(idx) if Some(idx) == one.wire => 0.0,
                _ => 1.0,
            };
            let is_within = all.contains(rect.min) && all.contains(rect.max);
            if !is_within || clutter.cost_beside(rect.grown(APART), one.clutter_idx, covers) > 0.0 {
                return false;
            }
            clutter.remove(one.clutter_idx);
            one.clutter_idx = clutter.add(rect, Kind::Lettering);
            Arc::make_mut(&mut items[one.item].larger)[one.block].most = step;
            true
        });
    }
    for item in items {
        let may_grow = |block: &&Larger| block.most > 1.0;
        if !item.larger.iter().all(|block| may_grow(&block)) {
            item.larger = item.larger.iter().filter(may_grow).cloned().collect();
        }
    }
}

fn scaled(rect: Box2, about: Point, times: f64) -> Box2 {
    let at = |corner: Point| about + (corner - about) * times;
    Box2 { min: at(rect.min), max: at(rect.max) }
}

/// What no lettering may cover when it grows.
fn around(scene: &Scene<'_>, lines: &[Vec<Point>], items: &[Item]) -> Clutter {
    let mut clutter = Clutter::default();
    for (wire_idx, line) in lines.iter().enumerate() {
        clutter.add_wire(wire_idx, line, wires::lit_width(scene.wires[wire_idx].wire));
    }
    for (part_idx, part) in scene.parts.iter().enumerate() {
        clutter.add(part.body, Kind::Body(part_idx));
        for pin in &part.pins {
            clutter.add(Box2 { min: pin.at, max: pin.at }.grown(1.0), Kind::Spot);
        }
    }
    for item in items.iter().filter(|item| item.larger.is_empty()) {
        match item.subject {
            Subject::Heading | Subject::Label(_) | Subject::Continuation(..) => {
                for rect in item.prims.iter().filter_map(Prim::bounds) {
                    clutter.add(rect, Kind::Lettering);
                }
            }
            Subject::Tag(_) | Subject::Note(_) | Subject::Flow(_) => {
                let plate = item.prims.iter().find(|prim| matches!(prim, Prim::Area { .. }));
                let rect = plate.and_then(Prim::bounds);
                // The frame around a group has lettering inside it.
                let is_frame = matches!(item.subject, Subject::Note(_)) && plate.is_some();
                clutter.add(rect.filter(|_| !is_frame).unwrap_or(item.bounds), Kind::Lettering);
            }
            _ => {}
        }
    }
    clutter
}

fn blocks(scene: &Scene<'_>, items: &[Item], clutter: &mut Clutter) -> Vec<Growing> {
    let index: FxHashMap<WireId, usize> =
        scene.wires.iter().enumerate().map(|(idx, wire)| (wire.id, idx)).collect();
    let mut blocks = Vec::new();
    for (item_idx, item) in items.iter().enumerate() {
        let wire = match item.subject {
            Subject::Flag(id) | Subject::Amps(id) => index.get(&id).copied(),
            _ => None,
        };
        for (block_idx, block) in item.larger.iter().enumerate() {
            let prims = item.prims.get(block.prims.clone()).unwrap_or_default();
            let Some(rect) = prims.iter().filter_map(Prim::bounds).reduce(Box2::union) else {
                continue;
            };
            let clutter_idx = clutter.add(rect, Kind::Lettering);
            blocks.push(Growing { item: item_idx, block: block_idx, rect, wire, clutter_idx });
        }
    }
    blocks
}
