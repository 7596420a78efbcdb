//! Routes of all wires on a sheet: right-angled, around parts and lettering, apart from each other.

mod grid;
mod line;
mod search;

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, Direction, Point, WireId};

use self::grid::{Grid, PITCH};
use self::search::{Goal, Search};
use crate::scene::{Scene, SceneEnd};

/// Above this many wires, ways are not improved a second time.
const MOST_IMPROVED: usize = 600;

/// What a route must respect besides the scene itself.
pub(crate) struct Around<'a> {
    /// Lettering placed so far.
    pub(crate) lettering: &'a [Box2],
    /// Lines that are given: those of wires that go on, on another sheet.
    pub(crate) given: &'a BTreeMap<WireId, Vec<Point>>,
    /// Lines as they were before an edit; kept where they still fit.
    pub(crate) previous: Option<&'a BTreeMap<WireId, Vec<Point>>>,
}

/// The line of every wire of the scene, from its first end to its second, in the order of the scene.
pub(crate) fn routes(scene: &Scene<'_>, around: &Around<'_>) -> Vec<Vec<Point>> {
    let mut lines = vec![Vec::new(); scene.wires.len()];
    let mut open = Vec::new();
    for (wire_idx, wire) in scene.wires.iter().enumerate() {
        if let Some(given) = around.given.get(&wire.id) {
            lines[wire_idx].clone_from(given);
        } else if !wire.wire.route.is_empty() {
            lines[wire_idx] = by_hand(scene, wire_idx);
        } else {
            open.push(wire_idx);
        }
    }
    let Some(mut grid) = extent(scene, around, &lines).and_then(Grid::over) else {
        for wire_idx in open {
            lines[wire_idx] = by_hand(scene, wire_idx);
        }
        return lines;
    };
    furnish(&mut grid, scene, around);
    keep_previous(&mut grid, scene, around, &mut open, &mut lines);
    for line in lines.iter().filter(|line| !line.is_empty()) {
        let places: Vec<_> = line.iter().map(|point| grid.place(*point)).collect();
        grid.lay(&places);
    }
    lay_open(&mut grid, scene, &open, &mut lines);
    lines
}

/// The hand-drawn line of a wire, or the plain one between its ends, made right-angled.
fn by_hand(scene: &Scene<'_>, wire_idx: usize) -> Vec<Point> {
    let wire = &scene.wires[wire_idx];
    let [Some((from, leaves)), Some((to, arrives))] = wire.ends.map(|end| scene.place(end)) else {
        return Vec::new();
    };
    let mut points = vec![from];
    points.extend(&wire.wire.route);
    points.push(to);
    line::squared(&points, leaves, arrives)
}

/// The part of the plane to route in: everything there is, with room to go around it.
fn extent(scene: &Scene<'_>, around: &Around<'_>, lines: &[Vec<Point>]) -> Option<Box2> {
    let bodies = scene.parts.iter().map(|part| part.body);
    let loose = scene.wires.iter().flat_map(|wire| wire.ends).filter_map(|end| match end {
        SceneEnd::Loose(at) => Some(Box2 { min: at, max: at }),
        _ => None,
    });
    let lines = lines.iter().filter_map(|line| Box2::around(line.iter().copied()));
    let all = bodies.chain(loose).chain(lines).chain(around.lettering.iter().copied());
    Some(all.reduce(Box2::union)?.grown(40.0))
}

fn furnish(grid: &mut Grid, scene: &Scene<'_>, around: &Around<'_>) {
    for part in &scene.parts {
        grid.add_body(part.body);
    }
    for rect in around.lettering {
        grid.add_lettering(*rect);
    }
    for part in &scene.parts {
        for pin in part.pins.iter().filter(|pin| pin.n_wires > 0) {
            if let Some(leaves) = pin.leaves {
                grid.add_stub(pin.at, leaves);
            }
        }
    }
}

/// Keeps lines as they were, where their ends have not moved and no part lies on them now.
fn keep_previous(
    grid: &mut Grid,
    scene: &Scene<'_>,
    around: &Around<'_>,
    open: &mut Vec<usize>,
    lines: &mut [Vec<Point>],
) {
    let Some(previous) = around.previous else { return };
    open.retain(|wire_idx| {
        let Some(line) = previous.get(&scene.wires[*wire_idx].id) else { return true };
        if !still_fits(grid, scene, *wire_idx, line) {
            return true;
        }
        lines[*wire_idx].clone_from(line);
        false
    });
}

fn still_fits(grid: &mut Grid, scene: &Scene<'_>, wire_idx: usize, line: &[Point]) -> bool {
    let places = scene.wires[wire_idx].ends.map(|end| scene.place(end));
    let [Some((from, leaves)), Some((to, arrives))] = places else { return false };
    let (Some(first), Some(last)) = (line.first(), line.last()) else { return false };
    if *first != from || *last != to || line.len() < 2 {
        return false;
    }
    let leads = |leaves: Option<Direction>, at: Point, next: Point| {
        leaves.is_none_or(|leaves| {
            let step = leaves.step();
            (next - at).x * step.x + (next - at).y * step.y > 0.0
        })
    };
    if !leads(leaves, from, line[1]) || !leads(arrives, to, line[line.len() - 2]) {
        return false;
    }
    let goals = ends(grid, scene, wire_idx);
    let exempt = goals.map_or_else(Vec::new, |goals| exempt(grid, goals));
    let corners: Vec<_> = line.iter().map(|point| grid.place(*point)).collect();
    grid.along(&corners).into_iter().all(|place| exempt.contains(&place) || !grid.is_body(place))
}

fn ends(grid: &Grid, scene: &Scene<'_>, wire_idx: usize) -> Option<[Goal; 2]> {
    let [Some(from), Some(to)] = scene.wires[wire_idx].ends.map(|end| scene.place(end)) else {
        return None;
    };
    Some([from, to].map(|(at, leaves)| Goal { place: grid.place(at), leaves }))
}

/// Places where a wire may touch others: its terminals, and 5 mm out of them.
fn exempt(grid: &Grid, goals: [Goal; 2]) -> Vec<usize> {
    let mut places = Vec::with_capacity(6);
    for goal in goals {
        places.push(goal.place);
        let Some(leaves) = goal.leaves else { continue };
        let mut place = goal.place;
        for _ in 0..2 {
            let Some(next) = grid.next(place, leaves) else { break };
            places.push(next);
            place = next;
        }
    }
    places
}

/// A wire that the program routes.
struct Open {
    wire_idx: usize,
    goals: [Goal; 2],
    exempt: Vec<usize>,
    corners: Vec<usize>,
    cost: u32,
}

fn lay_open(grid: &mut Grid, scene: &Scene<'_>, open: &[usize], lines: &mut [Vec<Point>]) {
    let mut wires = Vec::new();
    for wire_idx in open {
        let Some(goals) = ends(grid, scene, *wire_idx) else { continue };
        let exempt = exempt(grid, goals);
        wires.push(Open { wire_idx: *wire_idx, goals, exempt, corners: Vec::new(), cost: 0 });
    }
    // Short wires first: they have the least choice.
    wires.sort_by_key(|wire| (span(grid, wire.goals), wire.wire_idx));
    let mut search = Search::default();
    for wire in &mut wires {
        lay_one(grid, &mut search, wire);
    }
    if wires.len() <= MOST_IMPROVED {
        for wire in &mut wires {
            improve(grid, &mut search, wire);
        }
    }
    for wire in wires {
        let places = scene.wires[wire.wire_idx].ends.map(|end| scene.place(end));
        let [Some((from, leaves)), Some((to, arrives))] = places else { continue };
        let points: Vec<_> = wire.corners.iter().map(|place| grid.point(*place)).collect();
        lines[wire.wire_idx] = if points.is_empty() {
            line::squared(&[from, to], leaves, arrives)
        } else {
            line::settled(points, from, to)
        };
    }
}

fn span(grid: &Grid, [from, to]: [Goal; 2]) -> u64 {
    let (from, to) = (grid.point(from.place), grid.point(to.place));
    (((from.x - to.x).abs() + (from.y - to.y).abs()) / PITCH) as u64
}

fn lay_one(grid: &mut Grid, search: &mut Search, wire: &mut Open) {
    let [from, to] = wire.goals;
    if from.place == to.place {
        wire.corners = vec![from.place, to.place];
        return;
    }
    if let Some((corners, cost)) = search.find(grid, from, to, &wire.exempt) {
        grid.lay(&corners);
        wire.corners = corners;
        wire.cost = cost;
    }
}

/// Looks again, now that all others are laid.
fn improve(grid: &mut Grid, search: &mut Search, wire: &mut Open) {
    if wire.corners.len() < 3 {
        return;
    }
    grid.take_up(&wire.corners);
    lay_one(grid, search, wire);
}
