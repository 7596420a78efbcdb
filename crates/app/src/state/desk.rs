//! What stands open on the desk around the sheet.

use loomwright_circuit::Version;

use crate::files::Mark;

/// What stands open on the desk around the sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Desk {
    /// Whether the list of steps is open.
    pub shows_history: bool,
    /// Whether the menu is to be opened in the next frame.
    pub opens_menu: bool,
    /// The step of the tour that is shown, from 0.
    pub tour: Option<usize>,
    /// Which version of the car Draw shows; with nothing, both, the alteration marked.
    pub version: Option<Version>,
    /// What stood on the disk in place of the open file when that was told last.
    pub told_of: Option<Option<Mark>>,
    /// What was asked for last on the sheets, and which of those that answered was gone to.
    pub found: Option<(String, usize)>,
}
