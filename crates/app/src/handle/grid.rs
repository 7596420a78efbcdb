//! Writing the truth table of promises: every change of the car is one step.

use loomwright_circuit::{Car, Claim, Edit, Expectation, Moment, Promise, PromiseId};

use crate::action::{Action, GridStep};
use crate::command::Command;
use crate::handle::{Shell, command, edits, handle};
use crate::state::{Column, Grid, GridRow, Notice, Question, State};
use crate::texts::GridSteps;
use crate::words;

/// Carries out a step. With the table closed, all but opening it does nothing.
pub(super) fn grid(state: &mut State, shell: &mut Shell<'_>, step: GridStep) {
    if let GridStep::Open = step {
        let grid = Grid::of(state.car());
        state.question = Some(Question::Promises(Box::new(grid)));
        return;
    }
    let Some(Question::Promises(mut grid)) = state.question.take() else { return };
    match step {
        GridStep::Open => {}
        GridStep::Search(text) => grid.search = text,
        GridStep::AddRow => add_row(state, shell, &mut grid),
        GridStep::DropRow(row) => drop_row(state, &mut grid, row),
        GridStep::AddColumn(column) => {
            grid.search.clear();
            if !grid.columns.contains(&column) {
                grid.columns.push(column);
            }
        }
        GridStep::DropColumn(column) => drop_column(state, &mut grid, &column),
        GridStep::Cell(row, column, must) => set_cell(state, &mut grid, row, &column, must),
        GridStep::When(row, when) => {
            let label = |car: &Car, changed: &Promise| {
                GridSteps::setting_of_a_promise(words::when(car, changed))
            };
            rewrite(state, &mut grid, row, &label, |promise| promise.when = when);
        }
        GridStep::Fuse(row, way, is_out) => {
            let label = |car: &Car, changed: &Promise| {
                let without = words::without(car, changed);
                let without = without.unwrap_or_else(|| GridSteps::with_all_fuses_in().to_owned());
                format!("promise {without}: {}", words::setting(changed))
            };
            rewrite(state, &mut grid, row, &label, |promise| {
                promise.without.retain(|known| *known != way);
                if is_out {
                    promise.without.push(way);
                }
            });
        }
        GridStep::Undo | GridStep::Redo => {
            let which = if step == GridStep::Undo { Command::Undo } else { Command::Redo };
            command::run(state, shell, which);
        }
        GridStep::ShowMe(id) => return show_me(state, shell, id),
    }
    grid.follow(state.car());
    state.question = Some(Question::Promises(grid));
}

/// A row with the controls as they stand in Try; all others may stand anywhere.
fn add_row(state: &mut State, shell: &Shell<'_>, grid: &mut Grid) {
    let Some(trial) = &shell.analysis.trial else { return };
    let rest = trial.network.at_rest().state.setting.0;
    let off_rest = trial.controls().zip(rest).filter(|((control, stands), rest)| {
        control.positions.get(usize::from(*rest)).is_none_or(|rest| rest.name != stands.name)
    });
    let when = off_rest.map(|((control, stands), _)| Moment {
        control: control.name.clone(),
        positions: vec![stands.name.clone()],
    });
    let row = Promise { when: when.collect(), without: Vec::new(), then: Vec::new() };
    let is_there = |known: &Promise| known.when == row.when && known.without.is_empty();
    if grid.rows(state.car()).any(|(_, known)| is_there(known)) {
        let says = GridSteps::there_is_a_row_for_already(words::setting(&row));
        state.notice = Some(Notice::Refused(says));
    } else {
        grid.open.push(row);
    }
}

fn drop_row(state: &mut State, grid: &mut Grid, row: GridRow) {
    match row {
        GridRow::Open(at) if at < grid.open.len() => drop(grid.open.remove(at)),
        GridRow::Open(_) => {}
        GridRow::Made(id) => {
            let Some(promise) = state.car().promises().get(&id) else { return };
            let when = words::when(state.car(), promise);
            let label = GridSteps::remove_the_promise(&when);
            if edits::try_commit(state, label, Edit::ErasePromise(id)).is_ok() {
                state.notice = Some(Notice::Said(GridSteps::no_longer_promised(&when)));
            }
        }
    }
}

/// Asks nothing of a part any more. A promise that asked nothing else becomes an open row.
fn drop_column(state: &mut State, grid: &mut Grid, column: &Column) {
    let mut steps = Vec::new();
    let mut open = Vec::new();
    for (id, promise) in state.car().promises() {
        let mut changed = promise.clone();
        changed.then.retain(|claim| !is_of(claim, column));
        if changed == *promise {
            continue;
        }
        if changed.then.is_empty() {
            steps.push(Edit::ErasePromise(*id));
            open.push(changed);
        } else {
            steps.push(Edit::SetPromise(*id, changed));
        }
    }
    let label = GridSteps::ask_nothing_of(words::column(state.car(), column));
    if steps.is_empty() || edits::try_commit(state, label, Edit::All(steps)).is_ok() {
        grid.columns.retain(|known| known != column);
        grid.open.extend(open);
    }
}

fn set_cell(
    state: &mut State,
    grid: &mut Grid,
    row: GridRow,
    column: &Column,
    must: Option<Expectation>,
) {
    let named = words::column(state.car(), column);
    let label = |_: &Car, changed: &Promise| match must {
        Some(must) => GridSteps::promise_with(&named, must.word(), words::setting(changed)),
        None => GridSteps::ask_nothing_of_with(&named, words::setting(changed)),
    };
    rewrite(state, grid, row, &label, |promise| {
        let known = promise.then.iter().position(|claim| is_of(claim, column));
        match (must, known) {
            (Some(must), Some(at)) => promise.then[at].must = must,
            (Some(must), None) => {
                let (part, terminal) = column.clone();
                promise.then.push(Claim { part, terminal, must });
            }
            (None, _) => promise.then.retain(|claim| !is_of(claim, column)),
        }
    });
}

/// Whether a claim is what a column asks.
pub(crate) fn is_of(claim: &Claim, (part, terminal): &Column) -> bool {
    claim.part == *part && claim.terminal == *terminal
}

/// Changes a row: a promise of the car as one step, one that asks nothing yet where it waits. With its first claim it
/// comes into the car, with its last it goes back to wait.
fn rewrite(
    state: &mut State,
    grid: &mut Grid,
    row: GridRow,
    label: &dyn Fn(&Car, &Promise) -> String,
    change: impl FnOnce(&mut Promise),
) {
    let Some(before) = grid.promise(state.car(), row).cloned() else { return };
    let mut changed = before.clone();
    change(&mut changed);
    if changed == before {
        return;
    }
    let label = label(state.car(), &changed);
    match (row, changed.then.is_empty()) {
        (GridRow::Open(at), true) => grid.open[at] = changed,
        (GridRow::Open(at), false) => {
            if edits::try_commit(state, label, Edit::AddPromise(changed)).is_ok() {
                grid.open.remove(at);
            }
        }
        (GridRow::Made(id), true) => {
            if edits::try_commit(state, label, Edit::ErasePromise(id)).is_ok() {
                grid.open.push(changed);
            }
        }
        (GridRow::Made(id), false) => {
            // What is refused is told in the bottom strip.
            drop(edits::try_commit(state, label, Edit::SetPromise(id, changed)));
        }
    }
}

/// Goes to Try with the controls as in the first setting that breaks a promise.
fn show_me(state: &mut State, shell: &mut Shell<'_>, id: PromiseId) {
    let kept = shell.analysis.checked.kept.get(&id);
    let Some(broken) = kept.and_then(|kept| kept.first()) else { return };
    let (moves, says) = (broken.moves.clone(), crate::tool::sentence(&broken.says));
    handle(state, shell, Action::ShowSetting(moves, says));
}
