//! Hand-drawn corners: moving along with both ends, following one that moves, and cleared where they cannot.

use std::collections::BTreeSet;

use crate::part_type::Element;
use crate::{Anchor, Car, Direction, Draft, PartId, Point, Wire, WireId};

/// Places closer than this, mm, are the same.
const SAME_MM: f64 = 1e-6;
/// So far a wire comes straight out of its terminal before it turns, mm.
const OUT_MM: f64 = 5.0;

fn aligned(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() < SAME_MM || (a.y - b.y).abs() < SAME_MM
}

/// Whether the corners still lead from one end of the wire to the other by upright and level lines.
fn fits(car: &Car, wire: &Wire) -> bool {
    let (Some(first), Some(last)) = (wire.route.first(), wire.route.last()) else { return true };
    let [from, to] = wire.ends().map(|end| car.pos_on_sheet(&end.at));
    let (Some((from_sheet, from)), Some((to_sheet, to))) = (from, to) else { return false };
    from_sheet == to_sheet && aligned(from, *first) && aligned(*last, to)
}

/// Clears the corners if they no longer fit the wire's ends.
pub(super) fn clear_unfit(car: &Car, wire: &mut Wire) {
    if !fits(car, wire) {
        wire.route.clear();
    }
}

/// Where the ends of a hand-drawn wire lie, noted before something moves.
pub(super) type Drawn = (WireId, [Point; 2]);

/// Lets corners follow an end that moved: those in line with it slide along across their stretch, and all others stay.
/// `leaves` is the way out of its terminal.
fn led(route: &mut [Point], old: Point, new: Point, leaves: Option<Direction>) {
    let Some(first) = route.first() else { return };
    let is_level = (first.y - old.y).abs() < SAME_MM;
    for corner in &mut *route {
        let (here, from, to) =
            if is_level { (&mut corner.y, old.y, new.y) } else { (&mut corner.x, old.x, new.x) };
        if (*here - from).abs() >= SAME_MM {
            break;
        }
        *here = to;
    }
    // What would now run back into the part turns a little way out of the terminal.
    let (Some(leaves), [first, second, ..]) = (leaves.map(Direction::step), &mut *route) else {
        return;
    };
    let out = *first - new;
    if out.x * leaves.x + out.y * leaves.y < 0.0 {
        let ahead = new + leaves * OUT_MM;
        for corner in [first, second] {
            if is_level { corner.x = ahead.x } else { corner.y = ahead.y }
        }
    }
}

/// The way out of the terminal that an end is on; nothing where wires leave it any way.
fn leaves(car: &Car, anchor: &Anchor) -> Option<Direction> {
    let Anchor::Terminal { part, terminal } = anchor else { return None };
    let part_type = car.type_of(*part)?;
    let is_joint =
        part_type.elements.iter().all(|element| matches!(element, Element::Joined { .. }));
    let way = part_type.terminal(terminal)?.leaves;
    (!is_joint).then(|| car.part(*part).map(|part| part.place.direction(way))).flatten()
}

/// Whether a stretch of one wire's corners leads into the part that it ends on.
fn runs_back(car: &Car, wire: &Wire, [from, to]: [Point; 2]) -> bool {
    let pairs = [(&wire.from.at, from, wire.route.first()), (&wire.to.at, to, wire.route.last())];
    pairs.into_iter().any(|(anchor, end, corner)| {
        let Some((leaves, corner)) = leaves(car, anchor).zip(corner) else { return false };
        let (out, leaves) = (*corner - end, leaves.step());
        out.x * leaves.x + out.y * leaves.y < -SAME_MM
    })
}

/// Lets a wire's corners follow its ends from where they were; clears them where they cannot.
pub(super) fn follow(car: &Car, wire: &mut Wire, old: [Point; 2]) {
    let places = wire.ends().map(|end| car.pos_on_sheet(&end.at).map(|(_, at)| at));
    let [Some(from), Some(to)] = places else { return wire.route.clear() };
    if old[0] != from {
        led(&mut wire.route, old[0], from, leaves(car, &wire.from.at));
    }
    if old[1] != to {
        wire.route.reverse();
        led(&mut wire.route, old[1], to, leaves(car, &wire.to.at));
        wire.route.reverse();
    }
    let has_moved = old != [from, to];
    if !fits(car, wire) || has_moved && runs_back(car, wire, [from, to]) {
        wire.route.clear();
    }
}

impl Draft {
    /// The hand-drawn wires that end on these parts.
    pub(super) fn drawn_at(&self, parts: &BTreeSet<PartId>) -> Vec<Drawn> {
        let is_there = |wire: &Wire| {
            wire.ends().iter().any(|end| end.at.part().is_some_and(|id| parts.contains(&id)))
        };
        let drawn = self.car().wires().iter().filter(|(_, wire)| !wire.route.is_empty());
        drawn
            .filter(|(_, wire)| is_there(wire))
            .filter_map(|(id, wire)| {
                let [from, to] = wire.ends().map(|end| self.car().pos_on_sheet(&end.at));
                Some((*id, [from?.1, to?.1]))
            })
            .collect()
    }

    /// Lets the corners of these wires follow their ends, but for those that have both among the parts that moved.
    pub(super) fn follow_at(&mut self, drawn: &[Drawn], parts: &BTreeSet<PartId>) {
        for (id, old) in drawn {
            let Some(mut wire) = self.car().wire(*id).cloned() else { continue };
            if !is_among(&wire, parts) {
                follow(self.car(), &mut wire, *old);
                self.put_wire(*id, wire);
            }
        }
    }

    /// Clears the corners that no longer fit on every wire of these parts.
    pub(super) fn clear_unfit_at(&mut self, parts: &BTreeSet<PartId>) {
        let unfit: Vec<_> = self
            .car()
            .wires()
            .iter()
            .filter(|(_, wire)| !wire.route.is_empty())
            .filter(|(_, wire)| {
                wire.ends().iter().any(|end| end.at.part().is_some_and(|id| parts.contains(&id)))
            })
            .filter(|(_, wire)| !fits(self.car(), wire))
            .map(|(id, wire)| (*id, wire.clone()))
            .collect();
        for (id, mut wire) in unfit {
            wire.route.clear();
            self.put_wire(id, wire);
        }
    }

    /// Carries the corners of every wire that has both ends among these parts.
    pub(super) fn carry_routes(
        &mut self,
        parts: &BTreeSet<PartId>,
        carry: impl Fn(Point) -> Point,
    ) {
        let carried: Vec<_> = self
            .car()
            .wires()
            .iter()
            .filter(|(_, wire)| !wire.route.is_empty() && is_among(wire, parts))
            .map(|(id, wire)| (*id, wire.clone()))
            .collect();
        for (id, mut wire) in carried {
            for corner in &mut wire.route {
                *corner = carry(*corner);
            }
            self.put_wire(id, wire);
        }
    }
}

/// Whether both ends of a wire are on these parts.
fn is_among(wire: &Wire, parts: &BTreeSet<PartId>) -> bool {
    wire.ends().iter().all(|end| end.at.part().is_some_and(|id| parts.contains(&id)))
}

/// Cuts a path through `corners` at the place nearest to `at`: the corners before it, and those after.
pub(super) fn cut(from: Point, corners: &[Point], to: Point, at: Point) -> [Vec<Point>; 2] {
    let path: Vec<Point> =
        std::iter::once(from).chain(corners.iter().copied()).chain([to]).collect();
    let nearest = path
        .windows(2)
        .map(|leg| distance_to_leg(at, leg[0], leg[1]))
        .enumerate()
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
        .map_or(0, |(leg_idx, _)| leg_idx);
    let (before, after) = corners.split_at(nearest.min(corners.len()));
    [before.to_vec(), after.to_vec()]
}

/// Distance from a point to a straight piece, mm.
fn distance_to_leg(at: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let length_squared = along.x * along.x + along.y * along.y;
    if length_squared == 0.0 {
        return at.distance(a);
    }
    let to_at = at - a;
    let share = ((to_at.x * along.x + to_at.y * along.y) / length_squared).clamp(0.0, 1.0);
    at.distance(a + along * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_parts_the_corners_at_the_nearest_leg() {
        let corners = [Point::new(10.0, 0.0), Point::new(10.0, 20.0)];
        let (from, to) = (Point::new(0.0, 0.0), Point::new(30.0, 20.0));
        let cut_at = |x, y| cut(from, &corners, to, Point::new(x, y)).map(|half| half.len());
        assert_eq!(cut_at(5.0, 0.0), [0, 2]);
        assert_eq!(cut_at(10.0, 10.0), [1, 1]);
        assert_eq!(cut_at(25.0, 20.0), [2, 0]);
    }
}
