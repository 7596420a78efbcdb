//! Writing the garage pack into a folder, and printing it.

use std::path::PathBuf;

use crate::command::Command;
use crate::handle::{Shell, enter_drafts};
use crate::pages;
use crate::state::{Notice, State};

/// Has the pack written; the press says when it is done.
pub(super) fn write(state: &mut State, shell: &Shell<'_>, folder: PathBuf) {
    shell.press.write(pages::copy(state, shell.analysis), folder);
    state.notice = Some(Notice::Said("Writing the garage pack…".to_owned()));
}

/// Has the pages printed, or the one that is shown alone; the press says what became of it.
pub(super) fn print(state: &mut State, shell: &Shell<'_>, command: Command) {
    enter_drafts(state);
    let is_alone = command == Command::PrintPage;
    let page = is_alone.then_some(state.papers.page);
    shell.press.print(pages::copy(state, shell.analysis), page);
    let says = if is_alone { "Printing this page…" } else { "Printing the garage pack…" };
    state.notice = Some(Notice::Said(says.to_owned()));
}
