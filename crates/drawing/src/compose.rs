//! A symbol for a part type from what it does: contact tables as switch makers print them, and its elements in rows.

mod element;
mod plan;
mod table;

use loomwright_circuit::part_type::{Glow, Shape, Stroke, Weight, When};
use loomwright_circuit::{Box2, Direction, PartType, Point};

use plan::Plan;

/// Terminals stand on this grid, mm.
const PITCH_MM: f64 = 2.5;

/// Where the terminals of a part type stand best, in their order, and which way their leads leave.
///
/// # Example
/// ```
/// use loomwright_circuit::{Direction, Library};
/// use loomwright_drawing::arranged;
/// let lamp = Library::standard().get("lamp").expect("embedded");
/// let sides: Vec<Direction> = arranged(lamp).into_iter().map(|(_, leaves)| leaves).collect();
/// assert_eq!(sides, [Direction::Left, Direction::Right]);
/// ```
pub fn arranged(part_type: &PartType) -> Vec<(Point, Direction)> {
    Plan::of(part_type).places
}

/// The symbol of a part type by what it does, around its terminals where they stand, and where its lamps shine.
pub fn composed(part_type: &PartType) -> (Vec<Stroke>, Vec<Glow>) {
    let mut plan = Plan::of(part_type);
    plan.face(part_type);
    let mut strokes = vec![rectangle(plan.frame, Weight::Normal)];
    strokes[0].dashed = !plan.tables.is_empty();
    for table in &plan.tables {
        table::draw(part_type, &plan, table, &mut strokes);
    }
    let mut glows = Vec::new();
    for row in &plan.rows {
        element::draw(part_type, &plan, row, &mut strokes, &mut glows);
    }
    for (terminal, (home, _)) in part_type.terminals.iter().zip(&plan.places) {
        if terminal.at != *home {
            strokes.push(line(lead(terminal.at, *home)));
        }
    }
    (strokes, glows)
}

/// A plain box of a size, in mm, with the terminals spread along the sides by which their leads leave.
pub fn boxed(part_type: &PartType, width: f64, height: f64) -> (Vec<Point>, Vec<Stroke>) {
    let half = Point::new(snapped(width / 2.0), snapped(height / 2.0));
    let frame = Box2 { min: half * -1.0, max: half };
    let mut places = vec![Point::default(); part_type.terminals.len()];
    for side in [Direction::Left, Direction::Right, Direction::Up, Direction::Down] {
        let on_side = part_type.terminals.iter().enumerate().filter(|(_, it)| it.leaves == side);
        let on_side: Vec<usize> = on_side.map(|(idx, _)| idx).collect();
        let room = if is_upright(side) { half.x } else { half.y };
        for (n, idx) in on_side.iter().enumerate() {
            let share = (n as f64 + 1.0) / (on_side.len() as f64 + 1.0);
            let along = (((share - 0.5) * 2.0 * room) / PITCH_MM).round() * PITCH_MM;
            places[*idx] = match side {
                Direction::Left => Point::new(-half.x - 2.0 * PITCH_MM, along),
                Direction::Right => Point::new(half.x + 2.0 * PITCH_MM, along),
                Direction::Up => Point::new(along, -half.y - 2.0 * PITCH_MM),
                Direction::Down => Point::new(along, half.y + 2.0 * PITCH_MM),
            };
        }
    }
    let mut strokes = vec![rectangle(frame, Weight::Normal)];
    for (terminal, at) in part_type.terminals.iter().zip(&places) {
        let edge = *at - terminal.leaves.step() * (2.0 * PITCH_MM);
        strokes.push(line(vec![*at, edge]));
    }
    (places, strokes)
}

fn is_upright(side: Direction) -> bool {
    matches!(side, Direction::Up | Direction::Down)
}

/// At least one step of the grid, and whole steps.
fn snapped(mm: f64) -> f64 {
    (mm / PITCH_MM).round().max(1.0) * PITCH_MM
}

/// From a terminal that was moved to where its lead goes in: across first, then along.
fn lead(from: Point, to: Point) -> Vec<Point> {
    let corner = Point::new(from.x, to.y);
    if corner == from || corner == to { vec![from, to] } else { vec![from, corner, to] }
}

fn plain(draw: Shape, weight: Weight) -> Stroke {
    Stroke { draw, when: None, weight, dashed: false, filled: false }
}

fn line(points: Vec<Point>) -> Stroke {
    plain(Shape::Line(points), Weight::Normal)
}

fn rectangle(area: Box2, weight: Weight) -> Stroke {
    let Box2 { min, max } = area;
    let corners = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
    plain(Shape::Polygon(corners), weight)
}

fn dot(centre: Point, radius: f64) -> Stroke {
    Stroke { filled: true, ..plain(Shape::Circle { centre, radius }, Weight::Normal) }
}

fn text(at: Point, text: &str, height: f64) -> Stroke {
    plain(Shape::Text { at, text: text.to_owned(), height }, Weight::Normal)
}

fn while_so(stroke: Stroke, when: When) -> Stroke {
    Stroke { when: Some(when), ..stroke }
}
