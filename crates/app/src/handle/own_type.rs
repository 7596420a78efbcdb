//! Making a part type: every step of the editor, and taking what was made.

mod fields;

use loomwright_circuit::part_type::{Element, Shape, Stroke, Weight, When};
use loomwright_circuit::{Direction, Library, PartType, Point};
use loomwright_drawing::boxed;

use crate::action::PartStep;
use crate::handle::{Shell, edits, library};
use crate::own_type::{self, Doc, PITCH, Thing, marked, move_thing, place_of};
use crate::state::{Notice, PartAsks, PartEditor, Question, State};
use crate::texts::PartWords;

/// Carries out a step. With the editor closed, all but opening it and what concerns the library does nothing.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: PartStep) {
    let opened = match &step {
        PartStep::New => Some(PartEditor::new(None, Doc::default(), true)),
        PartStep::Like(name) => {
            found(state, name).map(|row| PartEditor::new(None, own_type::Doc::like(&row), true))
        }
        PartStep::Change(name) => found(state, name).map(|row| {
            let keeps = state.library.types.contains_key(&row.name);
            PartEditor::new(Some(row.name.clone()), Doc::of(&row), keeps)
        }),
        _ => None,
    };
    if let Some(editor) = opened {
        put_back(state, Box::new(editor));
        return;
    }
    if library::step(state, shell, &step) {
        return;
    }
    let Some(Question::OwnType(mut editor)) = state.question.take() else { return };
    match step {
        PartStep::Take | PartStep::TakeAnyway => {
            let is_sure = step == PartStep::TakeAnyway;
            return take(state, shell, editor, is_sure);
        }
        PartStep::TakeHere | PartStep::TakeEverywhere => {
            editor.keeps = step == PartStep::TakeEverywhere;
            editor.may_replace = true;
            return take(state, shell, editor, false);
        }
        PartStep::Leave if editor.is_changed() && editor.asks.is_none() => {
            editor.asks = Some(PartAsks::Leave);
        }
        // A second Escape goes back to what is made, and does not throw it away.
        PartStep::Leave if editor.asks.is_some() => editor.asks = None,
        PartStep::Leave | PartStep::LeaveAnyway => return,
        PartStep::Stay => editor.asks = None,
        step => in_editor(&mut editor, step),
    }
    put_back(state, editor);
}

fn found(state: &State, name: &str) -> Option<std::sync::Arc<PartType>> {
    state.library.find(state.car(), name).cloned()
}

/// Puts the editor back with what follows from its document.
fn put_back(state: &mut State, mut editor: Box<PartEditor>) {
    let is_taken = |name: &str| {
        state.library.types.contains_key(name) || state.car().own_types().contains_key(name)
    };
    editor.faults = own_type::faults(&editor.doc, editor.of.is_none(), is_taken);
    let volts = state.car().vehicle().voltage;
    editor.tried = own_type::tried(&editor.doc.finished(), volts, &editor.set, editor.probes);
    state.question = Some(Question::OwnType(editor));
}

fn in_editor(editor: &mut PartEditor, step: PartStep) {
    match step {
        PartStep::Typed(field, text) => fields::typed(editor, field, text),
        PartStep::Entered(field) => fields::entered(editor, field),
        PartStep::GivenUp(field) => fields::given_up(editor, field),
        PartStep::Page(page) => {
            editor.page = page;
            editor.taken = None;
        }
        PartStep::Keeps(keeps) => editor.keeps = keeps,
        PartStep::Choose(thing) => editor.taken = thing,
        PartStep::Drag(thing, to) => {
            let from = hold(editor);
            editor.doc = from.with(|doc| move_thing(&mut doc.row, thing, to));
            editor.taken = Some(thing);
        }
        PartStep::LetGo => commit(editor),
        PartStep::Work(control, position) => drop(editor.set.insert(control, position)),
        PartStep::Probe(probe, terminal) => {
            if let Some(known) = editor.probes.get_mut(probe) {
                *known = terminal;
            }
        }
        PartStep::Undo => {
            commit(editor);
            if let Some(before) = editor.past.pop() {
                editor.future.push(std::mem::replace(&mut editor.doc, before));
                editor.typed.clear();
            }
        }
        PartStep::Redo => {
            commit(editor);
            if let Some(after) = editor.future.pop() {
                editor.past.push(std::mem::replace(&mut editor.doc, after));
                editor.typed.clear();
            }
        }
        step => change(editor, step),
    }
}

/// The document as it was before what is being typed or dragged.
fn hold(editor: &mut PartEditor) -> Doc {
    let doc = &editor.doc;
    (**editor.held.get_or_insert_with(|| Box::new(doc.clone()))).clone()
}

/// What was typed or dragged becomes one step.
fn commit(editor: &mut PartEditor) {
    if let Some(before) = editor.held.take()
        && *before != editor.doc
    {
        editor.past.push(*before);
        editor.future.clear();
    }
}

/// A step that changes the document at once.
fn change(editor: &mut PartEditor, step: PartStep) {
    commit(editor);
    let before = editor.doc.clone();
    let adds = matches!(step, PartStep::AddStroke(_));
    // Rows that come or go change what the fields below them are about.
    if matches!(
        step,
        PartStep::DropTerminal(_)
            | PartStep::RaiseTerminal(_)
            | PartStep::DropElement(_)
            | PartStep::DropPosition(..)
            | PartStep::DropStroke(_)
    ) {
        editor.typed.clear();
        editor.taken = None;
    }
    let size = editor.box_size;
    editor.doc = before.with(|doc| write(doc, step, size));
    if adds {
        editor.taken = editor.doc.row.outline.len().checked_sub(1).map(Thing::Stroke);
    }
    if before != editor.doc {
        editor.past.push(before);
        editor.future.clear();
    }
}

fn write(doc: &mut Doc, step: PartStep, box_size: (f64, f64)) {
    match step {
        PartStep::Group(group) => doc.row.group = group,
        PartStep::AddTerminal => doc.add_terminal(),
        PartStep::DropTerminal(idx) => doc.drop_terminal(idx),
        PartStep::RaiseTerminal(idx) => doc.shift_terminal(idx, true),
        PartStep::Side(idx, leaves) => side(&mut doc.row, idx, leaves),
        PartStep::Fitting(idx, fitting) => {
            if let Some(terminal) = doc.row.terminals.get_mut(idx) {
                terminal.fitting = fitting;
            }
        }
        PartStep::MayStayEmpty(idx, may) => {
            if let Some(terminal) = doc.row.terminals.get_mut(idx) {
                terminal.may_stay_empty = may;
            }
        }
        PartStep::AddElement(kind) => doc.add_element(kind),
        PartStep::DropElement(idx) => doc.drop_element(idx),
        PartStep::End(element, end, name) => doc.set_end(element, end, &name),
        PartStep::AddEnd(element) => doc.add_end(element),
        PartStep::AddPosition(control) => doc.add_position(control),
        PartStep::DropPosition(control, idx) => doc.drop_position(control, idx),
        PartStep::Springs(control, idx, to) => {
            let control = doc.row.controls.get_mut(control);
            if let Some(position) = control.and_then(|it| it.positions.get_mut(idx)) {
                position.springs_to = to;
            }
        }
        PartStep::MakeBeforeBreak(control, makes) => {
            if let Some(control) = doc.row.controls.get_mut(control) {
                control.make_before_break = makes;
            }
        }
        PartStep::Mark(at, terminal, group) => marked(&mut doc.row, at, &terminal, group),
        step => draw(&mut doc.row, step, box_size),
    }
}

/// A step that draws on the symbol.
fn draw(row: &mut PartType, step: PartStep, (width, height): (f64, f64)) {
    match step {
        PartStep::DrawAgain => own_type::arrange(row),
        PartStep::DrawBox => {
            let (places, outline) = boxed(row, width, height);
            row.outline = outline;
            row.terminals.iter_mut().zip(places).for_each(|(terminal, at)| terminal.at = at);
        }
        PartStep::SymbolOf(name) => {
            if let Some(other) = Library::standard().get(&name) {
                symbol_of(row, other);
            }
        }
        PartStep::AddStroke(draw) => row.outline.push(Stroke {
            draw,
            when: None,
            weight: Weight::Normal,
            dashed: false,
            filled: false,
        }),
        PartStep::DropStroke(idx) if idx < row.outline.len() => drop(row.outline.remove(idx)),
        PartStep::AddCorner(idx) => {
            if let Some(Shape::Line(points) | Shape::Polygon(points)) =
                row.outline.get_mut(idx).map(|stroke| &mut stroke.draw)
                && let Some(last) = points.last().copied()
            {
                points.push(last + Point::new(PITCH, PITCH));
            }
        }
        PartStep::Weight(idx, weight) => with_stroke(row, idx, |stroke| stroke.weight = weight),
        PartStep::Dashed(idx, is_on) => with_stroke(row, idx, |stroke| stroke.dashed = is_on),
        PartStep::Filled(idx, is_on) => with_stroke(row, idx, |stroke| stroke.filled = is_on),
        PartStep::Nudge(thing, by) => {
            if let Some(at) = place_of(row, thing) {
                move_thing(row, thing, at + by);
            }
        }
        _ => {}
    }
}

fn with_stroke(row: &mut PartType, idx: usize, change: impl FnOnce(&mut Stroke)) {
    if let Some(stroke) = row.outline.get_mut(idx) {
        change(stroke);
    }
}

/// Puts a terminal on the side where its lead shall leave, in the first place that is free there.
fn side(row: &mut PartType, idx: usize, leaves: Direction) {
    let reach = |of: fn(Point) -> f64| {
        row.terminals.iter().map(|it| of(it.at).abs()).fold(4.0 * PITCH, f64::max)
    };
    let (x, y) = (reach(|at| at.x), reach(|at| at.y) + 2.0 * PITCH);
    let Some(terminal) = row.terminals.get(idx) else { return };
    let (mut at, step) = match leaves {
        Direction::Left => (Point::new(-x, terminal.at.y), Point::new(0.0, 2.0 * PITCH)),
        Direction::Right => (Point::new(x, terminal.at.y), Point::new(0.0, 2.0 * PITCH)),
        Direction::Up => (Point::new(0.0, -y), Point::new(2.0 * PITCH, 0.0)),
        Direction::Down => (Point::new(0.0, y), Point::new(2.0 * PITCH, 0.0)),
    };
    while row.terminals.iter().enumerate().any(|(other, it)| other != idx && it.at == at) {
        at = at + step;
    }
    let terminal = &mut row.terminals[idx];
    (terminal.at, terminal.leaves) = (own_type::on_grid(at), leaves);
}

/// The strokes of another type; those that depend on a control that this one lacks are left out.
fn symbol_of(row: &mut PartType, other: &PartType) {
    let knows = |when: &When| match when {
        When::At { control, positions } => row.control(control).is_some_and(|control| {
            positions.iter().any(|it| control.positions.iter().any(|known| known.name == *it))
        }),
        When::PulledIn(_) => {
            let is_relay = |it: &Element| matches!(it, Element::Relay { .. });
            row.elements.iter().any(is_relay)
        }
        When::Relay { coil, .. } => row.elements.iter().any(|it| it.coil() == Some(coil)),
    };
    let strokes = other.outline.iter().filter(|stroke| stroke.when.as_ref().is_none_or(knows));
    row.outline = strokes.cloned().collect();
    row.glows.clone_from(&other.glows);
    for (terminal, theirs) in row.terminals.iter_mut().zip(&other.terminals) {
        (terminal.at, terminal.leaves) = (theirs.at, theirs.leaves);
    }
}

/// Whether the library has a type of this name that is neither what was changed here nor what came of it.
fn has_another(state: &State, editor: &PartEditor, row: &PartType) -> bool {
    let kept = state.library.types.get(&row.name);
    kept.is_some_and(|kept| **kept != *row && **kept != editor.begun.row)
}

/// Puts it on the shelf and into the car, if nothing is wrong with it.
fn take(state: &mut State, shell: &mut Shell<'_>, mut editor: Box<PartEditor>, is_sure: bool) {
    commit(&mut editor);
    let wrong = editor.typed.iter().find(|(_, draft)| draft.error.is_some());
    let wrong = wrong.map(|(field, _)| field.at());
    if let Some(at) = wrong.or_else(|| editor.faults.first().map(|fault| fault.at)) {
        editor.is_refused = true;
        editor.page = at.page();
        editor.asks = None;
        return put_back(state, editor);
    }
    let row = std::sync::Arc::new(editor.doc.finished());
    if editor.keeps && !editor.may_replace && has_another(state, &editor, &row) {
        editor.asks = Some(PartAsks::Differs);
        return put_back(state, editor);
    }
    let is_in_car = state.car().own_types().contains_key(&row.name);
    if is_in_car || !editor.keeps {
        let change = own_type::change(state.car(), &editor.doc);
        if !change.lost.is_empty() && !is_sure {
            editor.asks = Some(PartAsks::Lose(change.lost));
            return put_back(state, editor);
        }
        let label = if editor.of.is_some() {
            PartWords::step_change(&row.title)
        } else {
            PartWords::step_add(&row.title)
        };
        if edits::try_commit(state, label, change.edit).is_err() {
            return put_back(state, editor);
        }
    }
    let says = if editor.of.is_some() {
        PartWords::changed(&row.title)
    } else {
        PartWords::taken(&row.title, row.group.title())
    };
    state.notice = Some(Notice::Said(says));
    if editor.keeps && !library::keep(state, shell, &[row]) {
        put_back(state, editor);
    }
}
