//! Placing a new part.

use std::collections::BTreeMap;

use loomwright_circuit::{Edit, Part, PartSeen, Placement, Point, SheetId, Standing};

use crate::action::Action;
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
pub(super) fn placing(scene: &Scene<'_>, part: &Part, is_held: bool, input: Input) -> Vec<Action> {
    let there = |at: Point| {
        let mut part = part.clone();
        part.place.at = at.snapped(PITCH);
        part.sheet = scene.sheet;
        part
    };
    let placing = |part, is_held| {
        Action::Tool(Tool::Placing { part: Box::new(part), is_held, is_shown: true })
    };
    match input {
        Input::Move { at } => vec![placing(there(at), is_held)],
        Input::Press { at, .. } => vec![placing(there(at), true)],
        Input::Release { at, adds } if is_held => {
            let part = there(at);
            let (label, edit) = placed(&part);
            let next = if adds { placing(part, false) } else { Action::Tool(Tool::Rest) };
            vec![next, Action::Edit(label, edit)]
        }
        Input::Release { .. } => Vec::new(),
    }
}

/// The edit that places the part.
pub(super) fn placed(part: &Part) -> (String, Edit) {
    ("place a part".to_owned(), Edit::Place(part.clone()))
}
