//! Symbols: the outline of a part type, placed on the sheet.

use loomwright_circuit::part_type::{Shape, Stroke, Weight, When};
use loomwright_circuit::{Box2, PartType, Placement, Point};

use crate::letters::printed;
use crate::number::count;
use crate::{Align, Face, Ink, LivePart, Prim};

/// Strokes of a symbol as they stand now: at rest where nothing is known of this moment.
pub(crate) fn symbol(
    part_type: &PartType,
    place: &Placement,
    live: Option<&LivePart>,
) -> Vec<Prim> {
    let is_now =
        |stroke: &&Stroke| stroke.when.as_ref().is_none_or(|when| holds(part_type, when, live));
    part_type.outline.iter().filter(is_now).map(|stroke| placed(stroke, place)).collect()
}

/// A symbol by itself around its own origin, with its contacts as they stand; at rest where nothing is said.
pub fn symbol_alone(part_type: &PartType, live: Option<&LivePart>) -> Vec<Prim> {
    symbol(part_type, &Placement::default(), live)
}

/// The rectangle that a symbol may cover in any of its positions, with its terminals.
pub fn body(part_type: &PartType, place: &Placement) -> Box2 {
    let strokes = part_type.outline.iter().filter_map(|stroke| room(&placed(stroke, place)));
    let terminals = part_type.terminals.iter().map(|terminal| place.sheet_from_symbol(terminal.at));
    let around = strokes.reduce(Box2::union);
    let pins = Box2::around(terminals);
    let at = Box2 { min: place.at, max: place.at };
    [around, pins].into_iter().flatten().reduce(Box2::union).unwrap_or(at)
}

/// What wires must go around: the symbol without the plain lines to its terminals, and those lines by themselves.
pub(crate) fn core(part_type: &PartType, place: &Placement) -> (Box2, Vec<Box2>) {
    let is_pin = |point: &Point| part_type.terminals.iter().any(|terminal| terminal.at == *point);
    let mut core: Option<Box2> = None;
    let mut leads = Vec::new();
    for stroke in &part_type.outline {
        let line = match &stroke.draw {
            Shape::Line(points) if points.iter().any(is_pin) => points.as_slice(),
            _ => &[],
        };
        for pair in line.windows(2) {
            leads.extend(Box2::around(pair.iter().map(|point| place.sheet_from_symbol(*point))));
        }
        if line.is_empty() {
            let rect = room(&placed(stroke, place));
            core = core.into_iter().chain(rect).reduce(Box2::union);
        }
    }
    (core.unwrap_or_else(|| body(part_type, place)), leads)
}

/// The rectangle of a stroke; half the line's width belongs to the look, not to the room that a part takes.
fn room(prim: &Prim) -> Option<Box2> {
    match prim {
        Prim::Line { points, .. } | Prim::Area { points, .. } => {
            Box2::around(points.iter().copied())
        }
        Prim::Circle { centre, radius, .. } => {
            Box2::around([*centre]).map(|rect| rect.grown(*radius))
        }
        Prim::Text { .. } => prim.bounds(),
    }
}

fn holds(part_type: &PartType, when: &When, live: Option<&LivePart>) -> bool {
    match when {
        When::PulledIn(is_in) => live.is_some_and(|live| !live.relays_in.is_empty()) == *is_in,
        When::Relay { coil, pulled_in } => {
            live.is_some_and(|live| live.relays_in.contains(coil)) == *pulled_in
        }
        When::At { control, positions } => {
            let now = live.and_then(|live| live.positions.get(control));
            let rest = || part_type.control(control)?.positions.first().map(|rest| &rest.name);
            now.or_else(rest).is_some_and(|now| positions.contains(now))
        }
    }
}

fn placed(stroke: &Stroke, place: &Placement) -> Prim {
    let width = match stroke.weight {
        Weight::Thin => 0.25,
        Weight::Normal => 0.35,
        Weight::Heavy => 0.7,
    };
    let fill = stroke.filled.then_some(Ink::Ink);
    let edge = Some((Ink::Ink, width));
    let dash = stroke.dashed.then_some([1.4, 1.0]);
    let put =
        |points: &[Point]| points.iter().map(|point| place.sheet_from_symbol(*point)).collect();
    let line = |points| Prim::Line { points, width, ink: Ink::Ink, dash };
    match &stroke.draw {
        Shape::Line(points) => line(put(points)),
        // An area has no dashes: a dashed outline is a line that comes back to where it started.
        Shape::Polygon(points) if stroke.dashed => {
            line(put(&points.iter().chain(points.first()).copied().collect::<Vec<_>>()))
        }
        Shape::Polygon(points) => Prim::Area { points: put(points), fill, edge },
        Shape::Circle { centre, radius } => {
            Prim::Circle { centre: place.sheet_from_symbol(*centre), radius: *radius, fill, edge }
        }
        Shape::Arc { centre, radius, from, sweep } => {
            let points: Vec<_> = arc(*centre, *radius, *from, *sweep);
            if stroke.filled {
                Prim::Area { points: put(&points), fill, edge }
            } else {
                line(put(&points))
            }
        }
        Shape::Text { at, text, height } => Prim::Text {
            at: place.sheet_from_symbol(*at),
            text: printed(text).to_owned(),
            height: *height,
            align: Align::Centre,
            ink: Ink::Ink,
            face: Face::Drawing,
            upward: false,
        },
    }
}

/// Points along part of a circle, degrees clockwise on the page from the right.
pub(crate) fn arc(centre: Point, radius: f64, from: f64, sweep: f64) -> Vec<Point> {
    let n_steps = count((sweep.abs() / 15.0).ceil()).clamp(2, 48);
    (0..=n_steps)
        .map(|step| {
            let angle = (from + sweep * step as f64 / n_steps as f64).to_radians();
            centre + Point::new(angle.cos(), angle.sin()) * radius
        })
        .collect()
}
