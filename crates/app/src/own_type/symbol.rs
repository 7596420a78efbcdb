//! The symbol while it is made: drawn by the program until somebody draws on it, and moved thing by thing.

use loomwright_circuit::part_type::{Element, Glow, Shape, When};
use loomwright_circuit::{Name, PartType, Point};
use loomwright_drawing::{arranged, composed};

use crate::own_type::{PITCH, on_grid};

/// Strokes keep to half the grid of the terminals, mm.
const FINE: f64 = PITCH / 2.0;

/// Something on the symbol that can be taken and moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A terminal.
    Terminal(usize),
    /// A whole stroke.
    Stroke(usize),
    /// A corner of a stroke.
    Corner(usize, usize),
    /// Where a lamp shines.
    Glow(usize),
}

/// Where a thing is; a stroke by its first point.
pub fn place_of(row: &PartType, thing: Thing) -> Option<Point> {
    match thing {
        Thing::Terminal(idx) => Some(row.terminals.get(idx)?.at),
        Thing::Stroke(idx) => match &row.outline.get(idx)?.draw {
            Shape::Line(points) | Shape::Polygon(points) => points.first().copied(),
            Shape::Circle { centre, .. } | Shape::Arc { centre, .. } => Some(*centre),
            Shape::Text { at, .. } => Some(*at),
        },
        Thing::Corner(idx, corner) => match &row.outline.get(idx)?.draw {
            Shape::Line(points) | Shape::Polygon(points) => points.get(corner).copied(),
            _ => None,
        },
        Thing::Glow(idx) => Some(row.glows.get(idx)?.at),
    }
}

/// Moves a thing to a place, on the grid.
pub fn move_thing(row: &mut PartType, thing: Thing, to: Point) {
    let Some(from) = place_of(row, thing) else { return };
    match thing {
        Thing::Terminal(idx) => row.terminals[idx].at = on_grid(to),
        Thing::Glow(idx) => row.glows[idx].at = to.snapped(FINE),
        Thing::Corner(idx, corner) => {
            if let Shape::Line(points) | Shape::Polygon(points) = &mut row.outline[idx].draw {
                points[corner] = to.snapped(FINE);
            }
        }
        Thing::Stroke(idx) => {
            let by = to.snapped(FINE) - from;
            match &mut row.outline[idx].draw {
                Shape::Line(points) | Shape::Polygon(points) => {
                    for point in points {
                        *point = *point + by;
                    }
                }
                Shape::Circle { centre, .. } | Shape::Arc { centre, .. } => *centre = *centre + by,
                Shape::Text { at, .. } => *at = *at + by,
            }
        }
    }
}

/// Puts every terminal where the program would, and draws the symbol around them.
pub(crate) fn arrange(row: &mut PartType) {
    let places = arranged(row);
    for (terminal, (at, leaves)) in row.terminals.iter_mut().zip(places) {
        (terminal.at, terminal.leaves) = (at, leaves);
    }
    compose(row);
}

/// Draws the symbol around the terminals where they stand.
pub(super) fn compose(row: &mut PartType) {
    (row.outline, row.glows) = composed(row);
}

/// Whether the symbol is still the one that the program draws.
pub(super) fn is_drawn_by_us(row: &PartType) -> bool {
    row.outline == composed(row).0
}

/// Lets the symbol follow a change, where the program drew it, and the places, where it chose them.
pub(super) fn follow(before: &PartType, after: &mut PartType) {
    // A change may have drawn it anew itself.
    let is_drawn_by_us =
        is_drawn_by_us(before) && (after.outline == before.outline || is_drawn_by_us(after));
    let places = |row: &PartType| -> Vec<(Point, loomwright_circuit::Direction)> {
        row.terminals.iter().map(|it| (it.at, it.leaves)).collect()
    };
    let was = places(before);
    let is_placed_by_us = was == arranged(before);
    let is_moved = was.len() == after.terminals.len()
        && before.terminals.iter().zip(&after.terminals).any(|(before, after)| {
            before.name == after.name && (before.at, before.leaves) != (after.at, after.leaves)
        });
    if is_drawn_by_us && is_placed_by_us && !is_moved {
        arrange(after);
    } else if is_drawn_by_us {
        compose(after);
    } else {
        follow_coils(before, after);
    }
    let shines = |it: &&Element| matches!(it, Element::Filament { .. } | Element::Led { .. });
    let lamps = after.elements.iter().filter(shines).count();
    after.glows.resize(lamps, Glow { at: Point::default(), radius: 3.25 });
}

/// Strokes that somebody has drawn stay with their relay when its coil goes to other terminals. Of a relay that is taken out
/// the contacts stay as they are at rest.
fn follow_coils(before: &PartType, after: &mut PartType) {
    let PartType { elements, outline, .. } = after;
    let is_same_row = before.elements.len() == elements.len();
    for stroke in outline.iter_mut() {
        let Some(When::Relay { coil, .. }) = &mut stroke.when else { continue };
        let rows = before.elements.iter().zip(&*elements).filter(|_| is_same_row);
        let mut moved = rows.filter(|(was, _)| was.coil() == Some(&*coil));
        if let Some(now) = moved.find_map(|(_, now)| now.coil()) {
            coil.clone_from(now);
        }
    }
    let is_there = |coil: &[Name; 2]| elements.iter().any(|it| it.coil() == Some(coil));
    outline.retain_mut(|stroke| match &stroke.when {
        Some(When::Relay { coil, pulled_in }) if !is_there(coil) => {
            let is_at_rest = !pulled_in;
            stroke.when = None;
            is_at_rest
        }
        _ => true,
    });
}

/// A place at the right that no terminal has.
pub(super) fn free_place(row: &PartType) -> Point {
    let x = row.terminals.iter().map(|it| it.at.x).fold(10.0, f64::max);
    let column = row.terminals.iter().filter(|it| it.at.x == x).map(|it| it.at.y);
    let y = column.fold(f64::NEG_INFINITY, f64::max);
    on_grid(Point::new(x, if y.is_finite() { y + 2.0 * PITCH } else { 0.0 }))
}

/// Gives a position another name in what somebody has drawn: in the strokes that are there while it is set, and in
/// the letters that name it, unless another control has a position of that name.
pub(super) fn rename_position(row: &mut PartType, key: &str, before: &str, name: &str) {
    let is_of_another = row.controls.iter().any(|control| {
        control.key != key && control.positions.iter().any(|known| known.name == before)
    });
    for stroke in &mut row.outline {
        if let Some(When::At { control, positions }) = &mut stroke.when
            && control == key
        {
            let named = positions.iter_mut().filter(|known| *known == before);
            named.for_each(|known: &mut Name| name.clone_into(known));
        }
        if let Shape::Text { text, .. } = &mut stroke.draw
            && text == before
            && !is_of_another
        {
            name.clone_into(text);
        }
    }
}
