//! Selecting by click and box, and moving what is selected.

use std::collections::BTreeSet;

use loomwright_circuit::{Anchor, Box2, Edit, End, Note, PartId, Point, Wire, WireId};
use loomwright_drawing::Subject;

use crate::action::Action;
use crate::state::Selection;
use crate::texts::Board;
use crate::tool::bend::{self, Hold};
use crate::tool::{
    Held, Input, PITCH, Scene, Source, Target, Tool, end_here, name_of_selection, pick,
};

/// The button went down while nothing was going on.
pub(super) fn press(scene: &Scene<'_>, at: Point, held: Held) -> Vec<Action> {
    let target = pick(scene, at);
    let adds = held != Held::Nothing;
    let pressed =
        |narrows| Action::Tool(Tool::Pressed { at, target: target.clone(), narrows, held });
    let meant = match &target {
        Target::Tag(n) => return vec![Action::LookAt(*n)],
        Target::Onward(wire, sheet) => {
            return vec![Action::Sheet(*sheet), Action::Select(Selection::wire(*wire))];
        }
        Target::Part(id) => Selection::part(*id),
        Target::Note(id) => Selection::note(*id),
        // With a key held, a wire may begin a drag of its own: it selects on release only, as terminals and ends do.
        Target::Wire(_) if adds => return vec![pressed(false)],
        Target::Wire(id) => Selection::wire(*id),
        Target::Nothing | Target::Terminal(..) | Target::Loose(..) | Target::Plug(..) => {
            return vec![pressed(!adds)];
        }
    };
    if adds {
        return vec![Action::Toggle(meant)];
    }
    let is_selected = meant.is_within(scene.selection);
    if is_selected { vec![pressed(true)] } else { vec![Action::Select(meant), pressed(false)] }
}

/// The button is down, nothing has moved yet.
pub(super) fn pressed(
    scene: &Scene<'_>,
    (from, target, narrows, held): (Point, &Target, bool, Held),
    input: Input,
) -> Vec<Action> {
    match input {
        Input::Move { at } if at.distance(from) > scene.reach * 0.5 => {
            begin(scene, (from, target, narrows, held), at)
        }
        Input::Release { adds, .. } => {
            let mut actions = vec![Action::Tool(Tool::Rest)];
            match target {
                Target::Nothing if adds => {}
                Target::Nothing => actions.push(Action::Select(Selection::default())),
                Target::Terminal(id, _) | Target::Part(id) => {
                    actions.extend(chosen(Selection::part(*id), target, Pressed { narrows, adds }));
                }
                Target::Note(id) => {
                    actions.extend(chosen(Selection::note(*id), target, Pressed { narrows, adds }));
                }
                Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => {
                    actions.extend(chosen(Selection::wire(*id), target, Pressed { narrows, adds }));
                }
                Target::Tag(_) | Target::Onward(..) => {}
            }
            actions
        }
        Input::Move { .. } | Input::Press { .. } => Vec::new(),
    }
}

/// What a release without movement selects; an end or a wire that Shift was held on joins the selection or leaves it.
fn chosen(meant: Selection, target: &Target, pressed: Pressed) -> Option<Action> {
    let is_late = matches!(target, Target::Terminal(..) | Target::Loose(..) | Target::Wire(_));
    if is_late && pressed.adds {
        Some(Action::Toggle(meant))
    } else {
        pressed.narrows.then_some(Action::Select(meant))
    }
}

/// How the button was pressed and let go.
#[derive(Clone, Copy)]
struct Pressed {
    narrows: bool,
    adds: bool,
}

fn begin(
    scene: &Scene<'_>,
    (from, target, narrows, held): (Point, &Target, bool, Held),
    at: Point,
) -> Vec<Action> {
    let moving = Tool::Moving { from, by: (at - from).snapped(PITCH) };
    let running =
        |source| Tool::Running { from: source, to: at, target: Target::Nothing, is_held: true };
    let held_end = end_here(scene, target).filter(|end| end.moves && held == Held::Nothing);
    let tool = match target {
        _ if let Some(end) = held_end => running(Source::End(end.wire, end.is_to)),
        Target::Nothing => Tool::Boxing { from, to: at, adds: !narrows },
        Target::Terminal(id, _) if moves_by_terminal(scene, *id) => moving,
        Target::Terminal(id, name) => running(Source::Terminal(*id, name.clone())),
        Target::Loose(wire, is_to) | Target::Plug(wire, is_to) => {
            running(Source::End(*wire, *is_to))
        }
        Target::Part(_) | Target::Note(_) => moving,
        Target::Wire(wire) if held == Held::Ctrl => running(Source::Wire(*wire, from)),
        // A drag on a wire that is selected together with parts moves them all; on any other, it bends the wire.
        Target::Wire(_) if held == Held::Nothing && !scene.selection.parts.is_empty() => moving,
        Target::Wire(wire) => {
            return bend::begin(scene, *wire, (from, held == Held::Shift), Hold::Button(from));
        }
        Target::Tag(_) | Target::Onward(..) => Tool::Rest,
    };
    vec![Action::Tool(tool)]
}

/// A part of one terminal is all terminal: once selected, dragging it moves it.
fn moves_by_terminal(scene: &Scene<'_>, id: PartId) -> bool {
    scene.selection.parts.contains(&id)
        && scene.car.type_of(id).is_some_and(|part_type| part_type.terminals.len() == 1)
}

/// A box is being drawn.
pub(super) fn boxing(scene: &Scene<'_>, from: Point, adds: bool, input: Input) -> Vec<Action> {
    match input {
        Input::Move { at } => vec![Action::Tool(Tool::Boxing { from, to: at, adds })],
        Input::Release { at, .. } => {
            let mut found = inside(scene, from, at);
            if adds {
                found.add(scene.selection);
            }
            vec![Action::Tool(Tool::Rest), Action::Select(found)]
        }
        Input::Press { .. } => Vec::new(),
    }
}

fn inside(scene: &Scene<'_>, from: Point, to: Point) -> Selection {
    let Some(area) = Box2::around([from, to]) else { return Selection::default() };
    let mut found = Selection::default();
    for item in &scene.laid.items {
        if !(area.contains(item.bounds.min) && area.contains(item.bounds.max)) {
            continue;
        }
        match item.subject {
            Subject::Part(id) => drop(found.parts.insert(id)),
            Subject::Note(id) => drop(found.notes.insert(id)),
            _ => {}
        }
    }
    for (id, route) in &scene.laid.routes {
        if !route.is_empty() && route.iter().all(|corner| area.contains(*corner)) {
            found.wires.insert(*id);
        }
    }
    found
}

/// The selection is being moved.
pub(super) fn moving(scene: &Scene<'_>, from: Point, input: Input) -> Vec<Action> {
    match input {
        Input::Move { at } => {
            vec![Action::Tool(Tool::Moving { from, by: (at - from).snapped(PITCH) })]
        }
        Input::Release { at, .. } => {
            let mut actions = vec![Action::Tool(Tool::Rest)];
            let edit = moved(scene, (at - from).snapped(PITCH));
            actions.extend(edit.map(|(label, edit)| Action::Edit(label, edit)));
            actions
        }
        Input::Press { .. } => Vec::new(),
    }
}

/// The edit that moves the selection: parts, notes, and the loose ends of wires. A frame takes along what stands wholly
/// inside it.
pub fn moved(scene: &Scene<'_>, by: Point) -> Option<(String, Edit)> {
    let mut rows = scene.selection.clone();
    for id in &scene.selection.notes {
        let frame = scene.car.notes().get(id).and_then(Note::frame_on_sheet);
        if let Some(frame) = frame {
            rows.add(&inside(scene, frame.min, frame.max));
        }
    }
    if by == Point::default() {
        return None;
    }
    let loose: Vec<(WireId, Wire)> = loose_ends_moved(scene, &rows, by).collect();
    let named = match (rows.parts.is_empty() && rows.notes.is_empty(), loose.as_slice()) {
        (true, []) => return None,
        (true, _) => {
            Selection { wires: loose.iter().map(|(id, _)| *id).collect(), ..Selection::default() }
        }
        _ => Selection { wires: BTreeSet::new(), ..scene.selection.clone() },
    };
    let mut edits = Vec::new();
    if !rows.parts.is_empty() {
        edits.push(Edit::Move { parts: rows.parts.into_iter().collect(), by });
    }
    if !rows.notes.is_empty() {
        edits.push(Edit::MoveNotes { notes: rows.notes.into_iter().collect(), by });
    }
    edits.extend(loose.into_iter().map(|(id, wire)| Edit::SetWire(id, wire)));
    let edit = if edits.len() == 1 { edits.remove(0) } else { Edit::All(edits) };
    Some((Board::move_rows(name_of_selection(scene.car, &named)), edit))
}

/// The wires among some rows that have a loose end on this sheet, with that moved. Where the other end moves too, the
/// corners come along.
fn loose_ends_moved<'a>(
    scene: &'a Scene<'_>,
    rows: &'a Selection,
    by: Point,
) -> impl Iterator<Item = (WireId, Wire)> + 'a {
    rows.wires.iter().filter_map(move |id| {
        let mut wire = scene.car.wire(*id)?.clone();
        let moves = |end: &End| match &end.at {
            Anchor::Terminal { part, .. } => rows.parts.contains(part),
            Anchor::Loose { sheet, .. } => *sheet == scene.sheet,
        };
        if wire.ends().into_iter().all(moves) {
            for corner in &mut wire.route {
                *corner = *corner + by;
            }
        }
        let mut is_moved = false;
        for end in [&mut wire.from, &mut wire.to] {
            if let Anchor::Loose { sheet, at } = &mut end.at
                && *sheet == scene.sheet
            {
                *at = *at + by;
                is_moved = true;
            }
        }
        is_moved.then_some((*id, wire))
    })
}
