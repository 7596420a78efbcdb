//! Running a wire from a terminal, and joining up a loose end.

use loomwright_circuit::{
    Anchor, Car, Edit, End, Name, PartId, Point, Row, RowId, Standing, Wire, WireId,
};

use crate::action::Action;
use crate::state::{Pen, Selection};
use crate::tool::pick::{loose_end, nearest_on_route, terminal, wire as wire_near};
use crate::tool::{Input, PITCH, Scene, Target, Tool, propose};

/// Where a wire starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// A terminal.
    Terminal(PartId, Name),
    /// The loose end of a wire that is there; `true` is its `to` end.
    Loose(WireId, bool),
}

/// A wire is being run.
pub(super) fn running(
    scene: &Scene<'_>,
    from: &Source,
    is_held: bool,
    input: Input,
) -> Vec<Action> {
    match input {
        Input::Move { at } => {
            let target = landing(scene, from, at);
            vec![Action::Tool(Tool::Running { from: from.clone(), to: at, target, is_held })]
        }
        // A wire that was begun by command ends with the press of a click.
        Input::Press { at, .. } if !is_held => finish(scene, from, at),
        Input::Release { at, .. } if is_held => finish(scene, from, at),
        Input::Press { .. } | Input::Release { .. } => Vec::new(),
    }
}

/// A click while a wire is run by keys: it takes what is there, first for one end, then for the other. The pointer
/// leads the wire from then on. Nothing where there is no place for an end.
pub(super) fn aimed(scene: &Scene<'_>, from: Option<&Source>, at: Point) -> Option<Vec<Action>> {
    if let Some(from) = from {
        return Some(finish(scene, from, at));
    }
    let from = match terminal(scene, at).or_else(|| loose_end(scene, at))? {
        Target::Terminal(part, name) => Source::Terminal(part, name),
        Target::Loose(wire, is_to) => Source::Loose(wire, is_to),
        _ => return None,
    };
    let target = Target::Nothing;
    Some(vec![Action::Tool(Tool::Running { from, to: at, target, is_held: false })])
}

fn finish(scene: &Scene<'_>, from: &Source, at: Point) -> Vec<Action> {
    let target = landing(scene, from, at);
    end(scene, from, at, &target)
}

/// The wire ends there.
pub(super) fn end(scene: &Scene<'_>, from: &Source, at: Point, target: &Target) -> Vec<Action> {
    let mut actions = vec![Action::Tool(Tool::Rest)];
    let planned = run(scene, from, at, target).and_then(|(label, edit)| {
        let patch = scene.car.plan(edit.clone()).map_err(|error| sentence(&error.to_string()))?;
        Ok((label, edit, patch))
    });
    match planned {
        Err(reason) => actions.push(Action::Refuse(reason)),
        Ok((label, edit, patch)) => {
            let new = patch.changes.iter().rev().find_map(|change| match &change.row {
                RowId::Wire(id) if change.after.is_some() => Some(*id),
                _ => None,
            });
            actions.push(Action::Edit(label, edit));
            actions.extend(new.map(|id| Action::Select(Selection::wire(id))));
        }
    }
    actions
}

/// What a wire would end on: terminals first, then loose ends and wires; never a part's body.
fn landing(scene: &Scene<'_>, from: &Source, at: Point) -> Target {
    // A wider reach than for picking: wires snap to terminals.
    let wide = Scene { reach: scene.reach * 1.5, ..*scene };
    let own_wire = match from {
        Source::Loose(wire, _) => Some(*wire),
        Source::Terminal(..) => None,
    };
    let not_own = |target: &Target| match target {
        Target::Wire(id) | Target::Loose(id, _) => Some(*id) != own_wire,
        _ => true,
    };
    terminal(&wide, at)
        .or_else(|| loose_end(&wide, at).filter(not_own))
        .or_else(|| wire_near(scene, at).filter(not_own))
        .unwrap_or_default()
}

/// The edit that ends the wire there, with its name.
///
/// # Errors
/// Why it cannot end there, as a sentence.
pub(super) fn run(
    scene: &Scene<'_>,
    from: &Source,
    to: Point,
    target: &Target,
) -> Result<(String, Edit), String> {
    let empty = || Anchor::Loose { sheet: scene.sheet, at: to.snapped(PITCH) };
    match (from, target) {
        (Source::Terminal(part, name), Target::Terminal(other, other_name)) => {
            if (part, name) == (other, other_name) {
                return Err(
                    "A wire needs two different ends; drop it on another terminal".to_owned()
                );
            }
            let start = Anchor::terminal(*part, name);
            Ok(new_wire(scene, start, Anchor::terminal(*other, other_name)))
        }
        (_, Target::Wire(id)) => tap(scene, from, *id, to),
        (Source::Terminal(part, name), Target::Loose(id, is_to))
        | (Source::Loose(id, is_to), Target::Terminal(part, name)) => {
            join(scene.car, scene.pen, (*id, *is_to), Anchor::terminal(*part, name))
        }
        (Source::Terminal(part, name), _) => {
            Ok(new_wire(scene, Anchor::terminal(*part, name), empty()))
        }
        (Source::Loose(..), Target::Loose(..)) => {
            Err("Two loose ends need a joint between them; place one from the shelf".to_owned())
        }
        (Source::Loose(id, is_to), _) => join(scene.car, scene.pen, (*id, *is_to), empty()),
    }
}

fn new_wire(scene: &Scene<'_>, from: Anchor, to: Anchor) -> (String, Edit) {
    let bare = |at| End::at(at);
    let mut wire = Wire::new("", bare(from), bare(to));
    wire.standing = scene.pen.standing();
    propose(scene.car, &mut wire);
    ("run a wire".to_owned(), Edit::Run(wire))
}

/// Joins the end of a wire that is there to another place.
fn join(
    car: &Car,
    pen: Pen,
    (id, is_to): (WireId, bool),
    at: Anchor,
) -> Result<(String, Edit), String> {
    let mut wire = car.wire(id).cloned().ok_or_else(|| "That wire is gone".to_owned())?;
    let label = format!("join up wire {}", wire.label);
    let end = if is_to { &mut wire.to } else { &mut wire.from };
    end.at = at;
    let alters = pen == Pen::ToFit && wire.standing == Standing::AsFound;
    Ok((label, if alters { Edit::AlterWire(id, wire) } else { Edit::SetWire(id, wire) }))
}

/// Cuts a wire, sets a joint there, and ends the new wire on it.
fn tap(scene: &Scene<'_>, from: &Source, id: WireId, to: Point) -> Result<(String, Edit), String> {
    let route = scene.laid.routes.get(&id).map_or(&[][..], Vec::as_slice);
    let at = nearest_on_route(route, to, PITCH).unwrap_or_else(|| to.snapped(PITCH));
    let cut = Edit::Tap { wire: id, at, standing: scene.pen.standing() };
    let patch = scene.car.plan(cut.clone()).map_err(|error| sentence(&error.to_string()))?;
    // Planning is repeatable, so the joint will have the same id when the edit is made.
    let joint = patch.changes.iter().find_map(|change| match (&change.row, &change.after) {
        (RowId::Part(id), Some(Row::Part(part))) if change.before.is_none() => Some((*id, part)),
        _ => None,
    });
    let (joint, part) = joint.ok_or_else(|| "That wire cannot be tapped here".to_owned())?;
    let terminal = scene
        .car
        .type_named(&part.type_name)
        .and_then(|part_type| part_type.terminals.first())
        .map_or_else(|| "1".to_owned(), |terminal| terminal.name.clone());
    let end = Anchor::terminal(joint, &terminal);
    let second = match from {
        Source::Terminal(part, name) => new_wire(scene, Anchor::terminal(*part, name), end),
        Source::Loose(wire, is_to) => join(scene.car, scene.pen, (*wire, *is_to), end)?,
    };
    Ok(("tap a wire".to_owned(), Edit::All(vec![cut, second.1])))
}

/// An error's words as a sentence of the window: a capital first, no period.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
