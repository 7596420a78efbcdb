//! Paints the symbol of a part type small, as on the shelf.

use egui::{Color32, Pos2, Rect, Shape, Stroke};
use loomwright_circuit::part_type::{Shape as Outline, Weight, When};
use loomwright_circuit::{Box2, PartType, Placement, Point};

use crate::painter::Screen;
use crate::state::Camera;

/// Paints the symbol of a part type at rest into a small box, as on the shelf.
pub fn paint_symbol(painter: &egui::Painter, rect: Rect, part_type: &PartType, ink: Color32) {
    let extent = extent(part_type);
    let Some(area) = extent else { return };
    let largest = f64::from(painter.pixels_per_point()) * 2.4;
    let scale = (f64::from(rect.width()) / area.width().max(1.0))
        .min(f64::from(rect.height()) / area.height().max(1.0))
        .min(largest);
    let screen = Screen::new(rect, Camera { centre: area.centre(), scale });
    let lies = Placement::default();
    for stroke in
        part_type.outline.iter().filter(|stroke| is_at_rest(part_type, stroke.when.as_ref()))
    {
        let width = match stroke.weight {
            Weight::Thin => 0.7,
            Weight::Normal => 1.0,
            Weight::Heavy => 1.7,
        };
        // Dashes would not show at this size: what is dashed is drawn faint.
        let pen = if stroke.dashed {
            Stroke::new(0.8, ink.gamma_multiply(0.4))
        } else {
            Stroke::new(width, ink)
        };
        let fill = if stroke.filled { ink } else { Color32::TRANSPARENT };
        let at = |point: &Point| screen.screen_from_sheet(lies.sheet_from_symbol(*point));
        match &stroke.draw {
            Outline::Line(points) => {
                painter.add(Shape::line(points.iter().map(at).collect(), pen));
            }
            Outline::Polygon(points) => {
                let points: Vec<Pos2> = points.iter().map(at).collect();
                if stroke.dashed {
                    painter.add(Shape::closed_line(points, pen));
                } else {
                    painter.add(Shape::convex_polygon(points, fill, pen));
                }
            }
            Outline::Circle { centre, radius } => {
                painter.circle(at(centre), screen.points(*radius), fill, pen);
            }
            Outline::Arc { centre, radius, from, sweep } => {
                let points = arc(*centre, *radius, *from, *sweep).iter().map(at).collect();
                painter.add(Shape::line(points, pen));
            }
            // Letters would be too small to read here.
            Outline::Text { .. } => {}
        }
    }
    let radius = if part_type.terminals.len() > 4 { 0.9 } else { 1.3 };
    for terminal in &part_type.terminals {
        let at = screen.screen_from_sheet(terminal.at);
        painter.circle_filled(at, radius, ink);
    }
}

fn is_at_rest(part_type: &PartType, when: Option<&When>) -> bool {
    match when {
        None => true,
        Some(When::PulledIn(is_in) | When::Relay { pulled_in: is_in, .. }) => !is_in,
        Some(When::At { control, positions }) => part_type
            .control(control)
            .and_then(|control| control.positions.first())
            .is_some_and(|rest| positions.contains(&rest.name)),
    }
}

fn extent(part_type: &PartType) -> Option<Box2> {
    let strokes = part_type.outline.iter().flat_map(|stroke| match &stroke.draw {
        Outline::Line(points) | Outline::Polygon(points) => points.clone(),
        Outline::Circle { centre, radius } => {
            let r = Point::new(*radius, *radius);
            vec![*centre - r, *centre + r]
        }
        Outline::Arc { centre, radius, from, sweep } => arc(*centre, *radius, *from, *sweep),
        Outline::Text { .. } => Vec::new(),
    });
    Box2::around(strokes.chain(part_type.terminals.iter().map(|terminal| terminal.at)))
        .map(|area| if area.width() + area.height() < 1.0 { area.grown(2.0) } else { area })
}

fn arc(centre: Point, radius: f64, from_degrees: f64, sweep_degrees: f64) -> Vec<Point> {
    const STEPS: u32 = 16;
    (0..=STEPS)
        .map(|step| {
            let share = f64::from(step) / f64::from(STEPS);
            let angle = (from_degrees + sweep_degrees * share).to_radians();
            centre + Point::new(angle.cos(), angle.sin()) * radius
        })
        .collect()
}
