//! Lines, dashes and discs as the toolkit's shapes.

use egui::epaint::CircleShape;
use egui::{Color32, Pos2, Shape, Stroke};
use loomwright_circuit::Point;

/// The dashes of a line, so long and so far from each other, mm. They are the same wherever the sheet lies on the screen.
pub(super) fn dashes(points: &[Point], [on, off]: [f64; 2]) -> Vec<[Point; 2]> {
    const LEAST: f64 = 1e-6;
    let mut dashes = Vec::new();
    let (mut is_on, mut left) = (true, on);
    for pair in points.windows(2) {
        let length = pair[0].distance(pair[1]);
        let mut from = 0.0;
        while length - from > LEAST {
            let to = length.min(from + left.max(LEAST));
            if is_on {
                dashes
                    .push([from, to].map(|along| pair[0] + (pair[1] - pair[0]) * (along / length)));
            }
            left -= to - from;
            from = to;
            if left <= LEAST {
                is_on = !is_on;
                left = if is_on { on } else { off };
            }
        }
    }
    dashes
}

/// A disc with its edge along its rim, half of it within and half without, as all lines lie and as paper has it: the
/// toolkit draws the edge of a disc outside it.
pub(super) fn disc(center: Pos2, radius: f32, fill: Color32, stroke: Stroke) -> CircleShape {
    let half = stroke.width / 2.0;
    if stroke.is_empty() || radius > half {
        let radius = if stroke.is_empty() { radius } else { radius - half };
        CircleShape { center, radius, fill, stroke }
    } else {
        CircleShape::filled(center, radius + half, stroke.color)
    }
}

/// A line with round ends.
pub(super) fn line(points: Vec<Pos2>, stroke: Stroke, out: &mut Vec<Shape>) {
    if stroke.width > 2.0 {
        for end in [points.first(), points.last()].into_iter().flatten() {
            out.push(Shape::circle_filled(*end, stroke.width / 2.0, stroke.color));
        }
    }
    out.push(if let [a, b] = points[..] {
        Shape::line_segment([a, b], stroke)
    } else {
        Shape::line(points, stroke)
    });
}

#[cfg(test)]
mod tests {
    use egui::epaint::{ClippedShape, Primitive};
    use egui::{Context, Rect};

    use super::*;

    /// How far the toolkit's triangles reach, with half a point for their soft edge.
    fn reach(ctx: &Context, disc: CircleShape) -> f32 {
        let shape = ClippedShape::new(Rect::EVERYTHING, disc);
        let mut most = 0.0_f32;
        for clipped in ctx.tessellate(vec![shape], 1.0) {
            if let Primitive::Mesh(mesh) = clipped.primitive {
                most = mesh.vertices.iter().map(|it| it.pos.x).fold(most, f32::max);
            }
        }
        most - 0.5
    }

    #[test]
    fn the_edge_of_a_disc_reaches_as_far_as_on_paper() {
        let ctx = Context::default();
        ctx.run_ui(egui::RawInput::default(), |_| {}).textures_delta.clear();
        for (radius, width) in [(20.0, 8.0), (20.0, 3.0), (4.0, 16.0)] {
            let stroke = Stroke::new(width, Color32::RED);
            let reach = reach(&ctx, disc(Pos2::ZERO, radius, Color32::BLUE, stroke));
            let expected = radius + width / 2.0;
            assert!((reach - expected).abs() < 0.8, "{radius}, {width}: {reach}");
        }
    }
}
