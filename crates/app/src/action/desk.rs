//! Steps on the desk around the sheet.

/// A step on the desk around the sheet: what is listed, marked and shown there, nothing of the car itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeskStep {
    /// Opens or closes the list of steps.
    ShowHistory(bool),
    /// Goes to where so many steps are done.
    GoToStep(usize),
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
