//! Changing keys in their list.

use egui::KeyboardShortcut;

use crate::action::KeyStep;
use crate::command::{Command, KeyMap, Pressed};
use crate::handle::{Shell, keep_settings};
use crate::state::{KeysBox, Question, State};
use crate::texts::Keyed;

/// Carries out a step; what was changed is kept at once.
pub(super) fn step(state: &mut State, shell: &Shell<'_>, step: KeyStep) {
    let Some(Question::Keys(open)) = &state.question else { return };
    let before = open.clone();
    let keys = &mut state.settings.keys;
    let word = |key: KeyboardShortcut| shell.ctx.format_shortcut(&key);
    let mut now = KeysBox::default();
    match step {
        KeyStep::Wait(Some(command)) if command.has_fixed_key() => {
            now.says = Some(Keyed::is_fixed(command.text()));
        }
        KeyStep::Wait(command) => now.waiting = command,
        KeyStep::Press(key) => {
            let Some(command) = before.waiting else { return };
            match keys.press(command, key) {
                Pressed::Taken => now.says = Some(Keyed::taken(command.text(), word(key))),
                Pressed::Reserved => {
                    now.says = Some(Keyed::reserved(word(key)));
                    now.waiting = Some(command);
                }
                Pressed::Clashes(owner) => {
                    now.says = Some(Keyed::clashes(word(key), owner.text()));
                    now.clash = Some((command, key)).filter(|_| !owner.has_fixed_key());
                    now.waiting = Some(command).filter(|_| owner.has_fixed_key());
                }
            }
        }
        KeyStep::TakeClash => {
            let Some((command, key)) = before.clash else { return };
            keys.take(command, key);
            now.says = Some(Keyed::taken(command.text(), word(key)));
        }
        KeyStep::Restore(command) => now.says = Some(restored(keys, command, word)),
        KeyStep::RestoreAll => {
            *keys = KeyMap::default();
            now.says = Some(Keyed::all_restored().to_owned());
        }
    }
    state.question = Some(Question::Keys(now));
    keep_settings(state, shell);
}

fn restored(
    keys: &mut KeyMap,
    command: Command,
    word: impl Fn(KeyboardShortcut) -> String,
) -> String {
    match keys.restore(command) {
        Pressed::Clashes(owner) => {
            let usual = command.usual_key().map(word).unwrap_or_default();
            Keyed::usual_clashes(command.text(), usual, owner.text())
        }
        _ => Keyed::restored(command.text()),
    }
}
