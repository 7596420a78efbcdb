//! Figures and words as the papers print them.

use std::cmp::Ordering;

use loomwright_circuit::{Anchor, Car, PartId, WireId};
use loomwright_electrics::Move;

/// A terminal with its part. The terminal comes first: in "Fuse 1 2" nobody sees where the name ends.
///
/// "2 of Fuse 1", "Green joint"; nothing where a wire is on no part.
pub(crate) fn at_terminal(part: &str, terminal: &str) -> String {
    match terminal {
        "" => part.to_owned(),
        terminal => format!("{terminal} of {part}"),
    }
}

/// Compares as people count: W2 before W10, letters without regard to case first.
pub(crate) fn by_count(a: &str, b: &str) -> Ordering {
    let (mut rest_a, mut rest_b) = (a, b);
    loop {
        let (chunk_a, chunk_b) = (chunk(rest_a), chunk(rest_b));
        if chunk_a.is_empty() || chunk_b.is_empty() {
            return chunk_a.len().cmp(&chunk_b.len()).then_with(|| a.cmp(b));
        }
        let order = match (chunk_a.parse::<u64>(), chunk_b.parse::<u64>()) {
            (Ok(number_a), Ok(number_b)) => number_a.cmp(&number_b),
            _ => chunk_a.to_lowercase().cmp(&chunk_b.to_lowercase()),
        };
        if order != Ordering::Equal {
            return order;
        }
        (rest_a, rest_b) = (&rest_a[chunk_a.len()..], &rest_b[chunk_b.len()..]);
    }
}

/// The run of digits, or of anything else, that a text starts with.
fn chunk(text: &str) -> &str {
    let Some(first) = text.chars().next() else { return text };
    let is_digit = first.is_ascii_digit();
    let end = text.find(|c: char| c.is_ascii_digit() != is_digit).unwrap_or(text.len());
    &text[..end]
}

/// Label and terminal of what a wire's end is joined to; both are empty at a loose end.
pub(crate) fn place<'a>(car: &'a Car, anchor: &'a Anchor) -> (&'a str, &'a str) {
    match anchor {
        Anchor::Loose { .. } => ("", ""),
        Anchor::Terminal { part, terminal } => {
            let Some(part_row) = car.part(*part) else { return ("", terminal) };
            let has_one =
                car.type_of(*part).is_some_and(|part_type| part_type.terminals.len() == 1);
            // A joint or an earth point has one terminal; its name would only puzzle.
            (&part_row.label, if has_one { "" } else { terminal })
        }
    }
}

/// Moves in words: "ignition to on, then hazard to on".
pub(crate) fn moves(moves: &[Move]) -> String {
    let each = moves.iter().map(|step| format!("{} to {}", step.control, step.position));
    each.collect::<Vec<_>>().join(", then ")
}

/// Labels of parts, then of wires.
pub(crate) fn labels(car: &Car, parts: &[PartId], wires: &[WireId]) -> Vec<String> {
    let parts = parts.iter().filter_map(|id| car.part(*id)).map(|part| part.label.clone());
    let wires = wires.iter().filter_map(|id| car.wire(*id)).map(|wire| wire.label.clone());
    parts.chain(wires).collect()
}

/// "A, B and C"; of more than so many, "A, B and 3 more".
pub(crate) fn listed(names: &[String], most: usize) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] if names.len() <= most => format!("{} and {last}", before.join(", ")),
        _ => {
            let kept = most.saturating_sub(1).max(1);
            format!("{} and {} more", names[..kept].join(", "), names.len() - kept)
        }
    }
}

/// "A", "A or B", "A, B or C".
pub(crate) fn listed_or(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} or {last}", before.join(", ")),
    }
}

/// One line of at most `most` characters; what is longer ends in an ellipsis.
pub(crate) fn shortened(text: &str, most: usize) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= most {
        return line;
    }
    let kept: String = line.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// Said beside what is asked of something that does otherwise as drawn.
pub(crate) fn broken_as_drawn(state: &str) -> String {
    format!("as drawn it is {state}: a broken promise, not passed so; read Findings")
}

/// Positions that say by themselves how a control stands.
const STATES: [&str; 11] = [
    "on", "off", "open", "closed", "shut", "pressed", "pulled", "stopped", "cranking", "idling",
    "running",
];

/// "brake pressed", "Dip switch at main".
pub(crate) fn stands(control: &str, position: &str) -> String {
    let at = if STATES.contains(&position) { "" } else { "at " };
    format!("{control} {at}{position}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_sort_as_people_count() {
        let mut labels = ["W10", "w3", "W2", "Lamp 12", "Lamp 2", "W2a", ""];
        labels.sort_by(|a, b| by_count(a, b));
        assert_eq!(labels, ["", "Lamp 2", "Lamp 12", "W2", "W2a", "w3", "W10"]);
    }
}
