//! What stands open on the desk around the sheet.

/// What stands open on the desk around the sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Desk {
    /// Whether the list of steps is open.
    pub shows_history: bool,
    /// What was asked for last on the sheets, and which of those that answered was gone to.
    pub found: Option<(String, usize)>,
}
