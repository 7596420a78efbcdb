//! Lines as they are bent: from point to point, upright and level.

use loomwright_circuit::Point;
use loomwright_drawing::straightened;

use crate::tool::PITCH;

/// So far a wire comes straight out of its end before it turns, mm, where there is room.
const OUT: f64 = 5.0;

/// Whether the stretch that a line begins with runs level.
pub(super) fn is_level(ends: &[Point]) -> bool {
    matches!(ends, [a, b, ..] if (a.y - b.y).abs() < 1e-6)
}

/// How far a line comes straight out of its end at `a` before the stretch from there to `b` is moved.
fn way_out(a: Point, b: Point) -> Point {
    let length = a.distance(b);
    let along = if length > 0.0 { (b - a) * (1.0 / length) } else { Point::default() };
    let room = (length / 2.0 / PITCH).floor() * PITCH;
    along * OUT.min(room)
}

/// Where a stretch lies once it is moved, without the pieces that come straight out of the ends.
pub(super) fn moved(line: &[Point], stretch: usize, by: f64) -> Option<[Point; 2]> {
    let [a, b] = line.get(stretch..stretch + 2)? else { return None };
    let (a, b) = (*a, *b);
    let shift = if is_level(&[a, b]) { Point::new(0.0, by) } else { Point::new(by, 0.0) };
    let out = if by == 0.0 { Point::default() } else { way_out(a, b) };
    let is_first = stretch == 0;
    let is_last = stretch + 2 == line.len();
    let from = if is_first { a + out } else { a };
    let to = if is_last { b - out } else { b };
    Some([from + shift, to + shift])
}

/// The line with a stretch moved across its direction: its neighbours stretch along, and at an end of the wire the line
/// comes a little way straight out first.
pub(super) fn bent(line: &[Point], stretch: usize, by: f64) -> Vec<Point> {
    let [a, b] = match line.get(stretch..) {
        Some([a, b, ..]) => [*a, *b],
        _ => return line.to_vec(),
    };
    if by == 0.0 {
        return straightened(line.to_vec());
    }
    let shift = if is_level(&[a, b]) { Point::new(0.0, by) } else { Point::new(by, 0.0) };
    let out = way_out(a, b);
    // Where the line was cut, the stretch beyond the cut runs the same way and stays.
    let is_cut = |beside: &[Point]| is_level(beside) == is_level(&[a, b]);
    let mut bent = line[..stretch].to_vec();
    match stretch.checked_sub(1) {
        None => bent.extend([a, a + out, a + out + shift]),
        Some(before) if is_cut(&line[before..]) => bent.extend([a, a + shift]),
        Some(_) => bent.push(a + shift),
    }
    let behind = &line[stretch + 1..];
    if behind.len() == 1 {
        bent.extend([b - out + shift, b - out, b]);
    } else {
        bent.push(b + shift);
        bent.extend(if is_cut(behind) { behind } else { &behind[1..] });
    }
    straightened(bent)
}

/// The line with a corner more, where a stretch is cut, and the half of it that is in hand then: the shorter one.
pub(super) fn split(line: &[Point], stretch: usize, at: Point) -> (Vec<Point>, usize) {
    let mut line = line.to_vec();
    let Some([a, b]) = line.get(stretch..stretch + 2) else { return (line, stretch) };
    let is_first = at.distance(*a) < at.distance(*b);
    line.insert(stretch + 1, at);
    (line, if is_first { stretch } else { stretch + 1 })
}

/// The line without a stretch and its two corners: a neighbour of it comes into line with what follows. Nothing where
/// both neighbours are held by an end of the wire.
pub(super) fn without(line: &[Point], stretch: usize) -> Option<Vec<Point>> {
    let [a, b] = match line.get(stretch..)? {
        [a, b, ..] => [*a, *b],
        _ => return None,
    };
    let across = b - a;
    let n_stretches = line.len() - 1;
    // The ends of the wire stay where they are.
    let behind = (stretch > 0 && stretch + 2 < n_stretches).then(|| (stretch + 1, -1.0));
    let before = (stretch > 1 && stretch + 1 < n_stretches).then(|| (stretch - 1, 1.0));
    let (neighbour, sign) = behind.or(before)?;
    let by = if is_level(&[a, b]) { across.x } else { across.y };
    Some(bent(line, neighbour, by * sign))
}

/// The corner of a line that is in reach of a place.
pub fn corner_near(line: &[Point], at: Point, reach: f64) -> Option<usize> {
    let inner = 1..line.len().saturating_sub(1);
    let near = inner.map(|idx| (line[idx].distance(at), idx)).filter(|(far, _)| *far <= reach);
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, idx)| idx)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().copied().map(Point::from).collect()
    }

    #[test]
    fn a_stretch_moves_across_and_its_neighbours_stretch() {
        let stair = line(&[[0.0, 0.0], [20.0, 0.0], [20.0, 30.0], [50.0, 30.0]]);
        let moved = bent(&stair, 1, 10.0);
        assert_eq!(moved, line(&[[0.0, 0.0], [30.0, 0.0], [30.0, 30.0], [50.0, 30.0]]));
    }

    #[test]
    fn at_an_end_the_line_comes_straight_out_first() {
        let stair = line(&[[0.0, 0.0], [20.0, 0.0], [20.0, 30.0]]);
        let moved = bent(&stair, 0, -10.0);
        let wanted = [[0.0, 0.0], [5.0, 0.0], [5.0, -10.0], [20.0, -10.0], [20.0, 30.0]];
        assert_eq!(moved, line(&wanted));
        // A straight wire gets a bulge.
        let moved = bent(&line(&[[0.0, 0.0], [0.0, 40.0]]), 0, 10.0);
        let wanted = [[0.0, 0.0], [0.0, 5.0], [10.0, 5.0], [10.0, 35.0], [0.0, 35.0], [0.0, 40.0]];
        assert_eq!(moved, line(&wanted));
    }

    #[test]
    fn a_stretch_in_line_with_its_neighbours_has_no_corners() {
        let bulge =
            line(&[[0.0, 0.0], [0.0, 5.0], [10.0, 5.0], [10.0, 35.0], [0.0, 35.0], [0.0, 40.0]]);
        assert_eq!(bent(&bulge, 2, -10.0), line(&[[0.0, 0.0], [0.0, 40.0]]));
        assert_eq!(without(&bulge, 1), Some(line(&[[0.0, 0.0], [0.0, 40.0]])));
    }

    #[test]
    fn a_corner_that_the_ends_need_stays() {
        let step = line(&[[0.0, 0.0], [20.0, 0.0], [20.0, 30.0], [50.0, 30.0]]);
        assert_eq!((0..3).find_map(|stretch| without(&step, stretch)), None);
    }

    #[test]
    fn a_cut_takes_the_shorter_half_in_hand() {
        let level = line(&[[0.0, 0.0], [40.0, 0.0]]);
        assert_eq!(split(&level, 0, Point::new(10.0, 0.0)).1, 0);
        let (cut, stretch) = split(&level, 0, Point::new(30.0, 0.0));
        assert_eq!(stretch, 1);
        let wanted =
            [[0.0, 0.0], [30.0, 0.0], [30.0, 10.0], [35.0, 10.0], [35.0, 0.0], [40.0, 0.0]];
        assert_eq!(bent(&cut, stretch, 10.0), line(&wanted));
    }
}
