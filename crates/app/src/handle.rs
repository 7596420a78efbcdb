//! Carries actions out: the one place that changes the window's state.

mod accept;
mod arrange;
mod bench;
mod board;
mod command;
mod deleting;
mod desk;
mod edits;
mod fields;
mod grid;
mod key_list;
mod kits;
mod library;
mod look;
mod many;
mod named;
mod notes;
mod on_disk;
mod own_type;
mod papers_to;
mod paths;
mod promise;
mod proposals;
mod seen;
mod steps;

use std::sync::Arc;

use loomwright_circuit::{Edit, RowId};
use loomwright_electrics::Move;

use crate::action::Action;
use crate::analysis::Analysis;
use crate::dialogs::Dialogs;
use crate::opener::Opener;
use crate::press::Press;
use crate::state::{Counter, Draft, Mode, Notice, Question, Selection, State};
use crate::store::{Settings, Store};
use crate::texts::{ActionSteps, Records};
use crate::tool::{Aim, Tool, begun_small};
use crate::worker::Worker;

pub(crate) use bench::{METER_BEARS, forth, in_hand, opened};
pub(crate) use grid::is_of;
pub(crate) use look::fits_no_more;
use look::{bring_into_view, go_to, look, resize, turn_to};
pub(crate) use paths::opened as file_opened;

/// What an action may reach beside the state.
pub struct Shell<'a> {
    /// What is computed from the car.
    pub analysis: &'a mut Analysis,
    /// The background thread.
    pub worker: &'a Worker,
    /// The thread that sets pages.
    pub press: &'a Press,
    /// Opens files.
    pub opener: &'a mut Opener,
    /// The desktop's dialogs.
    pub dialogs: &'a Dialogs,
    /// Settings and unsaved work on the disk.
    pub store: &'a Store,
    /// The toolkit, for the clipboard and the window itself.
    pub ctx: &'a egui::Context,
}

impl std::fmt::Debug for Shell<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Shell").finish_non_exhaustive()
    }
}

/// Carries one action out.
pub fn handle(state: &mut State, shell: &mut Shell<'_>, action: Action) {
    note_placed(state, shell, &action);
    match action {
        Action::Command(command) => command::run(state, shell, command),
        Action::Edit(label, edit) => edits::commit(state, label, edit),
        Action::Fix(title, edit) => fix(state, shell, &title, edit),
        Action::Select(selection) => select(state, shell, selection),
        Action::Toggle(rows) => toggle(state, shell, &rows),
        Action::Tool(tool) => take_tool(state, tool),
        Action::Aim(step) => aim(state, shell, &step),
        Action::Board(step) => board::step(state, shell, step),
        Action::Camera(camera) => drop(state.cameras.insert(state.sheet, camera)),
        Action::Pointer(at) => state.pointer = at,
        Action::CanvasSize(width, height) => resize(state, shell, (width, height)),
        Action::Sheet(_)
        | Action::GoTo(_)
        | Action::LookAt(_)
        | Action::AskFor(..)
        | Action::ShowMe(_)
        | Action::ShowSetting(..)
        | Action::AskWhatIf(_)
        | Action::AskSeen(_)
        | Action::AskKits(_)
        | Action::Preview(_)
        | Action::Why(_)
        | Action::Page(_)
        | Action::PaperOptions(_)
        | Action::LookAtPage(_)
        | Action::PageSeen(_) => look(state, shell, action),
        Action::Typed(field, text) => drop(state.drafts.insert(field, Draft { text, error: None })),
        Action::Entered(field) => fields::enter(state, &field),
        Action::GivenUp(field) => drop(state.drafts.remove(&field)),
        Action::SetInsulation(..)
        | Action::SetInsulations(_)
        | Action::SetFitting(..)
        | Action::Mark(_)
        | Action::SetVoltage(_)
        | Action::SetEarth(_)
        | Action::SetBody(_)
        | Action::SetColours(_)
        | Action::SetRegion(_) => edits::set(state, &action),
        Action::SetSeen(at, key, answer) => seen::set(state, at, key, answer),
        Action::RenameSheet(sheet) => state.renaming = sheet,
        Action::SearchShelf(text) => state.shelf_search = text,
        Action::AskCounter(_)
        | Action::ChooseAtCounter(_)
        | Action::CloseCounter
        | Action::Place(_)
        | Action::PlaceNow(_) => at_counter(state, shell, action),
        Action::FitKit(name) => kits::fit(state, shell, name),
        Action::Paste(text) => edits::paste(state, shell, &text),
        Action::Say(text) => state.notice = Some(Notice::Said(text)),
        Action::Refuse(text) => state.notice = Some(Notice::Refused(text)),
        Action::Work(..) | Action::Press(_) | Action::LetGo | Action::Bench(_) => {
            work(state, shell, action);
        }
        Action::Larger(factor) => set(state, shell, |settings| settings.larger = factor),
        Action::Scheme(scheme) => set(state, shell, |settings| settings.scheme = scheme),
        Action::DecimalMark(choice) => look::write_numbers_with(state, shell, choice),
        other => paths::handle_rest(state, shell, other),
    }
}

/// Makes a fix, goes to what it brought or changed, and says what that is.
fn fix(state: &mut State, shell: &mut Shell<'_>, title: &str, edit: Edit) {
    let label = begun_small(title);
    let edit = shell.analysis.clear_of_drawing(state, edit);
    look::end_preview(state);
    if edits::try_commit_decided(state, label, edit).is_err() {
        return;
    }
    let car = Arc::clone(&state.doc.car);
    let touched = state.doc.history.next_undo().map(|step| step.patch.changes.clone());
    let mut shown = Selection::default();
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    for change in touched.iter().flatten().filter(|change| change.after.is_some()) {
        match change.row {
            RowId::Part(id) if shown.parts.insert(id) && change.before.is_none() => parts.push(id),
            RowId::Wire(id) if shown.wires.insert(id) && change.before.is_none() => wires.push(id),
            _ => {}
        }
    }
    let is_new = !(parts.is_empty() && wires.is_empty());
    let names: Vec<&str> = if is_new {
        let parts = parts.iter().filter_map(|id| car.part(*id)).map(|part| &*part.label);
        parts.chain(wires.iter().filter_map(|id| car.wire(*id)).map(|wire| &*wire.label)).collect()
    } else {
        Vec::new()
    };
    if is_new {
        shown = Selection {
            parts: parts.iter().copied().collect(),
            wires: wires.iter().copied().collect(),
            ..Selection::default()
        };
    }
    look::go_to_new(state, shell, shown);
    let sheet = car.sheets().get(&state.sheet).map_or("", |sheet| &*sheet.title);
    let says = match names.split_last() {
        None => ActionSteps::done_on_sheet(title, sheet),
        Some((last, [])) => ActionSteps::is_new_on_sheet_marked_to(last, sheet),
        Some((last, others)) => {
            ActionSteps::and_are_new_on_sheet_marked(others.join(", "), last, sheet)
        }
    };
    state.notice = Some(Notice::Said(says));
}

/// Selects rows; what was typed and not yet entered is entered first.
fn select(state: &mut State, shell: &mut Shell<'_>, selection: Selection) {
    if selection == state.selection {
        return;
    }
    enter_drafts(state);
    state.just_run = state.just_run.filter(|id| selection == Selection::wire(*id));
    // Who goes on to something else has read why a control stays where it is.
    let refused = shell.analysis.trial.as_ref().and_then(|trial| trial.refused.as_ref());
    if refused.is_some_and(|refusal| state.says_refused(&refusal.says)) {
        state.notice = None;
    }
    state.selection = selection;
    state.selection.keep_known(&Arc::clone(&state.doc.car));
    // A click on the sheet ends typing.
    shell.ctx.memory_mut(|memory| memory.stop_text_input());
}

/// Enters what was typed; what is not understood stays in its field until it is mended, and is told once here.
pub(crate) fn enter_drafts(state: &mut State) {
    let fresh = state.drafts.iter().filter(|(_, draft)| draft.error.is_none());
    let fields: Vec<_> = fresh.map(|(field, _)| field.clone()).collect();
    for field in fields {
        fields::enter(state, &field);
        if let Some(error) = state.drafts.get(&field).and_then(|draft| draft.error.clone()) {
            state.notice = Some(Notice::Refused(error));
        }
    }
}

fn toggle(state: &mut State, shell: &mut Shell<'_>, rows: &Selection) {
    let mut selection = state.selection.clone();
    if rows.is_within(&selection) {
        selection.take_out(rows);
    } else {
        selection.add(rows);
    }
    select(state, shell, selection);
}

fn take_tool(state: &mut State, tool: Tool) {
    if matches!(state.tool, Tool::Rest) && !matches!(tool, Tool::Rest) {
        state.notice = None;
    }
    if !matches!(tool, Tool::Rest) {
        state.refused_at = None;
    }
    if matches!(tool, Tool::Placing { .. }) && state.mode != Mode::Draw {
        state.mode = Mode::Draw;
    }
    state.tool = tool;
}

/// A step of running a wire by keys; the terminal aimed at is brought into view.
fn aim(state: &mut State, shell: &mut Shell<'_>, step: &Aim) {
    if state.mode != Mode::Draw {
        return;
    }
    let laid = shell.analysis.laid(state, state.sheet);
    let scene = crate::view::canvas::scene(state, &laid);
    let actions = crate::tool::aim(&state.tool, &scene, state.camera().centre, step);
    for action in actions {
        handle(state, shell, action);
    }
    if let Tool::Aiming { at: (part, _), .. } = &state.tool {
        let shown = Selection::part(*part);
        bring_into_view(state, shell, &shown);
        free_the_arrows(shell);
    }
}

/// What is asked for and taken at the parts counter, or from the shelf.
fn at_counter(state: &mut State, shell: &mut Shell<'_>, action: Action) {
    match action {
        Action::AskCounter(text) => {
            let cuts = board::cuts(state);
            state.counter = Some(Counter { text, chosen: 0, cuts });
        }
        Action::ChooseAtCounter(row_idx) => {
            if let Some(counter) = &mut state.counter {
                counter.chosen = row_idx;
            }
        }
        Action::Place(name) | Action::PlaceNow(name) if board::cuts(state).is_some() => {
            board::take_for_cut(state, shell, name);
        }
        Action::Place(name) => edits::start_placing(state, &name),
        Action::PlaceNow(name) => edits::place_now(state, shell, &name),
        _ => state.counter = None,
    }
}

/// The arrows belong to what is in hand now.
fn free_the_arrows(shell: &Shell<'_>) {
    if let Some(focused) = shell.ctx.memory(|memory| memory.focused()) {
        shell.ctx.memory_mut(|memory| memory.surrender_focus(focused));
    }
}

fn work(state: &mut State, shell: &mut Shell<'_>, action: Action) {
    let action = match action {
        Action::Bench(step) => return bench::bench(state, shell, step),
        other => other,
    };
    let car = Arc::clone(&state.doc.car);
    let Some(trial) = &mut shell.analysis.trial else { return };
    let n_left = trial.undone.len();
    let result = match action {
        Action::Work(control, position) => trial.operate(&car, &control, &position),
        Action::Press(part) => trial.press(&car, part),
        _ => match trial.let_go(&car) {
            followed if followed.is_empty() => return,
            followed => Ok(followed),
        },
    };
    let is_put_aside = n_left > 0 && trial.undone.is_empty();
    state.notice = worked(result, trial.brings_back().filter(|_| is_put_aside));
}

/// What a worked control is told of: why it stays, or what moved by itself, and how many later steps gave way to it.
fn worked(result: Result<Vec<Move>, String>, put_aside: Option<usize>) -> Option<Notice> {
    match result {
        Err(reason) => Some(Notice::Refused(reason)),
        Ok(followed) => {
            let followed = followed.iter().map(crate::words::followed);
            let put_aside = put_aside.map(|n| match n {
                1 => Records::put_aside().to_owned(),
                n => Records::put_aside_many(n),
            });
            let says: Vec<String> = followed.chain(put_aside).collect();
            (!says.is_empty()).then(|| Notice::Said(crate::tool::sentence(&says.join("; "))))
        }
    }
}

/// Part types placed last stand on top of the shelf.
fn note_placed(state: &mut State, shell: &Shell<'_>, action: &Action) {
    let type_name = match action {
        Action::Edit(_, Edit::Place(part)) => &part.type_name,
        Action::Edit(_, Edit::All(edits)) => match &**edits {
            [Edit::SetOwnType(_), Edit::Place(part)] => &part.type_name,
            _ => return,
        },
        Action::PlaceNow(name) => name,
        _ => return,
    };
    if state.settings.placed.first() != Some(type_name) {
        state.settings.placed(type_name);
        keep_settings(state, shell);
    }
}

fn set(state: &mut State, shell: &Shell<'_>, change: impl FnOnce(&mut Settings)) {
    change(&mut state.settings);
    keep_settings(state, shell);
}

fn keep_settings(state: &mut State, shell: &Shell<'_>) {
    if let Err(error) = shell.store.keep_settings(&state.settings) {
        state.notice = Some(Notice::Refused(format!("{error:#}")));
    }
}

/// Takes rows that are gone out of the selection, and shows a sheet that is there.
pub(crate) fn tidy(state: &mut State) {
    let car = Arc::clone(&state.doc.car);
    state.selection.keep_known(&car);
    if !car.sheets().contains_key(&state.sheet)
        && let Some(first) = car.sheets().keys().next()
    {
        state.sheet = *first;
    }
}

/// Says a failure in a box of its own.
fn fail(state: &mut State, error: &anyhow::Error) {
    state.question = Some(Question::Failed(crate::tool::sentence(&format!("{error:#}"))));
}
