//! Where the designations of terminals stand: beside the lead, clear of every line, and within the symbol where there is
//! no room outside it.

use loomwright_circuit::{Box2, Direction, Point, Standing};

use crate::block::{Block, Placed, TextLine};
use crate::clutter::{Clutter, Kind};
use crate::scene::{Pin, Scene, ScenePart};
use crate::{Align, Face, Ink, parts};

/// Height of the capitals, mm.
const HEIGHT: f64 = 1.9;
/// Least room between the middle of a lead and the letters beside it, mm, and from the over-ink of one to fit.
const FROM_LEAD: f64 = 1.35;
const FROM_OVER_INK: f64 = 0.35;
/// How far outside its terminal a designation stands, mm: clear of the ring there, and of its over-ink.
const FROM_RING: f64 = 0.9;
const FROM_TO_FIT: f64 = 2.6;
/// How much further from it within the symbol.
const WITHIN: f64 = 0.5;

/// The best place for the designation of a terminal.
pub(crate) fn designation(
    scene: &Scene<'_>,
    (part_idx, pin): (usize, &Pin<'_>),
    clutter: &Clutter,
) -> Option<Placed> {
    let part = &scene.parts[part_idx];
    let leaves = pin.leaves?;
    let height = scene.capitals(HEIGHT);
    let line = TextLine { text: printed(pin.name), height, ink: Ink::Muted, face: Face::Drawing };
    let block = Block::of(vec![line]);
    let is_marked = scene.options.leaves_room_for_over_ink(part.part.standing);
    let has_over_ink = is_marked || scene.options.is_for_screen;
    let mut best: Option<(f64, Placed)> = None;
    let mut ink = None;
    for (corner, align, rank) in places(&block, pin, leaves, has_over_ink) {
        let least = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
        if rank >= least {
            continue;
        }
        let rect = block.rect(corner).grown(0.3);
        let mut cost = rank + covered(rect, part_idx, clutter);
        if cost < least && is_nearer_to_another(part, pin, rect) {
            cost += OF_ANOTHER;
        }
        if cost < least && rect.meets(inked(part)) {
            let ink = ink.get_or_insert_with(|| ink_of(scene, part));
            cost += 14.0 * ink.iter().filter(|piece| piece.meets(rect)).count() as f64;
        }
        if cost < least {
            best = Some((cost, Placed::new(block.clone(), corner, align)));
        }
    }
    best.map(|(_, placed)| placed)
}

/// What it costs to stand nearer to another terminal: it would be read as that one's.
const OF_ANOTHER: f64 = 12.0;

fn is_nearer_to_another(part: &ScenePart<'_>, pin: &Pin<'_>, rect: Box2) -> bool {
    let away = |at: Point| {
        let nearest =
            Point::new(at.x.clamp(rect.min.x, rect.max.x), at.y.clamp(rect.min.y, rect.max.y));
        at.distance(nearest)
    };
    let own = away(pin.at);
    part.pins.iter().any(|other| other.name != pin.name && away(other.at) < own)
}

/// Room for all designations, before the wires are there: the wires run clear of it where they can.
pub(crate) fn before_wires(scene: &Scene<'_>, clutter: &Clutter) -> Vec<Box2> {
    let several = scene.parts.iter().enumerate().filter(|(_, part)| part.pins.len() > 1);
    let pins = several.flat_map(|(idx, part)| part.pins.iter().map(move |pin| (idx, pin)));
    let placed = pins.filter_map(|(part_idx, pin)| designation(scene, (part_idx, pin), clutter));
    placed.map(|placed| placed.rect()).collect()
}

fn covered(rect: Box2, part_idx: usize, clutter: &Clutter) -> f64 {
    // Two designations side by side are read as one.
    let near = |kind| if kind == Kind::Lettering { 0.5 } else { 0.0 };
    let near = clutter.cost(rect.grown(0.8), near);
    near + clutter.cost(rect, |kind| match kind {
        Kind::Body(own) if own == part_idx => 0.0,
        Kind::OverInk(_) => 3.0,
        // A ground makes letters readable over a line, not over letters.
        Kind::Wire(_) => 4.0,
        _ => 10.0,
    })
}

/// Whether letters here run over a line of their own symbol.
pub(crate) fn is_on_ink(scene: &Scene<'_>, part_idx: usize, rect: Box2) -> bool {
    let part = &scene.parts[part_idx];
    rect.meets(inked(part)) && ink_of(scene, part).iter().any(|it| it.meets(rect))
}

/// What the lines of a symbol lie within: the strike through one to remove goes a little further.
fn inked(part: &ScenePart<'_>) -> Box2 {
    if part.part.standing == Standing::ToRemove {
        part.body.grown(parts::BEYOND + 0.5)
    } else {
        part.body
    }
}

/// The minus post has a proper minus sign.
fn printed(name: &str) -> String {
    if name == "-" { "\u{2212}".to_owned() } else { name.to_owned() }
}

/// Pieces of the lines and letters of a symbol.
fn ink_of(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Box2> {
    let mut pieces = Vec::new();
    for prim in parts::prims(scene, part) {
        parts::pieces(&prim, &mut pieces);
    }
    pieces
}

/// Places at the four corners of a terminal: beside the lead just outside of it, then further along and off it, then
/// beside the line that leads into the symbol.
fn places(
    block: &Block,
    pin: &Pin<'_>,
    leaves: Direction,
    has_over_ink: bool,
) -> Vec<(Point, Align, f64)> {
    let (w, h) = (block.width, block.height);
    let off =
        if pin.n_wires > 0 { FROM_LEAD.max(pin.half_band + FROM_OVER_INK) } else { FROM_LEAD };
    let out = if has_over_ink { FROM_TO_FIT } else { FROM_RING };
    let length = if matches!(leaves, Direction::Up | Direction::Down) { h } else { w };
    let mut spots = Vec::with_capacity(40);
    for (off_idx, more) in [0.0, 0.7, 1.5].into_iter().enumerate() {
        for (out_idx, further) in [0.0, 1.7, 3.7, 6.0, 8.5].into_iter().enumerate() {
            let rank = out_idx as f64 * 0.15 + off_idx as f64 * 0.5;
            spots.push((out + further, off + more, rank));
        }
    }
    if off > FROM_LEAD {
        // Over the soft over-ink rather than over a line.
        spots.extend([0.0, 1.7, 3.7].map(|further| (FROM_RING + further, FROM_LEAD, 1.1)));
    }
    // Within a symbol the over-ink of its leads ends soon: further in, a number stands close to its line.
    let close = if has_over_ink { [2.0, FROM_TO_FIT, 0.7] } else { [0.6, 1.2, FROM_TO_FIT] };
    for (off_idx, off) in close.into_iter().enumerate() {
        spots.push((-out - WITHIN - length, off, 1.2 + off_idx as f64 * 0.25));
    }
    let mut places = Vec::with_capacity(2 * spots.len() + 1);
    for (along, off, rank) in spots {
        let corners = match leaves {
            Direction::Left => [(-along - w, -off - h), (-along - w, off)],
            Direction::Right => [(along, -off - h), (along, off)],
            Direction::Up => [(off, -along - h), (-off - w, -along - h)],
            Direction::Down => [(off, along), (-off - w, along)],
        };
        let align = if leaves == Direction::Left { Align::Right } else { Align::Left };
        for (side, (x, y)) in corners.into_iter().enumerate() {
            places.push((pin.at + Point::new(x, y), align, rank + side as f64 * 0.1));
        }
    }
    if pin.n_wires == 0 {
        let ahead = pin.at + leaves.step() * (out + length / 2.0 + 0.4);
        places.push((ahead - Point::new(w / 2.0, h / 2.0), Align::Left, 0.9));
    }
    places
}
