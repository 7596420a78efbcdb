//! The car in index form, with a way back to its rows.

use loomwright_circuit::{Car, Control, PartId, Version, WireId};

/// A car resolved for solving. Built once per revision of the car.
#[derive(Debug, Clone)]
pub struct Network {
    controls: Vec<Control>,
    notes: Vec<Note>,
}

/// Something that the answer leaves out or assumes, tied to a row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Note {
    /// What it is.
    pub kind: NoteKind,
    /// Parts concerned.
    pub parts: Vec<PartId>,
    /// Wires concerned.
    pub wires: Vec<WireId>,
}

/// What an answer leaves out or assumes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NoteKind {
    /// A wire without a size was taken as 1 mm².
    SizeAssumed,
    /// A wire without a length was taken as 1 m.
    LengthAssumed,
    /// Parts joined to no supply: their volts are not known.
    Afloat,
    /// A supply is shorted; its current is limited by its own resistance only.
    Shorted,
    /// A figure that the part needs is missing; it was left out.
    FigureMissing,
    /// Relays that never come to rest.
    Buzzes,
    /// There is no battery.
    NoSupply,
    /// Two parts share a control but not its positions.
    PositionsDiffer,
    /// The iteration did not converge; figures are the last ones.
    NotConverged,
}

impl Network {
    /// Resolves a version of the car. Every half-drawn car gives a network; what was assumed stands in the notes.
    pub fn of(car: &Car, version: Version) -> Self {
        let _ = version;
        Self { controls: car.controls(), notes: Vec::new() }
    }

    /// The same network with parts taken out of it: a blown fuse, a dead lamp, a pulled relay.
    #[must_use]
    pub fn without(&self, parts: &[PartId]) -> Self {
        let _ = parts;
        self.clone()
    }

    /// The controls, in the order that settings use.
    pub fn controls(&self) -> &[Control] {
        &self.controls
    }

    /// What was assumed in resolving.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}
