//! What else happens to the open file on the disk: it is told, and never written over unseen.

use std::path::Path;

use crate::diff::difference;
use crate::files::{self, Mark};
use crate::state::{Notice, OverwriteBox, Question, State};
use crate::texts::OnDisk;

/// Whether a file may be written to: it is the one that is open here and stands as it was left, or there is none.
/// Otherwise that is asked.
pub(super) fn may_write(state: &mut State, path: &Path, asks_for_others: bool) -> bool {
    let is_ours = state.doc.path.as_deref() == Some(path);
    let stands_as_left = is_ours && Mark::on_disk(path) == state.doc.mark;
    if !files::exists(path) || stands_as_left || !(is_ours || asks_for_others) {
        return true;
    }
    let theirs = files::open(path)
        .map(|opened| difference(&state.doc.car, &opened.car).words())
        .map_err(|error| format!("{error:#}"));
    let asked = OverwriteBox { path: path.to_path_buf(), is_ours, theirs };
    state.question = Some(Question::Overwrite(Box::new(asked)));
    false
}

/// Looks whether the open file still stands on the disk as it was left; says once what is there instead.
pub(super) fn look(state: &mut State) {
    let Some(path) = state.doc.path.clone() else { return };
    let now = Mark::on_disk(&path);
    if now == state.doc.mark {
        state.desk.told_of = None;
        return;
    }
    if state.desk.told_of == Some(now) {
        return;
    }
    state.desk.told_of = Some(now);
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    state.notice = Some(Notice::Refused(match now {
        Some(_) => OnDisk::note(name),
        None => OnDisk::gone(name),
    }));
}

/// Opens the file in question in a window of its own; the question stays.
pub(super) fn show_theirs(state: &mut State) {
    let Some(Question::Overwrite(asked)) = &state.question else { return };
    state.notice = Some(match files::open_window(&asked.path) {
        Ok(()) => Notice::Said(OnDisk::opened().to_owned()),
        Err(error) => Notice::Refused(crate::tool::sentence(&format!("{error:#}"))),
    });
}
