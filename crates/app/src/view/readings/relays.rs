//! What the relays of a part do, in words.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Name, PartType};
use loomwright_electrics::{PartReading, PartState};

use crate::texts::Readings;

/// Whether the relays of a part are in: of several, how many are.
pub(super) fn word(part_type: &PartType, reading: &PartReading) -> Option<String> {
    let relays = coils(part_type, reading).map(|(_, state)| state);
    let relays: Vec<PartState> = relays.collect();
    let n_in = relays.iter().filter(|state| **state == PartState::In).count();
    match relays[..] {
        [] | [PartState::Buzzing] => None,
        [state] => coil_word(state).map(str::to_owned),
        _ if relays.contains(&PartState::Buzzing) => None,
        _ => Some(Readings::so_many_in(n_in, relays.len())),
    }
}

fn coil_word(state: PartState) -> Option<&'static str> {
    match state {
        PartState::In => Some(Readings::pulled_in()),
        PartState::Out => Some(Readings::at_rest()),
        PartState::Buzzing => Some(state.word()),
        _ => None,
    }
}

/// The coils of the relays in a part, each with what it does.
fn coils<'a>(
    part_type: &'a PartType,
    reading: &'a PartReading,
) -> impl Iterator<Item = (&'a [Name; 2], PartState)> {
    part_type.elements.iter().zip(&reading.elements).filter_map(|(row, of_it)| match row {
        Element::Relay { coil, .. } => Some((coil, of_it.state)),
        _ => None,
    })
}

/// Of several relays in one part, what each of them does.
pub(super) fn rows(part_type: &PartType, reading: &PartReading) -> Vec<(String, String)> {
    let rows = coils(part_type, reading)
        .filter_map(|([a, b], state)| Some((Readings::coil(a, b), coil_word(state)?.to_owned())));
    let rows: Vec<_> = rows.collect();
    if rows.len() > 1 { rows } else { Vec::new() }
}
