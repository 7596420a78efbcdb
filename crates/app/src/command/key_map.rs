//! The keys in use: the usual ones, but for those that a person changed.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Id, Key, KeyboardShortcut, Modifiers};
use serde::{Deserialize, Serialize};

use super::Command;

/// The keys that a person changed; a command without any has `None` here.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "BTreeMap<String, String>", into = "BTreeMap<String, String>")]
pub struct KeyMap {
    changed: BTreeMap<Command, Option<KeyboardShortcut>>,
}

/// What came of a key that was pressed for a command.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pressed {
    /// It is the command's key now.
    Taken,
    /// Another command has it.
    Clashes(Command),
    /// It belongs to the desktop, to the toolkit or to typing.
    Reserved,
}

/// Keys that go from thing to thing, take it, or move the paper; with nothing held they do nothing else.
const RESERVED: [Key; 8] = [
    Key::Tab,
    Key::Enter,
    Key::Space,
    Key::Escape,
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::ArrowUp,
    Key::ArrowDown,
];

/// Whether a key is one that is held down with others.
pub fn is_modifier(key: Key) -> bool {
    matches!(
        key,
        Key::ShiftLeft
            | Key::ShiftRight
            | Key::ControlLeft
            | Key::ControlRight
            | Key::AltLeft
            | Key::AltRight
            | Key::SuperLeft
            | Key::SuperRight
    )
}

impl KeyMap {
    /// The key of a command.
    pub fn key(&self, command: Command) -> Option<KeyboardShortcut> {
        match self.changed.get(&command) {
            Some(key) if !command.has_fixed_key() => *key,
            _ => command.usual_key(),
        }
    }

    /// All keys of a command: its own, and the others that desktops use for the same, where nobody gave those away.
    pub fn keys(&self, command: Command) -> impl Iterator<Item = KeyboardShortcut> {
        let given = |key: &KeyboardShortcut| self.changed.values().flatten().any(|it| it == key);
        let others = command.other_keys().iter().copied().filter(move |key| !given(key));
        self.key(command).into_iter().chain(others)
    }

    /// Whether a person changed the key of a command.
    pub fn is_changed(&self, command: Command) -> bool {
        self.key(command) != command.usual_key()
    }

    /// Whether a person changed any.
    pub fn is_any_changed(&self) -> bool {
        Command::ALL.iter().any(|command| self.is_changed(*command))
    }

    /// Who has a key.
    pub fn owner(&self, key: KeyboardShortcut) -> Option<Command> {
        Command::ALL.iter().copied().find(|command| self.keys(*command).any(|it| it == key))
    }

    /// Gives a command another key, unless somebody else has it.
    pub fn press(&mut self, command: Command, key: KeyboardShortcut) -> Pressed {
        let is_plain = !(key.modifiers.command || key.modifiers.alt);
        let is_clipboard = key.modifiers == Modifiers::COMMAND
            && matches!(key.logical_key, Key::X | Key::C | Key::V);
        if command.has_fixed_key()
            || is_clipboard
            || is_modifier(key.logical_key)
            || (is_plain && RESERVED.contains(&key.logical_key))
        {
            return Pressed::Reserved;
        }
        match self.owner(key) {
            Some(owner) if owner != command => Pressed::Clashes(owner),
            _ => {
                self.set(command, Some(key));
                Pressed::Taken
            }
        }
    }

    /// Takes a key from whoever has it and gives it to a command.
    pub fn take(&mut self, command: Command, key: KeyboardShortcut) {
        if let Some(owner) = self.owner(key)
            && owner != command
            && !owner.has_fixed_key()
            && self.key(owner) == Some(key)
        {
            self.set(owner, None);
        }
        self.set(command, Some(key));
    }

    /// Gives a command its usual key back; says who has that now, if it is not free.
    pub fn restore(&mut self, command: Command) -> Pressed {
        let Some(usual) = command.usual_key() else {
            self.changed.remove(&command);
            return Pressed::Taken;
        };
        match self.owner(usual) {
            Some(owner) if owner != command => Pressed::Clashes(owner),
            _ => {
                self.changed.remove(&command);
                Pressed::Taken
            }
        }
    }

    fn set(&mut self, command: Command, key: Option<KeyboardShortcut>) {
        if command.usual_key() == key {
            self.changed.remove(&command);
        } else {
            self.changed.insert(command, key);
        }
    }

    /// The keys of this window.
    pub fn in_use(ctx: &egui::Context) -> Arc<Self> {
        ctx.data(|data| data.get_temp(Self::place())).unwrap_or_default()
    }

    /// Makes these the keys of this window, for menus and tips to show.
    pub fn apply(&self, ctx: &egui::Context) {
        if *Self::in_use(ctx) != *self {
            let shared = Arc::new(self.clone());
            ctx.data_mut(|data| data.insert_temp(Self::place(), shared));
        }
    }

    fn place() -> Id {
        Id::unique("keys in use")
    }
}

/// A key as settings write it: "Ctrl+Shift+Z".
pub fn key_name(key: KeyboardShortcut) -> String {
    let held = [
        (key.modifiers.command, "Ctrl"),
        (key.modifiers.alt, "Alt"),
        (key.modifiers.shift, "Shift"),
    ];
    let mut words: Vec<&str> = held.iter().filter(|(is, _)| *is).map(|(_, word)| *word).collect();
    words.push(key.logical_key.name());
    words.join("+")
}

/// Reads a key as settings write it.
pub fn read_key(text: &str) -> Option<KeyboardShortcut> {
    let mut modifiers = Modifiers::NONE;
    let mut rest = text;
    while let Some((word, after)) = rest.split_once('+')
        && !after.is_empty()
    {
        modifiers = modifiers.plus(match word {
            "Ctrl" => Modifiers::COMMAND,
            "Alt" => Modifiers::ALT,
            "Shift" => Modifiers::SHIFT,
            _ => return None,
        });
        rest = after;
    }
    Some(KeyboardShortcut::new(modifiers, Key::from_name(rest)?))
}

impl From<BTreeMap<String, String>> for KeyMap {
    fn from(rows: BTreeMap<String, String>) -> Self {
        let mut map = Self::default();
        for (name, key) in rows {
            let known = Command::ALL.iter().copied().find(|command| command.name() == name);
            // A settings file may hold anything; what is not understood stays usual.
            let Some(command) = known.filter(|command| !command.has_fixed_key()) else { continue };
            match (read_key(&key), key.is_empty()) {
                (Some(key), _) => map.set(command, Some(key)),
                (None, true) => map.set(command, None),
                (None, false) => {}
            }
        }
        map
    }
}

impl From<KeyMap> for BTreeMap<String, String> {
    fn from(map: KeyMap) -> Self {
        let text = |key: Option<KeyboardShortcut>| key.map(key_name).unwrap_or_default();
        let rows = map.changed.into_iter();
        rows.map(|(command, key)| (command.name().to_owned(), text(key))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_commands_have_the_same_key() {
        let map = KeyMap::default();
        for (n, command) in Command::ALL.iter().enumerate() {
            for other in &Command::ALL[..n] {
                let clash = map.keys(*command).find(|key| map.keys(*other).any(|it| it == *key));
                assert_eq!(clash, None, "{command:?} and {other:?}");
            }
        }
    }

    #[test]
    fn every_key_is_read_as_it_is_written() {
        for command in Command::ALL {
            for key in KeyMap::default().keys(*command) {
                assert_eq!(read_key(&key_name(key)), Some(key), "{command:?}");
            }
        }
    }

    #[test]
    fn a_changed_key_is_kept_and_a_clash_is_told() {
        let key = |modifiers, key| KeyboardShortcut::new(modifiers, key);
        let mut map = KeyMap::default();
        let undo = key(Modifiers::COMMAND, Key::Z);
        assert_eq!(map.press(Command::Turn, undo), Pressed::Clashes(Command::Undo));
        assert_eq!(map.press(Command::Turn, key(Modifiers::NONE, Key::Tab)), Pressed::Reserved);
        assert_eq!(map.press(Command::Turn, key(Modifiers::NONE, Key::R)), Pressed::Taken);
        assert_eq!(map.owner(key(Modifiers::NONE, Key::T)), None);
        map.take(Command::Mirror, undo);
        assert_eq!((map.key(Command::Undo), map.key(Command::Mirror)), (None, Some(undo)));
        let text = serde_json::to_string(&map).expect("JSON");
        assert_eq!(text, r#"{"mirror":"Ctrl+Z","turn":"R","undo":""}"#);
        assert_eq!(serde_json::from_str::<KeyMap>(&text).expect("the same"), map);
        assert_eq!(map.restore(Command::Undo), Pressed::Clashes(Command::Mirror));
        assert_eq!(map.restore(Command::Mirror), Pressed::Taken);
        assert_eq!(map.restore(Command::Undo), Pressed::Taken);
        assert_eq!(map.restore(Command::Turn), Pressed::Taken);
        assert_eq!(map, KeyMap::default());
    }
}
