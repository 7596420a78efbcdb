//! Edits of notes on sheets.

use super::EditError;
use crate::check;
use crate::{Draft, Note, NoteId, Point, Row, RowId};

impl Draft {
    pub(super) fn add_note(&mut self, note: Note) -> Result<(), EditError> {
        let note = tidy(note);
        check::sheet_note(self.car(), &note)?;
        let id = NoteId(self.new_id()?);
        self.put(RowId::Note(id), Some(Row::Note(note)));
        Ok(())
    }

    pub(super) fn set_note(&mut self, id: NoteId, note: Note) -> Result<(), EditError> {
        self.note(id)?;
        let note = tidy(note);
        check::sheet_note(self.car(), &note)?;
        self.put(RowId::Note(id), Some(Row::Note(note)));
        Ok(())
    }

    pub(super) fn move_notes(&mut self, notes: &[NoteId], by: Point) -> Result<(), EditError> {
        check::point("the move", by)?;
        let mut moved = Vec::new();
        for id in notes {
            let mut note = self.note(*id)?.clone();
            note.at = note.at + by;
            check::sheet_note(self.car(), &note)?;
            moved.push((*id, note));
        }
        for (id, note) in moved {
            self.put(RowId::Note(id), Some(Row::Note(note)));
        }
        Ok(())
    }

    pub(super) fn erase_notes(&mut self, notes: &[NoteId]) -> Result<(), EditError> {
        notes.iter().try_for_each(|id| self.note(*id).map(drop))?;
        for id in notes {
            self.put(RowId::Note(*id), None);
        }
        Ok(())
    }
}

/// The note without blanks around it.
fn tidy(mut note: Note) -> Note {
    let text = note.text.replace("\r\n", "\n");
    let text = text.trim_matches('\n').trim_end().to_owned();
    let text = if note.frame.is_some() { text.trim().to_owned() } else { text };
    note.text = text;
    note
}
