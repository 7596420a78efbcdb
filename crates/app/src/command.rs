//! Commands: verbs without payload, with the text, tip and key that menus and the key list show.

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::texts::{Called, Does};

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
            Self::New => Called::new_car(),
            Self::Open => Called::open(),
            Self::Save => Called::save(),
            Self::SaveAs => Called::save_as(),
            Self::ExportPack => Called::export_pack(),
            Self::Print => Called::print(),
            Self::PrintPage => Called::print_page(),
            Self::Undo => Called::undo(),
            Self::Redo => Called::redo(),
            Self::Cut => Called::cut(),
            Self::Copy => Called::copy(),
            Self::Paste => Called::paste(),
            Self::Duplicate => Called::duplicate(),
            Self::Delete => Called::delete(),
            Self::SelectAll => Called::select_all(),
            Self::Turn => Called::turn(),
            Self::Mirror => Called::mirror(),
            Self::RunWire => Called::run_wire(),
            Self::PartsCounter => Called::parts_counter(),
            Self::SwitchPen => Called::switch_pen(),
            Self::Draw => Called::draw(),
            Self::Try => Called::try_out(),
            Self::Papers => Called::papers(),
            Self::Rest => Called::rest(),
            Self::ZoomIn => Called::zoom_in(),
            Self::ZoomOut => Called::zoom_out(),
            Self::FullSize => Called::full_size(),
            Self::WholeSheet => Called::whole_sheet(),
            Self::AddSheet => Called::add_sheet(),
            Self::NextSheet => Called::next_sheet(),
            Self::PreviousSheet => Called::previous_sheet(),
            Self::SwitchScheme => Called::switch_scheme(),
            Self::Keys => Called::keys(),
            Self::Course => Called::course(),
            Self::Cautions => Called::cautions(),
            Self::Cancel => Called::cancel(),
            Self::Quit => Called::quit(),
        }
    }

    /// One sentence that says what it does.
    pub fn tip(self) -> &'static str {
        match self {
            Self::New => Does::new_car(),
            Self::Open => Does::open(),
            Self::Save => Does::save(),
            Self::SaveAs => Does::save_as(),
            Self::ExportPack => Does::export_pack(),
            Self::Print => Does::print(),
            Self::PrintPage => Does::print_page(),
            Self::Undo => Does::undo(),
            Self::Redo => Does::redo(),
            Self::Cut => Does::cut(),
            Self::Copy => Does::copy(),
            Self::Paste => Does::paste(),
            Self::Duplicate => Does::duplicate(),
            Self::Delete => Does::delete(),
            Self::SelectAll => Does::select_all(),
            Self::Turn => Does::turn(),
            Self::Mirror => Does::mirror(),
            Self::RunWire => Does::run_wire(),
            Self::PartsCounter => Does::parts_counter(),
            Self::SwitchPen => Does::switch_pen(),
            Self::Draw => Does::draw(),
            Self::Try => Does::try_out(),
            Self::Papers => Does::papers(),
            Self::Rest => Does::rest(),
            Self::ZoomIn => Does::zoom_in(),
            Self::ZoomOut => Does::zoom_out(),
            Self::FullSize => Does::full_size(),
            Self::WholeSheet => Does::whole_sheet(),
            Self::AddSheet => Does::add_sheet(),
            Self::NextSheet => Does::next_sheet(),
            Self::PreviousSheet => Does::previous_sheet(),
            Self::SwitchScheme => Does::switch_scheme(),
            Self::Keys => Does::keys(),
            Self::Course => Does::course(),
            Self::Cautions => Does::cautions(),
            Self::Cancel => Does::cancel(),
            Self::Quit => Does::quit(),
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
