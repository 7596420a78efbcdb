//! What stands open on the desk around the sheet.

/// What stands open on the desk around the sheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Desk {
    /// Whether the list of steps is open.
    pub shows_history: bool,
}
