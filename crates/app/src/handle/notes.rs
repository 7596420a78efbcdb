//! Writing notes on the sheet, and framing groups.

use loomwright_circuit::{Box2, Edit, Note, NoteId, Point};
use loomwright_drawing::Subject;

use crate::handle::edits::try_commit;
use crate::handle::{Shell, bring_into_view};
use crate::state::{Mode, Notice, Selection, State};
use crate::texts::Board;
use crate::tool::Tool;

/// A frame keeps this far from what it goes around, mm.
const AROUND: f64 = 7.5;

/// Sets a note near a place, clear of all that is drawn, and has its text written.
pub(super) fn write(state: &mut State, shell: &mut Shell<'_>, at: Point) {
    if state.mode != Mode::Draw {
        return;
    }
    let text = Board::new_note().to_owned();
    let note = Note { sheet: state.sheet, at: at.snapped(2.5), text, frame: None };
    let edit = Edit::AddNote(note.clone());
    let by = shell.analysis.free_shift(state, state.sheet, &edit).unwrap_or_default();
    let note = Note { at: note.at + by, ..note };
    add(state, shell, Board::add_note(), note);
}

/// Draws a frame around the selected parts, with their lettering.
pub(super) fn frame(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    let chosen = &state.selection.parts;
    let areas = laid.items.iter().filter_map(|item| match item.subject {
        Subject::Part(id) | Subject::Label(id) if chosen.contains(&id) => Some(item.bounds),
        _ => None,
    });
    let Some(area) = areas.reduce(Box2::union).filter(|_| state.mode == Mode::Draw) else {
        state.notice = Some(Notice::Refused(Board::frame_what().to_owned()));
        return;
    };
    let area = area.grown(AROUND);
    let (at, far) = (area.min.snapped(2.5), area.max.snapped(2.5));
    let text = Board::new_frame().to_owned();
    let note = Note { sheet: state.sheet, at, text, frame: Some(far - at) };
    add(state, shell, Board::frame_group(), note);
}

fn add(state: &mut State, shell: &mut Shell<'_>, label: &str, note: Note) {
    state.tool = Tool::Rest;
    if try_commit(state, label.to_owned(), Edit::AddNote(note)).is_err() {
        return;
    }
    let id = NoteId(state.car().last_id());
    state.selection = Selection::note(id);
    state.writes_note = Some(id);
    let shown = state.selection.clone();
    bring_into_view(state, shell, &shown);
}
