//! Opening, saving, and the questions on the way.

use std::path::{Path, PathBuf};

use loomwright_circuit::{Car, Vehicle};

use crate::action::Action;
use crate::command::Command;
use crate::files::Mark;
use crate::handle::{
    Shell, accept, desk, fail, grid, handle, keep_settings, key_list, library, on_disk, own_type,
    papers_to, promise,
};
use crate::opener::{Found, Outcome};
use crate::state::{Document, Mode, Notice, PathBox, PathFor, Question, State};
use crate::texts::{OnDisk, PathSteps};
use crate::{demo, files};

/// Carries out a command that concerns files.
pub(super) fn command(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::New | Command::Open if state.doc.is_edited && !state.gives_up => {
            let next = Box::new(Action::Command(command));
            state.question = Some(Question::LoseChanges(next));
        }
        Command::New => {
            let car =
                Car::new(Vehicle { name: PathSteps::new_car().to_owned(), ..Vehicle::default() });
            replace(state, shell, Document::new(car, None));
            // An empty car has nothing to try or to print.
            state.mode = Mode::Draw;
        }
        Command::Open => ask(state, shell, PathFor::Open),
        Command::Save => match state.doc.path.clone() {
            Some(path) => drop(save(state, shell, &path)),
            None => ask(state, shell, PathFor::Save),
        },
        Command::SaveAs => ask(state, shell, PathFor::Save),
        _ => ask(state, shell, PathFor::Pack),
    }
}

/// Carries out an action that concerns files and questions.
pub(super) fn handle_path(
    state: &mut State,
    shell: &mut Shell<'_>,
    purpose: PathFor,
    path: PathBuf,
) {
    match purpose {
        PathFor::Open => open(state, shell, path),
        PathFor::Save => {
            let path = with_ending(path);
            if save(state, shell, &path) {
                go_on(state, shell);
            }
        }
        PathFor::Pack => papers_to::write(state, shell, path),
        PathFor::Share => library::share(state, &path),
        PathFor::TakeIn => library::take_in_file(state, shell, &path),
        PathFor::Templates if files::is_folder(&path) => {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            state.notice = Some(Notice::Said(OnDisk::templates(name)));
            state.papers.options.templates = Some(path);
        }
        PathFor::Templates => {
            fail(state, &anyhow::anyhow!(PathSteps::no_folder(path.display())));
        }
    }
}

fn drop_recovered(state: &mut State, shell: &mut Shell<'_>) {
    state.question = None;
    shell.store.forget_work();
}

/// The rest of the actions.
pub(super) fn handle_other(state: &mut State, shell: &mut Shell<'_>, action: Action) {
    match action {
        Action::CloseQuestion => close_question(state, shell),
        Action::Discard(next) => {
            state.question = None;
            state.gives_up = true;
            handle(state, shell, *next);
        }
        Action::SaveThen(next) => {
            state.question = None;
            state.after_save = Some(next);
            match state.doc.path.clone() {
                Some(path) if save(state, shell, &path) => go_on(state, shell),
                Some(_) => {}
                None => ask(state, shell, PathFor::Save),
            }
        }
        Action::TakeRecovered => take_recovered(state, shell),
        Action::DropRecovered => drop_recovered(state, shell),
        Action::FindingCame => state.brings = None,
        Action::Accept(step) => accept::accept(state, shell, step),
        Action::Grid(step) => grid::grid(state, shell, step),
        Action::Desk(step) => desk::step(state, shell, step),
        Action::Key(step) => key_list::step(state, shell, step),
        Action::OwnType(step) => own_type::step(state, shell, step),
        Action::Promise(step) => promise::promise(state, shell.analysis, step),
        Action::ReadFindings(reads) => state.reads_findings = reads,
        Action::List(listing) => state.listing = listing,
        Action::ReadRule(code) => state.question = Some(Question::Rule(code)),
        Action::OpenPath(path) => open(state, shell, path),
        Action::OpenDemo(_) if state.doc.is_edited && !state.gives_up => {
            state.question = Some(Question::LoseChanges(Box::new(action)));
        }
        // A copy: it has no path, so saving asks for one.
        Action::OpenDemo(demo_idx) => {
            replace(state, shell, Document::new(demo::car(demo_idx), None));
        }
        Action::SaveOver => save_over(state, shell),
        Action::SaveElsewhere => {
            // What waits for the car to be saved goes on waiting.
            state.question = None;
            ask(state, shell, PathFor::Save);
        }
        Action::SavePath(path) => handle_path(state, shell, PathFor::Save, path),
        Action::PackPath(path) => handle_path(state, shell, PathFor::Pack, path),
        Action::TemplatesPath(path) => handle_path(state, shell, PathFor::Templates, path),
        Action::PartsPath(purpose, path) => handle_path(state, shell, purpose, path),
        Action::ChooseTemplates => ask(state, shell, PathFor::Templates),
        Action::AskPath(purpose) => {
            let text = likely_path(state, purpose);
            state.question = Some(Question::Path(PathBox { purpose, text, error: None }));
        }
        Action::TypePath(text) => {
            if let Some(Question::Path(path_box)) = &mut state.question {
                path_box.text = text;
                path_box.error = None;
            }
        }
        Action::TakePath => take_path(state, shell),
        _ => {}
    }
}

/// Goes on with what waited for the car to be saved.
fn go_on(state: &mut State, shell: &mut Shell<'_>) {
    if let Some(next) = state.after_save.take() {
        handle(state, shell, *next);
    }
}

/// Saves to the file in question, whatever stands there.
fn save_over(state: &mut State, shell: &mut Shell<'_>) {
    if let Some(Question::Overwrite(asked)) = state.question.take()
        && write(state, shell, &asked.path)
    {
        go_on(state, shell);
    }
}

/// Opens the unsaved work that was found.
fn take_recovered(state: &mut State, shell: &mut Shell<'_>) {
    if let Some(Question::Recover(found)) = state.question.take() {
        replace(state, shell, Document::recovered(*found));
    }
}

/// Takes the typed path; one that does not serve stays to be mended, with the reason below it.
fn take_path(state: &mut State, shell: &mut Shell<'_>) {
    let Some(Question::Path(mut path_box)) = state.question.take() else { return };
    let text = path_box.text.trim();
    if text.is_empty() {
        return;
    }
    let after_save = state.after_save.clone();
    // A dialog of the desktop asks that by itself.
    let save_to = with_ending(PathBuf::from(text));
    if path_box.purpose == PathFor::Save && !on_disk::may_write(state, &save_to, true) {
        return;
    }
    handle_path(state, shell, path_box.purpose, PathBuf::from(text));
    if let Some(Question::Failed(says)) = &state.question {
        path_box.error = Some(says.clone());
        state.question = Some(Question::Path(path_box));
        state.after_save = after_save;
    }
}

pub(super) use handle_other as handle_rest;

/// A path to begin typing from: where the car is saved, or its name in the home folder.
fn likely_path(state: &State, purpose: PathFor) -> String {
    let home = directories::UserDirs::new().map(|dirs| dirs.home_dir().to_path_buf());
    let beside = state.doc.path.as_ref().and_then(|path| path.parent().map(Path::to_path_buf));
    let lately = || Some(state.settings.recent.first()?.parent()?.to_path_buf());
    let Some(folder) = beside.or_else(lately).or(home) else { return String::new() };
    let name = files::name_of(&state.car().vehicle().name);
    let name = if name.is_empty() { "car".to_owned() } else { name };
    let path = match purpose {
        PathFor::Open | PathFor::Templates | PathFor::TakeIn => folder.join(""),
        PathFor::Share => folder.join(library::share_name(state)),
        PathFor::Save => folder.join(save_name(state)),
        PathFor::Pack => folder.join(format!("{name}-pack")),
    };
    path.display().to_string()
}

fn close_question(state: &mut State, shell: &mut Shell<'_>) {
    let question = state.question.take();
    shell.opener.give_up();
    state.after_save = None;
    state.gives_up = false;
    if matches!(question, Some(Question::Cautions)) && !state.settings.has_read_cautions {
        state.settings.has_read_cautions = true;
        keep_settings(state, shell);
    }
}

pub(super) fn ask(state: &mut State, shell: &mut Shell<'_>, purpose: PathFor) {
    let name = match purpose {
        PathFor::Share => library::share_name(state),
        _ => save_name(state),
    };
    let ctx = shell.ctx.clone();
    let start = state.doc.path.clone().or_else(|| state.settings.recent.first().cloned());
    let wake = move || ctx.request_repaint();
    shell.dialogs.ask(purpose, start.as_deref(), &name, wake);
}

/// The name to save under: the one that the file has, or one made of the car's name; where something else has come to
/// stand under that name meanwhile, the next that is free.
fn save_name(state: &State) -> String {
    let path = state.doc.path.as_ref();
    let is_anothers = |path: &Path| files::exists(path) && Mark::on_disk(path) != state.doc.mark;
    let free = path.filter(|path| is_anothers(path)).and_then(|path| files::free_beside(path));
    if let Some(name) = free.as_ref().or(path).and_then(|path| path.file_name()) {
        return name.to_string_lossy().into_owned();
    }
    let name = files::name_of(&state.car().vehicle().name);
    if name.is_empty() { "car.loom.json".to_owned() } else { format!("{name}.loom.json") }
}

/// The path with the ending of a car file.
fn with_ending(path: PathBuf) -> PathBuf {
    let has_ending = path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(".json"));
    if has_ending {
        return path;
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".loom.json");
    path.with_file_name(name)
}

fn open(state: &mut State, shell: &mut Shell<'_>, path: PathBuf) {
    if state.doc.is_edited && !state.gives_up {
        if files::holds_parts(&path) {
            library::take_in_file(state, shell, &path);
        } else {
            state.question = Some(Question::LoseChanges(Box::new(Action::OpenPath(path))));
        }
        return;
    }
    let ctx = shell.ctx.clone();
    match shell.opener.open(&path, move || ctx.request_repaint()) {
        Some(outcome) => opened(state, shell, &path, outcome),
        None => state.question = Some(Question::Opening(path)),
    }
}

/// Takes a file that has come.
pub(crate) fn opened(state: &mut State, shell: &mut Shell<'_>, path: &Path, outcome: Outcome) {
    if matches!(state.question, Some(Question::Opening(_))) {
        state.question = None;
    }
    match outcome {
        Ok(Found::Parts) => library::take_in_file(state, shell, path),
        Ok(Found::Car(opened)) => {
            state.settings.opened(path);
            keep_settings(state, shell);
            let is_sketch = opened.path.is_none();
            replace(state, shell, Document::opened(*opened));
            if is_sketch {
                state.notice = Some(Notice::Said(OnDisk::sketch().to_owned()));
            }
        }
        Err(error) => fail(state, &error),
    }
}

/// Saves, unless another file than the one that was opened stands there; says whether it was done.
fn save(state: &mut State, shell: &mut Shell<'_>, path: &Path) -> bool {
    on_disk::may_write(state, path, false) && write(state, shell, path)
}

/// Writes the file, and says whether it was done.
fn write(state: &mut State, shell: &mut Shell<'_>, path: &Path) -> bool {
    match files::save(&state.doc.car, path) {
        Ok(mark) => {
            state.doc.saved_at(path.to_path_buf(), mark);
            state.settings.opened(path);
            keep_settings(state, shell);
            shell.store.forget_work();
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            state.notice = Some(Notice::Said(PathSteps::saved_as(&name)));
            true
        }
        Err(error) => {
            fail(state, &error);
            false
        }
    }
}

/// Puts another document in the window.
pub(super) fn replace(state: &mut State, shell: &mut Shell<'_>, mut doc: Document) {
    if state.gives_up {
        shell.store.forget_work();
    }
    // Revisions go on counting, so that late answers for the document before are known as such.
    doc.revision = state.doc.revision + 1;
    let canvas_size = state.canvas_size;
    let mut fresh = State::new(doc, state.settings.clone());
    fresh.canvas_size = canvas_size;
    fresh.mode = state.mode;
    fresh.library = std::mem::take(&mut state.library);
    // Paper, inks and templates are the person's and the printer's, not the car's.
    fresh.papers.options = state.papers.options.clone();
    *state = fresh;
    shell.analysis.restart(state, shell.worker);
}
