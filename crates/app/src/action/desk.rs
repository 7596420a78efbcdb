//! Steps on the desk around the sheet.

use loomwright_circuit::{Name, Version};

use crate::state::LeftOut;
use crate::tool::EndHere;

/// A step on the desk around the sheet: what is listed, marked and shown there, nothing of the car itself.
#[derive(Debug, Clone, PartialEq)]
pub enum DeskStep {
    /// Opens or closes the list of steps.
    ShowHistory(bool),
    /// Goes to where so many steps are done.
    GoToStep(usize),
    /// Gives up what the press is at.
    GiveUp,
    /// Marks a part type as a favourite, or no longer.
    MarkPart(Name),
    /// The pointer came to an end of the selected wire, or left it.
    OverEnd(Option<EndHere>),
    /// Other lettering has no room as the sheet is seen now.
    LeftOut(LeftOut),
    /// The menu was opened.
    MenuIsOpen,
    /// The menu of what is selected was opened, or there is nothing to open it on.
    MenuHereIsOpen,
    /// Shows a step of the tour, or ends it for good.
    Tour(Option<usize>),
    /// Shows the car before the alteration, after it, or both at once.
    Show(Option<Version>),
    /// Shows the facts of the car while nothing is selected, or folds them away.
    ShowCar(bool),
    /// Parts the height at the right anew between findings and details.
    Split {
        /// The share that the details have.
        share: f32,
        /// Whether that is so while a finding is read.
        is_read: bool,
        /// Whether the bar was let go, so that the share is kept for the next start.
        is_let_go: bool,
    },
    /// Looks whether the open file is still on the disk as it was.
    LookAtDisk,
    /// Opens the file in question in a window of its own.
    LookAtTheirs,
    /// Goes to one of what answers on the sheets, by its number from 0.
    Find {
        /// What is asked for.
        asked: String,
        /// Which of those that answer.
        at: usize,
    },
}
