//! What may stand in a car: the checks that every edit and every file passes.

mod type_check;

pub(crate) use type_check::own_type;
pub use type_check::{TypePlace, type_complaints};

use crate::part_type::{Element, Fact};
use crate::{
    Accepted, Anchor, Car, EditError, End, FuseWay, Note, Part, PartId, PartType, Point, Promise,
    Sheet, Vehicle, Wire,
};

/// Greatest length of a label, a title or a name, in characters.
pub(crate) const NAME_MOST: usize = 100;
/// Greatest length of a note, in characters.
pub(crate) const NOTE_MOST: usize = 10_000;
/// Greatest distance of anything from a sheet's origin, mm: twenty times the longest sheet sold.
pub(crate) const PLACE_MOST: f64 = 20_000.0;
/// Greatest length of a wire, m.
pub(crate) const LENGTH_MOST: f64 = 200.0;
/// Least copper area of a wire, mm².
pub(crate) const AREA_LEAST: f64 = 0.01;
/// Greatest copper area of a wire, mm².
pub(crate) const AREA_MOST: f64 = 500.0;
/// Most corners of a hand-drawn route.
pub(crate) const CORNERS_MOST: usize = 500;

pub(crate) fn refuse<T>(why: impl Into<String>) -> Result<T, EditError> {
    Err(EditError::Refused(why.into()))
}

/// A name on one line: neither empty nor padded, without control characters, not too long.
pub(crate) fn name(what: &str, text: &str) -> Result<(), EditError> {
    if text.is_empty() {
        return refuse(format!("a {what} must not be empty"));
    }
    if text.trim() != text {
        return refuse(format!("the {what} '{text}' must not begin or end with a blank"));
    }
    line(what, text)
}

/// A text on one line; may be empty.
pub(crate) fn line(what: &str, text: &str) -> Result<(), EditError> {
    if text.chars().any(|letter| letter.is_control() || matches!(letter, '\u{2028}' | '\u{2029}')) {
        return refuse(format!("a {what} must be one line without control characters"));
    }
    if text.chars().count() > NAME_MOST {
        return refuse(format!("a {what} must have at most {NAME_MOST} characters"));
    }
    Ok(())
}

/// A text of several lines; may be empty.
pub(crate) fn note(what: &str, text: &str) -> Result<(), EditError> {
    if text.chars().any(|letter| letter.is_control() && !matches!(letter, '\n' | '\t')) {
        return refuse(format!("{what} must not hold control characters"));
    }
    if text.chars().count() > NOTE_MOST {
        return refuse(format!("{what} must have at most {NOTE_MOST} characters"));
    }
    Ok(())
}

pub(crate) fn point(what: &str, at: Point) -> Result<(), EditError> {
    let fits = |value: f64| value.is_finite() && value.abs() <= PLACE_MOST;
    if fits(at.x) && fits(at.y) {
        return Ok(());
    }
    refuse(format!("{what} must lie within {PLACE_MOST} mm of the sheet's origin"))
}

pub(crate) fn vehicle(vehicle: &Vehicle) -> Result<(), EditError> {
    line("vehicle's name", &vehicle.name)?;
    note("the purpose", &vehicle.purpose)?;
    note("the vehicle's notes", &vehicle.notes)
}

pub(crate) fn sheet(sheet: &Sheet) -> Result<(), EditError> {
    name("sheet's title", &sheet.title)
}

/// A figure against the range of its fact.
pub(crate) fn figure(fact: &Fact, value: f64) -> Result<(), EditError> {
    // NaN lies in no range.
    if (fact.least..=fact.greatest).contains(&value) && value.is_finite() {
        return Ok(());
    }
    Err(EditError::OutOfRange {
        fact: fact.title.clone(),
        least: fact.least,
        greatest: fact.greatest,
        unit: fact.unit.clone(),
    })
}

/// A part by itself; whether its label is free is [`part_label`]'s.
pub(crate) fn part(car: &Car, part: &Part) -> Result<(), EditError> {
    name("part's label", &part.label)?;
    let Some(part_type) = car.type_named(&part.type_name) else {
        return Err(EditError::UnknownType(part.type_name.clone()));
    };
    if !car.sheets.contains_key(&part.sheet) {
        return Err(EditError::Missing(format!("sheet {}", part.sheet)));
    }
    point(&part.label, part.place.at)?;
    figures_and_controls(part, part_type)?;
    note(&format!("the note on {}", part.label), &part.note)
}

/// A part's figures, control names and roles against a type.
pub(crate) fn figures_and_controls(part: &Part, part_type: &PartType) -> Result<(), EditError> {
    for (key, value) in &part.facts {
        let Some(fact) = part_type.fact(key) else {
            return refuse(format!("{} has no figure called '{key}'", part.label));
        };
        figure(fact, *value)?;
    }
    for (key, control) in &part.controls {
        if part_type.control(key).is_none() {
            return refuse(format!("{} has no control called '{key}'", part.label));
        }
        name("control's name", control)?;
    }
    for terminal in part.roles.keys() {
        if !part_type.role_terminals().contains(&terminal.as_str()) {
            return refuse(format!("{} has no consumer at terminal '{terminal}'", part.label));
        }
    }
    Ok(())
}

/// Whether a part's label is free, but for the part itself.
pub(crate) fn part_label(car: &Car, label: &str, own: Option<PartId>) -> Result<(), EditError> {
    match car.part_labelled(label) {
        Some((id, _)) if Some(id) != own => {
            Err(EditError::LabelTaken { what: "part", label: label.to_owned() })
        }
        _ => Ok(()),
    }
}

/// Whether a wire's label is free, but for the wire itself.
pub(crate) fn wire_label(
    car: &Car,
    label: &str,
    own: Option<crate::WireId>,
) -> Result<(), EditError> {
    if car.wires.iter().any(|(id, wire)| wire.label == label && Some(*id) != own) {
        return Err(EditError::LabelTaken { what: "wire", label: label.to_owned() });
    }
    Ok(())
}

/// A wire by itself; whether its label is free is [`wire_label`]'s.
pub(crate) fn wire(car: &Car, wire: &Wire) -> Result<(), EditError> {
    name("wire's number", &wire.label)?;
    for end in wire.ends() {
        anchor(car, end)?;
    }
    if let (Anchor::Terminal { part, terminal }, true) = (&wire.from.at, wire.from.at == wire.to.at)
        && let Some(part) = car.parts.get(part)
    {
        return Err(EditError::SameEnds(format!("terminal {terminal} of {}", part.label)));
    }
    if let Some(length) = wire.length
        && !(0.0..=LENGTH_MOST).contains(&length.0)
    {
        let fact = format!("the length of {}", wire.label);
        return Err(EditError::OutOfRange {
            fact,
            least: 0.0,
            greatest: LENGTH_MOST,
            unit: "m".into(),
        });
    }
    if let Some(size) = wire.size
        && !(AREA_LEAST..=AREA_MOST).contains(&size.square_mm())
    {
        let fact = format!("the size of {}", wire.label);
        let (least, greatest) = (AREA_LEAST, AREA_MOST);
        return Err(EditError::OutOfRange { fact, least, greatest, unit: "mm²".into() });
    }
    if wire.route.len() > CORNERS_MOST {
        return refuse(format!("{} must have at most {CORNERS_MOST} corners", wire.label));
    }
    for corner in &wire.route {
        point(&format!("each corner of {}", wire.label), *corner)?;
    }
    note(&format!("the note on {}", wire.label), &wire.note)
}

fn anchor(car: &Car, end: &End) -> Result<(), EditError> {
    match &end.at {
        Anchor::Terminal { part: id, terminal } => {
            let Some(part) = car.parts.get(id) else {
                return Err(EditError::Missing(format!("part {id}")));
            };
            let known = car.type_named(&part.type_name).and_then(|it| it.terminal(terminal));
            if known.is_none() {
                let (part, terminal) = (part.label.clone(), terminal.clone());
                return Err(EditError::UnknownTerminal { part, terminal });
            }
            Ok(())
        }
        Anchor::Loose { sheet, at } => {
            if !car.sheets.contains_key(sheet) {
                return Err(EditError::Missing(format!("sheet {sheet}")));
            }
            point("a loose end", *at)
        }
    }
}

pub(crate) fn promise(car: &Car, promise: &Promise) -> Result<(), EditError> {
    for moment in &promise.when {
        name("control's name", &moment.control)?;
        if moment.positions.is_empty() {
            return refuse(format!("the promise names no position of '{}'", moment.control));
        }
        for position in &moment.positions {
            name("position's name", position)?;
        }
    }
    for way in &promise.without {
        fuse_way(car, way)?;
    }
    for claim in &promise.then {
        let Some(part) = car.parts.get(&claim.part) else {
            return Err(EditError::Missing(format!("part {}", claim.part)));
        };
        let Some(terminal) = &claim.terminal else { continue };
        if car.type_named(&part.type_name).and_then(|it| it.terminal(terminal)).is_none() {
            let (part, terminal) = (part.label.clone(), terminal.clone());
            return Err(EditError::UnknownTerminal { part, terminal });
        }
    }
    Ok(())
}

/// A fuse that a promise must hold without: there, and a fuse.
fn fuse_way(car: &Car, way: &FuseWay) -> Result<(), EditError> {
    let Some(part) = car.parts.get(&way.part) else {
        return Err(EditError::Missing(format!("part {}", way.part)));
    };
    let Some(part_type) = car.type_named(&part.type_name) else { return Ok(()) };
    if let Some(terminal) = &way.terminal
        && part_type.terminal(terminal).is_none()
    {
        let (part, terminal) = (part.label.clone(), terminal.clone());
        return Err(EditError::UnknownTerminal { part, terminal });
    }
    let is_meant = |element: &Element| match element {
        Element::Fuse { between, .. } => {
            way.terminal.as_ref().is_none_or(|terminal| between.contains(terminal))
        }
        _ => false,
    };
    if part_type.elements.iter().any(is_meant) {
        return Ok(());
    }
    refuse(format!("a promise must hold without a fuse, and '{}' is none", part.label))
}

/// Greatest length of a note on a sheet, in characters: a page of a manual.
pub(crate) const SHEET_NOTE_MOST: usize = 2_000;
/// Most lines of a note on a sheet.
pub(crate) const SHEET_NOTE_LINES_MOST: usize = 60;
/// Least width and height of a frame, mm.
pub(crate) const FRAME_LEAST: f64 = 5.0;

/// A note on a sheet.
pub(crate) fn sheet_note(car: &Car, row: &Note) -> Result<(), EditError> {
    if !car.sheets.contains_key(&row.sheet) {
        return Err(EditError::Missing(format!("sheet {}", row.sheet)));
    }
    point("a note", row.at)?;
    note("a note", &row.text)?;
    if row.text.trim().is_empty() {
        return refuse("a note must not be empty");
    }
    if row.text.chars().count() > SHEET_NOTE_MOST {
        return refuse(format!("a note must have at most {SHEET_NOTE_MOST} characters"));
    }
    if row.text.lines().count() > SHEET_NOTE_LINES_MOST {
        return refuse(format!("a note must have at most {SHEET_NOTE_LINES_MOST} lines"));
    }
    let Some(size) = row.frame else { return Ok(()) };
    line("frame's title", &row.text)?;
    let fits = |mm: f64| mm.is_finite() && mm >= FRAME_LEAST;
    if !(fits(size.x) && fits(size.y)) {
        return refuse(format!("a frame must be at least {FRAME_LEAST} mm wide and high"));
    }
    point("a frame's far corner", row.at + size)
}

/// Most rows that an accepted finding concerns, and most figures that it has.
const ACCEPTED_MOST: usize = 1000;

pub(crate) fn accepted(car: &Car, row: &Accepted) -> Result<(), EditError> {
    name("rule's code", &row.code)?;
    if row.reason.trim().is_empty() {
        return refuse("a finding is accepted with a reason");
    }
    note("what a finding says", &row.says)?;
    note("the reason", &row.reason)?;
    line("name of who accepted it", &row.by)?;
    line("date", &row.on)?;
    let most = row.parts.len().max(row.wires.len()).max(row.figures.len());
    if most > ACCEPTED_MOST {
        return refuse(format!("a finding concerns at most {ACCEPTED_MOST} parts and wires"));
    }
    if let Some(id) = row.parts.iter().find(|id| !car.parts.contains_key(id)) {
        return Err(EditError::Missing(format!("part {id}")));
    }
    if let Some(id) = row.wires.iter().find(|id| !car.wires.contains_key(id)) {
        return Err(EditError::Missing(format!("wire {id}")));
    }
    for (figure, value) in &row.figures {
        name("figure's name", figure)?;
        if !value.is_finite() {
            return refuse(format!("the figure '{figure}' must be a number"));
        }
    }
    Ok(())
}
