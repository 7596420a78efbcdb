//! Carries out what concerns the desk around the sheet.

use loomwright_circuit::{Reach, Reached, Version};

use crate::action::{Action, DeskStep};
use crate::command::{Command, key_text};
use crate::find::matches;
use crate::handle::{Shell, arrange, handle, keep_settings, look, on_disk, select, steps};
use crate::state::{Counter, Field, Mode, Notice, Selection, State};
use crate::texts::{Found, Looking, Pressing, Together, Tour};
use crate::tool::{Tool, name_of};
use crate::view::widgets::field_id;

/// Carries out a step.
pub(super) fn step(state: &mut State, shell: &mut Shell<'_>, step: DeskStep) {
    match step {
        DeskStep::ShowHistory(is_open) => state.desk.shows_history = is_open,
        DeskStep::GoToStep(n_done) => steps::go_to_step(state, shell, n_done),
        DeskStep::Show(version) => show(state, shell, version),
        DeskStep::OverEnd(end) => state.desk.over_end = end,
        DeskStep::LeftOut(left_out) => state.desk.left_out = left_out,
        DeskStep::MenuIsOpen => state.desk.opens_menu = false,
        DeskStep::MenuHereIsOpen => state.desk.opens_menu_here = false,
        DeskStep::Tour(step) => tour(state, shell, step),
        DeskStep::MarkPart(name) => {
            state.settings.mark(&name);
            keep_settings(state, shell);
        }
        DeskStep::GiveUp => {
            if let Some((says, under_way)) = &mut state.desk.under_way {
                under_way.give_up();
                *says = Pressing::giving_up();
            }
        }
        DeskStep::ShowCar(is_shown) => state.desk.shows_car = Some(is_shown),
        DeskStep::Split { share, is_read, is_let_go } => {
            state.settings.shares.set(is_read, share);
            if is_let_go {
                keep_settings(state, shell);
            }
        }
        DeskStep::LookAtDisk => on_disk::look(state),
        DeskStep::LookAtTheirs => on_disk::show_theirs(state),
        DeskStep::Find { asked, at } => go_to_match(state, shell, asked, at),
    }
}

/// Carries out a command.
pub(super) fn run(state: &mut State, shell: &mut Shell<'_>, command: Command) {
    match command {
        Command::History => state.desk.shows_history = !state.desk.shows_history,
        Command::ShowOther => {
            let next = match state.desk.version {
                None => Some(Version::Before),
                Some(Version::Before) => Some(Version::After),
                Some(Version::After) => None,
            };
            show(state, shell, next);
        }
        Command::Menu => state.desk.opens_menu = true,
        // The sheet is not there in Papers, and the menu shall not wait for it.
        Command::MenuHere => state.desk.opens_menu_here = state.mode != Mode::Papers,
        Command::Tour => tour(state, shell, Some(0)),
        Command::FindNext => find_on(state, shell, 1),
        Command::FindPrevious => find_on(state, shell, -1),
        Command::SelectConnection => together(state, shell, Reach::Connection),
        Command::SelectCircuit => together(state, shell, Reach::Circuit),
        Command::ToDetails => to_details(state, shell),
        Command::ZoomSelection => look::show_selection(state, shell),
        _ => arrange::arrange(state, shell, command),
    }
}

/// Takes the keyboard to the first field of what is selected.
fn to_details(state: &mut State, shell: &Shell<'_>) {
    let selected = &state.selection;
    let part = selected.only_part().map(Field::PartLabel);
    let wire = selected.only_wire().map(Field::WireLabel);
    let note = selected.notes.first().filter(|_| selected.notes.len() == 1);
    let field = part.or(wire).or_else(|| note.copied().map(Field::NoteText));
    match field.filter(|_| state.mode == Mode::Draw) {
        Some(field) => shell.ctx.memory_mut(|memory| memory.request_focus(field_id(&field))),
        None => state.notice = Some(Notice::Said(Looking::select_one_first().to_owned())),
    }
}

/// Shows one version of the car in Draw, or both; what is out of sight is let go.
fn show(state: &mut State, shell: &mut Shell<'_>, version: Option<Version>) {
    state.desk.version = version;
    state.tool = Tool::Rest;
    let mut kept = state.selection.clone();
    if let Some(version) = version {
        let car = state.car();
        kept.parts.retain(|id| car.part(*id).is_some_and(|part| version.has(part.standing)));
        kept.wires.retain(|id| car.wire(*id).is_some_and(|wire| version.has(wire.standing)));
    }
    select(state, shell, kept);
    state.notice = Some(Notice::Said(Looking::shown(version).to_owned()));
}

/// Shows a step of the tour, with what it points at; once ended, it comes only from the menu.
fn tour(state: &mut State, shell: &mut Shell<'_>, step: Option<usize>) {
    state.desk.tour = step;
    if step.is_some() {
        // What it points at stands in Draw.
        if state.mode != Mode::Draw {
            handle(state, shell, Action::Command(Command::Draw));
        }
    } else {
        state.notice = Some(Notice::Said(Tour::ended(key_text(shell.ctx, Command::Tour))));
        if !state.settings.has_seen_tour {
            state.settings.has_seen_tour = true;
            keep_settings(state, shell);
        }
    }
}

/// Puts the overview away, or brings it back, for all cars.
pub(super) fn show_overview(state: &mut State, shell: &mut Shell<'_>) {
    state.settings.hides_overview = !state.settings.hides_overview;
    keep_settings(state, shell);
    state.notice = Some(Notice::Said(if state.settings.hides_overview {
        Looking::overview_is_away(key_text(shell.ctx, Command::ShowOverview))
    } else {
        Looking::overview_is_back().to_owned()
    }));
}

/// Goes on to another thing that answers to what was asked last; with nothing asked, the parts counter asks.
fn find_on(state: &mut State, shell: &mut Shell<'_>, by: isize) {
    let Some((asked, at)) = state.desk.found.clone() else {
        state.counter = Some(Counter::default());
        return;
    };
    let count = matches(state.car(), &asked).len();
    if count == 0 {
        state.notice = Some(Notice::Refused(Found::nothing(&asked)));
        return;
    }
    let at = at.min(count - 1);
    let next = if by > 0 { (at + 1) % count } else { (at + count - 1) % count };
    go_to_match(state, shell, asked, next);
}

fn go_to_match(state: &mut State, shell: &mut Shell<'_>, asked: String, at: usize) {
    let found = matches(state.car(), &asked);
    let Some(one) = found.get(at) else { return };
    look::go_to(state, shell, one.selection.clone());
    state.notice = Some(Notice::Said(match found.len() {
        1 => Found::only(&one.title),
        of => Found::at(at + 1, of, &one.title),
    }));
    state.desk.found = Some((asked, at));
}

/// Selects what belongs together with the selection; of other sheets only its number is told.
fn together(state: &mut State, shell: &mut Shell<'_>, reach: Reach) {
    if state.selection.is_empty() {
        state.notice = Some(Notice::Refused(Together::nothing().to_owned()));
        return;
    }
    let parts: Vec<_> = state.selection.parts.iter().copied().collect();
    let wires: Vec<_> = state.selection.wires.iter().copied().collect();
    let Reached { parts, wires } = state.car().reached_from(&parts, &wires, reach);
    let all = Selection { parts, wires, ..Selection::default() };
    let n_all = all.len();
    let here = look::in_sight(state, all);
    let name = name_of(
        state.car(),
        &here.parts.iter().copied().collect::<Vec<_>>(),
        &here.wires.iter().copied().collect::<Vec<_>>(),
    );
    let mut says = match reach {
        Reach::Connection => Together::joined(name),
        Reach::Circuit => Together::circuit(name),
    };
    if n_all > here.len() {
        says = format!("{says} · {}", Together::elsewhere(n_all - here.len()));
    }
    select(state, shell, here);
    state.notice = Some(Notice::Said(says));
}
