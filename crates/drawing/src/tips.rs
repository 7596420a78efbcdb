//! Arrowheads of wires that go on, on another sheet: none lies on another wire, or nobody could tell whose it is.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use loomwright_circuit::{Box2, Point, WireId};

use crate::ends::{ARROW, Continuation};
use crate::scene::Scene;
use crate::wires;

/// Stubs grow longer or shorter in steps, so many at the most, and are no shorter than that, mm.
const STEP: f64 = 2.5;
const MOST_STEPS: i32 = 10;
const SHORTEST: f64 = 15.0;
/// Room from an arrowhead to another wire, and from a stub to what stands beside it, mm.
const TO_WIRE: f64 = 1.2;
const BESIDE: f64 = 0.9;

/// Where stubs may not end.
struct Ground {
    /// Straight stretches of wires that run from terminal to terminal here, as wide as these are.
    wires: Vec<Box2>,
    /// Symbols and what is written.
    things: Vec<Box2>,
}

/// Lengthens or shortens stubs that were placed before the wires, and on which one of these has come to lie.
///
/// Only wires that run from terminal to terminal are looked at: these stay as they are, so that the outcome is the same
/// however often it is asked for.
pub(crate) fn keep_clear(
    scene: &Scene<'_>,
    marks: &mut [Continuation],
    lines: &mut BTreeMap<WireId, Arc<[Point]>>,
    words: &[Box2],
) {
    let stubs: BTreeSet<usize> = marks.iter().map(|mark| mark.wire_idx).collect();
    let mut ground = Ground { wires: Vec::new(), things: Vec::new() };
    for (_, wire) in scene.wires.iter().enumerate().filter(|(idx, _)| !stubs.contains(idx)) {
        let half = wires::full_width(wire.wire) / 2.0;
        let line = lines.get(&wire.id).into_iter().flat_map(|line| line.windows(2));
        let stretches = line.filter_map(|pair| Box2::around(pair.iter().copied()));
        ground.wires.extend(stretches.map(|rect| rect.grown(half)));
    }
    ground.things.extend(scene.parts.iter().map(|part| part.body));
    ground.things.extend(words);
    for idx in 0..marks.len() {
        if ground.is_off_wires(&marks[idx], 0.0) {
            continue;
        }
        let others = marks.iter().enumerate().filter(|(other, _)| *other != idx);
        let taken: Vec<Box2> =
            others.flat_map(|(_, mark)| [head(mark, 0.0), mark.text.rect()]).collect();
        let by = (1..=MOST_STEPS).flat_map(|n| [-n, n]).map(|n| f64::from(n) * STEP);
        let found = by.into_iter().find(|by| ground.has_room(&marks[idx], *by, &taken));
        if let Some(by) = found {
            let mark = &mut marks[idx];
            mark.lengthen(by);
            lines.insert(scene.wires[mark.wire_idx].id, mark.line.as_slice().into());
        }
    }
}

impl Ground {
    fn is_off_wires(&self, mark: &Continuation, by: f64) -> bool {
        let head = head(mark, by).grown(TO_WIRE);
        !self.wires.iter().any(|wire| wire.meets(head))
    }

    /// Whether a stub may be so much longer.
    fn has_room(&self, mark: &Continuation, by: f64, taken: &[Box2]) -> bool {
        if mark.last_stretch() + by < SHORTEST || !self.is_off_wires(mark, by) {
            return false;
        }
        // Where it grows shorter, only its head comes to lie elsewhere.
        let head = head(mark, by);
        let added = if by > 0.0 { head.union(self::head(mark, 0.0)) } else { head };
        let things = self.things.iter().chain(taken);
        let own = mark.text.rect();
        let mut in_the_way =
            things.filter(|thing| **thing != own && thing.meets(added.grown(BESIDE)));
        in_the_way.next().is_none()
    }
}

/// What an arrowhead takes, its stub being so much longer.
fn head(mark: &Continuation, by: f64) -> Box2 {
    let along = mark.points_to.step();
    let tip = mark.tip + along * by;
    let near = tip - along * ARROW;
    let across = Point::new(along.y, along.x) * (ARROW * 0.52);
    let corners = [tip + across, tip - across, near + across, near - across];
    Box2::around(corners).unwrap_or(Box2 { min: tip, max: tip })
}
