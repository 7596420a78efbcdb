//! Edits: what a person wants changed; [`Car::plan`] says which rows that changes, and how.

use std::sync::Arc;

use loomwright_units::exact;

use crate::car::Sheet;
use crate::{
    Accepted, AcceptedId, Car, Draft, Name, Note, NoteId, Part, PartId, PartType, Patch, Point,
    Promise, PromiseId, SheetId, Standing, Vehicle, Wire, WireId,
};

pub(crate) mod canonical;
mod copy;
mod erase;
mod facts;
mod label;
mod notes;
mod place;
mod room;
mod route;
mod run;
mod tap;

pub use room::Room;
use room::Rooms;

/// An intention on the document.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Places a new part. An empty label is numbered from the type's stem.
    Place(Part),
    /// Rewrites a part: label, facts, controls, note, place.
    SetPart(PartId, Part),
    /// Moves parts; hand-drawn corners of wires that have both ends among them move along.
    Move {
        /// The parts.
        parts: Vec<PartId>,
        /// How far, mm.
        by: Point,
    },
    /// Turns parts a quarter clockwise, each about its own origin, or several about their common middle.
    Turn(Vec<PartId>),
    /// Mirrors parts left to right, several about their common middle.
    Mirror(Vec<PartId>),
    /// Makes room on a sheet: all that lies beyond a line moves away from it, corners, notes and frames too.
    MakeRoom {
        /// The sheet.
        sheet: SheetId,
        /// Room across it: what lies further right moves to the right.
        across: Vec<Room>,
        /// Room down it: what lies further down moves down.
        down: Vec<Room>,
    },
    /// Runs a new wire. An empty label takes the next free number.
    Run(Wire),
    /// Corrects what is known of a wire; its standing stays.
    SetWire(WireId, Wire),
    /// Changes a wire as part of the alteration: an as-found one becomes one to remove, with a new one to fit beside
    /// it; one that is to fit is simply rewritten. Where the new one says that it keeps the cable of this one, it is the
    /// same lead with an end moved.
    AlterWire(WireId, Wire),
    /// Cuts a wire and sets a joint there, so that another wire can be joined to it.
    Tap {
        /// The wire to cut.
        wire: WireId,
        /// The sheet that the joint is drawn on.
        sheet: SheetId,
        /// Where on it.
        at: Point,
        /// Standing of what comes new: with [`Standing::ToFit`], an as-found wire makes a pair as in `AlterWire`.
        standing: Standing,
    },
    /// Cuts a wire and sets a new part between its two pieces. Where the part is to fit, an as-found wire makes a pair
    /// as in `AlterWire`, with two pieces to fit.
    CutIn {
        /// The wire to cut.
        wire: WireId,
        /// The part, placed; an empty label is numbered.
        part: Box<Part>,
        /// Its terminals: that for the piece from the wire's first end, and that for the piece to its second.
        ends: [Name; 2],
    },
    /// Erases rows, and every wire that would lose an end.
    Erase {
        /// Parts to erase.
        parts: Vec<PartId>,
        /// Wires to erase.
        wires: Vec<WireId>,
    },
    /// Takes rows away as part of the alteration: as-found ones are marked to remove, ones to fit are erased.
    TakeAway {
        /// Parts to take away.
        parts: Vec<PartId>,
        /// Wires to take away.
        wires: Vec<WireId>,
    },
    /// Sets the standing of rows.
    Mark {
        /// Parts to mark.
        parts: Vec<PartId>,
        /// Wires to mark.
        wires: Vec<WireId>,
        /// Their new standing.
        standing: Standing,
    },
    /// Pastes copied rows onto a sheet, with new ids, labels made unique, and everything of this standing.
    Paste {
        /// What was copied.
        clip: Clip,
        /// The sheet to paste onto.
        sheet: SheetId,
        /// How far from where it was copied, mm.
        by: Point,
        /// Standing of the new rows.
        standing: Standing,
    },
    /// Adds a sheet.
    AddSheet(Sheet),
    /// Rewrites a sheet's heading.
    SetSheet(SheetId, Sheet),
    /// Erases a sheet with all that is on it; the last one stays.
    EraseSheet(SheetId),
    /// Rewrites the vehicle's facts.
    SetVehicle(Vehicle),
    /// Adds a promise.
    AddPromise(Promise),
    /// Rewrites a promise.
    SetPromise(PromiseId, Promise),
    /// Erases a promise.
    ErasePromise(PromiseId),
    /// Adds a note to a sheet.
    AddNote(Note),
    /// Rewrites a note.
    SetNote(NoteId, Note),
    /// Moves notes.
    MoveNotes {
        /// The notes.
        notes: Vec<NoteId>,
        /// How far, mm.
        by: Point,
    },
    /// Erases notes.
    EraseNotes(Vec<NoteId>),
    /// Accepts a finding.
    Accept(Accepted),
    /// Takes an acceptance back.
    Withdraw(AcceptedId),
    /// Adds or rewrites a part type of the car's own.
    SetOwnType(Arc<PartType>),
    /// Several edits as one, each seeing the result of those before it.
    All(Vec<Self>),
}

/// Copied rows: parts, the wires between them, and the own part types they need.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clip {
    /// The parts, under the ids they had.
    pub parts: Vec<(PartId, Part)>,
    /// The wires between those parts; of a whole circuit, also those with a loose end.
    pub wires: Vec<Wire>,
    /// Part types that only their car has.
    pub own_types: Vec<PartType>,
    /// Notes on their sheet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Note>,
    /// Promises about those parts, where a whole circuit was copied.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub promises: Vec<Promise>,
}

/// Why an edit cannot be done.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The row is not in the car.
    #[error("there is no {0} in this car")]
    Missing(String),
    /// A label is taken.
    #[error("another {what} is called '{label}'; labels must differ")]
    LabelTaken {
        /// Part or wire.
        what: &'static str,
        /// The label.
        label: String,
    },
    /// The part type is unknown.
    #[error("no part type is called '{0}'")]
    UnknownType(String),
    /// The terminal is not on the part.
    #[error("{part} has no terminal '{terminal}'")]
    UnknownTerminal {
        /// The part's label.
        part: String,
        /// The terminal named.
        terminal: String,
    },
    /// A wire from a terminal to itself.
    #[error("both ends of the wire are on {0}")]
    SameEnds(String),
    /// A figure outside what its fact accepts.
    #[error("{fact} must be from {} to {} {unit}", exact(*least), exact(*greatest))]
    OutOfRange {
        /// The fact's title.
        fact: String,
        /// The least accepted.
        least: f64,
        /// The greatest accepted.
        greatest: f64,
        /// The unit.
        unit: String,
    },
    /// A name, text or number that cannot stand in a car file.
    #[error("{0}")]
    Refused(String),
}

impl Car {
    /// What an edit would change. Pure: the car stays as it is.
    ///
    /// # Errors
    /// An edit that this car cannot take, with the reason.
    pub fn plan(&self, edit: Edit) -> Result<Patch, EditError> {
        let mut draft = Draft::of(self);
        draft.edit(edit)?;
        Ok(draft.patch())
    }

    /// The last id given. The next row that an edit adds gets the one after it, so that one [`Edit::All`] can place
    /// a part and run wires to it.
    pub fn last_id(&self) -> u32 {
        self.last_id
    }
}

impl Draft {
    /// Makes an edit in the draft. One that is refused leaves the draft as it was, but for [`Edit::All`], which may
    /// stop half-way.
    ///
    /// # Errors
    /// An edit that the car cannot take, with the reason.
    pub fn edit(&mut self, edit: Edit) -> Result<(), EditError> {
        match edit {
            Edit::Place(part) => self.place(part).map(drop),
            Edit::SetPart(id, part) => self.set_part(id, part),
            Edit::Move { parts, by } => self.shift(&parts, by),
            Edit::Turn(parts) => self.turn(&parts),
            Edit::Mirror(parts) => self.mirror(&parts),
            Edit::MakeRoom { sheet, across, down } => {
                self.make_room(&Rooms::of(sheet, &across, &down)?)
            }
            Edit::Run(wire) => self.run(wire).map(drop),
            Edit::SetWire(id, wire) => self.set_wire(id, wire),
            Edit::AlterWire(id, wire) => self.alter_wire(id, wire),
            Edit::Tap { wire, sheet, at, standing } => self.tap(wire, (sheet, at), standing),
            Edit::CutIn { wire, part, ends } => self.cut_in(wire, *part, &ends),
            Edit::Erase { parts, wires } => self.erase(&parts, &wires),
            Edit::TakeAway { parts, wires } => self.take_away(&parts, &wires),
            Edit::Mark { parts, wires, standing } => self.mark(&parts, &wires, standing),
            Edit::Paste { clip, sheet, by, standing } => self.paste(clip, sheet, by, standing),
            Edit::AddSheet(sheet) => self.add_sheet(sheet),
            Edit::SetSheet(id, sheet) => self.set_sheet(id, sheet),
            Edit::EraseSheet(id) => self.erase_sheet(id),
            Edit::SetVehicle(vehicle) => self.set_vehicle(vehicle),
            Edit::AddPromise(promise) => self.add_promise(promise),
            Edit::SetPromise(id, promise) => self.set_promise(id, promise),
            Edit::ErasePromise(id) => self.erase_promise(id),
            Edit::AddNote(note) => self.add_note(note),
            Edit::SetNote(id, note) => self.set_note(id, note),
            Edit::MoveNotes { notes, by } => self.move_notes(&notes, by),
            Edit::EraseNotes(notes) => self.erase_notes(&notes),
            Edit::Accept(accepted) => self.accept(accepted),
            Edit::Withdraw(id) => self.withdraw(id),
            Edit::SetOwnType(part_type) => self.set_own_type(part_type),
            Edit::All(edits) => edits.into_iter().try_for_each(|edit| self.edit(edit)),
        }
    }
}
