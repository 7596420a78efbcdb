//! Where the designations of terminals stand, by one rule: above a lead that runs across the sheet and right of one that
//! runs up or down, all of a row alike outside the symbol or within. They depart from it only where something is in the
//! way.

use loomwright_circuit::{Box2, Direction, Point, Standing};

use crate::block::{Block, Placed, TextLine};
use crate::clutter::{Clutter, Kind};
use crate::letters::printed;
use crate::scene::{Pin, Scene, ScenePart};
use crate::{Align, Face, Ink, labels, parts, wires};

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

/// Whose number is looked for a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Which {
    pub(crate) part_idx: usize,
    pub(crate) pin_idx: usize,
    /// Where those of its row stand.
    pub(crate) row: Row,
}

/// Where the numbers of a row of terminals stand, so that all of a row stand alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Row {
    /// Just outside the symbol, beside the leads.
    Outside,
    /// Within it, beside the lines that lead in.
    Within,
}

/// The best place for the designation of a terminal.
pub(crate) fn designation(scene: &Scene<'_>, which: Which, clutter: &Clutter) -> Option<Placed> {
    best(scene, which, clutter, |_| true).map(|(_, placed)| placed)
}

/// The best of those places that are asked for, with what it costs; in narrow letters where others find none.
fn best(
    scene: &Scene<'_>,
    which: Which,
    clutter: &Clutter,
    is_asked: impl Fn(&Spot) -> bool,
) -> Option<(f64, Placed)> {
    let wide = best_in(Face::Drawing, scene, which, clutter, &is_asked)?;
    // Narrow letters are the first that a screen cannot tell.
    if wide.0 < NARROW || scene.options.is_for_screen {
        return Some(wide);
    }
    let narrow = best_in(Face::Narrow, scene, which, clutter, &is_asked);
    narrow.filter(|(cost, _)| cost + NARROW < wide.0).or(Some(wide))
}

fn best_in(
    face: Face,
    scene: &Scene<'_>,
    Which { part_idx, pin_idx, row }: Which,
    clutter: &Clutter,
    is_asked: &impl Fn(&Spot) -> bool,
) -> Option<(f64, Placed)> {
    let part = &scene.parts[part_idx];
    let pin = &part.pins[pin_idx];
    let leaves = pin.leaves?;
    let height = scene.capitals(HEIGHT);
    let text = printed(pin.name);
    let sign = Block::sign(text).filter(|_| scene.options.is_for_screen);
    let number = || TextLine { text: text.to_owned(), height, ink: Ink::Muted, face };
    let block = sign.unwrap_or_else(|| Block::of(vec![number()]));
    let is_marked = scene.options.leaves_room_for_over_ink(part.part.standing);
    let has_over_ink = is_marked || scene.options.is_for_screen;
    let align = if leaves == Direction::Left { Align::Right } else { Align::Left };
    let mut best: Option<(f64, Placed)> = None;
    let mut ink = None;
    for spot in spots(&block, pin, leaves, has_over_ink).into_iter().filter(is_asked) {
        let least = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
        let rank = spot.rank + if spot.row == row { 0.0 } else { OUT_OF_ROW };
        if rank >= least {
            continue;
        }
        let rect = block.rect(spot.corner).grown(0.3);
        let mut cost = rank + covered(rect, part_idx, clutter);
        if block.is_sign() {
            let light = rect.grown(wires::LIGHT);
            cost +=
                clutter.cost(light, |kind| if let Kind::Wire(_) = kind { IN_LIGHT } else { 0.0 });
        }
        if has_over_ink && spot.row == Row::Outside && rect.meets(part.core.grown(AROUND_CORE)) {
            cost += ON_EDGE;
        }
        if cost < least && is_of_another(scene, (part_idx, pin), rect, clutter)
            || spot.is_across && reads_as_next(part, pin, rect)
        {
            cost += OF_ANOTHER;
        }
        if cost < least && rect.meets(inked(part)) {
            let ink = ink.get_or_insert_with(|| ink_of(scene, part));
            cost += 14.0 * ink.iter().filter(|piece| piece.meets(rect)).count() as f64;
        }
        if cost < least {
            best = Some((cost, Placed::new(block.clone(), spot.corner, align)));
        }
    }
    best
}

/// What it costs to be written in narrow letters: they are read less easily.
const NARROW: f64 = 3.0;

/// How the numbers of each part's terminals stand: those of one side all outside it or all within, whichever is in fewer
/// things' way.
pub(crate) fn rows(scene: &Scene<'_>, clutter: &Clutter) -> Vec<Vec<Row>> {
    let parts = scene.parts.iter().enumerate();
    parts.map(|(part_idx, part)| rows_of(scene, (part_idx, part), clutter)).collect()
}

fn rows_of(
    scene: &Scene<'_>,
    (part_idx, part): (usize, &ScenePart<'_>),
    clutter: &Clutter,
) -> Vec<Row> {
    let mut rows = vec![Row::Outside; part.pins.len()];
    for side in [Direction::Left, Direction::Right, Direction::Up, Direction::Down] {
        let is_its = |idx: &usize| part.pins[*idx].leaves == Some(side);
        let pins: Vec<usize> = (0..part.pins.len()).filter(is_its).collect();
        if pins.len() < 2 {
            continue;
        }
        let cost = |row: Row| -> f64 {
            let each = pins.iter().filter_map(|pin_idx| {
                let which = Which { part_idx, pin_idx: *pin_idx, row };
                best(scene, which, clutter, |spot| spot.row == row && !spot.is_across)
            });
            each.map(|(cost, _)| cost.min(HOPELESS)).sum()
        };
        let outside = cost(Row::Outside);
        if outside > OUT_OF_ROW * pins.len() as f64 && cost(Row::Within) < outside {
            for pin_idx in pins {
                rows[pin_idx] = Row::Within;
            }
        }
    }
    rows
}

/// What it costs to stand nearer to another terminal or lead: it would be read as that one's.
const OF_ANOTHER: f64 = 30.0;
/// What it costs to stand within the symbol where others of its row stand outside, or the other way round.
const OUT_OF_ROW: f64 = 1.2;
/// What it costs to stand at the other side of a lead than all numbers do.
const ACROSS: f64 = 2.6;
/// What it costs to stand on the edge of the over-ink of its own symbol, which goes so far beyond that, mm.
const ON_EDGE: f64 = 4.0;
const AROUND_CORE: f64 = 1.75;
/// What it costs a plus or a minus to stand in the light of a wire, should that be live.
const IN_LIGHT: f64 = 3.0;
/// What is in the way of one number decides no more than this on how all of its row stand.
const HOPELESS: f64 = 12.0;

/// Whether another terminal, or another's lead, is nearer than its own.
fn is_of_another(
    scene: &Scene<'_>,
    (part_idx, pin): (usize, &Pin<'_>),
    rect: Box2,
    clutter: &Clutter,
) -> bool {
    let away = |at: Point| at.distance(nearest(rect, at));
    let own = away(pin.at);
    let is_nearer = |other: &Pin<'_>| away(other.at) < own;
    let part = &scene.parts[part_idx];
    if part.pins.iter().any(|other| other.name != pin.name && is_nearer(other)) {
        return true;
    }
    // Within a symbol no other cable runs than those that end at its terminals.
    if part.body.contains(rect.centre()) {
        let off = |pin: &Pin<'_>| away(pin.at) - pin.half_width.max(parts::RING);
        return part.pins.iter().any(|other| other.name != pin.name && off(other) < off(pin));
    }
    let lead = (own - parts::RING).max(0.0);
    let lead = lead.min(from_lead(pin, rect).unwrap_or(lead));
    let others = clutter.cost(rect.grown(own), |kind| match kind {
        Kind::Body(other) if other != part_idx => {
            f64::from(u8::from(scene.parts[other].pins.iter().any(is_nearer)))
        }
        _ => 0.0,
    });
    let is_anothers = |wire_idx: usize| !pin.wires.contains(&wire_idx);
    let leads = clutter.cost(rect.grown(lead), |kind| match kind {
        Kind::Wire(wire_idx) if is_anothers(wire_idx) => 1.0,
        _ => 0.0,
    });
    others + leads > 0.0
}

/// Whether a number is better left out: nothing is joined to its terminal, and wherever it finds room it would be read as
/// that of another.
pub(crate) fn misleads(scene: &Scene<'_>, which: Which, rect: Box2, clutter: &Clutter) -> bool {
    let pin = &scene.parts[which.part_idx].pins[which.pin_idx];
    pin.n_wires == 0 && is_of_another(scene, (which.part_idx, pin), rect, clutter)
}

/// Whether a number at the other side of its lead than all numbers stands where that of the next terminal would.
fn reads_as_next(part: &ScenePart<'_>, pin: &Pin<'_>, rect: Box2) -> bool {
    let Some(leaves) = pin.leaves else { return false };
    let (by_height, along) = (2.0 * rect.height(), rect.height().max(rect.width()));
    let mut next = part.pins.iter().filter(|it| it.name != pin.name && it.leaves == pin.leaves);
    next.any(|next| match leaves {
        Direction::Left | Direction::Right => {
            (rect.centre().y..rect.max.y + by_height).contains(&next.at.y)
                && (next.at.x - pin.at.x).abs() < along
        }
        Direction::Up | Direction::Down => {
            (rect.min.x - by_height..rect.centre().x).contains(&next.at.x)
                && (next.at.y - pin.at.y).abs() < along
        }
    })
}

/// How far letters stand from the edge of the cable that leaves a terminal, mm; nothing where there is none.
fn from_lead(pin: &Pin<'_>, rect: Box2) -> Option<f64> {
    let step = pin.leaves?.step() * LEAD;
    let lead = Box2::around([pin.at, pin.at + step])?;
    (!pin.wires.is_empty()).then(|| (labels::gap(lead, rect) - pin.half_width).max(0.0))
}

/// So far a lead runs straight out at the least, mm.
const LEAD: f64 = 5.0;

fn nearest(rect: Box2, at: Point) -> Point {
    Point::new(at.x.clamp(rect.min.x, rect.max.x), at.y.clamp(rect.min.y, rect.max.y))
}

/// Room for all designations, before the wires are there: the wires run clear of it where they can.
pub(crate) fn before_wires(scene: &Scene<'_>, clutter: &Clutter) -> Vec<Box2> {
    let rows = rows(scene, clutter);
    let several = scene.parts.iter().enumerate().filter(|(_, part)| part.pins.len() > 1);
    let pins =
        several.flat_map(|(part_idx, part)| (0..part.pins.len()).map(move |it| (part_idx, it)));
    let placed = pins.filter_map(|(part_idx, pin_idx)| {
        let which = Which { part_idx, pin_idx, row: rows[part_idx][pin_idx] };
        designation(scene, which, clutter)
    });
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

/// Pieces of the lines and letters of a symbol.
fn ink_of(scene: &Scene<'_>, part: &ScenePart<'_>) -> Vec<Box2> {
    let mut pieces = Vec::new();
    for prim in parts::prims_of_all_phases(scene, part) {
        parts::pieces(&prim, &mut pieces);
    }
    pieces
}

/// A place for a number.
struct Spot {
    corner: Point,
    row: Row,
    /// Whether it is at the other side of the lead than numbers are.
    is_across: bool,
    rank: f64,
}

/// Places for a number: above a lead that runs across the sheet, and right of one that runs up or down. Just outside the
/// symbol, then further along and off; or within, beside the line that leads there.
fn spots(block: &Block, pin: &Pin<'_>, leaves: Direction, has_over_ink: bool) -> Vec<Spot> {
    let (w, h) = (block.width, block.height);
    let out = if has_over_ink { FROM_TO_FIT } else { FROM_RING };
    let length = if matches!(leaves, Direction::Up | Direction::Down) { h } else { w };
    let mut spots = Vec::with_capacity(44);
    for (row, along, off, rank) in steps(pin, out, length, has_over_ink) {
        let corners = match leaves {
            Direction::Left => [(-along - w, -off - h), (-along - w, off)],
            Direction::Right => [(along, -off - h), (along, off)],
            Direction::Up => [(off, -along - h), (-off - w, -along - h)],
            Direction::Down => [(off, along), (-off - w, along)],
        };
        for ((x, y), is_across) in corners.into_iter().zip([false, true]) {
            let rank = rank + if is_across { ACROSS } else { 0.0 };
            spots.push(Spot { corner: pin.at + Point::new(x, y), row, is_across, rank });
        }
    }
    if pin.n_wires == 0 {
        let ahead = pin.at + leaves.step() * (out + length / 2.0 + 0.4);
        let corner = ahead - Point::new(w / 2.0, h / 2.0);
        spots.push(Spot { corner, row: Row::Outside, is_across: true, rank: ACROSS });
    }
    spots
}

/// Steps along a lead, mm, with what each costs: from some distance on a number has to be looked for, and is found sooner at
/// the other side.
const ALONG: [(f64, f64); 5] = [(0.0, 0.0), (1.6, 0.15), (3.2, 0.3), (6.0, 3.4), (8.5, 3.8)];

/// How far along its lead a number may stand and how far off it, and how much worse than the best that is.
fn steps(pin: &Pin<'_>, out: f64, length: f64, has_over_ink: bool) -> Vec<(Row, f64, f64, f64)> {
    let off =
        if pin.n_wires > 0 { FROM_LEAD.max(pin.half_band + FROM_OVER_INK) } else { FROM_LEAD };
    let mut steps = Vec::with_capacity(22);
    for (off_idx, more) in [0.0, 0.7, 1.5].into_iter().enumerate() {
        for (further, rank) in ALONG {
            steps.push((Row::Outside, out + further, off + more, rank + off_idx as f64 * 0.5));
        }
    }
    if has_over_ink {
        // Beside a terminal on a short stub, clear of the over-ink around its ring.
        steps.push((Row::Outside, FROM_RING, off, 0.2));
    }
    if off > FROM_LEAD {
        // Over the soft over-ink rather than over a line.
        let over = [0.0, 1.7, 3.7].map(|more| (Row::Outside, FROM_RING + more, FROM_LEAD, 1.1));
        steps.extend(over);
    }
    // Within a symbol the over-ink of its leads ends soon: further in, a number stands close to its line.
    let close = if has_over_ink { [2.0, FROM_TO_FIT, 0.7] } else { [0.6, 1.2, FROM_TO_FIT] };
    for (off_idx, off) in close.into_iter().enumerate() {
        steps.push((Row::Within, -out - WITHIN - length, off, off_idx as f64 * 0.25));
        if has_over_ink {
            let near = -FROM_RING - WITHIN - length;
            steps.push((Row::Within, near, off, 0.1 + off_idx as f64 * 0.25));
        }
    }
    steps
}
