//! Routes of all wires on a sheet: right-angled, around parts and lettering, apart from each other.

mod grid;
mod line;
mod search;

use std::collections::BTreeMap;

use loomwright_circuit::{Box2, Direction, Point, WireId};

use self::grid::{Grid, PITCH};
use self::search::{Exempt, Goal, Search};
use crate::number::count;
use crate::scene::{Scene, SceneEnd};

pub use self::line::straightened;

/// Above this many wires, ways are not improved a second time.
const MOST_IMPROVED: usize = 600;

/// Ways looked at before a search gives up.
const MOST_VISITS: usize = 400_000;

/// The same while something is held in the hand: about a millisecond.
const MOST_VISITS_IN_HAND: usize = 10_000;

/// Ways looked at for all wires together while something is held in the hand.
const MOST_VISITS_OF_ALL: usize = 50_000;

/// What a route must respect besides the scene itself.
pub(crate) struct Around<'a> {
    /// Lettering placed so far.
    pub(crate) lettering: &'a [Box2],
    /// Room for the designations of terminals.
    pub(crate) numbers: &'a [Box2],
    /// Lines that are given: those of wires that go on, on another sheet.
    pub(crate) given: &'a BTreeMap<WireId, Vec<Point>>,
    /// Whether something is held in the hand: ways are looked for once, and not for long.
    pub(crate) is_in_hand: bool,
    /// Bodies of parts that are not in the scene, and lines of wires that are not.
    pub(crate) bodies: &'a [Box2],
    pub(crate) lines: &'a [&'a [Point]],
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
    let laid = lines.iter().map(Vec::as_slice).chain(around.lines.iter().copied());
    for line in laid.filter(|line| !line.is_empty()) {
        let places: Vec<_> = line.iter().map(|point| grid.place(*point)).collect();
        grid.lay(&places);
    }
    lay_open(&mut grid, scene, &open, around.is_in_hand, &mut lines);
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
        grid.add_body(part.core);
        for lead in &part.leads {
            grid.add_lead(*lead);
        }
        // A wire that passes over a free terminal looks joined to it.
        for pin in part.pins.iter().filter(|pin| pin.n_wires == 0) {
            grid.add_lead(Box2 { min: pin.at, max: pin.at });
        }
    }
    for body in around.bodies {
        grid.add_body(*body);
    }
    for rect in around.lettering {
        grid.add_lettering(*rect);
    }
    for rect in around.numbers {
        grid.add_number(*rect);
    }
    for part in &scene.parts {
        for pin in part.pins.iter().filter(|pin| pin.n_wires > 0) {
            if let Some(leaves) = pin.leaves {
                grid.add_stub(pin.at, leaves);
            }
        }
    }
}

fn ends(grid: &Grid, scene: &Scene<'_>, wire_idx: usize) -> Option<[Goal; 2]> {
    let [Some(from), Some(to)] = scene.wires[wire_idx].ends.map(|end| scene.place(end)) else {
        return None;
    };
    let ends = scene.wires[wire_idx].ends;
    let goal = |end, (at, leaves): (Point, Option<Direction>)| {
        let place = grid.place(at);
        let may_leave_aside =
            leaves.is_some_and(|leaves| is_shared(scene, end) && has_sides(grid, place, leaves));
        let is_crowded =
            matches!(end, SceneEnd::Pin { part, pin } if scene.parts[part].pins[pin].n_wires > 3);
        Goal { place, leaves, may_leave_aside, is_crowded }
    };
    Some([goal(ends[0], from), goal(ends[1], to)])
}

fn is_shared(scene: &Scene<'_>, end: SceneEnd) -> bool {
    matches!(end, SceneEnd::Pin { part, pin } if scene.parts[part].pins[pin].n_wires > 1)
}

/// Whether leads can leave to both sides of a terminal.
fn has_sides(grid: &Grid, place: usize, leaves: Direction) -> bool {
    let sides = match leaves {
        Direction::Up | Direction::Down => [Direction::Left, Direction::Right],
        Direction::Left | Direction::Right => [Direction::Up, Direction::Down],
    };
    sides.into_iter().all(|side| grid.next(place, side).is_some_and(|next| !grid.is_body(next)))
}

/// A wire's own terminals, and 5 mm out of them. Where a shared terminal has no room at its sides, its wires leave
/// together and part within those 5 mm.
fn exempt(grid: &Grid, goals: [Goal; 2]) -> Exempt {
    let mut exempt = Exempt::default();
    for goal in goals {
        exempt.own.push(goal.place);
        exempt.shared.push(goal.place);
        let Some(leaves) = goal.leaves else { continue };
        let mut place = goal.place;
        for _ in 0..2 {
            let Some(next) = grid.next(place, leaves) else { break };
            exempt.own.push(next);
            if !goal.may_leave_aside || goal.is_crowded {
                exempt.shared.push(next);
            }
            place = next;
        }
    }
    exempt
}

/// A wire that the program routes.
struct Open {
    wire_idx: usize,
    goals: [Goal; 2],
    exempt: Exempt,
    corners: Vec<usize>,
    cost: u32,
}

fn lay_open(
    grid: &mut Grid,
    scene: &Scene<'_>,
    open: &[usize],
    is_in_hand: bool,
    lines: &mut [Vec<Point>],
) {
    let mut wires = Vec::new();
    for wire_idx in open {
        let Some(goals) = ends(grid, scene, *wire_idx) else { continue };
        let exempt = exempt(grid, goals);
        wires.push(Open { wire_idx: *wire_idx, goals, exempt, corners: Vec::new(), cost: 0 });
    }
    // Short wires first: they have the least choice.
    wires.sort_by_key(|wire| (span(grid, wire.goals), wire.wire_idx));
    let mut search = Search::new(if is_in_hand { MOST_VISITS_IN_HAND } else { MOST_VISITS });
    for wire in &mut wires {
        // Wires for which no time is left run plainly until they are put down.
        if is_in_hand && search.n_visits > MOST_VISITS_OF_ALL {
            break;
        }
        lay_one(grid, &mut search, wire);
    }
    if wires.len() <= MOST_IMPROVED && !is_in_hand {
        improve(grid, &mut search, &mut wires);
        untangle(grid, &mut search, &mut wires);
        improve(grid, &mut search, &mut wires);
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

fn span(grid: &Grid, [from, to]: [Goal; 2]) -> usize {
    let (from, to) = (grid.point(from.place), grid.point(to.place));
    count(((from.x - to.x).abs() + (from.y - to.y).abs()) / PITCH)
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

/// Looks again for each wire, now that all others are laid.
fn improve(grid: &mut Grid, search: &mut Search, wires: &mut [Open]) {
    for wire in wires.iter_mut().filter(|wire| wire.corners.len() > 2) {
        grid.take_up(&wire.corners);
        lay_one(grid, search, wire);
    }
}

/// Lays the wires of each shared terminal anew in other orders, and keeps the best: together they may find ways that
/// each of them alone does not.
fn untangle(grid: &mut Grid, search: &mut Search, wires: &mut [Open]) {
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (idx, wire) in wires.iter().enumerate() {
        for goal in wire.goals {
            groups.entry(goal.place).or_default().push(idx);
        }
    }
    for group in groups.values().filter(|group| (2..=8).contains(&group.len())) {
        let before: Vec<Vec<usize>> = group.iter().map(|idx| wires[*idx].corners.clone()).collect();
        let mut best = (relay(grid, wires, group, &before), before);
        for turn in 0..group.len().min(4) {
            let mut order = group.clone();
            if turn == 0 {
                order.reverse();
            } else {
                order.rotate_left(turn);
            }
            let mut cost = 0_u32;
            take_up_all(grid, wires, group);
            for idx in &order {
                wires[*idx].corners.clear();
                lay_one(grid, search, &mut wires[*idx]);
                cost = cost.saturating_add(wires[*idx].cost);
            }
            if cost < best.0 {
                best = (cost, group.iter().map(|idx| wires[*idx].corners.clone()).collect());
            }
        }
        relay(grid, wires, group, &best.1);
    }
}

fn take_up_all(grid: &mut Grid, wires: &[Open], group: &[usize]) {
    for idx in group {
        grid.take_up(&wires[*idx].corners);
    }
}

/// Lays a group of wires along known ways, and says what they cost together.
fn relay(grid: &mut Grid, wires: &mut [Open], group: &[usize], ways: &[Vec<usize>]) -> u32 {
    take_up_all(grid, wires, group);
    let mut cost = 0_u32;
    for (idx, way) in group.iter().zip(ways) {
        let wire = &mut wires[*idx];
        let [from, to] = wire.goals;
        cost = cost.saturating_add(Search::price(grid, from, to, &wire.exempt, way));
        wire.corners.clone_from(way);
        grid.lay(way);
    }
    cost
}
