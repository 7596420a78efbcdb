//! An element drawn into a symbol after IEC 60617: its sign in the middle of its row, with a lead to each terminal.

use loomwright_circuit::part_type::{Element, Glow, LoadFamily, Shape, Stroke, Weight};
use loomwright_circuit::{Box2, PartType, Point};

use super::plan::{Plan, RowPlan, ends};
use super::{dot, line, plain, rectangle, text};

/// Radius of a lamp or motor, and half a rectangle's length and height, mm.
const ROUND_MM: f64 = 3.25;
const LONG_MM: f64 = 4.0;
const HIGH_MM: f64 = 1.75;
/// Where leads run up and down between rows, mm from the middle.
const TRACK_MM: f64 = 6.0;

/// Draws it.
pub(super) fn draw(
    part_type: &PartType,
    plan: &Plan,
    row: &RowPlan,
    strokes: &mut Vec<Stroke>,
    glows: &mut Vec<Glow>,
) {
    let Some(element) = part_type.elements.get(row.element) else { return };
    let at = Point::new(0.0, row.y);
    let reach = sign(element, at, strokes);
    if matches!(element, Element::Filament { .. } | Element::Led { .. }) {
        glows.push(Glow { at, radius: ROUND_MM });
    }
    for (place, name) in ends(element).into_iter().enumerate() {
        let idx = part_type.terminals.iter().position(|terminal| terminal.name == *name);
        let Some((home, _)) = idx.and_then(|idx| plan.places.get(idx)) else { continue };
        // The first end goes in at the left, whichever side its terminal is on.
        let side = if place == 0 { -1.0 } else { 1.0 };
        let inner = Point::new(side * reach, row.y);
        let track = home.x.signum() * TRACK_MM;
        if (home.y - row.y).abs() < 0.1 && home.x.signum() == side {
            strokes.push(line(vec![*home, inner]));
            continue;
        }
        let mut points = vec![*home, Point::new(track, home.y)];
        if home.x.signum() == side {
            points.push(Point::new(track, row.y));
        } else {
            // Round the sign, below it.
            points.push(Point::new(track, row.y + 4.5));
            points.push(Point::new(-track, row.y + 4.5));
            points.push(Point::new(-track, row.y));
        }
        points.push(inner);
        strokes.push(line(points));
        let shares = part_type.elements.iter().filter(|it| ends(it).contains(&name)).count();
        if shares > 1 {
            strokes.push(dot(Point::new(track, home.y), 0.6));
        }
    }
}

/// The sign of an element, and how far from its middle the leads go in.
fn sign(element: &Element, at: Point, strokes: &mut Vec<Stroke>) -> f64 {
    match element {
        Element::Filament { .. } => {
            strokes.push(ring(at));
            let d = ROUND_MM * std::f64::consts::FRAC_1_SQRT_2;
            strokes.push(line(vec![at + Point::new(-d, -d), at + Point::new(d, d)]));
            strokes.push(line(vec![at + Point::new(-d, d), at + Point::new(d, -d)]));
            ROUND_MM
        }
        Element::Led { .. } => {
            strokes.push(ring(at));
            arrow(at, strokes);
            1.75
        }
        Element::Diode { .. } => {
            arrow(at, strokes);
            1.75
        }
        Element::Load { family: LoadFamily::Motor, .. } | Element::Motor { .. } => {
            strokes.push(ring(at));
            strokes.push(text(at, "M", 3.25));
            ROUND_MM
        }
        Element::Fuse { .. } => {
            strokes.push(block(at));
            strokes.push(line(vec![at - Point::new(LONG_MM, 0.0), at + Point::new(LONG_MM, 0.0)]));
            LONG_MM
        }
        Element::Load { family: LoadFamily::Heater, .. } => {
            strokes.push(block(at));
            for x in [-2.0, 0.0, 2.0] {
                let ends = vec![at + Point::new(x, -HIGH_MM), at + Point::new(x, HIGH_MM)];
                strokes.push(plain(Shape::Line(ends), Weight::Thin));
            }
            LONG_MM
        }
        Element::Joined { .. } => 0.0,
        Element::Earth { .. } => {
            for (n, half) in [2.5, 1.6, 0.7].into_iter().enumerate() {
                let x = n as f64;
                let ends = vec![at + Point::new(x, -half), at + Point::new(x, half)];
                strokes.push(line(ends));
            }
            0.0
        }
        _ => {
            strokes.push(block(at));
            LONG_MM
        }
    }
}

fn ring(at: Point) -> Stroke {
    plain(Shape::Circle { centre: at, radius: ROUND_MM }, Weight::Normal)
}

fn block(at: Point) -> Stroke {
    let half = Point::new(LONG_MM, HIGH_MM);
    rectangle(Box2 { min: at - half, max: at + half }, Weight::Normal)
}

/// A diode: from the left to the right it conducts.
fn arrow(at: Point, strokes: &mut Vec<Stroke>) {
    let corners = [(-1.75, -2.0), (-1.75, 2.0), (1.75, 0.0)];
    let corners = corners.map(|(x, y)| at + Point::new(x, y)).to_vec();
    strokes.push(plain(Shape::Polygon(corners), Weight::Normal));
    strokes.push(line(vec![at + Point::new(1.75, -2.0), at + Point::new(1.75, 2.0)]));
}
