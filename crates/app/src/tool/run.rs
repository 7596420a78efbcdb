//! Running a wire from a terminal or a wire, joining up a loose end, and plugging an end elsewhere.

use loomwright_circuit::{
    Anchor, Draft, Edit, End, Name, PartId, Point, RowId, Standing, Wire, WireId,
};

use crate::action::{Action, BoardStep};
use crate::state::{Pen, Selection};
use crate::texts::Board;
use crate::tool::pick::{boxed, loose_end, nearest_on_route, terminal, wire as wire_near};
use crate::tool::propose::{fitting_of, propose_fittings};
use crate::tool::{Input, PITCH, Scene, Target, Tool, propose};

/// Where a wire starts.
#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    /// A terminal.
    Terminal(PartId, Name),
    /// An end of a wire that is there, loose or to be plugged elsewhere; `true` is its `to` end.
    End(WireId, bool),
    /// A wire that is tapped at this place.
    Wire(WireId, Point),
}

impl Source {
    /// The wire that is there already.
    pub(super) fn wire(&self) -> Option<WireId> {
        match self {
            Self::End(wire, _) | Self::Wire(wire, _) => Some(*wire),
            Self::Terminal(..) => None,
        }
    }
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
    let near = terminal(scene, at).or_else(|| loose_end(scene, at));
    let from = match near.or_else(|| wire_near(scene, at))? {
        Target::Terminal(part, name) => Source::Terminal(part, name),
        Target::Loose(wire, is_to) => Source::End(wire, is_to),
        Target::Wire(wire) => Source::Wire(wire, at),
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
        Err(reason) => actions.push(Action::Board(BoardStep::RefuseAt(at, reason))),
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

/// What a wire would end on: terminals first, then loose ends, parts and wires. On the body of a part with one terminal,
/// that one is meant.
fn landing(scene: &Scene<'_>, from: &Source, at: Point) -> Target {
    // A wider reach than for picking: wires snap to terminals.
    let wide = Scene { reach: scene.reach * 1.5, ..*scene };
    let own_wire = from.wire();
    let not_own = |target: &Target| match target {
        Target::Wire(id) | Target::Loose(id, _) => Some(*id) != own_wire,
        _ => true,
    };
    terminal(&wide, at)
        .or_else(|| loose_end(&wide, at).filter(not_own))
        .or_else(|| part(scene, at))
        .or_else(|| wire_near(scene, at).filter(not_own))
        .unwrap_or_default()
}

fn part(scene: &Scene<'_>, at: Point) -> Option<Target> {
    let Some(Target::Part(id)) = boxed(scene, at, true) else { return None };
    Some(match scene.car.type_of(id).map(|kind| kind.terminals.as_slice()) {
        Some([only]) => Target::Terminal(id, only.name.clone()),
        _ => Target::Part(id),
    })
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
    let mut draft = Draft::of(scene.car);
    let mut edits = Vec::new();
    let mut cut = |wire: WireId, at: Point| -> Result<Anchor, String> {
        let (edit, anchor) = tap(scene, &mut draft, wire, at)?;
        edits.push(edit);
        Ok(anchor)
    };
    let start = match from {
        Source::Terminal(part, name) => Some(Anchor::terminal(*part, name)),
        Source::Wire(wire, at) => Some(cut(*wire, *at)?),
        Source::End(..) => None,
    };
    let end = match target {
        Target::Terminal(part, name) => Anchor::terminal(*part, name),
        Target::Wire(wire) => cut(*wire, to)?,
        Target::Part(id) => {
            let label = scene.car.part(*id).map_or("", |part| &part.label);
            return Err(Board::drop_on_a_terminal(label));
        }
        Target::Loose(wire, is_to) => {
            // The loose end comes to the start; there is no other wire.
            let Some(start) = start else { return Err(Board::loose_ends_need_a_joint().into()) };
            let (label, edit) = join(scene, (*wire, *is_to), start)?;
            edits.push(edit);
            return Ok((label, one(edits)));
        }
        _ => Anchor::Loose { sheet: scene.sheet, at: to.snapped(PITCH) },
    };
    if start.as_ref() == Some(&end) {
        return Err(Board::wire_needs_two_ends().to_owned());
    }
    let (label, edit) = match (start, from) {
        (None, Source::End(wire, is_to)) => join(scene, (*wire, *is_to), end)?,
        (start, _) => new_wire(scene, start.unwrap_or_else(|| end.clone()), end),
    };
    let is_tap = !edits.is_empty();
    edits.push(edit);
    Ok((if is_tap { Board::tap_wire().to_owned() } else { label }, one(edits)))
}

fn one(mut edits: Vec<Edit>) -> Edit {
    match edits.pop() {
        Some(only) if edits.is_empty() => only,
        last => Edit::All(edits.into_iter().chain(last).collect()),
    }
}

fn new_wire(scene: &Scene<'_>, from: Anchor, to: Anchor) -> (String, Edit) {
    let bare = |at| End::at(at);
    let mut wire = Wire::new("", bare(from), bare(to));
    wire.standing = scene.pen.standing();
    propose(scene.car, &mut wire);
    (Board::run_wire().to_owned(), Edit::Run(wire))
}

/// Joins the end of a wire that is there to another place: a loose one is joined up, any other is plugged elsewhere.
fn join(
    scene: &Scene<'_>,
    (id, is_to): (WireId, bool),
    at: Anchor,
) -> Result<(String, Edit), String> {
    let mut wire = scene.car.wire(id).cloned().ok_or_else(|| Board::wire_gone().to_owned())?;
    let end = if is_to { &mut wire.to } else { &mut wire.from };
    let was_loose = end.at.part().is_none();
    if end.at != at && end.fitting == fitting_of(scene.car, &end.at) {
        // It was that of the terminal it leaves, and becomes that of the one it comes to.
        end.fitting = None;
    }
    end.at = at;
    let label =
        if was_loose { Board::join_up_wire(&wire.label) } else { Board::plug_wire(&wire.label) };
    propose_fittings(scene.car, &mut wire);
    let alters = scene.pen == Pen::ToFit && wire.standing == Standing::AsFound;
    Ok((label, if alters { Edit::AlterWire(id, wire) } else { Edit::SetWire(id, wire) }))
}

/// Cuts a wire in a draft: the edit that does so, and the joint's terminal that stands there then.
fn tap(
    scene: &Scene<'_>,
    draft: &mut Draft,
    id: WireId,
    to: Point,
) -> Result<(Edit, Anchor), String> {
    let route = scene.laid.routes.get(&id).map_or(&[][..], |line| line);
    let at = nearest_on_route(route, to, PITCH).unwrap_or_else(|| to.snapped(PITCH));
    let cut = Edit::Tap { wire: id, sheet: scene.sheet, at, standing: scene.pen.standing() };
    draft.edit(cut.clone()).map_err(|error| sentence(&error.to_string()))?;
    // Drafting is repeatable, so the joint will have the same id when the edit is made: the newest part's.
    let car = draft.car();
    let joint = car.parts().keys().next_back().copied();
    let terminal = joint.and_then(|joint| car.type_of(joint)?.terminals.first().cloned());
    match joint.zip(terminal) {
        Some((joint, terminal)) => Ok((cut, Anchor::terminal(joint, &terminal.name))),
        None => Err(Board::cannot_tap().to_owned()),
    }
}

/// An error's words as a sentence of the window: a capital first, no period.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A title within a sentence: with a small letter, unless an abbreviation begins it.
pub fn begun_small(title: &str) -> String {
    let mut letters = title.chars();
    let first = letters.next();
    if letters.clone().next().is_some_and(char::is_uppercase) {
        return title.to_owned();
    }
    first.map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
