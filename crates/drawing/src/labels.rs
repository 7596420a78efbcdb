//! Where the names and figures of parts stand.

use std::cell::OnceCell;

use loomwright_circuit::{Box2, Direction, Point};

use crate::around::rings;
use crate::block::{Block, Placed, TextLine};
use crate::clutter::{Clutter, Kind};
use crate::number::count;
use crate::scene::{Pin, Scene, ScenePart};
use crate::tags::ink_of;
use crate::{Face, Ink, designations, parts};

/// Height of the capitals of names and of figures, mm.
pub(crate) const NAME: f64 = 2.5;
pub(crate) const FIGURES: f64 = 2.0;
/// Names longer than this are broken, mm; and than the others, where they find no room otherwise, with what that costs.
const LONGEST: f64 = 42.0;
const SHORTER: [(f64, f64); 2] = [(24.0, 0.8), (15.0, 2.0)];
/// A name further than this from its symbol, mm, is tied to it by a thin line; and what such a line costs.
const UNTIED: f64 = 6.0;
const TIE: f64 = 1.5;
/// A name has no more lines than this; the tables and the details give it whole. One that has more only because its
/// lines are short is not broken so.
const MOST_LINES: usize = 3;

/// The lettering of a part: its name, and what its symbol shows of its figures.
fn block(scene: &Scene<'_>, part: &ScenePart<'_>, longest: f64) -> Block {
    let figure_height = scene.capitals(FIGURES);
    let line = |text, ink| TextLine { text, height: figure_height, ink, face: Face::Drawing };
    if part.is_joint() {
        // Narrow letters are the first that a screen cannot tell.
        let face = if scene.options.is_for_screen { Face::Drawing } else { Face::Narrow };
        let lines = crate::block::wrapped(&part.part.label, face, figure_height, longest);
        let lines = crate::block::shortened(lines, MOST_LINES);
        let name = |text| TextLine { face, ..line(text, Ink::Muted) };
        return Block::of(lines.into_iter().map(name).collect());
    }
    let mut lines: Vec<_> = wrapped(&part.part.label, scene.capitals(NAME), longest, Ink::Ink);
    let figures = match part.part_type {
        Some(part_type) => part.part.figures(part_type, scene.car.vehicle().voltage),
        None => format!("unknown type: {}", part.part.type_name),
    };
    lines.extend(wrapped(&figures, scene.capitals(FIGURES), longest, Ink::Muted));
    Block::of(lines)
}

/// Whether a name loses words in lines so long: two names may differ in these words alone.
fn is_cut(scene: &Scene<'_>, part: &ScenePart<'_>, longest: f64) -> bool {
    let height = scene.capitals(if part.is_joint() { FIGURES } else { NAME });
    let lines = crate::block::wrapped(&part.part.label, Face::Drawing, height, longest);
    lines.len() > MOST_LINES
}

fn wrapped(words: &str, height: f64, longest: f64, ink: Ink) -> Vec<TextLine> {
    let lines = crate::block::wrapped(words, Face::Drawing, height, longest);
    crate::block::shortened(lines, MOST_LINES)
        .into_iter()
        .map(|text| TextLine { text, height, ink, face: Face::Drawing })
        .collect()
}

/// Bodies, the ways out of the terminals and the room for the numbers of these: what no lettering may cover. With it the
/// room for the numbers alone.
pub(crate) fn obstacles(scene: &Scene<'_>) -> (Clutter, Vec<Box2>) {
    let mut clutter = Clutter::default();
    for (part_idx, part) in scene.parts.iter().enumerate() {
        clutter.add(part.body, Kind::Body(part_idx));
        for rect in parts::words_outside(scene, part) {
            clutter.add(rect, Kind::Lettering);
        }
        for pin in &part.pins {
            if let Some(leaves) = pin.leaves {
                clutter.add(way_out(pin, leaves), Kind::Spot);
            }
        }
    }
    let numbers = designations::before_wires(scene, &clutter);
    for number in &numbers {
        clutter.add(*number, Kind::Lettering);
    }
    (clutter, numbers)
}

fn way_out(pin: &Pin<'_>, leaves: Direction) -> Box2 {
    let length = if pin.n_wires > 0 { 7.5 } else { 2.5 };
    let end = pin.at + leaves.step() * length;
    let rect = Box2 { min: pin.at, max: pin.at }.union(Box2 { min: end, max: end });
    rect.grown(0.9)
}

/// Places the lettering of all parts that are more than a dot, before wires are routed.
pub(crate) fn place_names(scene: &Scene<'_>, clutter: &mut Clutter) -> Vec<Option<Placed>> {
    let mut placed = Vec::with_capacity(scene.parts.len());
    for (part_idx, part) in scene.parts.iter().enumerate() {
        let block = block(scene, part, LONGEST);
        if part.is_joint() || block.is_empty() {
            placed.push(None);
            continue;
        }
        let mut best = None;
        Named { scene, part_idx, clutter }.look(&block, 0.0, &mut best);
        let Some((_, best)) = best else {
            placed.push(None);
            continue;
        };
        clutter.add(best.rect(), Kind::Lettering);
        placed.push(Some(best));
    }
    placed
}

/// Whether a name that was placed before the wires covers nothing now that they are there.
pub(crate) fn is_clear(name: &Placed, clutter: &Clutter) -> bool {
    let room = |kind| f64::from(u8::from(matches!(kind, Kind::Wire(_))));
    clutter.cost(name.rect().grown(1.4), room) == 0.0
        && clutter.cost(name.rect().grown(0.3), |_| 1.0) == 0.0
        && name.leader.is_none()
}

/// The best place for the lettering of a part, in one line or in several.
pub(crate) fn name(scene: &Scene<'_>, part_idx: usize, clutter: &Clutter) -> Option<Placed> {
    let part = &scene.parts[part_idx];
    let named = Named { scene, part_idx, clutter };
    let mut best = None;
    let mut width = f64::INFINITY;
    for (longest, worse) in [(LONGEST, 0.0)].into_iter().chain(SHORTER) {
        let block = block(scene, part, longest);
        let is_cut = longest < LONGEST && is_cut(scene, part, longest);
        // Words that cannot be broken again are looked at once.
        if !block.is_empty() && block.width < width && !is_cut {
            width = block.width;
            named.look(&block, worse, &mut best);
        }
    }
    best.map(|(_, placed)| placed)
}

/// What the lettering of a part covers in as few lines as may be, mm².
pub(crate) fn room(scene: &Scene<'_>, part_idx: usize) -> f64 {
    let block = block(scene, &scene.parts[part_idx], LONGEST);
    block.width * block.height
}

/// A part whose name is looked for a place.
struct Named<'s, 'a> {
    scene: &'s Scene<'a>,
    part_idx: usize,
    clutter: &'s Clutter,
}

impl Named<'_, '_> {
    /// Looks for a better place than the best so far; none is looked at that is worse by itself.
    fn look(&self, block: &Block, worse: f64, best: &mut Option<(f64, Placed)>) {
        let part = &self.scene.parts[self.part_idx];
        let ink = OnceCell::new();
        for (far, places) in rings(block, part) {
            let least =
                |best: &Option<(f64, Placed)>| best.as_ref().map_or(f64::INFINITY, |it| it.0);
            if worse + far >= least(best) {
                break;
            }
            for place in places {
                let rect = block.rect(place.corner);
                let mut cost = worse + place.rank;
                if cost < least(best) {
                    cost += self.covered(rect);
                }
                if cost >= least(best) {
                    continue;
                }
                let mut placed = Placed::new(block.clone(), place.corner, place.align);
                let (is_far, doubt) = self.whose(rect);
                cost += doubt;
                if is_far {
                    let ink = ink.get_or_init(|| ink_of(self.scene, part));
                    let leader = leader(rect, part, ink);
                    cost += TIE + self.tie_covers(leader);
                    placed.leader = Some(leader);
                }
                if cost < least(best) {
                    *best = Some((cost, placed));
                }
            }
        }
    }

    fn covered(&self, rect: Box2) -> f64 {
        self.clutter.cost(rect.grown(0.5), |kind| match kind {
            Kind::Body(_) | Kind::Lettering => 12.0,
            Kind::Spot | Kind::Tip(_) => 8.0,
            Kind::Wire(_) | Kind::OverInk(_) => 6.0,
        })
    }

    /// Whether letters here need a line to their part, since that is far or another of its kind is nearer; and what it
    /// costs that any other part is.
    fn whose(&self, rect: Box2) -> (bool, f64) {
        let parts = &self.scene.parts;
        let own = &parts[self.part_idx];
        let off = gap(rect, own.body);
        let (mut is_doubtful, mut doubt) = (false, 0.0);
        // What is as near as that to another symbol could be read as its name.
        let nearer = rect.grown((off + 0.4).max(0.0));
        let is_like = |other: usize| parts[other].part.type_name == own.part.type_name;
        let like = self.clutter.cost(nearer, |kind| match kind {
            Kind::Body(other) if other != self.part_idx && is_like(other) => 1.0,
            _ => 0.0,
        });
        let others = self.clutter.cost(nearer, |kind| match kind {
            Kind::Body(other) if other != self.part_idx => 1.0,
            _ => 0.0,
        });
        if like > 0.0 {
            is_doubtful = true;
        } else if others > 0.0 {
            doubt = 0.5;
        }
        (is_doubtful || off > UNTIED, doubt)
    }

    /// What a line from the letters to their part would cover.
    fn tie_covers(&self, [from, to]: [Point; 2]) -> f64 {
        let n_steps = count(from.distance(to) / 0.8).clamp(2, 80);
        let step = (to - from) * (1.0 / n_steps as f64);
        let at = |n: usize| from + step * n as f64;
        let cost = |at: Point| {
            self.clutter.cost(Box2 { min: at, max: at }.grown(0.15), |kind| match kind {
                Kind::Body(own) if own == self.part_idx => 0.0,
                Kind::OverInk(_) => 0.05,
                Kind::Wire(_) => 0.8,
                _ => 3.0,
            })
        };
        (0..n_steps).map(|n| cost(at(n))).sum::<f64>() + 0.03 * from.distance(to)
    }
}

/// From the edge of the letters to the nearest line of the symbol.
fn leader(rect: Box2, part: &ScenePart<'_>, ink: &[Point]) -> [Point; 2] {
    let edge = rect.grown(0.7);
    let nearest = |to: Point| {
        Point::new(to.x.clamp(edge.min.x, edge.max.x), to.y.clamp(edge.min.y, edge.max.y))
    };
    let far = |to: &Point| nearest(*to).distance(*to);
    let to = ink.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b)));
    let to = to.unwrap_or_else(|| part.body.centre());
    [nearest(to), to]
}

/// How far two rectangles are from each other, mm.
pub(crate) fn gap(a: Box2, b: Box2) -> f64 {
    let x = (b.min.x - a.max.x).max(a.min.x - b.max.x).max(0.0);
    let y = (b.min.y - a.max.y).max(a.min.y - b.max.y).max(0.0);
    x.hypot(y)
}
