//! The findings as cards.

use egui::{Align, Layout, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_circuit::Edit;
use loomwright_rules::{Level, Needs, help};

use crate::action::Action;
use crate::analysis::{Analysis, Progress};
use crate::state::State;
use crate::theme::{Theme, plain, semibold};
use crate::view::widgets::{elided_label, outlined, word_button};
use crate::words::{count, thousands};

/// What the list shows.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingsView {
    /// "tried 400 of 1,536 settings".
    pub progress: String,
    /// How many settings and states that is.
    pub extent: String,
    /// The cards.
    pub cards: Vec<CardView>,
    /// What could not be checked.
    pub not_checked: Vec<String>,
    /// What to say where there are no cards.
    pub empty: &'static str,
}

/// One card.
#[derive(Debug, Clone, PartialEq)]
pub struct CardView {
    /// Which finding.
    pub finding_idx: usize,
    /// Its heading.
    pub title: &'static str,
    /// Its level.
    pub level: Level,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub advice: String,
    /// What is not certain about it.
    pub band: Option<String>,
    /// Why it matters, from the rule's page.
    pub why: String,
    /// Where the limit comes from.
    pub source: &'static str,
    /// The fix to offer.
    pub fix: Option<(String, Edit)>,
    /// Whether moves lead to it; otherwise it stands in the drawing itself.
    pub has_moves: bool,
    /// Whether it is looked at.
    pub is_chosen: bool,
    /// Whether its explanation is open.
    pub is_open: bool,
}

/// Builds it.
pub fn findings_view(state: &State, analysis: &Analysis) -> FindingsView {
    let report = &analysis.report;
    let progress = match &analysis.progress {
        Progress::Waiting => "checking…".to_owned(),
        // A state is a setting and what the relays remember, so there may be more than settings.
        Progress::Visiting(states) if (*states as u128) < report.settings => {
            let of = thousands(report.settings);
            format!("tried {} of {of} settings", thousands(*states as u128))
        }
        Progress::Visiting(states) => {
            format!("tried {}", count(*states as u128, "setting", "settings"))
        }
        Progress::Done => {
            let settings = count(report.states as u128, "setting", "settings");
            match (report.is_complete, report.states) {
                _ if state.car().parts().is_empty() => "nothing to check yet".to_owned(),
                (true, 1) => "checked; there is nothing to switch".to_owned(),
                (true, _) => "every setting tried".to_owned(),
                // Circuit by circuit.
                (false, _) if report.is_exact => "every circuit tried".to_owned(),
                (false, _) => format!("{settings} tried, more remain"),
            }
        }
        Progress::Failed(says) => says.clone(),
    };
    let cards = analysis.findings(state.car()).map(|(finding_idx, finding)| CardView {
        finding_idx,
        title: finding.title,
        level: finding.level,
        says: finding.says.clone(),
        advice: finding.advice.clone(),
        band: finding.band.says(),
        why: why(finding.code),
        source: finding.source,
        fix: finding.fixes.first().map(|fix| (fix.title.clone(), fix.edit.clone())),
        has_moves: !finding.moves.is_empty() || !finding.setting.is_empty(),
        is_chosen: state.finding == Some(finding_idx),
        is_open: state.why == Some(finding_idx),
    });
    FindingsView {
        progress,
        extent: format!(
            "{} of the switches, {} of the car",
            count(report.settings, "setting", "settings"),
            count(report.states as u128, "state", "states")
        ),
        cards: cards.collect(),
        not_checked: report.not_checked.iter().map(|row| row.says.clone()).collect(),
        empty: match analysis.progress {
            Progress::Done if report.reaches == Needs::Faults => {
                "Nothing found. The rules look at what they know; look yourself too."
            }
            Progress::Done => {
                "Nothing found so far. What touches and what fails is being looked at."
            }
            _ => "",
        },
    }
}

/// The paragraph under "Why" on a rule's page, its lines joined.
fn why(code: &str) -> String {
    let page = help(code).unwrap_or_default();
    let after = page.split("## Why").nth(1).unwrap_or_default();
    let paragraph = after.split("\n## ").next().unwrap_or_default();
    paragraph.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Paints it.
pub fn findings_ui(ui: &mut Ui, theme: &Theme, view: &FindingsView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Findings").font(semibold(17.0)).color(theme.ink));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            elided_label(ui, &view.progress, plain(12.5), theme.muted).on_hover_text(&view.extent);
        });
    });
    ui.add_space(2.0);
    for card in &view.cards {
        card_ui(ui, theme, card, actions);
    }
    if view.cards.is_empty() && !view.empty.is_empty() {
        ui.label(RichText::new(view.empty).color(theme.muted));
    }
    for text in &view.not_checked {
        ui.label(RichText::new(text).font(plain(12.5)).color(theme.muted));
    }
}

fn card_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let colour = theme.level(card.level);
    let edge = if card.is_chosen { colour } else { theme.edge };
    let frame = egui::Frame::new()
        .fill(theme.field)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(4)
        .inner_margin(egui::Margin { left: 12, right: 9, top: 7, bottom: 6 });
    let shown = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 4.0;
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(card.level.word()).font(semibold(12.5)).color(colour));
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    level_sign(ui, card, theme);
                    title_ui(ui, theme, card, actions);
                });
            });
        });
        ui.label(RichText::new(&card.says).font(plain(13.5)).color(theme.ink));
        if card.is_open {
            for text in card.band.iter().chain([&card.why, &card.advice]) {
                ui.label(RichText::new(text).font(plain(13.5)).color(theme.ink));
            }
            let source = format!("Source: {}", card.source);
            ui.label(RichText::new(source).font(plain(12.5)).color(theme.muted));
        }
        buttons_ui(ui, theme, card, actions);
    });
    let rect = shown.response.rect;
    let bar = Rect::from_min_max(rect.min, pos2(rect.left() + 4.0, rect.bottom()));
    ui.painter().rect_filled(bar, egui::CornerRadius { nw: 4, sw: 4, ne: 0, se: 0 }, colour);
}

fn title_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let text = RichText::new(card.title).font(semibold(14.5)).color(theme.ink);
    let response = ui.add(egui::Label::new(text).truncate().sense(Sense::click()));
    let name = format!("Finding {}: {}", card.finding_idx + 1, card.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        actions.push(Action::LookAt(card.finding_idx));
    }
    response.on_hover_text("Shows where it is");
}

/// The number in the shape of its tag.
fn level_sign(ui: &mut Ui, card: &CardView, theme: &Theme) {
    let (rect, _) = ui.allocate_exact_size(vec2(24.0, 18.0), Sense::hover());
    let colour = theme.level(card.level);
    let painter = ui.painter();
    let number = (card.finding_idx + 1).to_string();
    let text_colour = match card.level {
        Level::Danger => {
            let points = vec![
                pos2(rect.left(), rect.center().y),
                pos2(rect.left() + 6.0, rect.top()),
                rect.right_top(),
                rect.right_bottom(),
                pos2(rect.left() + 6.0, rect.bottom()),
            ];
            painter.add(egui::Shape::convex_polygon(points, colour, Stroke::NONE));
            theme.on_tag
        }
        Level::Fault => {
            let stroke = Stroke::new(1.4, colour);
            painter.rect_stroke(rect.shrink(1.0), 1.0, stroke, egui::StrokeKind::Middle);
            colour
        }
        Level::Advice => {
            let stroke = Stroke::new(1.4, colour);
            painter.rect_stroke(rect.shrink(1.0), 9.0, stroke, egui::StrokeKind::Middle);
            colour
        }
    };
    let galley = painter.layout_no_wrap(number, semibold(13.0), text_colour);
    // Centred by its ink: a line is higher than its figures.
    let shift = if card.level == Level::Danger { 2.0 } else { 0.0 };
    let at = rect.center() - galley.mesh_bounds.center().to_vec2() + vec2(shift, 0.0);
    painter.galley(at, galley, text_colour);
}

fn buttons_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    // What is too long to stand beside the others gets a line of its own.
    const ROOM_FOR_OTHERS: f32 = 136.0;
    let colour = theme.level(card.level);
    let width = card.fix.as_ref().map_or(0.0, |(title, _)| {
        let galley = ui.painter().layout_no_wrap(title.clone(), semibold(13.0), colour);
        galley.size().x + 18.0
    });
    let is_beside = width <= ui.available_width() - ROOM_FOR_OTHERS;
    if !is_beside {
        fix_ui(ui, theme, card, actions);
    }
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.scope(|ui| {
                ui.spacing_mut().item_spacing.x = 2.0;
                ui.spacing_mut().button_padding.x = 5.0;
                others_ui(ui, theme, card, actions);
            });
            if is_beside {
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    fix_ui(ui, theme, card, actions);
                });
            }
        });
    });
}

fn fix_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    if let Some((title, edit)) = &card.fix
        && outlined(ui, title, theme.level(card.level)).clicked()
    {
        actions.push(Action::Fix(title.clone(), edit.clone()));
    }
}

fn others_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let name = |what: &str| format!("{what}, finding {}", card.finding_idx + 1);
    let response = word_button(ui, "Show me", theme.ink);
    let response = response.on_hover_text(if card.has_moves {
        "Goes to Try with the moves made that show it"
    } else {
        "Goes to the place on the drawing"
    });
    if response.clicked() {
        actions.push(Action::ShowMe(card.finding_idx));
    }
    response.accessible_name(name("Show me"));
    let why = if card.is_open { "Less" } else { "Why?" };
    let response = word_button(ui, why, theme.ink);
    let response = response.on_hover_text("The rule behind it, and where it comes from");
    if response.clicked() {
        actions.push(Action::Why(card.finding_idx));
    }
    response.accessible_name(name(why));
}
