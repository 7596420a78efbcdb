//! Marks of what is wrong with the car that is tried: each known by its shape.

use loomwright_circuit::{Box2, Point};

use crate::{Ink, Prim};

fn line(points: Vec<Point>, width: f64, ink: Ink) -> Prim {
    Prim::Line { points, width, ink, dash: None }
}

/// A line with a rim of paper, so that it is seen on whatever it crosses.
fn stroke(points: &[Point], width: f64) -> [Prim; 2] {
    let on_paper = line(points.to_vec(), width + 1.0, Ink::Paper);
    [on_paper, line(points.to_vec(), width, Ink::Danger)]
}

/// A wire's end that is off its terminal: the cable ends short of it, with two strokes across.
pub(crate) fn off(end: Point, next: Point) -> Vec<Prim> {
    let length = end.distance(next);
    if length < 1e-6 {
        return Vec::new();
    }
    let along = (next - end) * (1.0 / length);
    let across = Point::new(-along.y, along.x);
    let gap = GAP.min(0.6 * length);
    let mut prims = vec![line(vec![end + along * 1.0, end + along * gap], 4.6, Ink::Paper)];
    for at in [gap, gap + 1.3] {
        let middle = end + along * at;
        prims.extend(stroke(&[middle - across * 2.2, middle + across * 2.2], 0.7));
    }
    prims
}

/// Length of the gap that a lead leaves which is off its terminal, mm.
const GAP: f64 = 3.6;

/// Where along its longest stretch a wire touches metal, and where it is broken, as shares: beside the middle, where its
/// number has its place, and apart from each other.
const TOUCHES_AT: f64 = 0.32;
const BREAKS_AT: f64 = 0.68;

/// The number of the longest stretch of a route, its length, and places on it: so far along and across from a share of it.
fn on_longest(route: &[Point], share: f64) -> Option<(usize, f64, impl Fn(f64, f64) -> Point)> {
    let stretches = route.windows(2).map(|pair| (pair[0], pair[1] - pair[0]));
    let (idx, (from, way)) = stretches
        .enumerate()
        .max_by(|(_, (_, a)), (_, (_, b))| a.length().total_cmp(&b.length()))?;
    let length = way.length();
    if length < 1e-6 {
        return None;
    }
    let along = way * (1.0 / length);
    let (foot, across) = (from + way * share, Point::new(-along.y, along.x));
    Some((idx, length, move |by: f64, aside: f64| foot + along * by + across * aside))
}

/// The two pieces of a wire that is broken.
pub(crate) fn pieces(route: &[Point]) -> [Vec<Point>; 2] {
    let Some((idx, _, at)) = on_longest(route, BREAKS_AT) else {
        return [route.to_vec(), Vec::new()];
    };
    let cut = at(0.0, 0.0);
    let first = route[..=idx].iter().copied().chain([cut]);
    let second = std::iter::once(cut).chain(route[idx + 1..].iter().copied());
    [first.collect(), second.collect()]
}

/// A wire that is broken: a gap in its longest stretch, with a jagged end at either side.
pub(crate) fn broken(route: &[Point]) -> Vec<Prim> {
    let Some((_, length, at)) = on_longest(route, BREAKS_AT) else { return Vec::new() };
    let half = (0.5 * GAP).min(0.2 * length);
    let jagged = |by: f64| {
        let zigzag = [(0.7, -2.4), (-0.7, -0.8), (0.7, 0.8), (-0.7, 2.4)];
        stroke(&zigzag.map(|(along, aside)| at(by + along, aside)), 0.7)
    };
    let gap = line(vec![at(-half, 0.0), at(half, 0.0)], 4.6, Ink::Paper);
    [gap].into_iter().chain(jagged(-half)).chain(jagged(half)).collect()
}

/// A wire that touches metal: a bolt from its middle to the sign of an earth.
pub(crate) fn touching(route: &[Point]) -> Vec<Prim> {
    let Some((_, _, at)) = on_longest(route, TOUCHES_AT) else { return Vec::new() };
    let mut prims = Vec::new();
    let bolt = [at(0.0, 0.0), at(1.9, 3.2), at(-1.6, 4.0), at(0.2, 7.4)];
    prims.extend(stroke(&bolt, 0.8));
    for (half, away) in [(3.2, 7.6), (2.1, 8.9), (1.0, 10.2)] {
        prims.extend(stroke(&[at(-half, away), at(half, away)], 0.6));
    }
    prims
}

/// Something of a part is out of it: a broken frame around it, and a cross at its corner.
pub(crate) fn out(body: Box2) -> Vec<Prim> {
    let Box2 { min, max } = body.grown(1.6);
    let frame = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    let mut prims =
        vec![Prim::Line { points: frame, width: 0.6, ink: Ink::Danger, dash: Some([2.2, 1.4]) }];
    let corner = Point::new(max.x, min.y);
    prims.push(disc(corner));
    for arm in [Point::new(1.2, 1.2), Point::new(1.2, -1.2)] {
        prims.push(line(vec![corner - arm, corner + arm], 0.7, Ink::Danger));
    }
    prims
}

/// Half the breadth of a fuse across its way, half the length of it, and half the gap that a blown one leaves in it, mm.
const FUSE_ACROSS: f64 = 2.4;
const FUSE_ALONG: f64 = 5.4;
const BLOWN_GAP: f64 = 1.7;

/// Places midway between the two terminals of a fuse, so far along the way from the first to the second and across it.
fn midway([a, b]: [Point; 2]) -> impl Fn(f64, f64) -> Point {
    let length = a.distance(b).max(1e-6);
    let along = (b - a) * (1.0 / length);
    let (middle, across) = ((a + b) * 0.5, Point::new(-along.y, along.x));
    move |by, aside| middle + along * by + across * aside
}

/// Paper over all of a fuse between two places along its way.
fn cut(at: &impl Fn(f64, f64) -> Point, half: f64) -> Prim {
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let points = corners.map(|(along, across)| at(along * half, across * FUSE_ACROSS));
    Prim::Area { points: points.into(), fill: Some(Ink::Paper), edge: None }
}

/// A fuse that has blown, between its terminals: a gap with jagged edges in the middle of it.
pub(crate) fn blown(ends: [Point; 2]) -> Vec<Prim> {
    let at = midway(ends);
    let edge = |by: f64| {
        let zigzag = [(0.6, -1.3), (-0.6, -0.4), (0.6, 0.4), (-0.6, 1.3)];
        let points = zigzag.map(|(along, across)| at(by + along, across * FUSE_ACROSS));
        line(points.into(), 0.7, Ink::Danger)
    };
    vec![cut(&at, BLOWN_GAP), edge(-BLOWN_GAP), edge(BLOWN_GAP)]
}

/// A fuse that is out of its holder: of the fuse nothing is left but a broken line where it stood, between two clips.
pub(crate) fn pulled(ends: [Point; 2]) -> Vec<Prim> {
    let half = FUSE_ALONG.min(0.4 * ends[0].distance(ends[1]));
    let at = midway(ends);
    let clip = |by: f64| line(vec![at(by, -FUSE_ACROSS), at(by, FUSE_ACROSS)], 0.7, Ink::Danger);
    let side = |across: f64| Prim::Line {
        points: vec![at(1.0 - half, across), at(half - 1.0, across)],
        width: 0.5,
        ink: Ink::Danger,
        dash: Some([1.4, 1.0]),
    };
    let sides = [-FUSE_ACROSS, FUSE_ACROSS].map(|across| side(across * 0.85));
    [cut(&at, half)].into_iter().chain(sides).chain([-half, half].map(clip)).collect()
}

/// Something else is wrong with a part: a triangle with a stroke and a dot at its corner.
pub(crate) fn faulty(body: Box2) -> Vec<Prim> {
    let corner = Point::new(body.max.x + 1.6, body.min.y - 1.6);
    let at = |x: f64, y: f64| corner + Point::new(x, y);
    let points = vec![at(0.0, -2.6), at(2.6, 2.0), at(-2.6, 2.0), at(0.0, -2.6)];
    vec![
        Prim::Area { points, fill: Some(Ink::Field), edge: Some((Ink::Danger, 0.6)) },
        line(vec![at(0.0, -1.0), at(0.0, 0.6)], 0.55, Ink::Danger),
        Prim::Circle { centre: at(0.0, 1.3), radius: 0.3, fill: Some(Ink::Danger), edge: None },
    ]
}

fn disc(centre: Point) -> Prim {
    Prim::Circle { centre, radius: 2.3, fill: Some(Ink::Field), edge: Some((Ink::Danger, 0.6)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether paper lies over a place.
    fn is_cut(prims: &[Prim], at: Point) -> bool {
        let paper =
            prims.iter().filter(|it| matches!(it, Prim::Area { fill: Some(Ink::Paper), .. }));
        paper.filter_map(Prim::bounds).any(|rect| rect.contains(at))
    }

    #[test]
    fn a_wire_that_is_broken_ends_at_its_mark_however_it_is_bent() {
        let routes = [
            vec![Point::new(0.0, 0.0), Point::new(60.0, 0.0), Point::new(60.0, 20.0)],
            vec![Point::new(0.0, 0.0), Point::new(0.0, 15.0), Point::new(60.0, 15.0)],
            vec![Point::new(0.0, 0.0), Point::new(0.0, 40.0)],
        ];
        for route in routes {
            let [first, second] = pieces(&route);
            assert_eq!((first.first(), second.last()), (route.first(), route.last()));
            let cut = *first.last().expect("a piece");
            assert_eq!(second.first(), Some(&cut));
            let marks = broken(&route).into_iter().filter_map(|prim| prim.bounds());
            let mark = marks.reduce(Box2::union).expect("a mark");
            assert!(mark.contains(cut) && mark.width().max(mark.height()) < 9.0, "{mark:?}");
            // And no other mark of the wire lies there.
            let other = touching(&route).into_iter().filter_map(|prim| prim.bounds());
            assert!(!other.reduce(Box2::union).expect("a bolt").meets(mark));
        }
    }

    #[test]
    fn a_fuse_that_is_open_shows_a_gap_at_its_own_place_whichever_way_it_lies() {
        for [along, across] in
            [[1.0, 0.0], [0.0, 1.0]].map(|[x, y]| [Point::new(x, y), Point::new(y, x)])
        {
            let from = Point::new(40.0, 60.0);
            let ends = [from, from + along * 25.0];
            let place = |by: f64, aside: f64| from + along * (12.5 + by) + across * aside;
            let [blown, pulled] = [blown(ends), pulled(ends)];
            for prims in [&blown, &pulled] {
                // All across the fuse, and nothing of its neighbour 7.5 mm beside it.
                assert!(is_cut(prims, place(0.0, 2.0)) && is_cut(prims, place(0.0, -2.0)));
                assert!(!is_cut(prims, place(0.0, 5.5)) && !is_cut(prims, place(0.0, -5.5)));
                assert!(!is_cut(prims, place(9.0, 0.0)), "its leads stay");
            }
            assert!(is_cut(&pulled, place(4.9, 0.0)), "none of the fuse is left");
            assert!(!is_cut(&blown, place(4.0, 0.0)), "its caps are left");
        }
    }
}
