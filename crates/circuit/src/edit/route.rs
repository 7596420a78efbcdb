//! Hand-drawn corners: moving along with both ends, kept while they fit, and cleared when they do not.

use std::collections::BTreeSet;

use crate::{Anchor, Car, Draft, PartId, Point, Wire};

/// Places closer than this, mm, are the same.
const SAME_MM: f64 = 1e-6;

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

impl Draft {
    /// Clears the corners that no longer fit on every wire of these parts.
    pub(super) fn clear_unfit_at(&mut self, parts: &BTreeSet<PartId>) {
        let unfit: Vec<_> = self
            .car()
            .wires()
            .iter()
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
            .filter(|(_, wire)| {
                !wire.route.is_empty()
                    && wire.ends().iter().all(|end| match end.at {
                        Anchor::Terminal { part, .. } => parts.contains(&part),
                        Anchor::Loose { .. } => false,
                    })
            })
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
