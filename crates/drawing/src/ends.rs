//! Ends of wires that are on no terminal here: marks that lead to another sheet, and loose ends.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Box2, Direction, Point, SheetId, WireId};

use crate::block::{Block, Placed, TextLine, wrapped};
use crate::clutter::{Clutter, Kind};
use crate::labels::FIGURES;
use crate::letters::printed;
use crate::scene::{Scene, SceneEnd, SceneWire};
use crate::{Align, Face, Ink, Prim};

/// A wire that goes on, on another sheet.
#[derive(Debug, Clone)]
pub(crate) struct Continuation {
    pub(crate) wire_idx: usize,
    pub(crate) to: SheetId,
    /// From the end that is not here to the end that is, or the other way round, as the wire runs.
    pub(crate) line: Vec<Point>,
    /// Which way the stub leads off.
    pub(crate) points_to: Direction,
    /// Whether the wire comes from there: the arrowhead then points back to the part that is here.
    pub(crate) comes: bool,
    pub(crate) tip: Point,
    pub(crate) text: Placed,
}

pub(crate) const ARROW: f64 = 2.6;
const LONGEST: f64 = 50.0;

/// Finds a place for the mark of every wire that goes on elsewhere.
pub(crate) fn continuations(scene: &Scene<'_>, clutter: &mut Clutter) -> Vec<Continuation> {
    let mut marks = Vec::new();
    let mut taken: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        let (here, there) = match wire.ends {
            [here, SceneEnd::Elsewhere(sheet)] => (here, (sheet, 1)),
            [SceneEnd::Elsewhere(sheet), here] => (here, (sheet, 0)),
            _ => continue,
        };
        let Some((at, leaves)) = scene.place(here) else { continue };
        let n_before = match here {
            SceneEnd::Pin { part, pin } if leaves.is_some() => {
                let count = taken
                    .entry((part, pin))
                    .or_insert_with(|| usize::from(shares_pin(scene, wire_idx, here)));
                *count += 1;
                *count - 1
            }
            _ => 0,
        };
        let text = block(scene, wire, there, LONGEST);
        let ways = match leaves {
            Some(leaves) => vec![(leaves, 0.0)],
            None => free_ways(scene, wire_idx, here, at, there.1 == 1),
        };
        let mark = best(wire_idx, there.0, (at, &ways), n_before, &text, clutter);
        clutter.add(mark.text.rect(), Kind::Lettering);
        for pair in mark.line.windows(2) {
            let stretch = Box2 { min: pair[0], max: pair[0] };
            clutter.add(
                stretch.union(Box2 { min: pair[1], max: pair[1] }).grown(1.0),
                Kind::Wire(wire_idx),
            );
        }
        clutter.add(Box2 { min: mark.tip, max: mark.tip }.grown(ARROW), Kind::Spot);
        let line = if there.1 == 0 { mark.line.iter().rev().copied().collect() } else { mark.line };
        marks.push(Continuation { line, comes: there.1 == 0, ..mark });
    }
    marks
}

/// The words at an arrowhead, in lines of at most `longest` mm.
fn block(
    scene: &Scene<'_>,
    wire: &SceneWire<'_>,
    (sheet, end_idx): (SheetId, usize),
    longest: f64,
) -> Block {
    let far = &wire.wire.ends()[end_idx].at;
    let place = match far {
        Anchor::Loose { .. } => "loose end".to_owned(),
        Anchor::Terminal { part, terminal } => match scene.car.part(*part) {
            // A dot has one terminal, which needs no name.
            Some(row) if n_terminals(scene, &row.type_name) > 1 => {
                at_terminal(scene, &row.label, terminal)
            }
            Some(row) => row.label.clone(),
            None => "a part that is gone".to_owned(),
        },
    };
    let number = scene.car.sheets().keys().position(|id| *id == sheet).map_or(0, |idx| idx + 1);
    let words = format!("{} {place}, sheet {number}", if end_idx == 1 { "to" } else { "from" });
    let height = scene.capitals(FIGURES);
    let line = |text| TextLine { text, height, ink: Ink::Muted, face: Face::Drawing };
    let lines = wrapped(&words, Face::Drawing, height, longest);
    Block::of(lines.into_iter().map(line).collect())
}

/// A terminal with its part: only the screen has room for the word, and without it nobody would see in "Fuse 1 2" where
/// the name ends.
fn at_terminal(scene: &Scene<'_>, part: &str, terminal: &str) -> String {
    let terminal = printed(terminal);
    if scene.options.is_for_screen {
        format!("terminal\u{a0}{terminal} of {part}")
    } else {
        format!("{terminal}\u{a0}of {part}")
    }
}

/// The words of a stub as routed, where they stand clear of all that is there.
pub(crate) fn words(
    scene: &Scene<'_>,
    wire_idx: usize,
    stub: &Continuation,
    clutter: &Clutter,
) -> Option<Placed> {
    let wire = &scene.wires[wire_idx];
    let end_idx = usize::from(!matches!(wire.ends[0], SceneEnd::Elsewhere(_)));
    let mut best: Option<(f64, Placed)> = None;
    for longest in [LONGEST, 36.0, 26.0] {
        let text = block(scene, wire, (stub.to, end_idx), longest);
        for (rank, (corner, align)) in
            around_tip(&text, stub.tip, stub.points_to).into_iter().enumerate()
        {
            let covered = clutter.cost(text.rect(corner).grown(0.5), |kind| match kind {
                Kind::Wire(idx) if idx == wire_idx => 2.0,
                // Straight ahead the words take room that the whole drawing then needs.
                Kind::Tip(idx) if idx == wire_idx => 1.0,
                Kind::OverInk(_) => 2.5,
                _ => 5.0,
            });
            let cost = covered + rank as f64 * 0.6 + (LONGEST - longest) * 0.02;
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, Placed::new(text.clone(), corner, align)));
            }
        }
    }
    best.map(|(_, placed)| placed)
}

/// Beyond the arrowhead, or beside it.
fn around_tip(text: &Block, tip: Point, points_to: Direction) -> Vec<(Point, Align)> {
    let (w, h) = (text.width, text.height);
    let mut places = vec![beyond(text, tip, points_to)];
    match points_to {
        Direction::Left | Direction::Right => {
            let x = if points_to == Direction::Left { tip.x } else { tip.x - w };
            let align = if points_to == Direction::Left { Align::Left } else { Align::Right };
            for out in [2.2, 5.0] {
                places.push((Point::new(x, tip.y - out - h), align));
                places.push((Point::new(x, tip.y + out), align));
            }
        }
        Direction::Up | Direction::Down => {
            for along in [-0.8, 0.8] {
                let y = tip.y + (along - 1.0) * h / 2.0;
                places.push((Point::new(tip.x + 2.6, y), Align::Left));
                places.push((Point::new(tip.x - 2.6 - w, y), Align::Right));
            }
        }
    }
    places
}

fn n_terminals(scene: &Scene<'_>, type_name: &str) -> usize {
    scene.car.type_named(type_name).map_or(0, |part_type| part_type.terminals.len())
}

fn best(
    wire_idx: usize,
    to: SheetId,
    (at, ways): (Point, &[(Direction, f64)]),
    n_before: usize,
    text: &Block,
    clutter: &Clutter,
) -> Continuation {
    let mut best: Option<(f64, Continuation)> = None;
    let mut rank = 0.0;
    for (leaves, crowd) in ways {
        for (line, points_to) in stubs(at, *leaves, n_before) {
            rank += 0.2;
            let tip = *line.last().expect("a stub has an end") + points_to.step() * ARROW;
            let (corner, align) = beyond(text, tip, points_to);
            let cost = rank + crowd + cost(&line, text.rect(corner), tip, clutter);
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                let text = Placed::new(text.clone(), corner, align);
                best = Some((
                    cost,
                    Continuation { wire_idx, to, line, points_to, comes: false, tip, text },
                ));
            }
        }
    }
    best.expect("there is always a stub").1
}

/// Whether another wire of this sheet leaves the same terminal, and so takes the way straight out.
fn shares_pin(scene: &Scene<'_>, wire_idx: usize, here: SceneEnd) -> bool {
    scene.wires.iter().enumerate().any(|(idx, wire)| {
        let is_whole = !wire.ends.iter().any(|end| matches!(end, SceneEnd::Elsewhere(_)));
        idx != wire_idx && is_whole && wire.ends.contains(&here)
    })
}

/// Ways out of a dot, best first, with what each costs: a wire that comes from elsewhere comes from the left or from
/// above, one that goes elsewhere goes right or down, and neither lies where the dot's other wires will run.
fn free_ways(
    scene: &Scene<'_>,
    wire_idx: usize,
    here: SceneEnd,
    at: Point,
    goes: bool,
) -> Vec<(Direction, f64)> {
    const CROWD: f64 = 6.0;
    let order = if goes {
        [Direction::Right, Direction::Down, Direction::Left, Direction::Up]
    } else {
        [Direction::Left, Direction::Up, Direction::Right, Direction::Down]
    };
    let others = scene.wires.iter().enumerate().filter(|(idx, _)| *idx != wire_idx);
    let towards: Vec<Direction> = others
        .filter_map(|(_, wire)| {
            let other = match wire.ends {
                [a, b] if a == here => b,
                [a, b] if b == here => a,
                _ => return None,
            };
            let away = scene.place(other)?.0 - at;
            Some(match (away.x.abs() >= away.y.abs(), away.x > 0.0, away.y > 0.0) {
                (true, true, _) => Direction::Right,
                (true, false, _) => Direction::Left,
                (false, _, true) => Direction::Down,
                (false, _, false) => Direction::Up,
            })
        })
        .collect();
    let mut ways = order
        .map(|way| (way, CROWD * towards.iter().filter(|&&taken| taken == way).count() as f64));
    ways.sort_by(|a, b| a.1.total_cmp(&b.1));
    ways.to_vec()
}

/// Ways for a stub: straight out, or out and round a corner.
fn stubs(at: Point, leaves: Direction, n_before: usize) -> Vec<(Vec<Point>, Direction)> {
    let mut stubs = Vec::new();
    if n_before == 0 {
        for length in [22.5, 27.5, 32.5, 40.0, 50.0, 15.0] {
            stubs.push((vec![at, at + leaves.step() * length], leaves));
        }
    }
    let sides = match leaves {
        Direction::Up | Direction::Down => [Direction::Left, Direction::Right],
        Direction::Left | Direction::Right => [Direction::Down, Direction::Up],
    };
    for out in [5.0, 7.5, 12.5, 20.0, 30.0] {
        for side in sides {
            for length in [20.0, 27.5, 37.5, 50.0] {
                let corner = at + leaves.step() * out;
                stubs.push((vec![at, corner, corner + side.step() * length], side));
            }
        }
    }
    stubs
}

/// Where the words stand beyond the arrowhead.
fn beyond(text: &Block, tip: Point, points_to: Direction) -> (Point, Align) {
    let (w, h) = (text.width, text.height);
    match points_to {
        Direction::Right => (tip + Point::new(1.2, -h / 2.0 + 0.2), Align::Left),
        Direction::Left => (tip + Point::new(-1.2 - w, -h / 2.0 + 0.2), Align::Right),
        Direction::Down => (tip + Point::new(-w / 2.0, 1.2), Align::Centre),
        Direction::Up => (tip + Point::new(-w / 2.0, -1.2 - h), Align::Centre),
    }
}

fn cost(line: &[Point], text: Box2, tip: Point, clutter: &Clutter) -> f64 {
    let letters =
        clutter.cost(text.grown(0.8), |kind| if matches!(kind, Kind::Body(_)) { 6.0 } else { 4.0 });
    let arrow = clutter.cost(Box2 { min: tip, max: tip }.grown(ARROW), |_| 5.0);
    let mut stretches = 0.0;
    for (stretch_idx, pair) in line.windows(2).enumerate() {
        // The first stretch starts on the part itself.
        let start = if stretch_idx == 0 { pair[0] + (pair[1] - pair[0]) * 0.1 } else { pair[0] };
        let rect = Box2::around([start, pair[1]]).expect("two points");
        stretches += clutter.cost(rect.grown(0.9), |kind| match kind {
            Kind::Body(_) => 8.0,
            Kind::Lettering | Kind::Wire(_) => 4.0,
            Kind::OverInk(_) => 0.0,
            Kind::Spot | Kind::Tip(_) => {
                if stretch_idx == 0 {
                    0.0
                } else {
                    2.0
                }
            }
        });
    }
    letters + arrow + stretches
}

impl Continuation {
    /// How long its last stretch is, on which the arrowhead stands.
    pub(crate) fn last_stretch(&self) -> f64 {
        let [end, before] = self.last();
        self.line[end].distance(self.line[before])
    }

    /// Makes that so much longer.
    pub(crate) fn lengthen(&mut self, by: f64) {
        let by = self.points_to.step() * by;
        let [end, _] = self.last();
        self.line[end] = self.line[end] + by;
        self.tip = self.tip + by;
        self.text.corner = self.text.corner + by;
    }

    /// The places of the end that is not here, and of the corner before it, among those of the line.
    fn last(&self) -> [usize; 2] {
        let last = self.line.len() - 1;
        if self.comes { [0, 1] } else { [last, last - 1] }
    }

    /// The arrowhead and the words.
    pub(crate) fn prims(&self) -> Vec<Prim> {
        let along = self.points_to.step();
        let across = Point::new(-along.y, along.x);
        let near = self.tip - along * ARROW;
        let (broad, point) = if self.comes { (self.tip, near) } else { (near, self.tip) };
        let points = vec![broad + across * (ARROW * 0.52), point, broad - across * (ARROW * 0.52)];
        let mut prims =
            vec![Prim::Area { points, fill: Some(Ink::Ink), edge: Some((Ink::Ink, 0.2)) }];
        prims.extend(self.text.prims());
        prims
    }
}

/// The given lines, by wire.
pub(crate) fn given(scene: &Scene<'_>, marks: &[Continuation]) -> BTreeMap<WireId, Vec<Point>> {
    marks.iter().map(|mark| (scene.wires[mark.wire_idx].id, mark.line.clone())).collect()
}

/// The mark of a loose end: a small broken ring, and words where they find room.
pub(crate) fn loose_end(scene: &Scene<'_>, at: Point, clutter: &mut Clutter) -> Vec<Prim> {
    let ring = (0..4).map(|quarter| Prim::Line {
        points: crate::symbol::arc(at, 1.5, f64::from(quarter) * 90.0 + 15.0, 60.0),
        width: 0.45,
        ink: Ink::Danger,
        dash: None,
    });
    let mut prims =
        vec![Prim::Circle { centre: at, radius: 1.1, fill: Some(Ink::Paper), edge: None }];
    prims.extend(ring);
    let line = TextLine {
        text: "loose end".to_owned(),
        height: scene.capitals(FIGURES),
        ink: Ink::Danger,
        face: Face::Drawing,
    };
    let block = Block::of(vec![line]);
    let mut best: Option<(f64, Placed)> = None;
    for (rank, side) in
        [Direction::Right, Direction::Down, Direction::Up, Direction::Left].into_iter().enumerate()
    {
        let (corner, align) = beyond(&block, at + side.step() * 1.5, side);
        let cost = clutter.cost(block.rect(corner).grown(0.3), |_| 2.0) + rank as f64 * 0.1;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, Placed::new(block.clone(), corner, align)));
        }
    }
    clutter.add(Box2 { min: at, max: at }.grown(1.9), Kind::Spot);
    if let Some((_, best)) = best {
        clutter.add(best.rect(), Kind::Lettering);
        prims.extend(best.prims());
    }
    prims
}
