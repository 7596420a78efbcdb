//! What is typed in the editor: it counts at once where it is understood, and stays in its field where it is not.

use loomwright_circuit::part_type::Shape;
use loomwright_circuit::{PartType, Point};
use loomwright_units::{read_number, with_decimals};

use super::{commit, hold};
use crate::own_type::{Doc, PITCH, on_grid, set_figure};
use crate::state::{Draft, PartEditor, PartField};
use crate::texts::PartFaults;
use crate::tool::sentence;

/// Text typed into a field.
pub(super) fn typed(editor: &mut PartEditor, field: PartField, text: String) {
    let from = hold(editor);
    let error = match written(editor, &from, field, &text) {
        Ok(doc) => {
            editor.doc = doc;
            None
        }
        Err(says) => Some(says),
    };
    editor.typed.insert(field, Draft { text, error });
}

/// A field is left: what is understood is one step, what is not stays to be mended.
pub(super) fn entered(editor: &mut PartEditor, field: PartField) {
    if editor.typed.get(&field).is_some_and(|draft| draft.error.is_none()) {
        editor.typed.remove(&field);
    }
    commit(editor);
}

/// What was typed is given up.
pub(super) fn given_up(editor: &mut PartEditor, field: PartField) {
    if editor.typed.remove(&field).is_some()
        && let Some(before) = editor.held.take()
    {
        editor.doc = *before;
    }
}

/// The document with a field as it is typed.
fn written(
    editor: &mut PartEditor,
    doc: &Doc,
    field: PartField,
    text: &str,
) -> Result<Doc, String> {
    let text = text.trim();
    match field {
        PartField::BoxWidth | PartField::BoxHeight => {
            let mm = number(text)?.clamp(PITCH, 400.0);
            let side = if field == PartField::BoxWidth {
                &mut editor.box_size.0
            } else {
                &mut editor.box_size.1
            };
            *side = mm;
            Ok(doc.clone())
        }
        PartField::Figure(element, figure) => {
            let value = if text.is_empty() { None } else { Some(number(text)?) };
            let mut refused = Ok(());
            let doc = doc.with(|doc| refused = set_figure(&mut doc.row, element, figure, value));
            refused.map(|()| doc)
        }
        PartField::Terminal(idx) => {
            let others = doc.row.terminals.iter().enumerate().filter(|(other, _)| *other != idx);
            let mut names = others.map(|(_, terminal)| &*terminal.name);
            free(text, PartFaults::terminal_empty(), names.any(|it| it == text), || {
                PartFaults::terminal_twice(text)
            })?;
            Ok(doc.with(|doc| doc.rename_terminal(idx, text)))
        }
        PartField::Position(control, idx) => {
            let positions = doc.row.controls.get(control).map(|it| it.positions.as_slice());
            let others = positions.unwrap_or_default().iter().enumerate();
            let mut names = others.filter(|(other, _)| *other != idx).map(|(_, it)| &*it.name);
            free(text, PartFaults::position_empty(), names.any(|it| it == text), || {
                PartFaults::position_twice(text)
            })?;
            Ok(doc.with(|doc| doc.rename_position(control, idx, text)))
        }
        PartField::Across(idx) | PartField::Down(idx) => {
            let mm = place(text)?;
            let is_across = matches!(field, PartField::Across(_));
            Ok(doc.with(|doc| {
                if let Some(terminal) = doc.row.terminals.get_mut(idx) {
                    let at = terminal.at;
                    let at = if is_across { Point::new(mm, at.y) } else { Point::new(at.x, mm) };
                    terminal.at = on_grid(at);
                }
            }))
        }
        PartField::Measure(stroke, measure) => {
            let value = place(text)?;
            Ok(doc.with(|doc| set_measure(&mut doc.row, stroke, measure, value)))
        }
        field => Ok(doc.with(|doc| set_text(&mut doc.row, field, text))),
    }
}

/// A name that is there and that no other has.
fn free(
    text: &str,
    empty: &str,
    is_twice: bool,
    twice: impl FnOnce() -> String,
) -> Result<(), String> {
    match text {
        "" => Err(empty.to_owned()),
        _ if is_twice => Err(twice()),
        _ => Ok(()),
    }
}

/// A number as people write it; with a comma too.
fn number(text: &str) -> Result<f64, String> {
    read_number(text).map_err(|error| {
        let is_ambiguous = error.is_ambiguous();
        if is_ambiguous { sentence(&error.to_string()) } else { PartFaults::no_number(text) }
    })
}

/// A place or a measure, mm.
fn place(text: &str) -> Result<f64, String> {
    read_number(text).map_err(|error| {
        let is_ambiguous = error.is_ambiguous();
        let such = with_decimals(12.5, 1);
        if is_ambiguous { sentence(&error.to_string()) } else { PartFaults::no_place(text, such) }
    })
}

fn set_text(row: &mut PartType, field: PartField, text: &str) {
    let text = text.to_owned();
    match field {
        PartField::Title => row.title = text,
        PartField::Name => row.name = text,
        PartField::Nicknames => {
            let names = text.split(',').map(str::trim).filter(|name| !name.is_empty());
            row.nicknames = names.map(str::to_owned).collect();
        }
        PartField::Behind => {
            let rows =
                text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
            row.behind = rows.filter(|line| !line.is_empty()).collect();
        }
        PartField::Teaches => row.teaches = text,
        PartField::Stem => row.stem = text,
        PartField::Shows => row.shows = text,
        PartField::Din(idx) => {
            if let Some(terminal) = row.terminals.get_mut(idx) {
                terminal.din = Some(text).filter(|text| !text.is_empty());
            }
        }
        PartField::Use(idx) => {
            if let Some(terminal) = row.terminals.get_mut(idx) {
                terminal.says = text;
            }
        }
        PartField::Shared(idx) => {
            if let Some(control) = row.controls.get_mut(idx) {
                control.shared = Some(text).filter(|text| !text.is_empty());
            }
        }
        PartField::Letters(idx) => {
            if let Some(Shape::Text { text: letters, .. }) =
                row.outline.get_mut(idx).map(|stroke| &mut stroke.draw)
            {
                *letters = text;
            }
        }
        _ => {}
    }
}

/// A measure of a stroke, in the order in which [`measures`] gives them.
fn set_measure(row: &mut PartType, stroke: usize, measure: usize, value: f64) {
    let Some(stroke) = row.outline.get_mut(stroke) else { return };
    let known: Option<&mut f64> = match &mut stroke.draw {
        Shape::Line(points) | Shape::Polygon(points) => points
            .get_mut(measure / 2)
            .map(|point| if measure.is_multiple_of(2) { &mut point.x } else { &mut point.y }),
        Shape::Circle { centre, radius } => {
            [&mut centre.x, &mut centre.y, radius].into_iter().nth(measure)
        }
        Shape::Arc { centre, radius, from, sweep } => {
            [&mut centre.x, &mut centre.y, radius, from, sweep].into_iter().nth(measure)
        }
        Shape::Text { at, height, .. } => [&mut at.x, &mut at.y, height].into_iter().nth(measure),
    };
    if let Some(known) = known {
        *known = value;
    }
}
