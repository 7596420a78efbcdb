//! Lines made right-angled, brought to their exact ends, and freed of needless points.

use loomwright_circuit::{Direction, Point};

/// Closer than this, mm, counts as the same.
const SAME: f64 = 1e-6;

fn is_level(a: Point, b: Point) -> bool {
    (a.y - b.y).abs() < SAME
}

fn is_upright(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() < SAME
}

/// The line without repeated points and without points on a straight stretch.
pub fn straightened(points: Vec<Point>) -> Vec<Point> {
    let mut line: Vec<Point> = Vec::with_capacity(points.len());
    for point in points {
        if line.last().is_some_and(|last| is_level(*last, point) && is_upright(*last, point)) {
            continue;
        }
        if let [.., a, b] = line[..]
            && (is_level(a, b) && is_level(b, point) || is_upright(a, b) && is_upright(b, point))
        {
            line.pop();
        }
        line.push(point);
    }
    if let [only] = line[..] {
        line.push(only);
    }
    line
}

/// Puts a corner between points that are neither level nor upright to each other.
pub(super) fn squared(
    points: &[Point],
    leaves: Option<Direction>,
    arrives: Option<Direction>,
) -> Vec<Point> {
    let mut line = Vec::new();
    let is_across = |direction| matches!(direction, Direction::Left | Direction::Right);
    let mut was_level = leaves.is_none_or(is_across);
    let n_points = points.len();
    for (point_idx, point) in points.iter().enumerate() {
        if let Some(last) = line.last().copied()
            && !is_level(last, *point)
            && !is_upright(last, *point)
        {
            let is_last = point_idx + 1 == n_points;
            let goes_level = match arrives.filter(|_| is_last) {
                Some(arrives) => !is_across(arrives),
                None => was_level,
            };
            let corner =
                if goes_level { Point::new(point.x, last.y) } else { Point::new(last.x, point.y) };
            line.push(corner);
        }
        if let Some(last) = line.last() {
            was_level = is_level(*last, *point);
        }
        line.push(*point);
    }
    straightened(line)
}

/// A line on the lattice brought to its exact ends, still right-angled.
pub(super) fn settled(mut points: Vec<Point>, from: Point, to: Point) -> Vec<Point> {
    let n_points = points.len();
    let (is_level_first, is_level_last) = match points[..] {
        [] | [_] => return squared(&[from, to], None, None),
        [a, b] => (is_level(a, b), is_level(a, b)),
        [a, b, .., c, d] => (is_level(a, b), is_level(c, d)),
        [a, b, c] => (is_level(a, b), is_level(b, c)),
    };
    if n_points == 2 {
        return straight(is_level_first, from, to);
    }
    points[0] = from;
    points[n_points - 1] = to;
    let slide = |point: &mut Point, end: Point, is_level: bool| {
        if is_level { point.y = end.y } else { point.x = end.x }
    };
    slide(&mut points[1], from, is_level_first);
    slide(&mut points[n_points - 2], to, is_level_last);
    straightened(points)
}

/// A straight stretch, with a jog in its middle where the ends are not quite in line.
fn straight(is_level: bool, from: Point, to: Point) -> Vec<Point> {
    let middle = (from + to) * 0.5;
    let (a, b) = if is_level {
        (Point::new(middle.x, from.y), Point::new(middle.x, to.y))
    } else {
        (Point::new(from.x, middle.y), Point::new(to.x, middle.y))
    };
    straightened(vec![from, a, b, to])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_points_go() {
        let line = [[0.0, 0.0], [5.0, 0.0], [5.0, 0.0], [9.0, 0.0], [9.0, 3.0]].map(Point::from);
        assert_eq!(straightened(line.to_vec()).len(), 3);
    }

    #[test]
    fn ends_off_the_lattice_are_met_at_right_angles() {
        let line = [[0.0, 0.0], [10.0, 0.0]].map(Point::from).to_vec();
        let (from, to) = (Point::new(0.3, 0.4), Point::new(10.0, -0.2));
        let line = settled(line, from, to);
        assert_eq!((line[0], line[3]), (from, to));
        assert!(
            line.windows(2).all(|pair| is_level(pair[0], pair[1]) || is_upright(pair[0], pair[1]))
        );
    }
}
