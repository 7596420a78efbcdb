//! Where the names and figures of parts stand, and the designations of their terminals.

use loomwright_circuit::{Box2, Direction, Point, Standing};

use crate::block::{Block, Placed, TextLine};
use crate::clutter::{Clutter, Kind};
use crate::scene::{Pin, Scene, ScenePart};
use crate::{Align, Face, Ink};

/// Height of the capitals of names, of figures and of terminal designations, mm.
pub(crate) const NAME: f64 = 2.5;
pub(crate) const FIGURES: f64 = 2.0;
const DESIGNATION: f64 = 1.9;
/// Room between a symbol and its lettering, mm.
const GAP: f64 = 2.0;
/// Names longer than this are broken, mm; and than the second, where they find no room otherwise.
const LONGEST: f64 = 42.0;
const SHORTER: f64 = 24.0;
/// A name has no more lines than this; the tables and the details give it whole.
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

fn wrapped(words: &str, height: f64, longest: f64, ink: Ink) -> Vec<TextLine> {
    let lines = crate::block::wrapped(words, Face::Drawing, height, longest);
    crate::block::shortened(lines, MOST_LINES)
        .into_iter()
        .map(|text| TextLine { text, height, ink, face: Face::Drawing })
        .collect()
}

/// Bodies, and the ways out of the terminals: what no lettering may cover.
pub(crate) fn obstacles(scene: &Scene<'_>) -> Clutter {
    let mut clutter = Clutter::default();
    for part in &scene.parts {
        clutter.add(part.body, Kind::Body);
        for pin in &part.pins {
            if let Some(leaves) = pin.leaves {
                clutter.add(way_out(pin, leaves), Kind::Spot);
            }
        }
    }
    clutter
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
    for part in &scene.parts {
        let block = block(scene, part, LONGEST);
        if part.is_joint() || block.is_empty() {
            placed.push(None);
            continue;
        }
        let (_, best) = best(&block, part, clutter);
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
}

/// The best place for the lettering of a part.
pub(crate) fn name(scene: &Scene<'_>, part: &ScenePart<'_>, clutter: &Clutter) -> Option<Placed> {
    let ways = [(LONGEST, 0.0), (SHORTER, 1.5)].map(|(longest, worse)| {
        let block = block(scene, part, longest);
        (!block.is_empty())
            .then(|| best(&block, part, clutter))
            .map(|(cost, at)| (cost + worse, at))
    });
    let best = ways.into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0));
    best.map(|(_, placed)| placed)
}

fn best(block: &Block, part: &ScenePart<'_>, clutter: &Clutter) -> (f64, Placed) {
    let weight = |kind| match kind {
        Kind::Body | Kind::Lettering => 6.0,
        Kind::Spot | Kind::Tip(_) => 4.0,
        Kind::Wire(_) => 3.0,
    };
    let places = candidates(block, part).into_iter();
    let cheapest =
        cheapest(places, 0.15, |(corner, _)| clutter.cost(block.rect(*corner).grown(0.5), weight));
    let (cost, (corner, align)) = cheapest.expect("there is always a candidate");
    (cost, Placed { block: block.clone(), corner, align })
}

/// The cheapest of some places with its cost, each a little dearer by itself than the one before it. None is looked at
/// that is dearer by itself than the best found.
fn cheapest<P>(
    places: impl Iterator<Item = P>,
    dearer: f64,
    cost: impl Fn(&P) -> f64,
) -> Option<(f64, P)> {
    let mut best: Option<(f64, P)> = None;
    for (rank, place) in places.enumerate() {
        let rank = rank as f64 * dearer;
        if best.as_ref().is_some_and(|(least, _)| rank >= *least) {
            break;
        }
        let cost = cost(&place) + rank;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, place));
        }
    }
    best
}

/// Places around the symbol, best first: the sides that no lead leaves by, then further out.
fn candidates(block: &Block, part: &ScenePart<'_>) -> Vec<(Point, Align)> {
    let mut places = Vec::with_capacity(48);
    if part.is_joint() {
        // Far enough off that a flag on the wire has room beside it.
        for gap in [1.6, 0.3, 4.0, 7.0] {
            diagonals(block, part.body.grown(gap), &mut places);
        }
        return places;
    }
    let is_upright =
        part.pins.iter().all(|pin| matches!(pin.leaves, Some(Direction::Up | Direction::Down)));
    for gap in [GAP, GAP + 2.5, GAP + 5.0, GAP + 7.5] {
        let around = part.body.grown(gap);
        if is_upright {
            beside(block, around, &mut places);
            above_and_below(block, around, part.body, &mut places);
        } else {
            above_and_below(block, around, part.body, &mut places);
            beside(block, around, &mut places);
        }
        diagonals(block, around, &mut places);
    }
    places
}

fn above_and_below(block: &Block, around: Box2, body: Box2, places: &mut Vec<(Point, Align)>) {
    let top = around.min.y - block.height;
    let centre = body.centre().x - block.width / 2.0;
    let right = body.max.x - block.width;
    for (x, align) in [(centre, Align::Centre), (body.min.x, Align::Left), (right, Align::Right)] {
        places.push((Point::new(x, top), align));
        places.push((Point::new(x, around.max.y), align));
    }
}

fn beside(block: &Block, around: Box2, places: &mut Vec<(Point, Align)>) {
    let middle = around.centre().y - block.height / 2.0;
    let left = around.min.x - block.width;
    for y in [middle, around.min.y, around.max.y - block.height] {
        places.push((Point::new(around.max.x, y), Align::Left));
        places.push((Point::new(left, y), Align::Right));
    }
}

fn diagonals(block: &Block, around: Box2, places: &mut Vec<(Point, Align)>) {
    let (left, top) = (around.min.x - block.width, around.min.y - block.height);
    places.push((Point::new(around.max.x, top), Align::Left));
    places.push((Point::new(left, top), Align::Right));
    places.push((Point::new(around.max.x, around.max.y), Align::Left));
    places.push((Point::new(left, around.max.y), Align::Right));
}

/// The best place for the designation of a terminal: beside its lead.
pub(crate) fn designation(
    scene: &Scene<'_>,
    part: &ScenePart<'_>,
    pin: &Pin<'_>,
    clutter: &Clutter,
) -> Option<Placed> {
    let leaves = pin.leaves?;
    let height = scene.capitals(DESIGNATION);
    let line = TextLine { text: printed(pin.name), height, ink: Ink::Muted, face: Face::Drawing };
    let block = Block::of(vec![line]);
    let weight = |kind| if kind == Kind::Body { 0.4 } else { 2.0 };
    let is_marked = part.part.standing == Standing::ToFit && scene.options.live.is_none();
    let has_over_ink = is_marked || scene.options.is_for_screen;
    let places = beside_lead(&block, pin, leaves, has_over_ink).into_iter();
    let cheapest =
        cheapest(places, 0.1, |(corner, _)| clutter.cost(block.rect(*corner).grown(0.3), weight));
    cheapest.map(|(_, (corner, align))| Placed { block, corner, align })
}

/// The minus post has a proper minus sign.
fn printed(name: &str) -> String {
    if name == "-" { "\u{2212}".to_owned() } else { name.to_owned() }
}

/// Places beside a lead, just outside the terminal, and then further along it.
/// First those clear of the over-ink where there is one, whose edge would run through the letters.
fn beside_lead(
    block: &Block,
    pin: &Pin<'_>,
    leaves: Direction,
    has_over_ink: bool,
) -> Vec<(Point, Align)> {
    let (w, h) = (block.width, block.height);
    let at = pin.at;
    let mut places = Vec::new();
    let near = [0.9, 2.6, 4.6].map(|along| (along, 1.35));
    let clear = [2.2, 3.6, 5.4].map(|along| (along, 2.4));
    let clear = clear.into_iter().filter(|_| has_over_ink);
    for (along, off) in clear.chain(near) {
        let corners = match leaves {
            Direction::Left => [(-along - w, -off - h), (-along - w, off)],
            Direction::Right => [(along, -off - h), (along, off)],
            Direction::Up => [(off, -along - h), (-off - w, -along - h)],
            Direction::Down => [(off, along), (-off - w, along)],
        };
        let align = if leaves == Direction::Left { Align::Right } else { Align::Left };
        places.extend(corners.map(|(x, y)| (at + Point::new(x, y), align)));
    }
    places
}
