//! What was accepted: below the findings that are open.

use egui::{Align, Layout, Ui};
use loomwright_circuit::AcceptedId;
use loomwright_rules::{for_reader, no_longer_found};

use crate::action::{AcceptStep, Action};
use crate::analysis::{Analysis, Progress};
use crate::rich::rich;
use crate::state::State;
use crate::texts::AcceptedWords;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::{card_ui, elided_label, group_ui, word_button};

/// A finding that was accepted.
#[derive(Debug, Clone, PartialEq)]
pub struct AcceptedView {
    /// Its row in the car.
    pub id: AcceptedId,
    /// Which finding it is; nothing where it is found no longer.
    pub finding_idx: Option<usize>,
    /// Its heading, or the rule's code where it is found no longer.
    pub title: String,
    /// Its level.
    pub level: &'static str,
    /// What is wrong.
    pub says: String,
    /// By whom, when and why it was accepted.
    pub accepted: String,
}

pub(super) fn accepted(state: &State, analysis: &Analysis) -> Vec<AcceptedView> {
    let car = state.car();
    let found = analysis.findings(car).filter_map(|(finding_idx, finding)| {
        let accepted = finding.accepted.as_ref().filter(|_| finding.is_accepted())?;
        Some(AcceptedView {
            id: accepted.id,
            finding_idx: Some(finding_idx),
            title: finding.title.to_owned(),
            level: finding.level.word(),
            says: finding.says.clone(),
            accepted: crate::tool::sentence(&accepted.says()),
        })
    });
    let mut views: Vec<AcceptedView> = found.collect();
    if analysis.progress == Progress::Done {
        let gone = no_longer_found(car, &analysis.report.findings);
        views.extend(gone.into_iter().filter_map(|id| {
            let row = car.accepted().get(&id)?;
            Some(AcceptedView {
                id,
                finding_idx: None,
                title: AcceptedWords::found_no_longer(&row.code),
                level: row.level.word(),
                says: for_reader(car, &row.says),
                accepted: AcceptedWords::was_accepted(&row.reason),
            })
        }));
    }
    views
}

pub(super) fn accepted_ui(
    ui: &mut Ui,
    theme: &Theme,
    views: &[AcceptedView],
    actions: &mut Vec<Action>,
) {
    if views.is_empty() {
        return;
    }
    group_ui(ui, theme, AcceptedWords::accepted());
    for view in views {
        card_ui(ui, theme, |ui| one_ui(ui, theme, view, actions));
    }
}

fn one_ui(ui: &mut Ui, theme: &Theme, view: &AcceptedView, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 3.0;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(rich(view.level).font(semibold(12.5)).color(theme.muted));
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                elided_label(ui, &view.title, semibold(13.5), theme.ink);
            });
        });
    });
    ui.label(rich(&view.says).font(plain(12.5)).color(theme.muted));
    ui.label(rich(&view.accepted).font(plain(13.0)).color(theme.ink));
    ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        ui.spacing_mut().button_padding.x = 5.0;
        let response = word_button(ui, AcceptedWords::withdraw(), theme.ink);
        let response = response.on_hover_text(AcceptedWords::it_counts_as_open_again());
        if response.clicked() {
            actions.push(Action::Accept(AcceptStep::Withdraw(view.id)));
        }
        response.accessible_name(AcceptedWords::withdraw_named(view.id));
        let Some(finding_idx) = view.finding_idx else { return };
        let response = word_button(ui, AcceptedWords::show_me(), theme.ink);
        if response.clicked() {
            actions.push(Action::ShowMe(finding_idx));
        }
        response.accessible_name(AcceptedWords::show_me_finding(finding_idx + 1));
    });
}
