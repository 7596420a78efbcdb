//! Cutting a part into a wire: which of its terminals, which way round, and where on the wire there is room.

use std::collections::BTreeSet;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Anchor, Box2, Car, EarthPolarity, Edit, Name, Part, PartId, PartType, Placement, Point,
    Standing, Turn, WireId,
};
use loomwright_drawing::{Subject, symbol_body};

use crate::texts::Board;
use crate::tool::pick::{nearest_on_route, nearest_stretch, wire as wire_near};
use crate::tool::place::bodies;
use crate::tool::{PITCH, Scene, Target, new_part, sentence};

/// A part is dropped on a wire where its place is nearer to it than this, mm.
const ON_WIRE: f64 = 2.6;

/// The wire that a part in hand would be cut into where it is: one that it is dropped on, if it can stand in a wire.
pub(super) fn wire_under(scene: &Scene<'_>, part: &Part) -> Option<WireId> {
    scene.car.type_named(&part.type_name)?.through()?;
    let near = Scene { reach: ON_WIRE, ..*scene };
    match wire_near(&near, part.place.at)? {
        Target::Wire(id) => Some(id),
        _ => None,
    }
}

/// The edit that cuts a part of this type into a wire, with its name.
///
/// # Errors
/// Why it cannot stand there, as a sentence.
pub fn cut_in(
    scene: &Scene<'_>,
    type_name: &str,
    (wire, at): (WireId, Point),
) -> Result<(String, Edit), String> {
    let row = scene.car.wire(wire).ok_or_else(|| Board::wire_gone().to_owned())?;
    let kind = scene.car.type_named(type_name).ok_or_else(|| Board::wire_gone().to_owned())?;
    let Some([feed, load]) = kind.through() else {
        return Err(Board::cannot_stand_in_a_wire(&kind.title));
    };
    let ends = if is_fed_from_behind(scene.car, wire) { [load, feed] } else { [feed, load] };
    let mut part = new_part(type_name, scene.sheet, at, scene.pen.standing());
    let route = scene.laid.routes.get(&wire).map_or(&[][..], |line| line);
    part.place = place(scene, (wire, kind), route, (at, ends)).unwrap_or(part.place);
    let label = Board::cut_in(&kind.title, &row.label);
    let ends = ends.map(Clone::clone);
    let edit = Edit::CutIn { wire, part: Box::new(part), ends };
    scene.car.plan(edit.clone()).map_err(|error| sentence(&error.to_string()))?;
    Ok((label, edit))
}

/// Where the part stands: its two terminals in line with a stretch of the wire, as near to the place as there is room.
fn place(
    scene: &Scene<'_>,
    (wire, kind): (WireId, &PartType),
    route: &[Point],
    (at, ends): (Point, [&Name; 2]),
) -> Option<Placement> {
    let others = bodies(scene);
    let lettering = lettering(scene, wire);
    let at = nearest_on_route(route, at, PITCH)?;
    let mut spots: Vec<(f64, Placement)> = Vec::new();
    for stretch in route.windows(2) {
        let length = stretch[0].distance(stretch[1]);
        if length < PITCH {
            continue;
        }
        let along = (stretch[1] - stretch[0]) * (1.0 / length);
        let turned = along_stretch(kind, ends, along)?;
        let mut far = 0.0;
        while far <= length {
            let spot = stretch[0] + along * far;
            let placed = standing_at(kind, ends, turned, (spot, along));
            let [a, b] = terminals(kind, ends, &placed)?;
            // Its terminals leave a little of the wire at both sides.
            let left = |end: Point| {
                let from_start = (end - stretch[0]).x * along.x + (end - stretch[0]).y * along.y;
                from_start.min(length - from_start)
            };
            let left = left(a).min(left(b));
            let body = symbol_body(kind, &placed);
            if left >= PITCH && !others.iter().any(|other| other.meets(body)) {
                let meets = lettering.iter().any(|other| other.meets(body.grown(LETTERING)));
                let crowds = f64::from(u8::from(meets) + u8::from(left < FLAG));
                spots.push((crowds.mul_add(WORTH, spot.distance(at)), placed));
            }
            far += PITCH;
        }
    }
    let nearest = spots.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, placed)| placed);
    nearest.or_else(|| {
        let stretch = nearest_stretch(route, at)?;
        let (a, b) = (route[stretch], route[stretch + 1]);
        let along = (b - a) * (1.0 / a.distance(b).max(1e-9));
        let placed = standing_at(kind, ends, along_stretch(kind, ends, along)?, (at, along));
        let is_clear = |placed: &Placement| {
            let body = symbol_body(kind, placed).grown(LETTERING);
            !others.iter().chain(&lettering).any(|other| other.meets(body))
        };
        // No stretch of the wire has room: beside it, and the wire is led there.
        let beside = around(placed.at).map(|at| Placement { at, ..placed }).find(is_clear);
        Some(beside.unwrap_or(placed))
    })
}

/// Places around one, the nearer rings first, as far as a part may stand from its wire.
fn around(middle: Point) -> impl Iterator<Item = Point> {
    let step = 2.0 * PITCH;
    (0..FAR).flat_map(move |ring| {
        let places = (-ring..=ring).flat_map(move |y| (-ring..=ring).map(move |x| (x, y)));
        let on_ring = places.filter(move |(x, y)| x.abs().max(y.abs()) == ring);
        on_ring.map(move |(x, y)| middle + Point::new(f64::from(x), f64::from(y)) * step)
    })
}

/// So many rings of places are looked at.
const FAR: i32 = 24;

/// Room around a part for its own label and figures, mm.
const LETTERING: f64 = 6.0;
/// Room on a piece of wire for its number, mm.
const FLAG: f64 = 12.5;

/// How much further along the wire a part goes so as not to crowd its neighbours, mm.
const WORTH: f64 = 15.0;

/// Where the lettering of a part that comes must not lie: on labels, notes, numbers of other wires, and symbols.
fn lettering(scene: &Scene<'_>, wire: WireId) -> Vec<Box2> {
    let items = scene.laid.items.iter().filter(|item| match &item.subject {
        Subject::Label(_) | Subject::Part(_) | Subject::Note(_) => true,
        Subject::Flag(id) => *id != wire,
        _ => false,
    });
    items.map(|item| item.bounds).collect()
}

/// The two terminals on the sheet.
fn terminals(kind: &PartType, ends: [&Name; 2], place: &Placement) -> Option<[Point; 2]> {
    let [a, b] = ends.map(|name| kind.terminal(name).map(|it| place.sheet_from_symbol(it.at)));
    Some([a?, b?])
}

/// The turn with which the way from the one terminal to the other lies best along the wire.
fn along_stretch(kind: &PartType, ends: [&Name; 2], along: Point) -> Option<Placement> {
    let turns = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];
    let turned = turns.map(|turn| Placement { at: Point::default(), turn, mirror: false });
    let share = |place: &Placement| {
        terminals(kind, ends, place).map_or(f64::MIN, |[a, b]| {
            let way = b - a;
            way.x * along.x + way.y * along.y
        })
    };
    turned.into_iter().max_by(|a, b| share(a).total_cmp(&share(b)))
}

/// So turned, with the middle between its two terminals at a spot of the wire, its first terminal in line with it.
fn standing_at(
    kind: &PartType,
    ends: [&Name; 2],
    turned: Placement,
    (spot, along): (Point, Point),
) -> Placement {
    let Some([a, b]) = terminals(kind, ends, &turned) else {
        return Placement { at: spot, ..turned };
    };
    let middle = (a + b) * 0.5;
    let at = (spot - middle).snapped(PITCH);
    let in_line = spot - a;
    let at =
        if along.x.abs() > 0.5 { Point::new(at.x, in_line.y) } else { Point::new(in_line.x, at.y) };
    Placement { at, ..turned }
}

/// Whether a wire gets its feed at its second end and not at its first, as far as the drawing tells.
fn is_fed_from_behind(car: &Car, wire: WireId) -> bool {
    let Some(row) = car.wire(wire) else { return false };
    let [from, to] = row.ends().map(|end| is_fed(car, &end.at, wire));
    to && !from
}

/// Whether a live post of the battery is reached from a terminal through wires, fuses and contacts, whatever their
/// position, without this wire.
fn is_fed(car: &Car, from: &Anchor, without: WireId) -> bool {
    let Anchor::Terminal { part, terminal } = from else { return false };
    let mut open = vec![(*part, terminal.clone())];
    let mut seen: BTreeSet<(PartId, Name)> = open.iter().cloned().collect();
    while let Some((part, terminal)) = open.pop() {
        if is_live_post(car, part, &terminal) {
            return true;
        }
        let beyond = beyond(car, (part, &terminal), without);
        open.extend(beyond.into_iter().filter(|next| seen.insert(next.clone())));
    }
    false
}

fn is_live_post(car: &Car, part: PartId, terminal: &str) -> bool {
    let is_minus_earthed = car.vehicle().earth == EarthPolarity::Negative;
    let elements = car.type_of(part).map_or(&[][..], |kind| &kind.elements);
    elements.iter().any(|element| match element {
        Element::Battery { plus, minus, .. } => {
            terminal == if is_minus_earthed { plus } else { minus }
        }
        _ => false,
    })
}

/// The terminals that are one step of wire or metal away.
fn beyond(car: &Car, (part, terminal): (PartId, &Name), without: WireId) -> Vec<(PartId, Name)> {
    let here = Anchor::terminal(part, terminal);
    let mut beyond = Vec::new();
    for (id, wire) in car.wires() {
        if *id == without || wire.standing == Standing::ToRemove {
            continue;
        }
        for (end, other) in [(&wire.from, &wire.to), (&wire.to, &wire.from)] {
            if let (true, Anchor::Terminal { part, terminal }) = (end.at == here, &other.at) {
                beyond.push((*part, terminal.clone()));
            }
        }
    }
    if let Some(kind) = car.type_of(part) {
        for [a, b] in kind.elements.iter().flat_map(Element::passes) {
            for (end, other) in [(a, b), (b, a)] {
                if end == terminal {
                    beyond.push((part, other.clone()));
                }
            }
        }
    }
    beyond
}
