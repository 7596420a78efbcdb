//! Places around a symbol where its name may stand, the nearest first.

use loomwright_circuit::{Box2, Direction, Point};

use crate::Align;
use crate::block::Block;
use crate::scene::ScenePart;

/// Room between a symbol and its name, mm, the best first. Paper is larger than what is drawn on it, so there always is
/// a free one.
const GAPS: [f64; 13] = [2.0, 3.25, 4.5, 6.0, 8.0, 10.5, 13.5, 17.0, 21.0, 26.0, 32.0, 40.0, 50.0];
/// The same for a dot: far enough off that a flag on the wire has room beside it.
const DOT_GAPS: [f64; 11] = [1.6, 0.3, 4.0, 7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 38.0];
/// What each mm further off costs.
const FAR: f64 = 0.3;
/// What a place costs more than the one before it, at the same distance.
const NEXT: f64 = 0.15;
/// From this distance on, mm, places lie closer along a side.
const CLOSER: f64 = 4.0;

/// A place, and how much worse than the best it is by itself.
pub(crate) struct Place {
    pub(crate) corner: Point,
    pub(crate) align: Align,
    pub(crate) rank: f64,
}

/// Rings of places, the nearest first, with what every place of a ring costs at least.
pub(crate) fn rings<'a>(
    block: &'a Block,
    part: &'a ScenePart<'_>,
) -> impl Iterator<Item = (f64, Vec<Place>)> + 'a {
    let is_dot = part.is_joint();
    let gaps: &'static [f64] = if is_dot { &DOT_GAPS } else { &GAPS };
    gaps.iter().map(move |gap| {
        let far = (gap - gaps[0]).max(0.0) * FAR;
        let places = ring(block, part, *gap).into_iter().enumerate();
        let place = |(n, (corner, align))| Place { corner, align, rank: n as f64 * NEXT + far };
        (far, places.map(place).collect())
    })
}

fn ring(block: &Block, part: &ScenePart<'_>, gap: f64) -> Vec<(Point, Align)> {
    let mut places = Vec::with_capacity(32);
    let around = part.body.grown(gap);
    if part.is_joint() {
        diagonals(block, around, &mut places);
        if gap > CLOSER {
            beside(block, around, &mut places);
            above_and_below(block, around, part.body, &mut places);
        }
        return places;
    }
    let is_upright =
        part.pins.iter().all(|pin| matches!(pin.leaves, Some(Direction::Up | Direction::Down)));
    if is_upright {
        beside(block, around, &mut places);
        above_and_below(block, around, part.body, &mut places);
    } else {
        above_and_below(block, around, part.body, &mut places);
        beside(block, around, &mut places);
    }
    diagonals(block, around, &mut places);
    if gap > CLOSER {
        along(block, around, &mut places);
    }
    places
}

fn above_and_below(block: &Block, around: Box2, body: Box2, places: &mut Vec<(Point, Align)>) {
    let top = around.min.y - block.height;
    let centre = body.centre().x - block.width / 2.0;
    let right = body.max.x - block.width;
    for (x, align) in [(centre, Align::Centre), (body.min.x, Align::Left), (right, Align::Right)] {
        places.push((Point::new(x, top), align));
        places.push((Point::new(x, around.max.y), align));
    }
}

fn beside(block: &Block, around: Box2, places: &mut Vec<(Point, Align)>) {
    let middle = around.centre().y - block.height / 2.0;
    let left = around.min.x - block.width;
    for y in [middle, around.min.y, around.max.y - block.height] {
        places.push((Point::new(around.max.x, y), Align::Left));
        places.push((Point::new(left, y), Align::Right));
    }
}

fn diagonals(block: &Block, around: Box2, places: &mut Vec<(Point, Align)>) {
    let (left, top) = (around.min.x - block.width, around.min.y - block.height);
    places.push((Point::new(around.max.x, top), Align::Left));
    places.push((Point::new(left, top), Align::Right));
    places.push((Point::new(around.max.x, around.max.y), Align::Left));
    places.push((Point::new(left, around.max.y), Align::Right));
}

/// All along the four sides, a few mm apart.
fn along(block: &Block, around: Box2, places: &mut Vec<(Point, Align)>) {
    const PITCH: f64 = 4.0;
    let (left, top) = (around.min.x - block.width, around.min.y - block.height);
    let mut x = left + PITCH;
    while x < around.max.x {
        places.push((Point::new(x, top), Align::Centre));
        places.push((Point::new(x, around.max.y), Align::Centre));
        x += PITCH;
    }
    let mut y = top + PITCH;
    while y < around.max.y {
        places.push((Point::new(around.max.x, y), Align::Left));
        places.push((Point::new(left, y), Align::Right));
        y += PITCH;
    }
}
