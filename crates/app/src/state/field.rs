//! Fields of the details, and what is typed or proposed in them.

use loomwright_circuit::{Name, NoteId, PartId, SheetId, WireId};
use loomwright_rules::SizeReason;

use crate::tool::Offer;

/// A field of the details panel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// Number of a wire.
    WireLabel(WireId),
    /// Colours of a wire.
    WireColour(WireId),
    /// Size of a wire.
    WireSize(WireId),
    /// Length of a wire.
    WireLength(WireId),
    /// Note on a wire.
    WireNote(WireId),
    /// Label of a part.
    PartLabel(PartId),
    /// A fact of a part.
    PartFact(PartId, Name),
    /// The car's name for a control of a part.
    PartControl(PartId, Name),
    /// A length that is seen of a part, by the key of its question.
    PartSeen(PartId, Name),
    /// When the vehicle was first used.
    FirstUsed,
    /// Note on a part.
    PartNote(PartId),
    /// Text of a note on a sheet.
    NoteText(NoteId),
    /// Name of the vehicle.
    VehicleName,
    /// What the alteration is for.
    VehiclePurpose,
    /// Notes on the vehicle.
    VehicleNotes,
    /// Title of a sheet.
    SheetTitle(SheetId),
    /// Size of all selected wires.
    ManySizes,
    /// Colours of all selected wires.
    ManyColours,
    /// Length of each of the selected wires.
    ManyLengths,
}

/// What is being typed into a field, until it is understood.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    /// The text as typed.
    pub text: String,
    /// Why it was not understood.
    pub error: Option<String>,
}

/// What the program chose for a wire that was run, until a person does.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Proposed {
    /// Whether its colour is such.
    pub has_colour: bool,
    /// Whether its size is, and why it is that; without a reason it is the size of a wire that it meets.
    pub size: Option<Option<SizeReason>>,
    /// Whether the fittings at its ends are, that of the `to` end second.
    pub fittings: [bool; 2],
}

impl Proposed {
    /// What was offered is taken, or something else was chosen in its place.
    pub fn decide(&mut self, offer: Offer) {
        match offer {
            Offer::Colour(_) => self.has_colour = false,
            Offer::Size(..) => self.size = None,
            Offer::Fitting(is_to, _) => self.fittings[usize::from(is_to)] = false,
        }
    }
}
