//! The details of a note or a frame.

use egui::Ui;
use egui::text::{CCursor, CCursorRange};
use loomwright_circuit::NoteId;

use crate::action::{Action, BoardStep};
use crate::command::Command;
use crate::rich::rich;
use crate::state::{Field, State};
use crate::texts::Board;
use crate::theme::{Theme, plain};
use crate::view::widgets::{FieldView, field_id, heading_ui, lines_ui, outlined};

/// What the details show of a note.
#[derive(Debug, Clone, PartialEq)]
pub struct NoteView {
    heading: &'static str,
    says: &'static str,
    text: FieldView,
    /// A frame has a title, a note some lines.
    rows: usize,
    /// Whether its text is to be written now.
    is_new: bool,
}

/// Builds it.
pub(super) fn note_view(state: &State, id: NoteId) -> Option<NoteView> {
    let note = state.car().notes().get(&id)?;
    let [heading, says, label] = if note.frame.is_some() {
        [Board::frame(), Board::frame_says(), Board::frame_title()]
    } else {
        [Board::note(), Board::note_says(), Board::note_text()]
    };
    let text = FieldView::new(state, Field::NoteText(id), label, note.text.clone());
    let rows = if note.frame.is_some() { 1 } else { 2 };
    Some(NoteView { heading, says, text, rows, is_new: state.writes_note == Some(id) })
}

/// Gives a field the keyboard with all of its text selected, so that what is typed takes its place.
fn write_over(ui: &Ui, id: egui::Id, text: &str) {
    let mut edit = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(text.chars().count()));
    edit.cursor.set_char_range(Some(all));
    edit.store(ui.ctx(), id);
    ui.memory_mut(|memory| memory.request_focus(id));
}

/// Paints it.
pub(super) fn note_ui(ui: &mut Ui, theme: &Theme, view: &NoteView, actions: &mut Vec<Action>) {
    heading_ui(ui, theme, view.heading, "", theme.ink);
    ui.label(rich(view.says).font(plain(13.5)).color(theme.muted));
    ui.add_space(2.0);
    lines_ui(ui, theme, &view.text, view.rows, actions);
    if view.is_new {
        write_over(ui, field_id(&view.text.field), &view.text.text);
        actions.push(Action::Board(BoardStep::WritesNote));
    }
    ui.horizontal(|ui| {
        for command in [Command::Duplicate, Command::Delete] {
            let response = outlined(ui, command.text(), theme.ink);
            if response.clicked() {
                actions.push(Action::Command(command));
            }
            response.on_hover_text(command.tip());
        }
    });
}
