//! What is listed and unfolded of the findings and the details.

use std::collections::BTreeSet;

use loomwright_rules::Level;

/// Sections of the details that are folded away until they are asked for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Unfolded {
    /// What would go wrong with what is selected.
    pub what_if: bool,
    /// What somebody at the car can see of it.
    pub seen: bool,
    /// The kits on the shelf.
    pub kits: bool,
}

/// Which findings are listed, and how.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// Words that each must have.
    pub text: String,
    /// Levels left out.
    pub hidden: BTreeSet<Level>,
    /// Whether they stand by the sheet that they are on.
    pub by_sheet: bool,
}

/// A fix of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FixAt {
    /// The finding's number, from 0.
    pub finding: usize,
    /// The fix's number among those of the finding, from 0.
    pub fix: usize,
}
