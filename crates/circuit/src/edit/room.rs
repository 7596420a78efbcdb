//! Room made on a sheet: all that lies beyond a line moves away from it, and what is joined stays joined.

use super::{EditError, route};
use crate::check;
use crate::{Anchor, Draft, Note, NoteId, Part, PartId, Point, Row, RowId, SheetId, Wire, WireId};

/// Room made along one direction of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// All that lies beyond this place moves, mm. A part lies where its origin does, and moves as a whole.
    pub from: f64,
    /// How far, mm; 0 or more.
    pub by: f64,
}

/// Where places of a sheet come to lie.
pub(super) struct Rooms<'a> {
    sheet: SheetId,
    across: &'a [Room],
    down: &'a [Room],
}

impl<'a> Rooms<'a> {
    pub(super) fn of(
        sheet: SheetId,
        across: &'a [Room],
        down: &'a [Room],
    ) -> Result<Self, EditError> {
        let is_room = |room: &Room| room.from.is_finite() && room.by.is_finite() && room.by >= 0.0;
        if across.iter().chain(down).all(is_room) {
            return Ok(Self { sheet, across, down });
        }
        Err(EditError::Refused("room is made at a place on the sheet, and by 0 mm or more".into()))
    }

    fn moved(&self, at: Point) -> Point {
        let beyond = |at: f64, rooms: &[Room]| {
            at + rooms.iter().filter(|room| room.from < at).map(|room| room.by).sum::<f64>()
        };
        Point::new(beyond(at.x, self.across), beyond(at.y, self.down))
    }

    fn part(&self, part: &Part) -> Part {
        let mut part = part.clone();
        part.place.at = self.moved(part.place.at);
        part
    }

    /// A frame grows with what lies in it.
    fn note(&self, note: &Note) -> Note {
        let at = self.moved(note.at);
        let frame = note.frame_on_sheet().map(|frame| self.moved(frame.max) - at);
        Note { at, frame, ..note.clone() }
    }

    /// Loose ends and corners go where their place on the sheet goes.
    fn wire(&self, wire: &Wire) -> Wire {
        let mut wire = wire.clone();
        for end in [&mut wire.from, &mut wire.to] {
            if let Anchor::Loose { sheet, at } = &mut end.at
                && *sheet == self.sheet
            {
                *at = self.moved(*at);
            }
        }
        for corner in &mut wire.route {
            *corner = self.moved(*corner);
        }
        wire
    }
}

impl Draft {
    pub(super) fn make_room(&mut self, rooms: &Rooms<'_>) -> Result<(), EditError> {
        self.sheet(rooms.sheet)?;
        let car = self.car();
        let parts: Vec<(PartId, Part)> = {
            let here = car.parts().iter().filter(|(_, part)| part.sheet == rooms.sheet);
            here.map(|(id, part)| (*id, rooms.part(part))).collect()
        };
        let notes: Vec<(NoteId, Note)> = {
            let here = car.notes().iter().filter(|(_, note)| note.sheet == rooms.sheet);
            here.map(|(id, note)| (*id, rooms.note(note))).collect()
        };
        let wires: Vec<(WireId, Wire, [Option<Point>; 2])> = {
            let at = |end: &crate::End| {
                let (sheet, at) = car.pos_on_sheet(&end.at)?;
                (sheet == rooms.sheet).then(|| rooms.moved(at))
            };
            let ends = car.wires().iter().map(|(id, wire)| (id, wire, wire.ends().map(at)));
            let here = ends.filter(|(_, _, ends)| ends.iter().any(Option::is_some));
            here.map(|(id, wire, ends)| (*id, rooms.wire(wire), ends)).collect()
        };
        parts.iter().try_for_each(|(_, part)| check::point(&part.label, part.place.at))?;
        notes.iter().try_for_each(|(_, note)| check::sheet_note(car, note))?;
        for (_, wire, ends) in &wires {
            let places = ends.iter().flatten().chain(&wire.route);
            places.copied().try_for_each(|at| check::point(&wire.label, at))?;
        }
        for (id, part) in parts {
            self.put_part(id, part);
        }
        for (id, note) in notes {
            self.put(RowId::Note(id), Some(Row::Note(note)));
        }
        for (id, mut wire, ends) in wires {
            // A terminal goes with its part, and not where its place on the sheet goes.
            if let ([Some(from), Some(to)], false) = (ends, wire.route.is_empty()) {
                route::follow(self.car(), &mut wire, [from, to]);
            }
            self.put_wire(id, wire);
        }
        Ok(())
    }
}
