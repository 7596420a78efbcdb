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

/// A wire that touches metal: a bolt from its middle to the sign of an earth.
pub(crate) fn touching(route: &[Point]) -> Vec<Prim> {
    let stretches = route.windows(2);
    let longest = stretches.max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
    let Some(pair) = longest.filter(|pair| pair[0].distance(pair[1]) > 1e-6) else {
        return Vec::new();
    };
    let length = pair[0].distance(pair[1]);
    let along = (pair[1] - pair[0]) * (1.0 / length);
    let across = Point::new(-along.y, along.x);
    // Beside the middle, where the number of the wire has its place.
    let foot = pair[0] + along * (length * 0.32);
    let at = |a: f64, b: f64| foot + along * a + across * b;
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
