//! Writing the garage pack into a folder, and printing it.

use std::path::PathBuf;

use crate::command::Command;
use crate::handle::{Shell, enter_drafts};
use crate::pages;
use crate::state::State;
use crate::texts::Pressing;

/// Has the pack written; the press says when it is done.
pub(super) fn write(state: &mut State, shell: &Shell<'_>, folder: PathBuf) {
    let under_way = shell.press.write(pages::copy(state, shell.analysis), folder);
    state.notice = None;
    state.desk.under_way = Some((Pressing::writing(), under_way));
}

/// Has the pages printed, or the one that is shown alone; the press says what became of it.
pub(super) fn print(state: &mut State, shell: &Shell<'_>, command: Command) {
    enter_drafts(state);
    let is_alone = command == Command::PrintPage;
    let page = is_alone.then_some(state.papers.page);
    let under_way = shell.press.print(pages::copy(state, shell.analysis), page);
    state.notice = None;
    let says = if is_alone { Pressing::printing_page() } else { Pressing::printing() };
    state.desk.under_way = Some((says, under_way));
}
