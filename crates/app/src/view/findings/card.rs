//! One finding as a card.

use egui::{Align, Layout, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_rules::Level;

use super::CardView;
use crate::action::{AcceptStep, Action};
use crate::rich::rich;
use crate::state::FixAt;
use crate::texts::CardWords;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::widgets::{outlined, whole_at_edge, word_button};

/// A card pales after so many seconds: most checks are done before.
const PALES_AFTER: f64 = 0.4;
/// How much of its ink a pale card keeps.
const PALE: f32 = 0.55;

pub(super) fn card_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    ui.set_opacity(opacity(ui, card));
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
        ui.horizontal_top(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
                ui.label(rich(card.level.word()).font(semibold(12.5)).color(colour));
                ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                    level_sign(ui, card, theme);
                    title_ui(ui, theme, card, actions);
                });
            });
        });
        ui.label(rich(&card.says).font(plain(13.5)).color(theme.ink));
        for text in &card.notes {
            ui.label(rich(text).font(medium(12.5)).color(theme.muted));
        }
        if card.is_open {
            open_ui(ui, theme, card, actions);
        }
        // A line that comes late, as what the car always had, takes the focus from no button.
        let buttons = egui::Id::unique(("buttons of a finding", card.finding_idx));
        ui.scope_builder(egui::UiBuilder::new().scope_id(buttons), |ui| {
            buttons_ui(ui, theme, card, actions);
        });
    });
    let rect = shown.response.rect;
    let bar = Rect::from_min_max(rect.min, pos2(rect.left() + 4.0, rect.bottom()));
    ui.painter().rect_filled(bar, egui::CornerRadius { nw: 4, sw: 4, ne: 0, se: 0 }, colour);
}

/// A card that is being checked anew pales, but not before that takes so long that one would wonder.
#[expect(clippy::cast_possible_truncation, reason = "less than a second")]
fn opacity(ui: &Ui, card: &CardView) -> f32 {
    let id = egui::Id::unique(("stale since", card.finding_idx));
    let now = ui.input(|input| input.time);
    if !card.is_stale {
        ui.data_mut(|data| data.remove::<f64>(id));
        return 1.0;
    }
    let since = ui.data_mut(|data| *data.get_temp_mut_or(id, now));
    if now - since < PALES_AFTER {
        ui.ctx().request_repaint_after_secs((PALES_AFTER - (now - since)) as f32);
        return 1.0;
    }
    PALE
}

fn title_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let text = rich(card.title).font(semibold(14.5)).color(theme.ink);
    let response = ui.add(egui::Label::new(text).wrap().sense(Sense::click()));
    let name = CardWords::finding(card.finding_idx + 1, card.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.clicked() {
        actions.push(Action::LookAt(card.finding_idx));
    }
    response.on_hover_text(CardWords::shows_where_it_is());
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

/// What stands on a card that is open: why it matters, what to do, the way of the current, the source.
fn open_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let none = String::new();
    let told = [
        (CardWords::not_certain(), card.band.as_ref().unwrap_or(&none)),
        (CardWords::why_it_matters(), &card.why),
        (CardWords::what_to_do(), &card.advice),
    ];
    for (heading, text) in told.into_iter().filter(|(_, text)| !text.is_empty()) {
        ui.label(rich(heading).font(semibold(12.5)).color(theme.heading));
        ui.label(rich(text).font(plain(13.5)).color(theme.ink));
    }
    for (word, text) in &card.current {
        let text = format!("{word}: {text}");
        ui.label(rich(text).font(plain(13.0)).color(theme.ink));
    }
    let source = CardWords::source(&card.source);
    ui.label(rich(source).font(plain(12.5)).color(theme.muted));
    let response = word_button(ui, &CardWords::read_all_of_rule(card.code), theme.ink);
    if response.clicked() {
        actions.push(Action::ReadRule(card.code));
    }
    response.accessible_name(CardWords::read_rule_finding(card.code, card.finding_idx + 1));
}

/// Each fix on a line of its own, then what else can be done.
fn buttons_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    for (fix_idx, (title, edit)) in card.fixes.iter().enumerate() {
        let response = outlined(ui, title, theme.level(card.level));
        let response = told_above(response, CardWords::the_drawing_shows_what_this_would());
        let at = FixAt { finding: card.finding_idx, fix: fix_idx };
        if response.clicked() {
            leave_pointer(ui);
            actions.push(Action::Fix(title.clone(), edit.clone()));
        }
        let is_meant = response.hovered() && !pointer_is_left(ui) || response.has_focus();
        if is_meant != (card.previewed == Some(fix_idx)) {
            actions.push(Action::Preview(is_meant.then_some(at)));
        }
    }
    if let Some((text, field, wire)) = &card.asks {
        let response = outlined(ui, text, theme.ink);
        let response = told_above(response, CardWords::it_hangs_on_that());
        if response.clicked() {
            actions.push(Action::AskFor(field.clone(), *wire));
        }
        response.accessible_name(format!("{text}, finding {}", card.finding_idx + 1));
    }
    if let Some(why) = &card.no_fix {
        let why = CardWords::no_fix(why);
        ui.label(rich(why).font(plain(12.5)).color(theme.muted));
    }
    whole_at_edge(ui, ("others", card.finding_idx), actions, |ui, actions| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            ui.spacing_mut().button_padding.x = 5.0;
            others_ui(ui, theme, card, actions);
        });
    });
}

/// A tip above a button, since below it stand the others.
fn told_above(response: egui::Response, says: &'static str) -> egui::Response {
    let mut tip = egui::Tooltip::for_enabled(&response);
    tip.popup = tip.popup.align(egui::RectAlign::TOP_START);
    tip.show(|ui| ui.label(rich(says)));
    response.ctx.accesskit_node_builder(response.id, |node| node.set_description(says));
    response
}

/// Remembers where the pointer took a fix: another that comes to lie under it is not meant before it moves.
fn leave_pointer(ui: &Ui) {
    if let Some(at) = ui.input(|input| input.pointer.hover_pos()) {
        ui.data_mut(|data| data.insert_temp(left_at(), at));
    }
}

/// Whether the pointer rests where it took a fix.
fn pointer_is_left(ui: &Ui) -> bool {
    let left: Option<egui::Pos2> = ui.data(|data| data.get_temp(left_at()));
    left.is_some() && left == ui.input(|input| input.pointer.hover_pos())
}

fn left_at() -> egui::Id {
    egui::Id::unique("where a fix was taken")
}

fn others_ui(ui: &mut Ui, theme: &Theme, card: &CardView, actions: &mut Vec<Action>) {
    let name = |what: &str| format!("{what}, finding {}", card.finding_idx + 1);
    let response = word_button(ui, CardWords::show_me(), theme.ink);
    let response = response.on_hover_text(card.shows);
    if response.clicked() {
        actions.push(Action::ShowMe(card.finding_idx));
    }
    response.accessible_name(name(CardWords::show_me()));
    let response = word_button(ui, CardWords::accept(), theme.ink);
    let response = response.on_hover_text(CardWords::leaves_it_as_it_is_with());
    if response.clicked() {
        actions.push(Action::Accept(AcceptStep::Ask(card.finding_idx)));
    }
    response.accessible_name(name(CardWords::accept_with_a_reason()));
    let why = if card.is_open { CardWords::less() } else { CardWords::why() };
    let response = word_button(ui, why, theme.ink);
    let response = response.on_hover_text(CardWords::the_rule_behind_it_and_where());
    if response.clicked() {
        actions.push(Action::Why(card.finding_idx));
    }
    response.accessible_name(name(why));
}
