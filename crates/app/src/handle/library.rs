//! The library of one's own part types: keeping, forgetting, sharing as a file, taking in.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use loomwright_circuit::{Library, PartType, load_parts, save_parts};

use crate::action::{ClashAnswer, PartStep};
use crate::files;
use crate::handle::{Shell, fail, paths};
use crate::own_type::slug;
use crate::state::{Clash, Notice, OwnLibrary, PathFor, Question, State};
use crate::texts::{LibrarySteps, PartWords};

/// Carries out a step that concerns the library; whether it did.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: &PartStep) -> bool {
    match step {
        PartStep::Keep(name) => {
            if let Some(row) = state.car().own_types().get(name).cloned() {
                take_in(state, shell, vec![row], 0);
            }
        }
        PartStep::Forget(name) => forget(state, shell, name),
        PartStep::Share(name) => {
            state.shares = Some(name.clone());
            paths::ask(state, shell, PathFor::Share);
        }
        PartStep::AskTakeIn => paths::ask(state, shell, PathFor::TakeIn),
        PartStep::Clash(answer) => {
            if let Some(Question::Clash(clash)) = state.question.take() {
                settle(state, shell, *clash, *answer);
            }
        }
        _ => return false,
    }
    true
}

/// Keeps part types in the library; says where that failed, or what was set aside.
pub(super) fn keep(state: &mut State, shell: &Shell<'_>, rows: &[Arc<PartType>]) -> bool {
    write(state, shell, |library| {
        library.types.extend(rows.iter().map(|row| (row.name.clone(), Arc::clone(row))));
    })
}

fn write(state: &mut State, shell: &Shell<'_>, change: impl Fn(&mut OwnLibrary)) -> bool {
    match shell.store.keep_parts(&mut state.library, change) {
        Ok(None) => true,
        Ok(Some(aside)) => {
            state.notice = Some(Notice::Refused(PartWords::set_aside(aside.display())));
            true
        }
        Err(error) => {
            let says = crate::tool::sentence(&format!("{error:#}"));
            state.notice = Some(Notice::Refused(says));
            false
        }
    }
}

fn forget(state: &mut State, shell: &Shell<'_>, name: &str) {
    let Some(row) = state.library.types.get(name).cloned() else { return };
    if write(state, shell, |library| drop(library.types.remove(name))) {
        state.notice = Some(Notice::Said(PartWords::forgotten(&row.title)));
    }
}

/// The name of the file that a part type is shared as.
pub(super) fn share_name(state: &State) -> String {
    format!("{}.loom-part.json", state.shares.as_deref().unwrap_or("part"))
}

/// Writes the part type that is shared.
pub(super) fn share(state: &mut State, path: &Path) {
    let row = state.shares.clone();
    let row = row.and_then(|name| state.library.find(state.car(), &name).cloned());
    let Some(row) = row else { return };
    let path = with_ending(path);
    match files::write(&path, &save_parts([row.as_ref()])) {
        Ok(()) => {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            state.notice = Some(Notice::Said(PartWords::shared_as(&row.title, name)));
            state.question = None;
        }
        Err(error) => fail(state, &error),
    }
}

/// The path with the ending of a file of part types.
fn with_ending(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    if name.to_string_lossy().ends_with(".json") {
        return path.to_path_buf();
    }
    name.push(".loom-part.json");
    path.with_file_name(name)
}

/// Takes in the part types of a file.
pub(super) fn take_in_file(state: &mut State, shell: &mut Shell<'_>, path: &Path) {
    use anyhow::Context as _;
    let read = files::read(path).and_then(|bytes| Ok(load_parts(&bytes)?));
    match read.with_context(|| LibrarySteps::cannot_take_in(path.display())) {
        Ok(types) => {
            state.question = None;
            take_in(state, shell, types.into_values().collect(), 0);
        }
        Err(error) => fail(state, &error),
    }
}

/// Takes in part types one by one, until one is called as another that is known.
fn take_in(state: &mut State, shell: &Shell<'_>, rows: Vec<Arc<PartType>>, n_taken_before: usize) {
    let mut taken = Vec::new();
    let mut had = None;
    let mut rows = rows.into_iter();
    while let Some(row) = rows.next() {
        match known(state, &row) {
            Some(known) if *known == row => had = Some(row),
            Some(_) => {
                let n_taken = n_taken_before + taken.len();
                if keep(state, shell, &taken) {
                    let clash = Clash { theirs: row, rest: rows.collect(), n_taken };
                    state.question = Some(Question::Clash(Box::new(clash)));
                }
                return;
            }
            None => taken.push(row),
        }
    }
    let n_taken = n_taken_before + taken.len();
    if !taken.is_empty() && !keep(state, shell, &taken) {
        return;
    }
    state.notice = match (n_taken, had, taken.as_slice()) {
        (0, Some(had), _) => Some(Notice::Said(PartWords::had_it(&had.title))),
        (0, None, _) => None,
        (1, _, [row]) => Some(Notice::Said(PartWords::taken(&row.title, row.group.title()))),
        _ => Some(Notice::Said(PartWords::took_in(n_taken))),
    };
}

/// The part type of the library, or of the program, that has this name.
fn known<'a>(state: &'a State, row: &PartType) -> Option<&'a Arc<PartType>> {
    state.library.types.get(&row.name).or_else(|| Library::standard().get(&row.name))
}

fn settle(state: &mut State, shell: &Shell<'_>, clash: Clash, answer: ClashAnswer) {
    let is_programs = Library::standard().get(&clash.theirs.name).is_some();
    let taken = match answer {
        ClashAnswer::TakeTheirs if !is_programs => Some(clash.theirs),
        ClashAnswer::KeepMine | ClashAnswer::TakeTheirs => None,
        ClashAnswer::Both => Some(Arc::new(under_new_name(state, &clash.theirs))),
    };
    let mut n_taken = clash.n_taken;
    if let Some(row) = taken {
        if !keep(state, shell, &[row]) {
            return;
        }
        n_taken += 1;
    }
    take_in(state, shell, clash.rest, n_taken);
}

/// A part type under the first free name after its own.
fn under_new_name(state: &State, row: &PartType) -> PartType {
    let is_free = |title: &String| {
        let name = slug(title);
        state.library.find(state.car(), &name).is_none()
    };
    let titles = (2..=1000_u32).map(|n| format!("{} {n}", row.title));
    let title = titles.into_iter().find(is_free).unwrap_or_default();
    PartType { name: slug(&title), title, ..row.clone() }
}
