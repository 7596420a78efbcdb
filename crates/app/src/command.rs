//! Commands: verbs without payload, with the text, tip and key that menus and the key list show.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A verb that menus and keys give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Command {
    /// A new car file.
    New,
    /// Opens a car file or sketch.
    Open,
    /// Saves.
    Save,
    /// Saves under another name.
    SaveAs,
    /// Writes the garage pack.
    ExportPack,
    /// Prints the garage pack.
    Print,
    /// Prints the page that is shown.
    PrintPage,
    /// Undoes a step.
    Undo,
    /// Does it again.
    Redo,
    /// Cuts the selection.
    Cut,
    /// Copies the selection.
    Copy,
    /// Pastes.
    Paste,
    /// Copies and pastes in one.
    Duplicate,
    /// Deletes the selection.
    Delete,
    /// Selects all on the sheet.
    SelectAll,
    /// Turns a quarter clockwise.
    Turn,
    /// Mirrors left to right.
    Mirror,
    /// Runs a wire by keys.
    RunWire,
    /// Opens the parts counter.
    PartsCounter,
    /// Switches the pen.
    SwitchPen,
    /// Draw mode.
    Draw,
    /// Try mode.
    Try,
    /// Papers mode.
    Papers,
    /// Nearer.
    ZoomIn,
    /// Farther.
    ZoomOut,
    /// Actual size.
    FullSize,
    /// The whole sheet.
    WholeSheet,
    /// A new sheet.
    AddSheet,
    /// The next sheet.
    NextSheet,
    /// The sheet before.
    PreviousSheet,
    /// Puts every control back to rest.
    Rest,
    /// Day or night.
    SwitchScheme,
    /// The list of keys.
    Keys,
    /// The rules as a course.
    Course,
    /// The cautions.
    Cautions,
    /// Gives up what is going on.
    Cancel,
    /// Closes the window.
    Quit,
}

const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

const fn bare(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

impl Command {
    /// All of them, in the order of the key list.
    pub const ALL: [Self; 37] = [
        Self::New,
        Self::Open,
        Self::Save,
        Self::SaveAs,
        Self::ExportPack,
        Self::Print,
        Self::PrintPage,
        Self::Undo,
        Self::Redo,
        Self::Cut,
        Self::Copy,
        Self::Paste,
        Self::Duplicate,
        Self::Delete,
        Self::SelectAll,
        Self::Turn,
        Self::Mirror,
        Self::RunWire,
        Self::PartsCounter,
        Self::SwitchPen,
        Self::Draw,
        Self::Try,
        Self::Papers,
        Self::Rest,
        Self::ZoomIn,
        Self::ZoomOut,
        Self::FullSize,
        Self::WholeSheet,
        Self::AddSheet,
        Self::NextSheet,
        Self::PreviousSheet,
        Self::SwitchScheme,
        Self::Keys,
        Self::Course,
        Self::Cautions,
        Self::Cancel,
        Self::Quit,
    ];

    /// The text in menus and on buttons.
    pub fn text(self) -> &'static str {
        match self {
            Self::New => "New car",
            Self::Open => "Open…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::ExportPack => "Export pack…",
            Self::Print => "Print pack",
            Self::PrintPage => "Print this page",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::Cut => "Cut",
            Self::Copy => "Copy",
            Self::Paste => "Paste",
            Self::Duplicate => "Duplicate",
            Self::Delete => "Delete",
            Self::SelectAll => "Select all",
            Self::Turn => "Turn",
            Self::Mirror => "Mirror",
            Self::RunWire => "Run a wire",
            Self::PartsCounter => "Parts counter…",
            Self::SwitchPen => "Switch pen",
            Self::Draw => "Draw",
            Self::Try => "Try",
            Self::Papers => "Papers",
            Self::Rest => "All to rest",
            Self::ZoomIn => "Nearer",
            Self::ZoomOut => "Farther",
            Self::FullSize => "Actual size",
            Self::WholeSheet => "Whole sheet",
            Self::AddSheet => "New sheet",
            Self::NextSheet => "Next sheet",
            Self::PreviousSheet => "Previous sheet",
            Self::SwitchScheme => "Day or night",
            Self::Keys => "Keys",
            Self::Course => "Rules, as a course",
            Self::Cautions => "Cautions",
            Self::Cancel => "Cancel",
            Self::Quit => "Quit",
        }
    }

    /// One sentence that says what it does.
    pub fn tip(self) -> &'static str {
        match self {
            Self::New => "Starts an empty car file",
            Self::Open => "Opens a car file, or arranges a sketch as a drawing",
            Self::Save => "Saves the car file; the version before stays beside it",
            Self::SaveAs => "Saves the car file under another name",
            Self::ExportPack => "Writes the garage pack into a folder",
            Self::Print => "Prints all pages of the garage pack through the desktop",
            Self::PrintPage => "Prints the page that Papers shows, alone",
            Self::Undo => "Takes the last step back",
            Self::Redo => "Does the step again that was taken back",
            Self::Cut => "Copies the selection and deletes it",
            Self::Copy => "Copies the selected parts with the wires between them",
            Self::Paste => "Pastes what was copied, from this car or another",
            Self::Duplicate => "Sets a copy of the selection beside it",
            Self::Delete => {
                "Deletes the selection; with the to-fit pen, as-found rows are marked to remove"
            }
            Self::SelectAll => "Selects all parts and wires of this sheet",
            Self::Turn => "Turns the selected parts a quarter clockwise",
            Self::Mirror => "Mirrors the selected parts left to right",
            Self::RunWire => "Runs a wire from terminal to terminal with the arrow keys",
            Self::PartsCounter => "Finds parts on the sheets, and part types to place, by name",
            Self::SwitchPen => "Changes between drawing what is there and what is to fit",
            Self::Draw => "Draws the circuit",
            Self::Try => "Works the switches and shows what flows",
            Self::Papers => "Shows the pages for the garage",
            Self::Rest => "Puts every control back to its rest position",
            Self::ZoomIn => "Shows the drawing larger",
            Self::ZoomOut => "Shows the drawing smaller",
            Self::FullSize => "Shows the drawing at about its size on paper",
            Self::WholeSheet => "Shows all that is on the sheet",
            Self::AddSheet => "Adds a sheet to the drawing",
            Self::NextSheet => "Shows the next sheet",
            Self::PreviousSheet => "Shows the sheet before",
            Self::SwitchScheme => "Changes between light paper and dark",
            Self::Keys => "Lists the keys and what they do",
            Self::Course => "Lessons, each with the rules that follow from it and their examples",
            Self::Cautions => "What to heed before working on a car's wiring",
            Self::Cancel => "Gives up what is going on, or drops the selection",
            Self::Quit => "Closes the window; asks first if something is not saved",
        }
    }

    /// Its key.
    pub fn key(self) -> Option<KeyboardShortcut> {
        Some(match self {
            Self::New => ctrl(Key::N),
            Self::Open => ctrl(Key::O),
            Self::Save => ctrl(Key::S),
            Self::SaveAs => ctrl_shift(Key::S),
            Self::ExportPack => ctrl(Key::E),
            Self::Print => ctrl(Key::P),
            Self::PrintPage => ctrl_shift(Key::P),
            Self::Undo => ctrl(Key::Z),
            Self::Redo => ctrl_shift(Key::Z),
            Self::Cut => ctrl(Key::X),
            Self::Copy => ctrl(Key::C),
            Self::Paste => ctrl(Key::V),
            Self::Duplicate => ctrl(Key::D),
            Self::Delete => bare(Key::Delete),
            Self::SelectAll => ctrl(Key::A),
            Self::Turn => bare(Key::T),
            Self::Mirror => bare(Key::M),
            Self::RunWire => bare(Key::W),
            Self::PartsCounter => ctrl(Key::F),
            Self::SwitchPen => bare(Key::P),
            Self::Draw => ctrl(Key::Num1),
            Self::Try => ctrl(Key::Num2),
            Self::Papers => ctrl(Key::Num3),
            Self::Rest => bare(Key::Backspace),
            Self::ZoomIn => ctrl(Key::Plus),
            Self::ZoomOut => ctrl(Key::Minus),
            Self::FullSize => ctrl(Key::Num0),
            Self::WholeSheet => bare(Key::Home),
            Self::AddSheet | Self::SwitchScheme | Self::Course | Self::Cautions => return None,
            Self::NextSheet => bare(Key::PageDown),
            Self::PreviousSheet => bare(Key::PageUp),
            Self::Keys => bare(Key::F1),
            Self::Cancel => bare(Key::Escape),
            Self::Quit => ctrl(Key::Q),
        })
    }

    /// Other keys that desktops use for the same.
    pub fn other_keys(self) -> &'static [KeyboardShortcut] {
        const REDO: &[KeyboardShortcut] = &[KeyboardShortcut::new(Modifiers::COMMAND, Key::Y)];
        const NEAR: &[KeyboardShortcut] = &[
            KeyboardShortcut::new(Modifiers::COMMAND, Key::Equals),
            KeyboardShortcut::new(Modifiers::NONE, Key::Plus),
            KeyboardShortcut::new(Modifiers::NONE, Key::Equals),
        ];
        const FAR: &[KeyboardShortcut] = &[KeyboardShortcut::new(Modifiers::NONE, Key::Minus)];
        match self {
            Self::Redo => REDO,
            Self::ZoomIn => NEAR,
            Self::ZoomOut => FAR,
            _ => &[],
        }
    }

    /// Whether its key works while text is being typed.
    pub fn works_in_text(self) -> bool {
        matches!(
            self,
            Self::New
                | Self::Open
                | Self::Save
                | Self::SaveAs
                | Self::ExportPack
                | Self::Print
                | Self::PrintPage
                | Self::PartsCounter
                | Self::Draw
                | Self::Try
                | Self::Papers
                | Self::Keys
                | Self::Quit
        )
    }
}

/// Its key in words, as this desktop writes it.
pub fn key_text(ctx: &egui::Context, command: Command) -> String {
    command.key().map(|key| ctx.format_shortcut(&key)).unwrap_or_default()
}
