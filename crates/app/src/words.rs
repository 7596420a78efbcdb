//! Words for what the electrics say in figures and kinds: notes, settings, places.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, Claim, PartId, Promise, WireId};
use loomwright_electrics::{Move, Network, Note, NoteKind, Setting, SettingError};
use loomwright_units::thousands;

use crate::state::Column;
use crate::texts::CarWords;

pub mod bench;
pub mod trouble;

/// A terminal for people, who take a dot for the end of a sentence: "terminal 30 of Starter solenoid".
///
/// A joint or an earth point has one terminal; its name would only puzzle.
pub fn terminal(car: &Car, part: PartId, terminal: &str) -> String {
    let is_alone = car.type_of(part).is_some_and(|known| known.terminals.len() == 1);
    let label = trouble::part(car, part);
    if is_alone { label } else { CarWords::terminal_of(terminal, label) }
}

/// The same for where there is little room: "30 of Starter solenoid".
pub fn terminal_short(car: &Car, part: PartId, terminal: &str) -> String {
    let is_alone = car.type_of(part).is_some_and(|known| known.terminals.len() == 1);
    let label = trouble::part(car, part);
    if is_alone { label } else { CarWords::terminal_of_short(terminal, label) }
}

/// What an end of a wire is on, for people.
pub fn end(car: &Car, anchor: &Anchor) -> String {
    match anchor {
        Anchor::Terminal { part, terminal } => self::terminal(car, *part, terminal),
        Anchor::Loose { .. } => CarWords::loose_end().to_owned(),
    }
}

/// A terminal as a sketch and JSON write it, "label.terminal"; a loose end as "loose".
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
            CarWords::there_is_no_control_this_car(control)
        }
        SettingError::NoControl { control, known } => {
            CarWords::there_is_no_control_but(control, known.join(", "))
        }
        SettingError::NoPosition { control, position, known } => {
            CarWords::has_no_position_it_has(control, position, known.join(", "))
        }
        SettingError::Holds { control } => CarWords::holds_here_a_breaker_opens_only(control),
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
        return CarWords::the_engine_cannot_with(does, others.join(" and "));
    }
    let all: Vec<String> = together.iter().map(at).collect();
    CarWords::cannot_go_together_in_this_car(all.join(" and "))
}

/// "1 state", "1,728 states".
pub fn count(n: u128, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{} {many}", thousands(n)) }
}

/// How much of a car was looked at: "1,728 states of 1,728 settings visited";
/// those of a survey stand for all where its figures are exact.
pub fn visited(states: usize, settings: u128, (is_complete, is_exact): (bool, bool)) -> String {
    let states = count(states as u128, "state", "states");
    let settings = count(settings, "setting", "settings");
    let rest = match (is_complete, is_exact) {
        (true, _) => "",
        (false, true) => CarWords::which_stand_for_all(),
        (false, false) => CarWords::which_is_not_all(),
    };
    CarWords::of_visited(&states, &settings, rest)
}

/// Moves in words: "ignition to on, lighting to head".
pub fn moves(moves: &[Move]) -> String {
    if moves.is_empty() {
        return CarWords::at_rest().to_owned();
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
        .map(|moment| CarWords::stands_at(&moment.control, moment.positions.join(" or ")))
        .collect();
    let when = match &*when {
        [] => CarWords::at_all_times().to_owned(),
        when => CarWords::whenever(when.join(" and ")),
    };
    let without = without(car, promise).map(|text| format!(", also {text}")).unwrap_or_default();
    format!("{when}{without}, {}", claims(car, promise, CarWords::must_be(), " and "))
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
        ("engine", "cranking") => CarWords::the_starter_turns_the_engine().to_owned(),
        ("engine", "stopped") => CarWords::the_engine_stops_its_ignition_is().to_owned(),
        (control, position) => CarWords::goes_to_by_itself(control, position),
    }
}

/// A note on what an answer leaves out or assumes, in one sentence.
pub fn note(car: &Car, note: &Note) -> String {
    let rows = rows(car, &note.parts, &note.wires);
    match note.kind {
        NoteKind::SizeAssumed => CarWords::no_size_is_given_for_taken(&rows),
        NoteKind::LengthAssumed => CarWords::no_length_is_given_for_taken(&rows),
        NoteKind::Afloat => CarWords::no_path_to_the_battery_so(&rows),
        NoteKind::Shorted => CarWords::a_supply_is_shorted_only_its(&rows),
        NoteKind::FigureMissing => CarWords::a_figure_is_missing_so_it(&rows),
        NoteKind::Buzzes => CarWords::never_comes_to_rest(&rows),
        NoteKind::FlashersDrift => CarWords::two_flashers_on_the_same_lamps(&rows),
        NoteKind::NotExcited => CarWords::turns_but_does_not_give_as(&rows),
        NoteKind::NoSupply => CarWords::there_is_no_battery().to_owned(),
        NoteKind::PositionsDiffer => CarWords::these_share_a_control_but_not(&rows),
        NoteKind::NotConverged => CarWords::the_figures_did_not_come_to().to_owned(),
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
