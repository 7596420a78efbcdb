//! Where on a sheet the new parts of a fix stand: near what they are for, clear of other parts, and in reading order.
//!
//! Only parts are looked at; how wires run is not known here, and whoever shows the fix moves its parts clear of them.

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Shape as Outline;
use loomwright_circuit::{
    Box2, Car, Part, PartId, PartSeen, PartType, Placement, Point, SheetId, Standing, Turn,
};

/// Room that a part keeps around its outline, mm: for its lettering.
const ROOM: f64 = 5.0;

/// Places are tried at this pitch, mm, and no further away than so many of them.
const PITCH: f64 = 5.0;
const MOST_RINGS: i32 = 40;

/// Where one of several parts stands, from the place that is sought for all of them, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stands<'k> {
    pub(crate) kind: &'k str,
    pub(crate) x: f64,
    pub(crate) y: f64,
    /// Turned a quarter, so that current goes down through it.
    pub(crate) is_upright: bool,
}

/// A new part to fit near another, in a free place.
pub(crate) fn part_near(car: &Car, near: PartId, kind: &str) -> Option<Part> {
    column(car, near, &[Stands { kind, x: 0.0, y: 0.0, is_upright: false }])?.pop()
}

/// New parts to fit that stand to each other as they are told to, all in free places near a part.
pub(crate) fn column(car: &Car, near: PartId, stand: &[Stands<'_>]) -> Option<Vec<Part>> {
    let near = car.part(near)?;
    let taken = taken(car, near.sheet);
    let parts: Vec<Part> = stand.iter().map(|it| new_part(near.sheet, it)).collect();
    let own: Option<Vec<Box2>> = parts.iter().map(|part| area(car, part)).collect();
    let own = own?;
    let is_free = |by: &Point| {
        let moved = |area: &Box2| Box2 { min: area.min + *by, max: area.max + *by };
        own.iter().map(moved).all(|area| !taken.iter().any(|known| known.meets(area)))
    };
    let at = near.place.at.snapped(PITCH);
    let by = rings().map(|step| at + step).find(is_free).unwrap_or(at);
    Some(
        parts
            .into_iter()
            .map(|mut part| {
                part.place.at = part.place.at + by;
                part
            })
            .collect(),
    )
}

/// Steps from a part in rings, the nearest first; below and to the right of it before above and to the left.
fn rings() -> impl Iterator<Item = Point> {
    (1..=MOST_RINGS).flat_map(|ring| {
        let mut steps: Vec<(i32, i32)> = (-ring..=ring)
            .flat_map(|y| (-ring..=ring).map(move |x| (x, y)))
            .filter(|(x, y)| x.abs().max(y.abs()) == ring)
            .collect();
        steps.sort_by_key(|&(x, y)| (x * x + y * y, -y, -x));
        steps.into_iter().map(|(x, y)| Point::new(f64::from(x), f64::from(y)) * PITCH)
    })
}

/// What the parts of a sheet take up.
fn taken(car: &Car, sheet: SheetId) -> Vec<Box2> {
    let parts = car.parts().values().filter(|part| part.sheet == sheet);
    parts.filter_map(|part| area(car, part)).collect()
}

/// What a part takes up with its lettering.
fn area(car: &Car, part: &Part) -> Option<Box2> {
    let points = extent(car.type_named(&part.type_name)?);
    let drawn = points.into_iter().map(|point| part.place.sheet_from_symbol(point));
    Some(Box2::around(drawn)?.grown(ROOM))
}

/// Points that no line of a symbol goes beyond.
fn extent(part_type: &PartType) -> Vec<Point> {
    let strokes = part_type.outline.iter().flat_map(|stroke| match &stroke.draw {
        Outline::Line(points) | Outline::Polygon(points) => points.clone(),
        Outline::Circle { centre, radius } | Outline::Arc { centre, radius, .. } => {
            let radius = Point::new(*radius, *radius);
            vec![*centre - radius, *centre + radius]
        }
        Outline::Text { .. } => Vec::new(),
    });
    strokes.chain(part_type.terminals.iter().map(|terminal| terminal.at)).collect()
}

fn new_part(sheet: SheetId, stand: &Stands<'_>) -> Part {
    let turn = if stand.is_upright { Turn::None.next() } else { Turn::None };
    Part {
        type_name: stand.kind.to_owned(),
        label: String::new(),
        standing: Standing::ToFit,
        sheet,
        place: Placement { at: Point::new(stand.x, stand.y), turn, ..Placement::default() },
        facts: BTreeMap::new(),
        controls: BTreeMap::new(),
        seen: PartSeen::default(),
        roles: BTreeMap::new(),
        note: String::new(),
    }
}
