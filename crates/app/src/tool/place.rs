//! Placing a new part.

use std::collections::BTreeMap;
use std::sync::Arc;

use loomwright_circuit::{
    Box2, Edit, Part, PartSeen, PartType, Placement, Point, SheetId, Standing,
};
use loomwright_drawing::symbol_body;

use crate::action::Action;
use crate::texts::Board;
use crate::tool::cut_in::{cut_in, wire_under};
use crate::tool::{Input, PITCH, Scene, Tool};

/// A part of a type, not yet placed; its label is numbered when it is.
pub fn new_part(type_name: &str, sheet: SheetId, at: Point, standing: Standing) -> Part {
    Part {
        type_name: type_name.to_owned(),
        label: String::new(),
        standing,
        sheet,
        place: Placement { at: at.snapped(PITCH), ..Placement::default() },
        facts: BTreeMap::new(),
        controls: BTreeMap::new(),
        seen: PartSeen::default(),
        roles: BTreeMap::new(),
        note: String::new(),
    }
}

/// A part is being placed.
pub(super) fn placing(
    scene: &Scene<'_>,
    (part, own): (&Part, Option<&Arc<PartType>>),
    is_held: bool,
    input: Input,
) -> Vec<Action> {
    let there = |at: Point| {
        let mut part = part.clone();
        part.place.at = at.snapped(PITCH);
        part.sheet = scene.sheet;
        part
    };
    let placing = |part, is_held| {
        let own = own.cloned();
        Action::Tool(Tool::Placing { part: Box::new(part), own, is_held, is_shown: true })
    };
    match input {
        Input::Move { at } => vec![placing(there(at), is_held)],
        Input::Press { at, .. } => vec![placing(there(at), true)],
        Input::Release { at, adds } if is_held => {
            let part = there(at);
            let (label, edit) = placed(scene, &part, own);
            let next = if adds { placing(part, false) } else { Action::Tool(Tool::Rest) };
            vec![next, Action::Edit(label, edit)]
        }
        Input::Release { .. } => Vec::new(),
    }
}

/// An edit that places a part, with the part's type where the car does not have it yet.
pub fn with_type(own: Option<&Arc<PartType>>, edit: Edit) -> Edit {
    match own {
        None => edit,
        Some(own) => Edit::All(vec![Edit::SetOwnType(Arc::clone(own)), edit]),
    }
}

/// The edit that places the part, with its type where the car does not have it yet.
pub(super) fn placed(
    scene: &Scene<'_>,
    part: &Part,
    own: Option<&Arc<PartType>>,
) -> (String, Edit) {
    let Some(own) = own else { return placed_known(scene, part) };
    let mut car = scene.car.clone();
    if let Ok(patch) = car.plan(Edit::SetOwnType(Arc::clone(own))) {
        car.apply(&patch);
    }
    let (label, edit) = placed_known(&Scene { car: &car, ..*scene }, part);
    (label, with_type(Some(own), edit))
}

/// The edit that places the part; on a wire, it is cut in, and on another part it stands beside that.
fn placed_known(scene: &Scene<'_>, part: &Part) -> (String, Edit) {
    let wire = wire_under(scene, part);
    let cut = wire.and_then(|wire| cut_in(scene, &part.type_name, (wire, part.place.at)).ok());
    cut.unwrap_or_else(|| {
        let place = clear_of_parts(scene, part).unwrap_or(part.place);
        (Board::place_part().to_owned(), Edit::Place(Part { place, ..part.clone() }))
    })
}

/// Rings of places around the one that is meant, looked through for a free one.
const MOST_RINGS: i32 = 24;

/// The nearest place where the part covers no other.
fn clear_of_parts(scene: &Scene<'_>, part: &Part) -> Option<Placement> {
    let kind = scene.car.type_named(&part.type_name)?;
    let others = bodies(scene);
    let body = symbol_body(kind, &part.place);
    let is_free = |by: &Point| {
        let body = Box2 { min: body.min + *by, max: body.max + *by };
        !others.iter().any(|other| other.meets(body))
    };
    let rings = (0..MOST_RINGS).find_map(|ring| {
        let steps = (-ring..=ring).flat_map(|y| (-ring..=ring).map(move |x| (x, y)));
        let edge = steps.filter(|(x, y)| x.abs().max(y.abs()) == ring);
        let free =
            edge.map(|(x, y)| Point::new(f64::from(x), f64::from(y)) * PITCH).filter(is_free);
        let length = |by: &Point| by.distance(Point::default());
        free.min_by(|a, b| length(a).total_cmp(&length(b)))
    });
    rings.map(|by| Placement { at: part.place.at + by, ..part.place })
}

/// Room that parts keep from each other, mm.
const APART: f64 = 2.0;

/// The symbols on the sheet that is shown, with the room that they keep.
pub(super) fn bodies(scene: &Scene<'_>) -> Vec<Box2> {
    let parts = scene.car.parts().values().filter(|part| part.sheet == scene.sheet);
    parts
        .filter_map(|part| Some(symbol_body(scene.car.type_named(&part.type_name)?, &part.place)))
        .map(|body| body.grown(APART))
        .collect()
}
