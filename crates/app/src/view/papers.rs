//! Papers: the pages down the side by name, and the page itself on a plain table-top.

use egui::Ui;

use crate::action::Action;
use crate::state::State;

/// Paints the pages.
pub fn papers_ui(ui: &mut Ui, state: &State, _actions: &mut Vec<Action>) {
    ui.painter().rect_filled(ui.max_rect(), 0.0, state.theme().hover);
}
