//! A contact table drawn into a symbol: a line for each terminal, a column for each position, bars for what is joined.

use loomwright_circuit::part_type::{Shape, Stroke, Weight};
use loomwright_circuit::{PartType, Point};

use super::plan::{Column, NAME_MM, Plan, TablePlan};
use super::{dot, line, plain, text, while_so};

/// Distance of two bars in one position, mm.
const BAR_MM: f64 = 1.8;

/// Draws it.
pub(super) fn draw(
    part_type: &PartType,
    plan: &Plan,
    table: &TablePlan,
    strokes: &mut Vec<Stroke>,
) {
    for (name, y) in &table.heights {
        let idx = part_type.terminals.iter().position(|terminal| terminal.name == *name);
        let Some((home, _)) = idx.and_then(|idx| plan.places.get(idx)) else { continue };
        let from = if (home.y - y).abs() < 0.1 { home.x } else { inner(home.x) };
        let used = table.columns.iter().flat_map(|column| bars(column).into_iter());
        let used = used.filter(|(_, group)| group.contains(name)).map(|(x, _)| x);
        let far = if home.x < 0.0 { used.fold(from, f64::max) } else { used.fold(from, f64::min) };
        let mut points = vec![Point::new(from, *y), Point::new(far, *y)];
        if from != home.x {
            points.splice(0..0, [*home, Point::new(from, home.y)]);
        }
        strokes.push(line(points));
    }
    for column in &table.columns {
        let at = Point::new(column.x, table.top - 6.5);
        strokes.push(text(at, &column.name, NAME_MM));
        let corner = |x: f64, y: f64| Point::new(column.x + x, table.top + y);
        let mark = vec![corner(-1.0, -4.5), corner(1.0, -4.5), corner(0.0, -3.0)];
        let mark = Stroke { filled: true, ..plain(Shape::Polygon(mark), Weight::Normal) };
        strokes.push(while_so(mark, column.now.clone()));
        for (x, group) in bars(column) {
            bar(table, column, x, group, strokes);
        }
    }
}

/// Where a lead to another table runs down.
fn inner(x: f64) -> f64 {
    x - x.signum() * 2.5
}

/// The groups of a position with the place of their bar.
fn bars(column: &Column) -> Vec<(f64, &Vec<String>)> {
    let groups: Vec<&Vec<String>> = column.groups.iter().filter(|group| group.len() > 1).collect();
    let middle = (groups.len() as f64 - 1.0) / 2.0;
    let x = |n: usize| (n as f64 - middle).mul_add(BAR_MM, column.x);
    groups.into_iter().enumerate().map(|(n, group)| (x(n), group)).collect()
}

fn bar(table: &TablePlan, column: &Column, x: f64, group: &[String], strokes: &mut Vec<Stroke>) {
    let mut heights: Vec<f64> =
        group.iter().filter_map(|name| table.heights.get(name).copied()).collect();
    heights.sort_by(f64::total_cmp);
    for y in &heights {
        let centre = Point::new(x, *y);
        strokes.push(while_so(dot(centre, 0.8), column.now.clone()));
        let ring = plain(Shape::Circle { centre, radius: 0.6 }, Weight::Thin);
        strokes.push(while_so(ring, column.otherwise.clone()));
    }
    for pair in heights.windows(2) {
        let ends = |gap: f64| vec![Point::new(x, pair[0] + gap), Point::new(x, pair[1] - gap)];
        let closed = plain(Shape::Line(ends(0.0)), Weight::Heavy);
        strokes.push(while_so(closed, column.now.clone()));
        let open = Stroke { dashed: true, ..plain(Shape::Line(ends(0.6)), Weight::Thin) };
        strokes.push(while_so(open, column.otherwise.clone()));
    }
}
