//! Writing the garage pack into a folder.

use std::path::PathBuf;

use crate::handle::Shell;
use crate::pages;
use crate::state::{Notice, State};

/// Has the pack written; the press says when it is done.
pub(super) fn write(state: &mut State, shell: &Shell<'_>, folder: PathBuf) {
    shell.press.write(pages::copy(state, shell.analysis), folder);
    state.notice = Some(Notice::Said("Writing the garage pack…".to_owned()));
}
