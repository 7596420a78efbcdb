//! Commands: verbs without payload, with the text, tip and key that menus and the key list show.

mod key_map;

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::state::Mode;
use crate::texts::{Called, Does, Grouped};

pub use key_map::{KeyMap, Pressed, is_modifier, key_name, read_key};

/// A key, or none.
macro_rules! usual {
    () => {
        None
    };
    ($key:expr) => {
        Some($key)
    };
}

/// Makes the commands of their table: group by group, each with its row in the table of texts and its usual key.
macro_rules! commands {
    ($($group:ident($heading:ident) {
        $($(#[$doc:meta])+ $command:ident($text:ident) $(= $key:expr)?;)+
    })+) => {
        /// A verb that menus and keys give.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Command {
            $($($(#[$doc])+ $command,)+)+
        }

        /// What a command is about.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Group {
            $(
                #[doc = stringify!($heading)]
                $group,
            )+
        }

        impl Group {
            /// All of them, in the order of the key list.
            pub const ALL: &'static [Self] = &[$(Self::$group,)+];

            /// Its heading in the key list.
            pub fn heading(self) -> &'static str {
                match self { $(Self::$group => Grouped::$heading(),)+ }
            }
        }

        impl Command {
            /// All of them, in the order of the key list.
            pub const ALL: &'static [Self] = &[$($(Self::$command,)+)+];

            /// What it is about.
            pub fn group(self) -> Group {
                match self { $($(Self::$command)|+ => Group::$group,)+ }
            }

            /// The name by which settings know it.
            pub fn name(self) -> &'static str {
                match self { $($(Self::$command => stringify!($text),)+)+ }
            }

            /// The text in menus and on buttons.
            pub fn text(self) -> &'static str {
                match self { $($(Self::$command => Called::$text(),)+)+ }
            }

            /// One sentence that says what it does.
            pub fn tip(self) -> &'static str {
                match self { $($(Self::$command => Does::$text(),)+)+ }
            }

            /// Its key, unless a person has changed it.
            pub fn usual_key(self) -> Option<KeyboardShortcut> {
                match self { $($(Self::$command => usual!($($key)?),)+)+ }
            }
        }
    };
}

const fn bare(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

const fn alt(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::ALT, key)
}

const fn shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::SHIFT, key)
}

const fn alt_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::ALT.plus(Modifiers::SHIFT), key)
}

commands! {
    Files(files) {
        /// A new car file.
        New(new_car) = ctrl(Key::N);
        /// Opens a car file or sketch.
        Open(open) = ctrl(Key::O);
        /// Saves.
        Save(save) = ctrl(Key::S);
        /// Saves under another name.
        SaveAs(save_as) = ctrl_shift(Key::S);
        /// Writes the garage pack.
        ExportPack(export_pack) = ctrl(Key::E);
        /// Prints the garage pack.
        Print(print) = ctrl(Key::P);
        /// Prints the page that is shown.
        PrintPage(print_page) = ctrl_shift(Key::P);
        /// Closes the window.
        Quit(quit) = ctrl(Key::Q);
    }
    Steps(steps) {
        /// Undoes a step.
        Undo(undo) = ctrl(Key::Z);
        /// Does it again.
        Redo(redo) = ctrl_shift(Key::Z);
        /// Cuts the selection.
        Cut(cut) = ctrl(Key::X);
        /// Copies the selection.
        Copy(copy) = ctrl(Key::C);
        /// Pastes.
        Paste(paste) = ctrl(Key::V);
        /// Copies and pastes in one.
        Duplicate(duplicate) = ctrl(Key::D);
        /// Deletes the selection.
        Delete(delete) = bare(Key::Delete);
        /// Selects all on the sheet.
        SelectAll(select_all) = ctrl(Key::A);
        /// The list of all steps.
        History(history) = ctrl(Key::H);
    }
    Drawing(drawing) {
        /// Turns a quarter clockwise.
        Turn(turn) = bare(Key::T);
        /// Mirrors left to right.
        Mirror(mirror) = bare(Key::M);
        /// Runs a wire by keys.
        RunWire(run_wire) = bare(Key::W);
        /// Taps the selected wire by keys.
        TapWire(tap_wire) = shift(Key::W);
        /// Moves stretches of the selected wire by keys.
        BendWire(bend_wire) = bare(Key::B);
        /// Lets the program route the selected wires.
        RouteAnew(route_anew) = shift(Key::B);
        /// Takes what is proposed for the selected wires.
        TakeProposals(take_proposals) = bare(Key::G);
        /// The keyboard to the details of what is selected.
        ToDetails(to_details) = bare(Key::F2);
        /// Cuts a part into the selected wire.
        CutIn(cut_in) = bare(Key::I);
        /// Writes a note.
        WriteNote(write_note) = bare(Key::N);
        /// Draws a frame around the selected parts.
        FrameGroup(frame_group) = shift(Key::N);
        /// Opens the parts counter.
        PartsCounter(parts_counter) = ctrl(Key::F);
        /// The next thing that answers.
        FindNext(find_next) = bare(Key::F3);
        /// The one before.
        FindPrevious(find_previous) = shift(Key::F3);
        /// Switches the pen.
        SwitchPen(switch_pen) = bare(Key::P);
        /// Lines up the left edges.
        AlignLeft(align_left) = alt(Key::ArrowLeft);
        /// Lines up the right edges.
        AlignRight(align_right) = alt(Key::ArrowRight);
        /// Lines up the upper edges.
        AlignTop(align_top) = alt(Key::ArrowUp);
        /// Lines up the lower edges.
        AlignBottom(align_bottom) = alt(Key::ArrowDown);
        /// Lines up middles, one below the other.
        AlignColumn(align_column) = alt(Key::C);
        /// Lines up middles, side by side.
        AlignRow(align_row) = alt(Key::R);
        /// Makes gaps alike from left to right.
        SpreadAcross(spread_across) = alt_shift(Key::ArrowRight);
        /// Makes gaps alike from top to bottom.
        SpreadDown(spread_down) = alt_shift(Key::ArrowDown);
        /// Selects what is one piece of copper with the selection.
        SelectConnection(select_connection) = bare(Key::C);
        /// Selects the circuit of the selection.
        SelectCircuit(select_circuit) = shift(Key::C);
    }
    Car(car) {
        /// Draw mode.
        Draw(draw) = ctrl(Key::Num1);
        /// Try mode.
        Try(try_out) = ctrl(Key::Num2);
        /// Papers mode.
        Papers(papers) = ctrl(Key::Num3);
        /// Puts every control back to rest.
        Rest(rest) = bare(Key::Backspace);
    }
    Trying(trying) {
        /// Outlines all that is live, or no longer.
        LiveOutline(live_outline) = bare(Key::L);
        /// The meter set to volts.
        MeterVolts(meter_volts) = bare(Key::U);
        /// The meter set to amps.
        MeterAmps(meter_amps) = bare(Key::A);
        /// The meter set to ohms.
        MeterOhms(meter_ohms) = bare(Key::O);
        /// The meter put away.
        MeterAway(meter_away) = bare(Key::X);
        /// Takes the last move back.
        StepBack(step_back) = bare(Key::Comma);
        /// Makes it again.
        StepForth(step_forth) = bare(Key::Period);
        /// Plays the moves from rest, or stops.
        PlayMoves(play_moves) = bare(Key::Y);
        /// The keyboard to the controls.
        ToControls(to_controls) = bare(Key::K);
    }
    Looking(looking) {
        /// Nearer.
        ZoomIn(zoom_in) = ctrl(Key::Plus);
        /// Farther.
        ZoomOut(zoom_out) = ctrl(Key::Minus);
        /// Actual size.
        FullSize(full_size) = ctrl(Key::Num0);
        /// The whole sheet.
        WholeSheet(whole_sheet) = bare(Key::Home);
        /// The car before, after, or both.
        ShowOther(show_other) = bare(Key::V);
        /// The overview of the sheet, or no longer.
        ShowOverview(show_overview) = shift(Key::V);
        /// What is selected, as large as there is room for.
        ZoomSelection(zoom_selection) = shift(Key::Home);
        /// A new sheet.
        AddSheet(add_sheet) = ctrl(Key::T);
        /// The next sheet.
        NextSheet(next_sheet) = bare(Key::PageDown);
        /// The sheet before.
        PreviousSheet(previous_sheet) = bare(Key::PageUp);
        /// Day or night.
        SwitchScheme(switch_scheme) = bare(Key::F8);
    }
    Help(help) {
        /// The list of keys.
        Keys(keys) = bare(Key::F1);
        /// The tour of three steps.
        Tour(tour) = ctrl_shift(Key::F1);
        /// The menu.
        Menu(menu) = bare(Key::F10);
        /// The menu of what is selected.
        MenuHere(menu_here) = shift(Key::F10);
        /// The rules as a course.
        Course(course) = shift(Key::F1);
        /// The cautions.
        Cautions(cautions) = ctrl(Key::F1);
        /// Gives up what is going on.
        Cancel(cancel) = bare(Key::Escape);
    }
}

impl Command {
    /// Other keys that desktops use for the same.
    pub fn other_keys(self) -> &'static [KeyboardShortcut] {
        const fn also(modifiers: Modifiers, key: Key) -> KeyboardShortcut {
            KeyboardShortcut::new(modifiers, key)
        }
        const CTRL: Modifiers = Modifiers::COMMAND;
        const NONE: Modifiers = Modifiers::NONE;
        match self {
            Self::Redo => const { &[also(CTRL, Key::Y)] },
            Self::ZoomIn => {
                const { &[also(CTRL, Key::Equals), also(NONE, Key::Plus), also(NONE, Key::Equals)] }
            }
            Self::ZoomOut => const { &[also(NONE, Key::Minus)] },
            Self::NextSheet => const { &[also(CTRL, Key::PageDown)] },
            Self::PreviousSheet => const { &[also(CTRL, Key::PageUp)] },
            Self::Quit => const { &[also(CTRL, Key::W)] },
            Self::MenuHere => const { &[also(NONE, Key::Menu)] },
            _ => &[],
        }
    }

    /// Whether its key is the desktop's own and cannot be changed: the toolkit tells of the clipboard's keys in its own
    /// way, and Escape gives things up everywhere.
    pub fn has_fixed_key(self) -> bool {
        matches!(self, Self::Cut | Self::Copy | Self::Paste | Self::Cancel)
    }

    /// Whether it does anything in a mode: what draws, and what Draw alone shows otherwise, has no key in Try, and the bench has
    /// none elsewhere.
    pub fn works_in(self, mode: Mode) -> bool {
        match self.group() {
            Group::Trying => mode == Mode::Try,
            _ => {
                mode != Mode::Try
                    || !matches!(
                        self,
                        Self::BendWire
                            | Self::RouteAnew
                            | Self::TakeProposals
                            | Self::ToDetails
                            | Self::ShowOther
                    )
            }
        }
    }

    /// Whether it changes all that is selected; Backspace does so in Draw.
    pub fn changes_selected(self) -> bool {
        matches!(self, Self::Turn | Self::Mirror | Self::RouteAnew | Self::FrameGroup | Self::Rest)
    }

    /// Whether it leads into a field, so that what is typed next is meant for that.
    pub fn leads_into_text(self) -> bool {
        matches!(self, Self::WriteNote | Self::FrameGroup | Self::PartsCounter | Self::ToDetails)
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
    let key = KeyMap::in_use(ctx).key(command);
    key.map(|key| ctx.format_shortcut(&key)).unwrap_or_default()
}
