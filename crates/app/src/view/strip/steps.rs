//! Undo, redo and the list of all steps.

use egui::{Color32, Painter, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::action::Action;
use crate::command::{Command, key_text};
use crate::rich::rich;
use crate::texts::{Steps, StripWords};
use crate::theme::{Theme, medium};

/// The width of the list's button, and of undo and redo as signs and as words.
pub(super) const HISTORY: f32 = 26.0;
pub(super) const SIGNS: f32 = 64.0;
const WORDS: f32 = 112.0;

/// Paints them from right to left: as words, or as signs where there is no room for these.
pub(super) fn steps_ui(
    ui: &mut Ui,
    theme: &Theme,
    [undo, redo]: [Option<&str>; 2],
    actions: &mut Vec<Action>,
) {
    history_ui(ui, theme, actions);
    let is_words = ui.available_width() >= WORDS;
    step_ui(ui, theme, (Command::Redo, is_words), redo, actions);
    step_ui(ui, theme, (Command::Undo, is_words), undo, actions);
}

fn step_ui(
    ui: &mut Ui,
    theme: &Theme,
    (command, is_words): (Command, bool),
    step: Option<&str>,
    actions: &mut Vec<Action>,
) {
    let colour = if step.is_some() { theme.strip_text } else { theme.strip_muted };
    let word = if is_words { command.text() } else { "" };
    let button = egui::Button::new(rich(word).font(medium(14.0)).color(colour))
        .fill(theme.strip)
        .stroke(Stroke::NONE);
    let button = if is_words { button } else { button.min_size(vec2(28.0, 26.0)) };
    let response = ui.add_enabled(step.is_some(), button);
    let is_there = step.is_some();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, is_there, command.text()));
    if !is_words {
        arrow(ui.painter(), response.rect, command == Command::Redo, colour);
    }
    framed(ui, theme, &response);
    let key = key_text(ui.ctx(), command);
    let tip = match step {
        Some(step) => format!("{}: {step} ({key})", command.text()),
        None => StripWords::nothing_to(command.text().to_lowercase(), &key),
    };
    if response.clicked() {
        actions.push(Action::Command(command));
    }
    response.on_hover_text(rich(&tip)).on_disabled_hover_text(rich(tip));
}

/// An arrow that goes back over the top, or on.
fn arrow(painter: &Painter, rect: Rect, goes_on: bool, colour: Color32) {
    let side = if goes_on { -1.0 } else { 1.0 };
    let at = |x: f32, y: f32| rect.center() + vec2(x * side, y + 2.0);
    const RADIUS: f32 = 6.0;
    let bow = (0..=16_u8).map(|n| {
        let turn = (180.0 + 13.0 * f32::from(n)).to_radians();
        at(RADIUS * turn.cos(), RADIUS * turn.sin())
    });
    painter.add(egui::Shape::line(bow.collect(), Stroke::new(1.8, colour)));
    let head = vec![at(-RADIUS - 4.0, -1.0), at(-RADIUS + 4.0, -1.0), at(-RADIUS, 4.5)];
    painter.add(egui::Shape::convex_polygon(head, colour, Stroke::NONE));
}

/// A frame around what is pointed at, or has the keyboard.
fn framed(ui: &Ui, theme: &Theme, response: &Response) {
    if response.hovered() && response.enabled() || response.has_focus() {
        let stroke = Stroke::new(1.0, theme.strip_edge);
        ui.painter().rect_stroke(response.rect, 4.0, stroke, egui::StrokeKind::Inside);
    }
}

/// Opens the list of all steps.
fn history_ui(ui: &mut Ui, theme: &Theme, actions: &mut Vec<Action>) {
    let (rect, response) = ui.allocate_exact_size(vec2(22.0, 26.0), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, Steps::button()));
    let colour = theme.strip_text;
    framed(ui, theme, &response);
    // Three lines of a list.
    for y in [-5.0, 0.0, 5.0] {
        let middle = rect.center() + vec2(0.0, y);
        ui.painter().circle_filled(middle - vec2(6.0, 0.0), 1.3, colour);
        let ends = [pos2(middle.x - 3.0, middle.y), pos2(middle.x + 7.0, middle.y)];
        ui.painter().line_segment(ends, Stroke::new(1.5, colour));
    }
    if response.clicked() {
        actions.push(Action::Command(Command::History));
    }
    let key = key_text(ui.ctx(), Command::History);
    response.on_hover_text(format!("{} ({key})", Command::History.tip()));
}
