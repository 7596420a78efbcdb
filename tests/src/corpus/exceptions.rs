//! What is known to be missed or falsely told.

use super::{Verdict, folder, text};

/// One known failure of the rules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exception {
    /// The sketch, by folder and name.
    pub sketch: String,
    /// Whether something is told that is not so; otherwise something is missed.
    pub is_untrue: bool,
    /// Why it stands there.
    pub reason: String,
}

/// Every known failure, as `exceptions.txt` lists them.
///
/// # Panics
/// Where a line is not understood or gives no reason.
pub fn exceptions() -> Vec<Exception> {
    let text = text(&folder().join("exceptions.txt"));
    let lines =
        text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines.map(|line| read(line).unwrap_or_else(|| panic!("exceptions.txt: '{line}'"))).collect()
}

fn read(line: &str) -> Option<Exception> {
    let (what, reason) = line.split_once(": ")?;
    let (kind, sketch) = what.split_once(' ')?;
    let is_untrue = match kind {
        "missed" => false,
        "false" => true,
        _ => return None,
    };
    (!reason.trim().is_empty()).then(|| Exception {
        sketch: sketch.to_owned(),
        is_untrue,
        reason: reason.to_owned(),
    })
}

impl Exception {
    /// Whether the verdict over its sketch still fails in this way.
    pub fn still_holds(&self, verdict: &Verdict) -> bool {
        if self.is_untrue { !verdict.untrue.is_empty() } else { !verdict.missed.is_empty() }
    }
}
