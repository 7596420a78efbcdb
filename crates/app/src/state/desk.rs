//! What stands open on the desk around the sheet.

use loomwright_circuit::{Version, WireId};
use loomwright_drawing::Rank;

use crate::action::BoardStep;
use crate::files::Mark;
use crate::press::UnderWay;
use crate::tool::EndHere;

/// What stands open on the desk around the sheet.
#[derive(Debug, Clone, Default)]
pub struct Desk {
    /// Whether the list of steps is open.
    pub shows_history: bool,
    /// What the press is at, in words, and how far it is.
    pub under_way: Option<(&'static str, UnderWay)>,
    /// Whether the menu is to be opened in the next frame.
    pub opens_menu: bool,
    /// Whether the menu of what is selected, or of what the keyboard is at, is to be opened in the next frame.
    pub opens_menu_here: bool,
    /// Whether the facts of the car are shown while nothing is selected; until somebody says, of an empty one.
    pub shows_car: Option<bool>,
    /// The step of the tour that is shown, from 0.
    pub tour: Option<usize>,
    /// The end of the selected wire that the pointer is on.
    pub over_end: Option<EndHere>,
    /// What of the lettering has no room as the sheet is seen.
    pub left_out: LeftOut,
    /// Which version of the car Draw shows; with nothing, both, the alteration marked.
    pub version: Option<Version>,
    /// What stood on the disk in place of the open file when that was told last.
    pub told_of: Option<Option<Mark>>,
    /// What was asked for last on the sheets, and which of those that answered was gone to.
    pub found: Option<(String, usize)>,
    /// What takes so long that it is said before it is done.
    pub waits: Option<Waits>,
}

/// What of the lettering of a sheet has no room as it is seen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// What comes back from nearer by.
    pub ranks: Vec<Rank>,
    /// Whether figures below names are among that.
    pub has_figures: bool,
    /// Wires in view whose current has no room from however near by.
    pub untold: Vec<WireId>,
}

/// A step that is said in one frame, and done in the next.
#[derive(Debug, Clone)]
pub struct Waits {
    /// What is being done.
    pub says: String,
    /// The step.
    pub step: BoardStep,
    /// The frame in which it was said; nothing before.
    pub said_in: Option<u64>,
}
