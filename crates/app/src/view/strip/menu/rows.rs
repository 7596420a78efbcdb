//! What stands in the menu: its submenus by the desktop's convention, and the rows of each.

use crate::command::Command;
use crate::state::Mode;
use crate::texts::{Marked, MenuWords, Schemes, StripWords};
use crate::view::strip::StripView;

/// A submenu of the menu.
#[derive(Clone, Copy)]
pub(super) struct Group {
    /// Its heading.
    pub(super) heading: fn() -> &'static str,
    /// What stands in it.
    pub(super) rows: &'static [Row],
}

impl Group {
    /// Why none of its rows can be taken now, if that is so.
    pub(super) fn idle(&self, view: &StripView) -> Option<&'static str> {
        let is_idle = |row: &Row| matches!(row, Run(command) if !is_possible(view, *command));
        let is_row = |row: &&Row| **row != Line;
        if !self.rows.iter().filter(is_row).all(is_idle) {
            return None;
        }
        let is_bench = self.rows.contains(&Run(C::MeterVolts));
        Some(match view.mode {
            _ if is_bench => MenuWords::is_done_in_try(),
            Mode::Draw => MenuWords::select_first(),
            _ => MenuWords::is_done_in_draw(),
        })
    }
}

/// A row of a submenu.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Row {
    /// A command with its key.
    Run(Command),
    /// What is opened or chosen from a list.
    Pick(Pick),
    /// A line between two groups of rows.
    Line,
}

/// A list that the car, the settings or the program give.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pick {
    /// Files opened lately.
    Recent,
    /// The demo cars.
    Demo,
    /// Schemes of colours.
    Scheme,
    /// How large everything is.
    Size,
    /// Decimal marks.
    Mark,
}

use Command as C;
use Row::{Line, Pick as Choose, Run};

/// What is done with the car, in the order in which desktops have it.
pub(super) const GROUPS: [Group; 6] = [
    Group {
        heading: MenuWords::file,
        rows: &[
            Run(C::New),
            Run(C::Open),
            Choose(Pick::Recent),
            Choose(Pick::Demo),
            Line,
            Run(C::Save),
            Run(C::SaveAs),
            Line,
            Run(C::ExportPack),
            Run(C::Print),
            Run(C::PrintPage),
            Line,
            Run(C::Quit),
        ],
    },
    Group {
        heading: MenuWords::edit,
        rows: &[
            Run(C::Undo),
            Run(C::Redo),
            Run(C::History),
            Line,
            Run(C::Cut),
            Run(C::Copy),
            Run(C::Paste),
            Run(C::Duplicate),
            Run(C::Delete),
            Line,
            Run(C::SelectAll),
            Run(C::SelectConnection),
            Run(C::SelectCircuit),
        ],
    },
    Group {
        heading: MenuWords::parts_and_wires,
        rows: &[
            Run(C::PartsCounter),
            Run(C::FindNext),
            Run(C::FindPrevious),
            Line,
            Run(C::RunWire),
            Run(C::TapWire),
            Run(C::CutIn),
            Run(C::TakeProposals),
            Run(C::ToDetails),
            Run(C::BendWire),
            Run(C::RouteAnew),
            Line,
            Run(C::WriteNote),
            Run(C::SwitchPen),
        ],
    },
    Group {
        heading: MenuWords::arrange,
        rows: &[
            Run(C::Turn),
            Run(C::Mirror),
            Run(C::FrameGroup),
            Line,
            Run(C::AlignLeft),
            Run(C::AlignRight),
            Run(C::AlignTop),
            Run(C::AlignBottom),
            Run(C::AlignColumn),
            Run(C::AlignRow),
            Line,
            Run(C::SpreadAcross),
            Run(C::SpreadDown),
        ],
    },
    Group {
        heading: MenuWords::view,
        rows: &[
            Run(C::Draw),
            Run(C::Try),
            Run(C::Papers),
            Line,
            Run(C::ZoomIn),
            Run(C::ZoomOut),
            Run(C::FullSize),
            Run(C::WholeSheet),
            Run(C::ZoomSelection),
            Line,
            Run(C::ShowOther),
            Run(C::ShowOverview),
            Line,
            Run(C::AddSheet),
            Run(C::NextSheet),
            Run(C::PreviousSheet),
        ],
    },
    Group {
        heading: MenuWords::bench,
        rows: &[
            Run(C::Rest),
            Run(C::ToControls),
            Run(C::LiveOutline),
            Line,
            Run(C::MeterVolts),
            Run(C::MeterAmps),
            Run(C::MeterOhms),
            Run(C::MeterAway),
            Line,
            Run(C::StepBack),
            Run(C::StepForth),
            Run(C::PlayMoves),
        ],
    },
];

/// How the window looks and writes; below a line, each with its choices at once.
pub(super) const SETTINGS: [Group; 3] = [
    Group { heading: Schemes::heading, rows: &[Choose(Pick::Scheme), Line, Run(C::SwitchScheme)] },
    Group { heading: StripWords::size_of_everything, rows: &[Choose(Pick::Size)] },
    Group { heading: Marked::heading, rows: &[Choose(Pick::Mark)] },
];

/// What helps, below another line.
pub(super) const HELP: Group = Group {
    heading: MenuWords::help,
    rows: &[Run(C::Tour), Run(C::Keys), Run(C::Course), Run(C::Cautions)],
};

/// Whether a command does anything now.
pub(super) fn is_possible(view: &StripView, command: Command) -> bool {
    let is_drawing = view.mode == Mode::Draw;
    match command {
        C::Undo => view.undo.is_some(),
        C::Redo => view.redo.is_some(),
        C::PrintPage => view.mode == Mode::Papers,
        C::SelectConnection | C::SelectCircuit => view.has_selection,
        C::Paste | C::SelectAll | C::RunWire | C::WriteNote | C::SwitchPen => is_drawing,
        C::Cut
        | C::Copy
        | C::Duplicate
        | C::Delete
        | C::TapWire
        | C::CutIn
        | C::TakeProposals
        | C::ToDetails
        | C::BendWire
        | C::RouteAnew => is_drawing && view.has_selection,
        command if arranges(command) => is_drawing && view.has_selection,
        command => command.works_in(view.mode),
    }
}

/// Whether it stands among what arranges.
fn arranges(command: Command) -> bool {
    GROUPS.iter().any(|group| {
        (group.heading)() == MenuWords::arrange() && group.rows.contains(&Run(command))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What opens a menu, and what gives one up, is no row of it.
    const OF_MENUS: [Command; 3] = [C::Menu, C::MenuHere, C::Cancel];

    #[test]
    fn every_command_stands_in_the_menu_once() {
        let groups = || GROUPS.iter().chain(&SETTINGS).chain([&HELP]);
        for command in Command::ALL {
            let rows = groups().flat_map(|group| group.rows);
            let n_rows = rows.filter(|row| **row == Run(*command)).count();
            assert_eq!(n_rows, usize::from(!OF_MENUS.contains(command)), "{command:?}");
        }
    }
}
