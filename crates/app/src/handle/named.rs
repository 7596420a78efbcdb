//! Names of steps for the history: with the numbers and labels that rows get only as they are planned.

use loomwright_circuit::{Car, Edit, PartId, Patch, Row, RowId, WireId};

use crate::texts::{Board, Steps};

/// What an edit brings that is named once it is planned.
pub(super) enum Brings {
    /// One part.
    Part,
    /// A wire, off those of these numbers where it taps them.
    Wire(Vec<String>),
    /// Rows that were copied.
    Copies,
    /// Nothing: its name is known before.
    Nothing,
}

impl Brings {
    pub(super) fn of(car: &Car, edit: &Edit) -> Self {
        match edit {
            Edit::Place(_) => Self::Part,
            Edit::Run(_) => Self::Wire(Vec::new()),
            Edit::Paste { .. } => Self::Copies,
            Edit::All(edits) => match &**edits {
                [Edit::SetOwnType(_), Edit::Place(_)] => Self::Part,
                [taps @ .., Edit::Run(_)] if taps.iter().all(is_tap) => Self::taps(car, taps),
                [taps @ .., _] if !taps.is_empty() && taps.iter().all(is_tap) => {
                    Self::taps(car, taps)
                }
                _ => Self::Nothing,
            },
            _ => Self::Nothing,
        }
    }

    fn taps(car: &Car, taps: &[Edit]) -> Self {
        let tapped = taps.iter().filter_map(|edit| match edit {
            Edit::Tap { wire, .. } => Some(car.wire(*wire)?.label.clone()),
            _ => None,
        });
        Self::Wire(tapped.collect())
    }

    /// The name of the step that a patch is.
    pub(super) fn name(&self, label: String, patch: &Patch) -> String {
        let (parts, wires) = brought(patch);
        match self {
            Self::Part => match parts.last() {
                Some((_, part)) => Steps::place(part),
                None => label,
            },
            Self::Wire(tapped) => match (tapped.as_slice(), wires.last()) {
                ([], Some((_, wire))) => Steps::run(wire),
                ([], None) => label,
                ([one], Some((_, wire))) => Steps::tap(one, wire),
                (many, Some((_, wire))) => Steps::tap_many(many.join(", "), wire),
                (many, None) => Steps::tap_only(many.join(", ")),
            },
            Self::Copies => match (parts.as_slice(), wires.len()) {
                ([(_, only)], 0) => Steps::paste(only),
                ([], 0) => Steps::paste(Board::one_note()),
                (parts, 0) => Steps::paste_parts(parts.len()),
                (parts, n_wires) => Steps::paste_parts_and_wires(parts.len(), n_wires),
            },
            Self::Nothing => label,
        }
    }
}

fn is_tap(edit: &Edit) -> bool {
    matches!(edit, Edit::Tap { .. })
}

/// Rows with what they are called.
type Called<Id> = Vec<(Id, String)>;

/// The parts and wires that a patch brings, by what they are called, the newest last.
fn brought(patch: &Patch) -> (Called<PartId>, Called<WireId>) {
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    for change in patch.changes.iter().filter(|change| change.before.is_none()) {
        match (&change.row, &change.after) {
            (RowId::Part(id), Some(Row::Part(part))) => parts.push((*id, part.label.clone())),
            (RowId::Wire(id), Some(Row::Wire(wire))) => wires.push((*id, wire.label.clone())),
            _ => {}
        }
    }
    parts.sort();
    wires.sort();
    (parts, wires)
}
