//! Questions that wait for an answer.

use std::path::PathBuf;

use egui::KeyboardShortcut;
use loomwright_circuit::{Car, Claim, Expectation, Moment, Promise};
use loomwright_rules::Finding;

use crate::action::Action;
use crate::command::Command;
use crate::files::Mark;
use crate::state::{Clash, Grid, PartEditor};

/// A question that waits for an answer.
#[derive(Debug, Clone)]
pub enum Question {
    /// Unsaved changes would be lost; what follows once they are saved or given up.
    LoseChanges(Box<Action>),
    /// Unsaved work of an earlier run was found.
    Recover(Box<Recovered>),
    /// The cautions, shown on the first start and from the menu.
    Cautions,
    /// The list of keys, to be read and changed.
    Keys(KeysBox),
    /// A path to type, where the desktop offers no dialog.
    Path(PathBox),
    /// A finding that is to be accepted with a reason.
    Accept(Box<AcceptBox>),
    /// What of the setting shown shall be promised.
    Promise(Box<PromiseBox>),
    /// All promises, as a table to write in.
    Promises(Box<Grid>),
    /// The promises that are usual for such a car, to be taken or left.
    Usual(Vec<UsualRow>),
    /// A part type of one's own while it is made.
    OwnType(Box<PartEditor>),
    /// A part type that came from a file is called as another.
    Clash(Box<Clash>),
    /// The lessons, each with its rules.
    Course,
    /// The page of the rule of this code.
    Rule(&'static str),
    /// The file to save to is another one than was opened.
    Overwrite(Box<OverwriteBox>),
    /// A file that takes long is being opened.
    Opening(std::path::PathBuf),
    /// Something failed; one sentence.
    Failed(String),
}

/// The list of keys while it is open.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct KeysBox {
    /// The command that waits for a key.
    pub waiting: Option<Command>,
    /// A key that was pressed for a command though another one has it.
    pub clash: Option<(Command, KeyboardShortcut)>,
    /// What came of the last change.
    pub says: Option<String>,
}

/// A file that is there and would be written over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OverwriteBox {
    /// The file.
    pub path: PathBuf,
    /// Whether it is the one that is open here, and was changed since.
    pub is_ours: bool,
    /// What it holds against the drawing, or why it cannot be read.
    pub theirs: Result<String, String>,
}

/// Unsaved work that was found.
#[derive(Debug, Clone)]
pub struct Recovered {
    /// The car as it was.
    pub car: Car,
    /// Where it had been saved.
    pub path: Option<PathBuf>,
    /// By what the file is known again that it was based on.
    pub mark: Option<Mark>,
    /// When it was kept, seconds since 1970.
    pub kept_secs: Option<u64>,
    /// The same in words, with how long ago that is.
    pub when: String,
    /// How it differs from the file as it is saved, in words; nothing where that cannot be read.
    pub changes: Option<String>,
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
    /// Whether it is the name that is wanted.
    pub wants_name: bool,
}

/// A promise to be made from what is shown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PromiseBox {
    /// The controls as they stand, and whether each matters.
    pub when: Vec<(Moment, bool)>,
    /// The parts of which something can be asked.
    pub then: Vec<ClaimRow>,
    /// Why it could not be made, in one sentence.
    pub error: Option<String>,
}

impl PromiseBox {
    /// The promise as it is ticked.
    pub fn promise(&self) -> Promise {
        let when = self.when.iter().filter(|(_, is_taken)| *is_taken);
        let then = self.then.iter().filter(|row| row.is_taken);
        Promise {
            when: when.map(|(moment, _)| moment.clone()).collect(),
            without: Vec::new(),
            then: then.map(|row| row.claim.clone()).collect(),
        }
    }
}

/// A part, or one lamp of it, of which something can be asked.
#[derive(Debug, Clone, PartialEq)]
pub struct ClaimRow {
    /// What would be asked of it; at first what it does.
    pub claim: Claim,
    /// What can be asked of it.
    pub choices: &'static [Expectation],
    /// What it does, in a word, where that is none of the choices.
    pub does: Option<&'static str>,
    /// Whether it is part of the promise.
    pub is_taken: bool,
}

/// A promise that is offered.
#[derive(Debug, Clone, PartialEq)]
pub struct UsualRow {
    /// What it is about.
    pub about: &'static str,
    /// The promise.
    pub promise: Promise,
    /// Whether it is to be made.
    pub is_taken: bool,
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
    /// The folder of a club's page templates.
    Templates,
    /// Where to write a part type that is shared.
    Share,
    /// A file of part types to take in.
    TakeIn,
}
