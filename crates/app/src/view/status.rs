//! The strip along the bottom: hint or message, counts by level, zoom.

use egui::{Align, Layout, Stroke, Ui};
use loomwright_rules::Level;

use crate::action::{Action, DeskStep};
use crate::analysis::Analysis;
use crate::command::{Command, key_text};
use crate::rich::rich;
use crate::state::{Camera, Mode, Notice, PageLook, State};
use crate::texts::{Board, Pressing, StatusWords, Tries};
use crate::theme::{Theme, medium, plain, semibold};
use crate::tool::{Tool, hint, sentence};
use crate::trial::Lead;
use crate::view::bench::burning_says;
use crate::view::canvas::left_out_says;
use crate::view::widgets::outlined;

/// What the strip shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StatusView {
    /// The hint or message.
    pub says: String,
    /// Whether that is told of what was just done, and no hint that always stands there.
    pub is_news: bool,
    /// Whether the message is a refusal.
    pub is_refusal: bool,
    /// Whether something is under way that can be given up.
    pub is_busy: bool,
    /// What of the lettering has no room as the sheet is seen.
    pub left_out: Option<String>,
    /// Counts by level, those that are not zero.
    pub counts: Vec<(Level, String)>,
    /// "100 %".
    pub zoom: String,
}

/// Builds it.
#[expect(clippy::cast_possible_truncation, reason = "a percentage is small")]
pub fn status_view(state: &State, analysis: &Analysis) -> StatusView {
    let (says, is_refusal) = match (&state.notice, state.mode) {
        (Some(Notice::Refused(text)), _) => (text.clone(), true),
        (Some(Notice::Said(text)), _) => (text.clone(), false),
        (None, Mode::Draw) if let Some(says) = end_hint(state) => (says, false),
        (None, Mode::Draw) => {
            let aimed = match &state.tool {
                Tool::Aiming { at: (part, name), .. } => {
                    let at = crate::words::terminal(state.car(), *part, name);
                    format!("{} · ", sentence(&at))
                }
                _ => String::new(),
            };
            (aimed + hint(&state.tool), false)
        }
        // The list beside the meter has no room for the whole of it.
        (None, Mode::Try) if let Some(says) = burning(state, analysis) => (says, true),
        (None, Mode::Try) => {
            let meter = analysis.trial.as_ref().map(|trial| &trial.meter);
            let in_hand = meter.and_then(|meter| meter.hand);
            let hint = match (in_hand, meter.and_then(|meter| meter.next())) {
                (Some(Lead::Red), _) => Tries::in_hand_red(),
                (Some(Lead::Black), _) => Tries::in_hand_black(),
                (None, Some(Lead::Red)) => Tries::hint_red(),
                (None, Some(Lead::Black)) => Tries::hint_black(),
                (None, None) => Tries::hint(),
            };
            (hint.to_owned(), false)
        }
        (None, Mode::Papers) => (StatusWords::these_pages_go_to_the_garage().to_owned(), false),
    };
    let under_way = state.desk.under_way.as_ref().filter(|(_, it)| !it.is_over());
    let busy = under_way.map(|(says, it)| match it.progress() {
        Some((done, all)) if !it.gives_up() => Pressing::so_far(says, done, all),
        _ => (*says).to_owned(),
    });
    let is_busy = busy.is_some();
    let is_news = is_busy || state.notice.is_some() || state.desk.waits.is_some();
    let busy = busy.or_else(|| state.desk.waits.as_ref().map(|waits| waits.says.clone()));
    let (says, is_refusal) = busy.map_or((says, is_refusal), |busy| (busy, false));
    let left_out = left_out_says(state.car(), &state.desk.left_out);
    let counts = analysis.counts(state.car()).into_iter().filter(|(_, count)| *count > 0);
    let papers = &state.papers;
    let share = match state.mode {
        Mode::Papers => {
            papers.look.map_or(papers.seen.whole_scale, |look| look.scale) / PageLook::FULL_SIZE
        }
        _ => state.camera().scale / Camera::FULL_SIZE,
    };
    let percent = (share * 100.0).round() as i64;
    StatusView {
        says,
        is_news,
        is_refusal,
        is_busy,
        left_out: left_out.filter(|_| !is_news && state.mode != Mode::Papers),
        counts: counts.map(|(level, count)| (level, counted(count, level))).collect(),
        zoom: format!("{percent} %"),
    }
}

/// Wires of the car that is tried that burn now.
fn burning(state: &State, analysis: &Analysis) -> Option<String> {
    burning_says(state, analysis.trial.as_ref()?)
}

/// What a drag does on the end of the selected wire that the pointer is on.
fn end_hint(state: &State) -> Option<String> {
    let end = state.desk.over_end.filter(|_| matches!(state.tool, Tool::Rest))?;
    let wire = &state.car().wire(end.wire)?.label;
    Some(if end.moves { Board::moves_end(wire) } else { Board::runs_another(wire) })
}

/// How many findings of a level, in words.
pub(crate) fn counted(count: usize, level: Level) -> String {
    format!("{count} {}", plural(level, count))
}

fn plural(level: Level, count: usize) -> &'static str {
    match (level, count) {
        (Level::Danger, 1) => "danger",
        (Level::Danger, _) => "dangers",
        (Level::Fault, 1) => "fault",
        (Level::Fault, _) => "faults",
        (Level::Advice, _) => "advice",
    }
}

/// Paints it.
pub fn status_ui(ui: &mut Ui, theme: &Theme, view: &StatusView, actions: &mut Vec<Action>) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.add_space(4.0);
        zoom_ui(ui, theme, &view.zoom, actions);
        ui.add_space(10.0);
        for (n, (level, text)) in view.counts.iter().rev().enumerate() {
            if n > 0 {
                ui.label(rich("·").font(plain(13.0)).color(theme.muted));
            }
            ui.label(rich(text).font(semibold(13.0)).color(theme.level(*level)));
        }
        if let Some(says) = &view.left_out {
            ui.add_space(10.0);
            let label = egui::Label::new(rich(says).font(medium(13.0)).color(theme.muted));
            ui.add(label.truncate());
        }
        ui.add_space(10.0);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            ui.add_space(6.0);
            if view.is_busy {
                busy_ui(ui, theme, actions);
            }
            let colour = match (view.is_refusal, view.is_news) {
                (true, _) => theme.danger,
                (false, true) => theme.ink,
                (false, false) => theme.muted,
            };
            let font = if view.is_news { medium(13.0) } else { plain(13.0) };
            let label = egui::Label::new(rich(&view.says).font(font).color(colour));
            ui.add(label.truncate());
        });
    });
}

/// The way out of what takes its time; the frames until then show how far it is.
fn busy_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    ui.ctx().request_repaint_after(std::time::Duration::from_millis(150));
    if outlined(ui, Pressing::give_up(), theme.ink).clicked() {
        actions.push(Action::Desk(DeskStep::GiveUp));
    }
    ui.add_space(6.0);
}

fn zoom_ui(ui: &mut Ui, theme: &Theme, zoom: &str, actions: &mut Vec<Action>) {
    let buttons = [
        (Command::ZoomIn, "+", StatusWords::nearer()),
        (Command::FullSize, zoom, StatusWords::zoom()),
        (Command::ZoomOut, "−", StatusWords::farther()),
        (Command::WholeSheet, StatusWords::fit(), StatusWords::whole_sheet()),
    ];
    for (command, word, name) in buttons {
        let button = egui::Button::new(rich(word).font(medium(13.0)).color(theme.ink))
            .fill(theme.chrome)
            .stroke(Stroke::NONE)
            .min_size(egui::vec2(24.0, 20.0));
        let response = ui.add(button);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
        if response.clicked() {
            actions.push(Action::Command(command));
        }
        let key = key_text(ui.ctx(), command);
        response.on_hover_text(format!("{} ({key})", command.tip()));
    }
}
