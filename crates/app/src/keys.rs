//! Keys and the clipboard: what they ask for.

use egui::{Event, Key, KeyboardShortcut, Modifiers};
use loomwright_circuit::Point;

use crate::action::{Action, BoardStep, DeskStep};
use crate::command::Command;
use crate::state::{Ground, Mode, State};
use crate::texts::Board;
use crate::tool::{Aim, BendStep, Hold, PITCH, Tool, Way};
use crate::view::split;

/// Keys and the clipboard.
pub(crate) fn gather(ctx: &egui::Context, state: &State, actions: &mut Vec<Action>) {
    let is_typing = ctx.text_edit_focused();
    let leaves_text = leaves_text(ctx, is_typing);
    let has_menu = egui::Popup::is_any_open(ctx);
    if state.desk.shows_history && !is_typing {
        go_through_steps(ctx, state, actions);
    }
    if !typed_ahead(ctx, is_typing) {
        return;
    }
    let is_free = |(command, key): &(Command, KeyboardShortcut)| {
        let is_clipboard = matches!(command, Command::Cut | Command::Copy | Command::Paste);
        let is_letter = is_typing && !(command.works_in_text() && types_nothing(*key));
        // Escape belongs to the menu that is open, or to the field that it leaves.
        let is_anothers = (has_menu || leaves_text) && *command == Command::Cancel;
        let is_of_counter = state.counter.is_some();
        !(is_clipboard || is_letter || is_anothers || is_of_counter) && command.works_in(state.mode)
    };
    let keys = Command::ALL
        .iter()
        .flat_map(|command| state.settings.keys.keys(*command).map(|key| (*command, key)));
    for (command, key) in taken(ctx, keys.filter(is_free).collect()) {
        if has_menu {
            egui::Popup::close_all(ctx);
        }
        actions.push(asked(state, command, key));
    }
    if is_typing || state.counter.is_some() {
        return;
    }
    for event in ctx.input(|input| input.events.clone()) {
        match event {
            Event::Copy => actions.push(Action::Command(Command::Copy)),
            Event::Cut => actions.push(Action::Command(Command::Cut)),
            Event::Paste(text) => actions.push(Action::Paste(text)),
            _ => {}
        }
    }
    let has_bar = ctx.memory(|memory| memory.focused()) == Some(split::id());
    if has_menu || has_bar {
        // The arrows and Enter belong to the menu, or to the bar that they move.
        return;
    }
    by_tool(ctx, state, actions);
}

/// The commands whose keys were pressed since the last frame, in the order in which they were: who types faster than
/// frames come loses none. What is typed after a key that leads into a text waits until that has the keyboard.
fn taken(
    ctx: &egui::Context,
    mut keys: Vec<(Command, KeyboardShortcut)>,
) -> Vec<(Command, KeyboardShortcut)> {
    // A key with Shift or Alt answers to the key alone too, so those with more held come first.
    let held = |key: &KeyboardShortcut| u8::from(key.modifiers.shift) + u8::from(key.modifiers.alt);
    keys.sort_by_key(|(_, key)| std::cmp::Reverse(held(key)));
    let mut taken = Vec::new();
    let mut ahead: Option<Vec<Event>> = None;
    ctx.input_mut(|input| {
        input.events.retain(|event| {
            if let Some(ahead) = ahead.as_mut().filter(|_| is_typed(event)) {
                // The letter of the key that led there is none of the text.
                if !ahead.is_empty() || !matches!(event, Event::Text(_)) {
                    ahead.push(event.clone());
                }
                return false;
            }
            let Event::Key { key, modifiers, pressed: true, .. } = event else { return true };
            let found = keys.iter().find(|(_, known)| {
                known.logical_key == *key && modifiers.matches_logically(known.modifiers)
            });
            taken.extend(found);
            ahead = found.filter(|(command, _)| command.leads_into_text()).map(|_| Vec::new());
            found.is_none()
        });
    });
    if let Some(events) = ahead {
        let from = ctx.memory(egui::Memory::focused);
        let ahead = Ahead { events, from, n_frames: FRAMES_AHEAD };
        ctx.data_mut(|data| data.insert_temp(ahead_id(), ahead));
    }
    taken
}

/// What was typed for a text that does not have the keyboard yet.
#[derive(Debug, Clone, Default)]
struct Ahead {
    events: Vec<Event>,
    /// What had the keyboard when it was asked for: a field that is left is not the one that is meant.
    from: Option<egui::Id>,
    /// So many frames more it is waited for.
    n_frames: u8,
}

/// A text that is asked for in one frame is there in the next and has the keyboard in the one after that; frames that are
/// set anew count as well.
const FRAMES_AHEAD: u8 = 10;

fn ahead_id() -> egui::Id {
    egui::Id::unique("typed for a text that is to come")
}

fn is_typed(event: &Event) -> bool {
    matches!(event, Event::Key { .. } | Event::Text(_) | Event::Paste(_) | Event::Ime(_))
}

/// Gives what was typed ahead to the text, once that has the keyboard, and to whom it may concern where none comes.
/// Whether keys are for commands in this frame.
fn typed_ahead(ctx: &egui::Context, is_typing: bool) -> bool {
    let Some(mut ahead) = ctx.data_mut(|data| data.remove_temp::<Ahead>(ahead_id())) else {
        return true;
    };
    let is_elsewhere = ctx.memory(egui::Memory::focused) != ahead.from;
    let is_over = (is_typing && is_elsewhere) || ahead.n_frames == 0;
    ctx.input_mut(|input| {
        let (typed, others) = std::mem::take(&mut input.events).into_iter().partition(is_typed);
        input.events = others;
        ahead.events.extend::<Vec<Event>>(typed);
        if is_over {
            input.events.append(&mut ahead.events);
        }
    });
    if !is_over {
        ahead.n_frames -= 1;
        ctx.data_mut(|data| data.insert_temp(ahead_id(), ahead));
        ctx.request_repaint();
    }
    is_over
}

/// Whether Escape has just left a field: the toolkit takes the keyboard from that before anybody is asked.
fn leaves_text(ctx: &egui::Context, is_typing: bool) -> bool {
    let key = egui::Id::unique("a field had the keyboard");
    let was_typing = ctx.data(|data| data.get_temp(key)).unwrap_or(false);
    ctx.data_mut(|data| data.insert_temp(key, is_typing));
    was_typing && !is_typing && ctx.input(|input| input.key_pressed(Key::Escape))
}

/// What the key of a command asks for.
fn asked(state: &State, command: Command, key: KeyboardShortcut) -> Action {
    let is_on_panel = state.pressed_on == Ground::Panel;
    // In Try, Backspace puts the controls of the panel to rest, and nothing that is selected changes.
    let is_for_panel = state.mode == Mode::Try && command == Command::Rest;
    if is_on_panel && !is_for_panel && command.changes_selected() && types_something(key) {
        // Who means to write into a field and misses it must not change what is selected by that.
        return Action::Say(Board::key_not_taken(key.logical_key.name(), command.text()));
    }
    // Backspace stands for Delete where one draws.
    let command = match (command, state.mode) {
        (Command::Rest, Mode::Draw) => Command::Delete,
        _ => command,
    };
    match (command, &state.tool) {
        // While a wire is bent by keys, what goes is the stretch in hand, not the wire.
        (Command::Delete, Tool::Bending(_)) => Action::Board(BoardStep::Bend(BendStep::TakeOut)),
        _ => Action::Command(command),
    }
}

/// Arrows and Enter, for what is in hand. Those that come in one frame with the key that begins a wire are for that wire.
fn by_tool(ctx: &egui::Context, state: &State, actions: &mut Vec<Action>) {
    let begins = actions.iter().any(|action| matches!(action, Action::Command(Command::RunWire)));
    match &state.tool {
        Tool::Aiming { .. } => aim(ctx, actions),
        _ if begins => aim(ctx, actions),
        Tool::Bending(bend) if bend.hold == Hold::Keys => bend_by(ctx, actions),
        _ => nudge(ctx, state, actions),
    }
}

/// While the list of steps is open, the arrows go from step to step.
fn go_through_steps(ctx: &egui::Context, state: &State, actions: &mut Vec<Action>) {
    let at = state.doc.history.n_done();
    let last = state.doc.history.steps().count();
    let go_to = |n_done| Action::Desk(DeskStep::GoToStep(n_done));
    let steps = [
        (Key::ArrowUp, go_to(at.saturating_sub(1))),
        (Key::ArrowDown, go_to((at + 1).min(last))),
        (Key::Home, go_to(0)),
        (Key::End, go_to(last)),
        (Key::Enter, Action::Desk(DeskStep::ShowHistory(false))),
        (Key::Escape, Action::Desk(DeskStep::ShowHistory(false))),
    ];
    for (key, action) in steps {
        if ctx.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            actions.push(action);
        }
    }
}

/// Whether a key would change a text, were there one.
fn types_something(key: KeyboardShortcut) -> bool {
    let is_letter = key.logical_key.name().len() == 1;
    (is_letter || key.logical_key == Key::Backspace) && !types_nothing(key)
}

/// Whether a key, pressed in a text, is no letter of it.
fn types_nothing(key: KeyboardShortcut) -> bool {
    let is_function = key.logical_key.name().starts_with('F') && key.logical_key.name().len() > 1;
    key.modifiers.command || key.modifiers.alt || is_function
}

/// Running a wire by keys: the arrows go from terminal to terminal.
fn aim(ctx: &egui::Context, actions: &mut Vec<Action>) {
    let steps = [
        (Key::ArrowLeft, Aim::Go(Way::Left)),
        (Key::ArrowRight, Aim::Go(Way::Right)),
        (Key::ArrowUp, Aim::Go(Way::Up)),
        (Key::ArrowDown, Aim::Go(Way::Down)),
        (Key::Enter, Aim::Take),
    ];
    let keys = steps.map(|(key, step)| (Modifiers::NONE, key, Action::Aim(step)));
    actions.extend(pressed(ctx, &keys));
}

/// Bending a wire by keys.
fn bend_by(ctx: &egui::Context, actions: &mut Vec<Action>) {
    let mut keys = Vec::new();
    let act = |step| Action::Board(BoardStep::Bend(step));
    for (key, way) in [
        (Key::ArrowLeft, Way::Left),
        (Key::ArrowRight, Way::Right),
        (Key::ArrowUp, Way::Up),
        (Key::ArrowDown, Way::Down),
    ] {
        for (modifiers, mm) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, PITCH)] {
            keys.push((modifiers, key, act(BendStep::Go(way, mm))));
        }
    }
    for (key, step) in [(Key::Insert, BendStep::Split), (Key::Enter, BendStep::Take)] {
        keys.push((Modifiers::NONE, key, act(step)));
    }
    actions.extend(pressed(ctx, &keys));
}

fn nudge(ctx: &egui::Context, state: &State, actions: &mut Vec<Action>) {
    let selection = &state.selection;
    let is_empty = selection.parts.is_empty() && selection.notes.is_empty();
    if is_empty || state.mode != Mode::Draw || !matches!(state.tool, Tool::Rest) {
        return;
    }
    let mut keys = Vec::new();
    for (key, way) in [
        (Key::ArrowLeft, Point::new(-1.0, 0.0)),
        (Key::ArrowRight, Point::new(1.0, 0.0)),
        (Key::ArrowUp, Point::new(0.0, -1.0)),
        (Key::ArrowDown, Point::new(0.0, 1.0)),
    ] {
        for (modifiers, mm) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, 2.5)] {
            keys.push((modifiers, key, Action::Board(BoardStep::Nudge(way * mm))));
        }
    }
    actions.extend(pressed(ctx, &keys));
}

/// What the keys pressed since the last frame ask for, in the order in which they came: who types faster than frames come
/// loses none. Of two rows with one key, the one with more held comes first.
fn pressed(ctx: &egui::Context, keys: &[(Modifiers, Key, Action)]) -> Vec<Action> {
    let mut asked = Vec::new();
    ctx.input_mut(|input| {
        input.events.retain(|event| {
            let Event::Key { key, modifiers, pressed: true, .. } = event else { return true };
            let row = keys
                .iter()
                .find(|(held, known, _)| known == key && modifiers.matches_logically(*held));
            asked.extend(row.map(|(.., action)| action.clone()));
            row.is_none()
        });
    });
    asked
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(key: Key, modifiers: Modifiers) -> Event {
        Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers }
    }

    #[test]
    fn keys_of_one_frame_are_all_taken_in_their_order() {
        let ctx = egui::Context::default();
        let keys = [Key::ArrowRight, Key::ArrowRight, Key::Enter, Key::ArrowDown, Key::Enter];
        let events = keys.map(|key| press(key, Modifiers::NONE)).to_vec();
        let mut actions = Vec::new();
        let input = egui::RawInput { events, ..egui::RawInput::default() };
        let mut output = ctx.run_ui(input, |ui| aim(ui.ctx(), &mut actions));
        output.textures_delta.clear();
        let steps: Vec<_> = actions
            .iter()
            .map(|action| match action {
                Action::Aim(step) => step.clone(),
                other => panic!("{other:?}"),
            })
            .collect();
        let go = Aim::Go;
        assert_eq!(steps, [go(Way::Right), go(Way::Right), Aim::Take, go(Way::Down), Aim::Take]);
    }
}
