//! Words for what the electrics say in figures and kinds: notes, settings, places.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, Claim, PartId, Promise, WireId};
use loomwright_electrics::{Move, Network, Note, NoteKind, Setting, SettingError};

use crate::state::Column;

pub mod bench;
pub mod trouble;

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
        SettingError::Holds { control } => {
            format!("{control} holds here: a breaker opens only where it carries more than it can")
        }
        SettingError::Impossible { together } => impossible(together),
    }
}

/// Why positions cannot go together, as the car's parts declare it.
fn impossible(together: &[(String, String)]) -> String {
    let at = |(control, position): &(String, String)| format!("{control} at {position}");
    let engine = together.iter().find_map(|pair| {
        let does = match (pair.0.as_str(), pair.1.as_str()) {
            ("engine", "cranking") => "crank",
            ("engine", "idling") => "idle",
            ("engine", "running") => "run",
            _ => return None,
        };
        Some((pair, does))
    });
    if let Some((pair, does)) = engine {
        let others: Vec<String> = together.iter().filter(|it| *it != pair).map(at).collect();
        return format!("the engine cannot {does} with {}", others.join(" and "));
    }
    let all: Vec<String> = together.iter().map(at).collect();
    format!("{} cannot go together in this car", all.join(" and "))
}

/// "1 state", "1,728 states".
pub fn count(n: u128, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{} {many}", thousands(n)) }
}

/// A number with commas between its thousands.
pub fn thousands(number: u128) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// How much of a car was looked at: "1,728 states of 1,728 settings visited";
/// those of a survey stand for all where its figures are exact.
pub fn visited(states: usize, settings: u128, (is_complete, is_exact): (bool, bool)) -> String {
    let states = count(states as u128, "state", "states");
    let settings = count(settings, "setting", "settings");
    let rest = match (is_complete, is_exact) {
        (true, _) => "",
        (false, true) => ", which stand for all",
        (false, false) => ", which is not all",
    };
    format!("{states} of {settings} visited{rest}")
}

/// Moves in words: "ignition to on, lighting to head".
pub fn moves(moves: &[Move]) -> String {
    if moves.is_empty() {
        return "at rest".to_owned();
    }
    let moves = moves.iter().map(|step| format!("{} to {}", step.control, step.position));
    moves.collect::<Vec<_>>().join(", ")
}

/// A promise in short: "hazard on: Left indicator flashing, Right indicator flashing".
pub fn promise(car: &Car, promise: &Promise) -> String {
    format!("{}: {}", when(car, promise), claims(car, promise, " ", ", "))
}

/// When a promise asks something, in short.
pub fn when(car: &Car, promise: &Promise) -> String {
    let setting = setting(promise);
    match without(car, promise) {
        Some(without) => format!("{setting}, {without}"),
        None => setting,
    }
}

/// The setting in which a promise asks something, in short: "ignition off, hazard on".
pub fn setting(promise: &Promise) -> String {
    let moments = promise.when.iter();
    let moments =
        moments.map(|moment| format!("{} {}", moment.control, moment.positions.join(" or ")));
    let moments: Vec<String> = moments.collect();
    if moments.is_empty() { "always".to_owned() } else { moments.join(", ") }
}

/// The fuses that a promise must hold without, any one of them; nothing where it names none.
pub fn without(car: &Car, promise: &Promise) -> Option<String> {
    let ways = promise.without.iter();
    let ways: Vec<String> =
        ways.map(|way| column(car, &(way.part, way.terminal.clone()))).collect();
    (!ways.is_empty()).then(|| format!("without {}", ways.join(" or ")))
}

/// The same as a sentence: "Whenever lighting stands at head, Left headlamp must be lit".
pub fn promised(car: &Car, promise: &Promise) -> String {
    let when: Vec<String> = promise
        .when
        .iter()
        .map(|moment| format!("{} stands at {}", moment.control, moment.positions.join(" or ")))
        .collect();
    let when = match &*when {
        [] => "At all times".to_owned(),
        when => format!("Whenever {}", when.join(" and ")),
    };
    let without = without(car, promise).map(|text| format!(", also {text}")).unwrap_or_default();
    format!("{when}{without}, {}", claims(car, promise, " must be ", " and "))
}

/// What a promise asks of parts: "Left driving lamp is dark", one after the other.
pub fn claims(car: &Car, promise: &Promise, is: &str, between: &str) -> String {
    let claims = promise
        .then
        .iter()
        .map(|claim| format!("{}{is}{}", claimed(car, claim), claim.must.word()));
    claims.collect::<Vec<_>>().join(between)
}

/// What a claim is of: the part, with the terminal where it names one of several lamps.
pub fn claimed(car: &Car, claim: &Claim) -> String {
    column(car, &(claim.part, claim.terminal.clone()))
}

/// A part, with the terminal where one of its lamps or fuses is meant.
pub fn column(car: &Car, (part, terminal): &Column) -> String {
    let label = car.part(*part).map_or("?", |part| &part.label);
    match terminal {
        Some(terminal) => format!("{label} {terminal}"),
        None => label.to_owned(),
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
        NoteKind::FlashersDrift => {
            format!(
                "two flashers on the same lamps, which drift, so that these flash irregularly: {rows}"
            )
        }
        NoteKind::NotExcited => format!(
            "turns but does not give, as no current through its charge lamp has excited it: {rows}"
        ),
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
