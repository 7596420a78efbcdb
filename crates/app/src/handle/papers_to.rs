//! Writing the garage pack into a folder.

use std::path::Path;

use crate::handle::Shell;
use crate::state::{Notice, State};

/// Writes the pack.
pub(super) fn write(state: &mut State, _shell: &mut Shell<'_>, path: &Path) {
    state.notice = Some(Notice::Refused(format!("Cannot write to {}", path.display())));
}
