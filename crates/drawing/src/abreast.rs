//! Wires that leave one terminal the same way, drawn side by side and not over each other.

use std::collections::BTreeMap;

use loomwright_circuit::{Direction, Point};

use crate::scene::{Scene, SceneEnd};
use crate::wires;

/// How far out of the terminal the wires have spread, mm.
const FAN: f64 = 2.2;
/// Paper between two of them, mm: the line around a dark cable is hardly told from it, so that two of one colour would melt
/// into one.
const BETWEEN: f64 = 0.4;
/// What stays of a stretch that the shift shortens, mm.
const LEAST_STRETCH: f64 = 0.5;
/// Closer than this, mm, counts as the same.
const SAME: f64 = 1e-6;

/// Lines of wires, those that shared their way out of a terminal shifted off it.
pub(crate) struct Abreast {
    /// The lines, right-angled; a shifted one begins a little way out of its terminal.
    pub(crate) lines: Vec<Vec<Point>>,
    /// The terminals that the shifted lines slant into, at their first end and at their last.
    slants: Vec<[Option<Point>; 2]>,
}

/// An end of a wire at a terminal where others may leave the same way.
struct Lead {
    wire_idx: usize,
    is_last: bool,
    /// Of its stretch out of the terminal.
    length: f64,
    /// To which side it turns there: 1 clockwise, -1 the other way.
    side: f64,
}

impl Abreast {
    /// At each terminal the wire that runs straight out furthest stays, and the others go beside it, on the side to
    /// which they turn, those that turn first outermost: so none crosses another.
    pub(crate) fn of(scene: &Scene<'_>, mut lines: Vec<Vec<Point>>) -> Self {
        let mut slants = vec![[None; 2]; lines.len()];
        let mut leads: BTreeMap<(usize, usize), Vec<Lead>> = BTreeMap::new();
        for (wire_idx, wire) in scene.wires.iter().enumerate() {
            for (end_idx, end) in wire.ends.into_iter().enumerate() {
                let SceneEnd::Pin { part, pin } = end else { continue };
                let pin_row = &scene.parts[part].pins[pin];
                let Some(leaves) = pin_row.leaves.filter(|_| pin_row.n_wires > 1) else { continue };
                let lead = Lead::of(&lines[wire_idx], wire_idx, end_idx == 1, leaves);
                leads.entry((part, pin)).or_default().extend(lead);
            }
        }
        for ((part, pin), mut leads) in leads {
            leads.sort_by(|a, b| b.length.total_cmp(&a.length).then(a.wire_idx.cmp(&b.wire_idx)));
            let Some(straight) = leads.first() else { continue };
            let half = |lead: &Lead| wires::full_width(scene.wires[lead.wire_idx].wire) / 2.0;
            let (mut right, mut left) = (half(straight), half(straight));
            let pin = &scene.parts[part].pins[pin];
            for lead in leads.iter().skip(1) {
                let taken = if lead.side > 0.0 { &mut right } else { &mut left };
                // Without paper between, where there is no room for it.
                let mut ways = [BETWEEN, 0.0].map(|room| *taken + room + half(lead)).into_iter();
                if let Some(by) = ways.find(|by| lead.shift(&mut lines[lead.wire_idx], *by)) {
                    *taken = by + half(lead);
                    slants[lead.wire_idx][usize::from(lead.is_last)] = Some(pin.at);
                }
            }
        }
        Self { lines, slants }
    }

    /// The short ways on which a shifted line slants into its terminals.
    pub(crate) fn slants(&self, wire_idx: usize) -> impl Iterator<Item = [Point; 2]> {
        let line = &self.lines[wire_idx];
        let [first, last] = self.slants[wire_idx];
        let pair = |pin: Option<Point>, at: Option<&Point>| Some([pin?, *at?]);
        [pair(first, line.first()), pair(last, line.last())].into_iter().flatten()
    }

    /// A line as it is painted: slanted into the terminals that it was shifted off.
    pub(crate) fn slanted(&self, wire_idx: usize, mut line: Vec<Point>) -> Vec<Point> {
        let [first, last] = self.slants[wire_idx];
        if !line.is_empty() {
            line.splice(0..0, first);
            line.extend(last);
        }
        line
    }
}

impl Lead {
    /// Nothing where the line does not leave that way, or runs straight on to its other end.
    fn of(line: &[Point], wire_idx: usize, is_last: bool, leaves: Direction) -> Option<Self> {
        let [at, corner, next] = first_three(line, is_last)?;
        let along = leaves.step();
        let out = corner - at;
        let length = out.x * along.x + out.y * along.y;
        let aside = (out.x * along.y - out.y * along.x).abs();
        if length < SAME || aside > SAME {
            return None;
        }
        let turn = next - corner;
        let side = along.x * turn.y - along.y * turn.x;
        Some(Self { wire_idx, is_last, length, side: side.signum() })
    }

    /// Shifts the stretch out of the terminal to its side; whether there was room for that.
    fn shift(&self, line: &mut [Point], by: f64) -> bool {
        let Some([at, corner, next]) = first_three(line, self.is_last) else { return false };
        if corner.distance(next) < by + LEAST_STRETCH {
            return false;
        }
        let along = (corner - at) * (1.0 / self.length);
        let across = Point::new(-along.y, along.x) * (self.side * by);
        let out = along * FAN.min(self.length / 2.0);
        let (first, second) = if self.is_last { (line.len() - 1, line.len() - 2) } else { (0, 1) };
        line[first] = at + across + out;
        line[second] = corner + across;
        true
    }
}

/// The end of a line with its two next corners.
fn first_three(line: &[Point], is_last: bool) -> Option<[Point; 3]> {
    match *line {
        [.., c, b, a] if is_last => Some([a, b, c]),
        [a, b, c, ..] if !is_last => Some([a, b, c]),
        _ => None,
    }
}
