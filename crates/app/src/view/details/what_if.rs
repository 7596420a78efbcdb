//! What would go wrong with what is selected: a section that is folded away until it is asked for.

use egui::{Align, Color32, CornerRadius, Layout, Sense, Stroke, Ui, vec2};
use egui::{Role, WidgetInfo};
use loomwright_electrics::Move;

use crate::action::Action;
use crate::analysis::{Analysis, Progress};
use crate::rich::rich;
use crate::state::State;
use crate::texts::WhatIfDetails;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::{card_ui, elided_label, fold_ui, word_button};
use crate::what_if::{Row, Sign};

/// The section.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIfView {
    /// Whether it is unfolded.
    pub is_open: bool,
    /// What is waited for, in one sentence.
    pub waits: Option<&'static str>,
    /// The answers.
    pub rows: Vec<Row>,
}

/// Builds it; nothing where there is nothing to ask.
pub fn what_if_view(state: &State, analysis: &Analysis) -> Option<WhatIfView> {
    let suspect = state.asks_about()?;
    let answers = analysis
        .answers
        .as_ref()
        .filter(|answers| answers.suspect == suspect && answers.revision == state.doc.revision);
    let waits = match (&answers, &analysis.progress) {
        (Some(answers), _) if answers.rows.is_empty() => {
            Some(WhatIfDetails::nothing_can_be_said_of_it())
        }
        (Some(_), _) => None,
        (None, Progress::Failed(_)) => Some(WhatIfDetails::the_check_of_this_car_failed()),
        (None, Progress::Done) => Some(WhatIfDetails::being_worked_out()),
        (None, _) => Some(WhatIfDetails::comes_after_the_check_of_all()),
    };
    let rows = answers.map_or_else(Vec::new, |answers| answers.rows.clone());
    Some(WhatIfView { is_open: state.unfolded.what_if, waits, rows })
}

/// Paints it.
pub fn what_if_ui(ui: &mut Ui, theme: &Theme, view: &WhatIfView, actions: &mut Vec<Action>) {
    ui.add_space(2.0);
    let tip = WhatIfDetails::what_a_fault_of_this_would();
    if fold_ui(ui, theme, WhatIfDetails::what_if(), tip, view.is_open) {
        actions.push(Action::AskWhatIf(!view.is_open));
    }
    if !view.is_open {
        return;
    }
    if let Some(waits) = view.waits {
        ui.label(rich(waits).font(plain(13.0)).color(theme.muted));
    }
    if view.rows.is_empty() {
        return;
    }
    card_ui(ui, theme, |ui| {
        for (row_idx, row) in view.rows.iter().enumerate() {
            if row_idx > 0 {
                ui.separator();
            }
            row_ui(ui, theme, row, actions);
        }
    });
}

fn row_ui(ui: &mut Ui, theme: &Theme, row: &Row, actions: &mut Vec<Action>) {
    let (sign, word) = row.sign;
    let colour = match sign {
        Sign::Danger => theme.danger,
        Sign::Fault => theme.fault,
        Sign::Well => theme.well,
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(rich(word).font(semibold(12.5)).color(colour));
            sign_ui(ui, sign, colour);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                elided_label(ui, &row.question, semibold(13.5), theme.ink);
            });
        });
    });
    ui.label(rich(&row.says).font(plain(13.5)).color(theme.ink));
    for more in &row.more {
        ui.label(rich(more).font(plain(12.5)).color(theme.muted));
    }
    if let Some(moves) = &row.moves {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                show_ui(ui, theme, row, moves, actions);
            });
        });
    }
}

/// Goes to Try with the moves made.
fn show_ui(ui: &mut Ui, theme: &Theme, row: &Row, moves: &[Move], actions: &mut Vec<Action>) {
    let response = word_button(ui, WhatIfDetails::show_me(), theme.ink);
    let setting = crate::words::moves(moves);
    let response =
        response.on_hover_text(rich(WhatIfDetails::goes_to_try_in_the_setting(&setting)));
    if response.clicked() {
        // The car that is tried is sound; what the fault would do is told beside it.
        let says = WhatIfDetails::in_this_setting(&row.question, &row.says);
        actions.push(Action::ShowSetting(moves.to_vec(), says));
    }
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, WhatIfDetails::show_me_named(&row.question))
    });
}

/// The shapes of tags: pointed, square, round.
fn sign_ui(ui: &mut Ui, sign: Sign, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(11.0, 11.0), Sense::hover());
    match sign {
        Sign::Danger => {
            let points = vec![rect.center_top(), rect.right_bottom(), rect.left_bottom()];
            ui.painter().add(egui::Shape::convex_polygon(points, colour, Stroke::NONE));
        }
        Sign::Fault => {
            ui.painter().rect_filled(rect.shrink(1.0), CornerRadius::ZERO, colour);
        }
        Sign::Well => {
            ui.painter().circle_filled(rect.center(), 4.8, colour);
        }
    }
}
