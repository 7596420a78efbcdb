//! Part types of one's own on the shelf: how they are marked, and what can be done with any type.

use egui::{Align2, Painter, Popup, Rect, Response, Stroke, StrokeKind, Ui, vec2};
use loomwright_circuit::{Library, PartType};

use crate::action::{Action, PartStep};
use crate::rich::rich;
use crate::state::State;
use crate::texts::PartWords;
use crate::theme::{Theme, drafting, medium};
use crate::view::beside::{below, close_rows};
use crate::view::shelf::marked::STAR;
use crate::view::widgets::word_button;

/// Room for the mark at the right.
pub(super) const MARK_WIDTH: f32 = 32.0;

/// What the mark of a type tells, if it is one's own.
pub(super) fn mark(state: &State, part_type: &PartType) -> Option<&'static str> {
    let name = &*part_type.name;
    let is_in_car = state.car().own_types().contains_key(name);
    match (is_in_car, state.library.types.contains_key(name)) {
        (true, true) => Some(PartWords::own_tip_both()),
        (true, false) => Some(PartWords::own_tip_car()),
        (false, true) => Some(PartWords::own_tip_library()),
        (false, false) => None,
    }
}

/// Paints the mark: a small tag at the right end of the row.
pub(super) fn mark_ui(painter: &Painter, theme: &Theme, row: Rect) {
    let at = row.right_center() - vec2(STAR + MARK_WIDTH / 2.0 - 2.0, 0.0);
    let tag = Rect::from_center_size(at, vec2(28.0, 15.0));
    painter.rect(tag, 3.0, theme.field, Stroke::new(1.0, theme.edge), StrokeKind::Inside);
    painter.text(at, Align2::CENTER_CENTER, PartWords::own(), drafting(11.0), theme.muted);
}

/// The way to a new one, at the head of the shelf.
pub(super) fn head_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        // Both stand on one line on a small window too.
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.spacing_mut().button_padding.x = 4.0;
        let new = word_button(ui, PartWords::new_type(), theme.ink);
        if new.on_hover_text(PartWords::new_type_tip()).clicked() {
            actions.push(Action::OwnType(PartStep::New));
        }
        let file = word_button(ui, PartWords::from_file(), theme.muted);
        if file.on_hover_text(PartWords::from_file_tip()).clicked() {
            actions.push(Action::OwnType(PartStep::AskTakeIn));
        }
    });
}

/// What can be done with a type: by the other button of the mouse, or by the key for menus.
pub(super) fn menu_ui(
    ui: &Ui,
    state: &State,
    part_type: &PartType,
    response: &Response,
    actions: &mut Vec<Action>,
) {
    if state.desk.opens_menu_here && response.has_focus() {
        Popup::open_id(ui.ctx(), Popup::default_response_id(response));
    }
    below(response).menu(Popup::context_menu(response)).show(|ui| {
        close_rows(ui);
        for (word, step) in choices(state, part_type) {
            let text = rich(word).font(medium(14.0)).color(state.theme().ink);
            if ui.button(text).clicked() {
                actions.push(Action::OwnType(step));
            }
        }
    });
}

fn choices(state: &State, part_type: &PartType) -> Vec<(&'static str, PartStep)> {
    let name = || part_type.name.clone();
    let is_in_car = state.car().own_types().contains_key(&part_type.name);
    let kept = state.library.types.get(&part_type.name);
    let mut choices = vec![(PartWords::make_like(), PartStep::Like(name()))];
    let is_programs = Library::standard().get(&part_type.name).is_some() && !is_in_car;
    if is_programs {
        return choices;
    }
    choices.push((PartWords::change_it(), PartStep::Change(name())));
    choices.push((PartWords::share(), PartStep::Share(name())));
    if is_in_car && kept.is_none_or(|kept| **kept != *part_type) {
        choices.push((PartWords::keep_mine(), PartStep::Keep(name())));
    }
    if kept.is_some() {
        choices.push((PartWords::forget_mine(), PartStep::Forget(name())));
    }
    choices
}
