//! Words for what the electrics say in figures and kinds: notes, settings, places.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, PartId, WireId};
use loomwright_electrics::{Move, Network, Note, NoteKind, Setting, SettingError};

/// A terminal as "label.terminal"; a loose end as "loose".
pub fn anchor(car: &Car, anchor: &Anchor) -> String {
    match anchor {
        Anchor::Terminal { part, terminal } => match car.part(*part) {
            Some(part) => format!("{}.{terminal}", part.label),
            None => format!("{part}.{terminal}"),
        },
        Anchor::Loose { .. } => "loose".to_owned(),
    }
}

/// The position of every control, by name.
pub fn positions(network: &Network, setting: &Setting) -> BTreeMap<String, String> {
    network
        .controls()
        .iter()
        .zip(&setting.0)
        .filter_map(|(control, at)| {
            let position = control.positions.get(usize::from(*at))?;
            Some((control.name.clone(), position.name.clone()))
        })
        .collect()
}

/// Why a setting was refused, in one sentence.
pub fn setting_error(error: &SettingError) -> String {
    match error {
        SettingError::NoControl { control, known } if known.is_empty() => {
            format!("there is no control '{control}'; this car has none")
        }
        SettingError::NoControl { control, known } => {
            format!("there is no control '{control}'; this car has {}", known.join(", "))
        }
        SettingError::NoPosition { control, position, known } => {
            format!("{control} has no position '{position}'; it has {}", known.join(", "))
        }
        SettingError::Impossible { together } => {
            let pairs: Vec<String> = together
                .iter()
                .map(|(control, position)| format!("{control} at {position}"))
                .collect();
            format!("this cannot occur in this car: {}", pairs.join(" with "))
        }
    }
}

/// A control that moved by itself, in one sentence.
pub fn followed(step: &Move) -> String {
    match (step.control.as_str(), step.position.as_str()) {
        ("engine", "cranking") => "the starter turns the engine".to_owned(),
        ("engine", "stopped") => "the engine stops: its ignition is not fed".to_owned(),
        (control, position) => format!("{control} goes to {position} by itself"),
    }
}

/// A note on what an answer leaves out or assumes, in one sentence.
pub fn note(car: &Car, note: &Note) -> String {
    let rows = rows(car, &note.parts, &note.wires);
    match note.kind {
        NoteKind::SizeAssumed => format!("no size is given for {rows}: taken as 1 mm²"),
        NoteKind::LengthAssumed => format!("no length is given for {rows}: taken as 1 m"),
        NoteKind::Afloat => format!("no path to the battery, so no volts are known: {rows}"),
        NoteKind::Shorted => {
            format!("a supply is shorted; only its own resistance limits the current: {rows}")
        }
        NoteKind::FigureMissing => format!("a figure is missing, so it was left out: {rows}"),
        NoteKind::Buzzes => format!("never comes to rest: {rows}"),
        NoteKind::NoSupply => "there is no battery".to_owned(),
        NoteKind::PositionsDiffer => format!("these share a control but not its positions: {rows}"),
        NoteKind::NotConverged => {
            "the figures did not come to rest; they are the last ones found".to_owned()
        }
    }
}

fn rows(car: &Car, parts: &[PartId], wires: &[WireId]) -> String {
    let parts = parts
        .iter()
        .map(|id| car.part(*id).map_or_else(|| id.to_string(), |part| part.label.clone()));
    let wires = wires
        .iter()
        .map(|id| car.wire(*id).map_or_else(|| id.to_string(), |wire| wire.label.clone()));
    parts.chain(wires).collect::<Vec<_>>().join(", ")
}
