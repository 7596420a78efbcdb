//! The box in which a finding is accepted with a reason.

use egui::{Margin, RichText, TextEdit, Ui};
use loomwright_rules::REOPENS_AT;

use super::{answers, heading, says};
use crate::action::{AcceptStep, Action};
use crate::state::AcceptBox;
use crate::theme::{Theme, plain};

/// Paints it.
pub(super) fn accept_ui(ui: &mut Ui, theme: &Theme, asked: &AcceptBox, actions: &mut Vec<Action>) {
    heading(ui, theme, "Accept this finding?");
    says(ui, theme, &asked.finding.says);
    label(ui, theme, "Why it may stay as it is");
    let mut reason = asked.reason.clone();
    let edit = TextEdit::multiline(&mut reason).desired_rows(3);
    let response = ui.add(edit.desired_width(ui.available_width()).margin(Margin::symmetric(8, 6)));
    let response = response.accessible_name("Reason");
    if response.changed() {
        actions.push(Action::Accept(AcceptStep::Reason(reason)));
    } else if !ui.ctx().text_edit_focused() {
        response.request_focus();
    }
    if let Some(error) = &asked.error {
        ui.label(RichText::new(error).font(plain(14.0)).color(theme.danger));
    }
    label(ui, theme, "Accepted by");
    let mut by = asked.by.clone();
    let edit = TextEdit::singleline(&mut by).desired_width(ui.available_width());
    let response = ui.add(edit.margin(Margin::symmetric(8, 6))).accessible_name("Accepted by");
    if response.changed() {
        actions.push(Action::Accept(AcceptStep::By(by)));
    }
    let note = format!(
        "It is kept in the car file with its figures and today's date, printed in the papers, and counts as open no \
         longer. It comes back once a figure differs by more than {:.0} %, or its level changes.",
        REOPENS_AT * 100.0
    );
    ui.label(RichText::new(note).font(plain(13.0)).color(theme.muted));
    let buttons = [("Cancel", Action::CloseQuestion), ("Accept", Action::Accept(AcceptStep::Take))];
    answers(ui, theme, &buttons, actions);
}

fn label(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(RichText::new(text).font(plain(13.0)).color(theme.muted));
}
