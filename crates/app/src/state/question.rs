//! Questions that wait for an answer.

use std::path::PathBuf;

use loomwright_circuit::Car;
use loomwright_rules::Finding;

use crate::action::Action;

/// A question that waits for an answer.
#[derive(Debug, Clone)]
pub enum Question {
    /// Unsaved changes would be lost; what follows once they are saved or given up.
    LoseChanges(Box<Action>),
    /// Unsaved work of an earlier run was found.
    Recover(Box<Recovered>),
    /// The cautions, shown on the first start and from the menu.
    Cautions,
    /// The list of keys.
    Keys,
    /// A path to type, where the desktop offers no dialog.
    Path(PathBox),
    /// A finding that is to be accepted with a reason.
    Accept(Box<AcceptBox>),
    /// The page of the rule of this code.
    Rule(&'static str),
    /// Something failed; one sentence.
    Failed(String),
}

/// Unsaved work that was found.
#[derive(Debug, Clone)]
pub struct Recovered {
    /// The car as it was.
    pub car: Car,
    /// Where it had been saved.
    pub path: Option<PathBuf>,
}

/// A finding to be accepted, with what is typed.
#[derive(Debug, Clone, PartialEq)]
pub struct AcceptBox {
    /// The finding as it stood when that was asked for.
    pub finding: Finding,
    /// Why it shall be accepted.
    pub reason: String,
    /// By whom.
    pub by: String,
    /// Why that could not be taken, in one sentence.
    pub error: Option<String>,
}

/// A path being typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PathBox {
    /// What it is for.
    pub purpose: PathFor,
    /// The text.
    pub text: String,
    /// Why it could not be taken, in one sentence.
    pub error: Option<String>,
}

/// What a path is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PathFor {
    /// A car file or sketch to open.
    Open,
    /// Where to save the car file.
    Save,
    /// The folder for the garage pack.
    Pack,
}
