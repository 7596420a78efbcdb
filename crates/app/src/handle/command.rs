//! Carries commands out.

use std::collections::BTreeSet;

use egui::ViewportCommand;
use loomwright_circuit::{Car, Clip, Edit, NoteId, Sheet, SheetId, Wire};

use crate::action::{Action, DeskStep};
use crate::command::{Command, key_text};
use crate::handle::edits::{commit, paste_clip, turn_in_hand};
use crate::handle::{
    Shell, bench, board, deleting, desk, enter_drafts, handle, look, papers_to, paths, select,
    steps, turn_to,
};
use crate::state::{
    Camera, Counter, KeysBox, Mode, Notice, PageLook, Pen, Question, Selection, State,
};
use crate::texts::{Board, CommandSteps, Steps, Tries};
use crate::theme::Scheme;
use crate::tool::{Tool, name_of_selection};
use crate::words::count;

/// Carries one command out.
pub(super) fn run(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::New | Command::Open | Command::Save | Command::SaveAs | Command::ExportPack => {
            enter_drafts(state);
            paths::command(state, shell, command);
        }
        Command::Print | Command::PrintPage => papers_to::print(state, shell, command),
        Command::Undo | Command::Redo => steps::step(state, shell, command),
        Command::Cut
        | Command::Copy
        | Command::Paste
        | Command::Duplicate
        | Command::Delete
        | Command::SelectAll
        | Command::Turn
        | Command::Mirror => change(state, shell, command),
        command if board::knows(command) => board::command(state, shell, command),
        Command::PartsCounter => state.counter = Some(Counter::default()),
        Command::SwitchPen => switch_pen(state),
        Command::Draw | Command::Try | Command::Papers => enter_mode(state, shell, command),
        Command::ZoomIn | Command::ZoomOut | Command::FullSize | Command::WholeSheet => {
            zoom(state, shell, command);
        }
        Command::AddSheet => add_sheet(state),
        Command::NextSheet | Command::PreviousSheet => turn_over(state, shell, command),
        Command::ShowOverview => desk::show_overview(state, shell),
        Command::SwitchScheme => {
            let scheme = match state.scheme() {
                Scheme::Day => Scheme::Night,
                Scheme::Night => Scheme::Contrast,
                Scheme::Contrast => Scheme::Day,
            };
            handle(state, shell, Action::Scheme(scheme));
        }
        Command::Keys => state.question = Some(Question::Keys(KeysBox::default())),
        Command::Course => state.question = Some(Question::Course),
        Command::Cautions => state.question = Some(Question::Cautions),
        Command::Cancel => cancel(state, shell),
        Command::Quit => quit(state, shell),
        Command::Rest
        | Command::LiveOutline
        | Command::MeterVolts
        | Command::MeterAmps
        | Command::MeterOhms
        | Command::MeterAway
        | Command::StepBack
        | Command::StepForth
        | Command::PlayMoves
        | Command::ToControls => bench::run(state, shell, command),
        other => desk::run(state, shell, other),
    }
}

fn quit(state: &mut State, shell: &mut Shell<'_>) {
    if state.doc.is_edited && !state.gives_up {
        let next = Box::new(Action::Command(Command::Quit));
        state.question = Some(Question::LoseChanges(next));
    } else {
        shell.store.forget_work();
        state.may_close = true;
        shell.ctx.send_viewport_cmd(ViewportCommand::Close);
    }
}

fn switch_pen(state: &mut State) {
    state.pen = match state.pen {
        Pen::AsFound => Pen::ToFit,
        Pen::ToFit => Pen::AsFound,
    };
    state.notice = Some(Notice::Said(Steps::pen(state.pen.standing().words())));
}

fn change(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    if let Tool::Placing { part, .. } = &mut state.tool
        && matches!(command, Command::Turn | Command::Mirror)
    {
        turn_in_hand(&mut part.place, command == Command::Mirror);
        return;
    }
    if state.mode != Mode::Draw {
        return;
    }
    let parts: Vec<_> = state.selection.parts.iter().copied().collect();
    let notes: Vec<_> = state.selection.notes.iter().copied().collect();
    let name = name_of_selection(state.car(), &state.selection);
    match command {
        Command::SelectAll => select_all(state, shell),
        // What the clipboard holds comes with the next frame, as when its key is pressed.
        Command::Paste => shell.ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
        Command::Copy => copy(state, shell),
        Command::Cut if !state.selection.is_empty() => {
            copy(state, shell);
            deleting::delete(state, shell, "cut");
        }
        Command::Duplicate if !(parts.is_empty() && notes.is_empty()) => {
            let clip = state.car().copy_with_notes(&parts, &notes);
            paste_clip(state, shell, clip);
        }
        Command::Delete if !state.selection.is_empty() => {
            deleting::delete(state, shell, "delete");
        }
        Command::Turn if !parts.is_empty() => {
            commit(state, format!("turn {name}"), Edit::Turn(parts));
        }
        Command::Mirror if !parts.is_empty() => {
            commit(state, format!("mirror {name}"), Edit::Mirror(parts));
        }
        _ => state.notice = Some(Notice::Said(CommandSteps::select_something_first().to_owned())),
    }
}

fn copy(state: &mut State, shell: &Shell<'_>) {
    let parts: Vec<_> = state.selection.parts.iter().copied().collect();
    let notes: Vec<_> = state.selection.notes.iter().copied().collect();
    if parts.is_empty() && notes.is_empty() {
        state.notice = Some(Notice::Refused(Board::nothing_to_copy().to_owned()));
        return;
    }
    let clip = state.car().copy_with_notes(&parts, &notes);
    // Rows of a car always have a JSON form.
    if let Ok(text) = serde_json::to_string(&clip) {
        shell.ctx.copy_text(text);
        state.notice = Some(Notice::Said(copied(state, &clip)));
    }
}

/// What was copied, and which wires of it were not, since they lead to other parts.
fn copied(state: &State, clip: &Clip) -> String {
    let of_parts = |wire: &Wire| {
        let mut parts = wire.ends().into_iter().filter_map(|end| end.at.part());
        parts.any(|id| state.selection.parts.contains(&id))
    };
    let touching = state.car().wires().iter().filter(|(_, wire)| of_parts(wire));
    let is_copied = |wire: &Wire| clip.wires.iter().any(|known| known.label == wire.label);
    let (along, left): (Vec<_>, Vec<_>) = touching.partition(|(_, wire)| is_copied(wire));
    let wires = along.into_iter().map(|(id, _)| *id).collect();
    let rows = name_of_selection(state.car(), &Selection { wires, ..state.selection.clone() });
    match left.len() {
        0 => Board::copied(rows),
        n => Board::copied_without(rows, count(n as u128, "wire", "wires")),
    }
}

fn notes_of(car: &Car, sheet: SheetId) -> BTreeSet<NoteId> {
    let here = car.notes().iter().filter(|(_, note)| note.sheet == sheet);
    here.map(|(id, _)| *id).collect()
}

fn select_all(state: &mut State, shell: &mut Shell<'_>) {
    let laid = shell.analysis.laid(state, state.sheet);
    let on_sheet = |id: &&loomwright_circuit::PartId| {
        state.car().part(**id).is_some_and(|part| part.sheet == state.sheet)
    };
    let selection = Selection {
        parts: state.car().parts().keys().filter(on_sheet).copied().collect(),
        wires: laid.routes.keys().copied().collect(),
        notes: notes_of(state.car(), state.sheet),
    };
    select(state, shell, selection);
}

fn enter_mode(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    enter_drafts(state);
    state.tool = Tool::Rest;
    state.counter = None;
    state.notice = None;
    state.mode = match command {
        Command::Try => Mode::Try,
        Command::Papers => Mode::Papers,
        _ => Mode::Draw,
    };
    if state.mode == Mode::Draw {
        // Meter, record and what is wrong lie ready for the next time.
        shell.analysis.put_by();
        state.bench.plays = None;
    } else if state.mode == Mode::Try && shell.analysis.goes_on() {
        let key = key_text(shell.ctx, Command::Rest);
        state.notice = Some(Notice::Said(Tries::goes_on(key)));
    }
}

fn zoom(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    if state.mode == Mode::Papers {
        zoom_page(state, command);
        return;
    }
    if command == Command::WholeSheet {
        look::show_all(state, shell);
        return;
    }
    let mut camera = state.camera();
    let factor = match command {
        Command::ZoomIn => 1.25,
        Command::ZoomOut => 0.8,
        _ => Camera::FULL_SIZE / camera.scale,
    };
    let fixed = state.pointer.unwrap_or(camera.centre);
    camera.zoom(factor, fixed);
    state.cameras.insert(state.sheet, camera);
}

/// Zooms the page about the middle of what is seen of it; seen whole, about its own.
fn zoom_page(state: &mut State, command: Command) {
    let papers = &mut state.papers;
    let whole = papers.seen.whole_scale;
    let from = papers.look.unwrap_or(PageLook { centre: papers.seen.middle, scale: whole });
    let factor = match command {
        Command::ZoomIn => 1.25,
        Command::ZoomOut => 0.8,
        Command::FullSize => PageLook::FULL_SIZE / from.scale,
        _ => 0.0,
    };
    papers.look = if factor > 0.0 { from.zoomed(factor, from.centre, whole) } else { None };
}

fn add_sheet(state: &mut State) {
    let number = state.car().sheets().len() + 1;
    let before = state.car().last_id();
    let sheet = Sheet { title: CommandSteps::sheet(number) };
    commit(state, CommandSteps::new_sheet().to_owned(), Edit::AddSheet(sheet));
    let new = state.car().sheets().keys().copied().find(|id| id.0 > before);
    if let Some(new) = new {
        state.sheet = new;
        state.mode = Mode::Draw;
        state.selection = Selection::default();
    }
}

fn turn_over(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    if state.mode == Mode::Papers {
        // The view shows the last page for any number beyond it.
        let page = state.papers.page;
        let is_next = command == Command::NextSheet;
        state.papers.page = if is_next { page + 1 } else { page.saturating_sub(1) };
        state.papers.look = None;
        return;
    }
    let ids: Vec<_> = state.car().sheets().keys().copied().collect();
    let at = ids.iter().position(|id| *id == state.sheet).unwrap_or(0);
    let to = if command == Command::NextSheet {
        (at + 1).min(ids.len().saturating_sub(1))
    } else {
        at.saturating_sub(1)
    };
    if let Some(id) = ids.get(to) {
        turn_to(state, shell, *id);
    }
}

fn cancel(state: &mut State, shell: &mut Shell<'_>) {
    state.notice = None;
    state.refused_at = None;
    if state.counter.take().is_some() || state.question.is_some() {
        return;
    }
    if let Some(trial) = &mut shell.analysis.trial
        && trial.meter.hand.is_some()
    {
        trial.set_meter(|meter| meter.hand = None);
        return;
    }
    let is_idle = matches!(state.tool, Tool::Rest);
    if is_idle
        && state.mode == Mode::Draw
        && state.selection.is_empty()
        && !state.shelf_search.is_empty()
    {
        state.shelf_search.clear();
        return;
    }
    if is_idle && state.desk.tour.is_some() && state.selection.is_empty() {
        // Nothing else is left to put away; it comes again from the menu alone.
        handle(state, shell, Action::Desk(DeskStep::Tour(None)));
        return;
    }
    if is_idle {
        state.finding = None;
        select(state, shell, Selection::default());
    }
    state.tool = Tool::Rest;
}
