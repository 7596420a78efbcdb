//! Where wires cross, and which of the two hops.

use loomwright_circuit::Point;

use crate::symbol::arc;

/// Radius of a hop, mm.
pub(crate) const RADIUS: f64 = 1.9;
/// Room that a hop keeps from a corner or an end, mm.
const ROOM: f64 = 0.3;
/// Hops nearer than this to each other become one, mm between their middles.
const MERGE: f64 = 2.0 * RADIUS + 0.9;

/// A hop of a wire: on which stretch, and how far along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hop {
    pub(crate) stretch: usize,
    pub(crate) along: f64,
    /// The wire that is hopped over.
    pub(crate) over: usize,
}

struct Stretch {
    wire_idx: usize,
    nth: usize,
    /// Place across, and the two ends along, in order.
    at: f64,
    low: f64,
    high: f64,
    /// Whether it runs from low to high.
    is_forward: bool,
}

/// The hops of each line, in order along it.
pub(crate) fn hops(lines: &[Vec<Point>]) -> Vec<Vec<Hop>> {
    let (level, upright) = stretches(lines);
    let mut hops = vec![Vec::new(); lines.len()];
    for across in &level {
        let first = upright.partition_point(|down| down.at <= across.low);
        for down in upright[first..].iter().take_while(|down| down.at < across.high) {
            if down.wire_idx == across.wire_idx || across.at <= down.low || across.at >= down.high {
                continue;
            }
            // The level one hops, unless only the upright one has room.
            let (hopping, at, over) = if !has_room(across, down.at) && has_room(down, across.at) {
                (down, across.at, across.wire_idx)
            } else {
                (across, down.at, down.wire_idx)
            };
            let along = if hopping.is_forward { at - hopping.low } else { hopping.high - at };
            hops[hopping.wire_idx].push(Hop { stretch: hopping.nth, along, over });
        }
    }
    for hops in &mut hops {
        hops.sort_by(|a, b| {
            (a.stretch, a.along).partial_cmp(&(b.stretch, b.along)).expect("finite")
        });
    }
    hops
}

fn has_room(stretch: &Stretch, at: f64) -> bool {
    at - stretch.low > RADIUS + ROOM && stretch.high - at > RADIUS + ROOM
}

fn stretches(lines: &[Vec<Point>]) -> (Vec<Stretch>, Vec<Stretch>) {
    let (mut level, mut upright) = (Vec::new(), Vec::new());
    for (wire_idx, line) in lines.iter().enumerate() {
        for (stretch_idx, pair) in line.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            let is_level = a.y == b.y;
            let (at, from, to) = if is_level { (a.y, a.x, b.x) } else { (a.x, a.y, b.y) };
            let stretch = Stretch {
                wire_idx,
                nth: stretch_idx,
                at,
                low: from.min(to),
                high: from.max(to),
                is_forward: from <= to,
            };
            if is_level { level.push(stretch) } else { upright.push(stretch) }
        }
    }
    upright.sort_by(|a, b| a.at.total_cmp(&b.at));
    (level, upright)
}

/// The line with its hops drawn in.
pub(crate) fn with_hops(line: &[Point], hops: &[Hop]) -> Vec<Point> {
    let mut points = Vec::with_capacity(line.len() + hops.len() * 14);
    for (stretch_idx, pair) in line.windows(2).enumerate() {
        points.push(pair[0]);
        let mut here = hops.iter().filter(|hop| hop.stretch == stretch_idx).peekable();
        while let Some(hop) = here.next() {
            let mut last = hop.along;
            while let Some(next) = here.next_if(|next| next.along - last < MERGE) {
                last = next.along;
            }
            bump(pair[0], pair[1], hop.along, last, &mut points);
        }
    }
    points.extend(line.last());
    points
}

/// A bump over everything from `first` to `last` mm along: up from a level line, to the left of an upright one.
fn bump(a: Point, b: Point, first: f64, last: f64, points: &mut Vec<Point>) {
    let length = a.distance(b);
    let along = (b - a) * (1.0 / length);
    let is_level = along.x.abs() > along.y.abs();
    let (start, end) = (a + along * first, a + along * last);
    // Angles are clockwise on the page from the right; the bump lies above or to the left.
    let (rise, sweep) = match (is_level, along.x > 0.0, along.y > 0.0) {
        (true, true, _) => (180.0, 90.0),
        (true, false, _) => (0.0, -90.0),
        (false, _, true) => (270.0, -90.0),
        (false, _, false) => (90.0, 90.0),
    };
    points.extend(arc(start, RADIUS, rise, sweep));
    points.extend(arc(end, RADIUS, rise + sweep, sweep));
}

/// The wires in an order in which each comes after those it hops over, where there is one.
pub(crate) fn painting_order(hops: &[Vec<Hop>]) -> Vec<usize> {
    let mut state = vec![0_u8; hops.len()];
    let mut order = Vec::with_capacity(hops.len());
    for start in 0..hops.len() {
        let mut stack = vec![(start, 0)];
        while let Some((wire_idx, next)) = stack.pop() {
            if next == 0 {
                if state[wire_idx] != 0 {
                    continue;
                }
                state[wire_idx] = 1;
            }
            if let Some(hop) = hops[wire_idx].get(next) {
                stack.push((wire_idx, next + 1));
                // A wire already begun is part of a ring: then one of them goes under.
                if state[hop.over] == 0 {
                    stack.push((hop.over, 0));
                }
            } else if state[wire_idx] == 1 {
                state[wire_idx] = 2;
                order.push(wire_idx);
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn the_level_wire_hops_and_is_painted_last() {
        let lines = [line(&[[0.0, 5.0], [20.0, 5.0]]), line(&[[10.0, 0.0], [10.0, 20.0]])];
        let hops = hops(&lines);
        assert_eq!(hops[0], [Hop { stretch: 0, along: 10.0, over: 1 }]);
        assert_eq!(hops[1], []);
        assert_eq!(painting_order(&hops), [1, 0]);
        let highest = with_hops(&lines[0], &hops[0]).iter().map(|p| p.y).fold(9.0, f64::min);
        assert!((highest - (5.0 - RADIUS)).abs() < 1e-9);
    }

    #[test]
    fn the_upright_wire_hops_where_only_it_has_room() {
        let lines = [line(&[[9.0, 5.0], [20.0, 5.0]]), line(&[[10.0, 0.0], [10.0, 20.0]])];
        assert_eq!(hops(&lines)[1], [Hop { stretch: 0, along: 5.0, over: 0 }]);
    }
}
