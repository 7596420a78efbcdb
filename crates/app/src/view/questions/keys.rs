//! The list of keys: each can be changed by pressing the one that is wanted.

use egui::{Event, Key, KeyboardShortcut, Modifiers, Role, Sense, Stroke, Ui, WidgetInfo};
use egui::{pos2, vec2};

use crate::action::{Action, KeyStep};
use crate::command::{Command, Group, is_modifier, key_text};
use crate::painter::elided;
use crate::rich::rich;
use crate::state::{KeysBox, State};
use crate::texts::Keyed;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::questions::{answers, heading};
use crate::view::widgets::outlined;

/// While a command waits for its key, the next one that is pressed is that; Escape leaves all as it is.
pub(super) fn listen(ctx: &egui::Context, open: &KeysBox, actions: &mut Vec<Action>) {
    if open.waiting.is_none() {
        return;
    }
    let mut pressed = None;
    ctx.input_mut(|input| {
        input.events.retain(|event| match event {
            // What is held down waits for the key that comes with it.
            Event::Key { key, .. } if is_modifier(*key) => false,
            Event::Key { key, pressed: true, modifiers, .. } => {
                let held = Modifiers {
                    alt: modifiers.alt,
                    shift: modifiers.shift,
                    command: modifiers.command,
                    ..Modifiers::NONE
                };
                pressed = Some(KeyboardShortcut::new(held, *key));
                false
            }
            Event::Text(_) => false,
            // The toolkit tells of these keys in its own way.
            Event::Copy | Event::Cut | Event::Paste(_) => {
                let key = match event {
                    Event::Copy => Key::C,
                    Event::Cut => Key::X,
                    _ => Key::V,
                };
                pressed = Some(KeyboardShortcut::new(Modifiers::COMMAND, key));
                false
            }
            _ => true,
        });
    });
    if let Some(key) = pressed {
        let is_escape = key.logical_key == Key::Escape && key.modifiers == Modifiers::NONE;
        let step = if is_escape { KeyStep::Wait(None) } else { KeyStep::Press(key) };
        actions.push(Action::Key(step));
    }
}

/// Paints it.
pub(super) fn keys_ui(ui: &mut Ui, state: &State, open: &KeysBox, actions: &mut Vec<Action>) {
    let theme = state.theme();
    heading(ui, theme, Keyed::heading());
    ui.label(rich(Keyed::how()).font(plain(13.5)).color(theme.muted));
    // On a small window the list is scrolled.
    let room = (ui.ctx().content_rect().height() - 240.0).max(120.0);
    egui::ScrollArea::vertical().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.columns(2, |columns| {
            let half = Group::ALL.len().div_ceil(2);
            for (column, groups) in columns.iter_mut().zip(Group::ALL.chunks(half)) {
                for group in groups {
                    group_ui(column, state, open, *group, actions);
                }
            }
            if let Some(last) = columns.last_mut() {
                elsewhere_ui(last, theme);
            }
        });
    });
    says_ui(ui, theme, open, actions);
    let mut buttons = Vec::new();
    if state.settings.keys.is_any_changed() {
        buttons.push((Keyed::restore_all(), Action::Key(KeyStep::RestoreAll)));
    }
    buttons.push((Keyed::close(), Action::CloseQuestion));
    answers(ui, theme, &buttons, actions);
}

/// What came of the last change; it has its line even while there is nothing to say, so that nothing jumps.
fn says_ui(ui: &mut Ui, theme: &Theme, open: &KeysBox, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.set_min_height(26.0);
        let colour = if open.clash.is_some() { theme.danger } else { theme.ink };
        let says = open.says.as_deref().unwrap_or_default();
        ui.label(rich(says).font(medium(14.0)).color(colour));
        if open.clash.is_some() {
            if outlined(ui, Keyed::take_it(), theme.ink).clicked() {
                actions.push(Action::Key(KeyStep::TakeClash));
            }
            if outlined(ui, Keyed::leave_it(), theme.ink).clicked() {
                actions.push(Action::Key(KeyStep::Wait(None)));
            }
        }
    });
}

fn group_ui(ui: &mut Ui, state: &State, open: &KeysBox, group: Group, actions: &mut Vec<Action>) {
    let theme = state.theme();
    group_heading(ui, theme, group.heading());
    for command in Command::ALL.iter().copied().filter(|command| command.group() == group) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            let is_changed = state.settings.keys.is_changed(command);
            let room = ui.available_width() - if is_changed { 58.0 } else { 0.0 };
            row_ui(ui, theme, (command, room), open, actions);
            if is_changed {
                let response = outlined(ui, Keyed::restore(), theme.ink);
                let name = Keyed::restore_name(command.text());
                response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
                if response.clicked() {
                    actions.push(Action::Key(KeyStep::Restore(command)));
                }
                let usual = command.usual_key().map(|key| ui.ctx().format_shortcut(&key));
                let usual = usual.unwrap_or_else(|| Keyed::none().to_owned());
                response.on_hover_text(Keyed::restore_tip(usual));
            }
        });
    }
}

fn group_heading(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.add_space(6.0);
    ui.label(rich(text).font(semibold(13.5)).color(theme.heading));
}

/// A command with its key; a press on it waits for another one.
fn row_ui(
    ui: &mut Ui,
    theme: &Theme,
    (command, width): (Command, f32),
    open: &KeysBox,
    actions: &mut Vec<Action>,
) {
    const KEY_WIDTH: f32 = 118.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, 23.0), Sense::click());
    let is_waiting = open.waiting == Some(command);
    let key = key_text(ui.ctx(), command);
    let key = if key.is_empty() { Keyed::none() } else { &*key };
    let name = Keyed::row(command.text(), key);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_waiting, &name));
    let painter = ui.painter();
    if is_waiting || response.hovered() || response.has_focus() {
        let fill = if is_waiting { theme.to_fit } else { theme.hover };
        let edge = if response.has_focus() { theme.selected } else { theme.edge };
        painter.rect(rect, 3.0, fill, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
    }
    let (word, colour) = match (is_waiting, command.has_fixed_key()) {
        (true, _) => (Keyed::waiting(), theme.to_fit_text),
        (false, true) => (key, theme.muted),
        (false, false) => (key, theme.ink),
    };
    let key = elided(painter, word, semibold(13.5), colour, KEY_WIDTH);
    let text = elided(painter, command.text(), plain(13.5), theme.ink, width - KEY_WIDTH - 14.0);
    let y = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
    painter.galley(pos2(rect.left() + 6.0, y(&key)), key, colour);
    painter.galley(pos2(rect.left() + 8.0 + KEY_WIDTH, y(&text)), text, theme.ink);
    if response.clicked() {
        actions.push(Action::Key(KeyStep::Wait(Some(command))));
    }
    response.on_hover_text(command.tip());
}

/// Keys that move about and cannot be changed.
fn elsewhere_ui(ui: &mut Ui, theme: &Theme) {
    let rows = [
        (Keyed::arrows(), Keyed::move_selection()),
        (Keyed::arrows_enter(), Keyed::wire_on()),
        (Keyed::tab_enter(), Keyed::from_thing_to_thing()),
        (Keyed::space_drag(), Keyed::move_paper()),
        (Keyed::ctrl_wheel(), Keyed::zoom()),
        (Keyed::shift_click(), Keyed::add()),
    ];
    group_heading(ui, theme, Keyed::others());
    for (key, text) in rows {
        ui.horizontal(|ui| {
            ui.add_space(6.0);
            let left = egui::Layout::left_to_right(egui::Align::Center);
            ui.allocate_ui_with_layout(vec2(110.0, 20.0), left, |ui| {
                ui.set_min_width(110.0);
                ui.label(rich(key).font(semibold(13.5)).color(theme.muted));
            });
            let text = rich(text).font(plain(13.5)).color(theme.muted);
            ui.add(egui::Label::new(text).wrap());
        });
    }
}
