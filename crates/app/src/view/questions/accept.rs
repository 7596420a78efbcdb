//! The box in which a finding is accepted with a reason.

use egui::{Key, Margin, TextEdit, Ui};
use loomwright_rules::REOPENS_AT;

use super::{answers, heading, says};
use crate::action::{AcceptStep, Action};
use crate::rich::rich;
use crate::state::AcceptBox;
use crate::texts::AcceptWords;
use crate::theme::{Theme, plain};

/// Paints it.
pub(super) fn accept_ui(ui: &mut Ui, theme: &Theme, asked: &AcceptBox, actions: &mut Vec<Action>) {
    heading(ui, theme, AcceptWords::accept_this_finding());
    says(ui, theme, &asked.finding.says);
    label(ui, theme, AcceptWords::why_it_may_stay_as_it());
    let mut reason = asked.reason.clone();
    let edit = TextEdit::multiline(&mut reason).desired_rows(3);
    let response = ui.add(edit.desired_width(ui.available_width()).margin(Margin::symmetric(8, 6)));
    let response = response.accessible_name(AcceptWords::reason());
    if response.changed() {
        actions.push(Action::Accept(AcceptStep::Reason(reason)));
    } else if !asked.wants_name && !ui.ctx().text_edit_focused() {
        response.request_focus();
    }
    error_ui(ui, theme, asked.error.as_ref().filter(|_| !asked.wants_name));
    label(ui, theme, AcceptWords::accepted_by());
    let mut by = asked.by.clone();
    let edit = TextEdit::singleline(&mut by).desired_width(ui.available_width());
    let response =
        ui.add(edit.margin(Margin::symmetric(8, 6))).accessible_name(AcceptWords::accepted_by());
    if response.changed() {
        actions.push(Action::Accept(AcceptStep::By(by)));
    }
    // Who types fast has both in one frame.
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        actions.push(Action::Accept(AcceptStep::Take));
    } else if asked.wants_name && !ui.ctx().text_edit_focused() {
        response.request_focus();
    }
    error_ui(ui, theme, asked.error.as_ref().filter(|_| asked.wants_name));
    let note = AcceptWords::it_is_kept_in_the_car(format_args!("{:.0}", REOPENS_AT * 100.0));
    ui.label(rich(note).font(plain(13.0)).color(theme.muted));
    let buttons = [
        (AcceptWords::cancel(), Action::CloseQuestion),
        (AcceptWords::accept(), Action::Accept(AcceptStep::Take)),
    ];
    answers(ui, theme, &buttons, actions);
}

/// Why it could not be taken, below the field that is meant.
fn error_ui(ui: &mut Ui, theme: &Theme, error: Option<&String>) {
    if let Some(error) = error {
        ui.label(rich(error).font(plain(14.0)).color(theme.danger));
    }
}

fn label(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(rich(text).font(plain(13.0)).color(theme.muted));
}
