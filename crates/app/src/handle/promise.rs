//! Promising what is shown in Try, and what is usual.

use loomwright_circuit::Edit;

use crate::action::PromiseStep;
use crate::analysis::Analysis;
use crate::handle::edits;
use crate::promises::draft;
use crate::state::{Notice, PromiseBox, Question, State, UsualRow};
use crate::texts::PromiseSteps;

/// Carries out a step.
pub(super) fn promise(state: &mut State, analysis: &Analysis, step: PromiseStep) {
    match step {
        PromiseStep::Ask => {
            let Some(trial) = &analysis.trial else { return };
            let asked = draft(state.car(), trial, &state.selection);
            state.question = Some(Question::Promise(Box::new(asked)));
        }
        PromiseStep::Control(..) | PromiseStep::Part(..) | PromiseStep::Must(..) => {
            if let Some(Question::Promise(asked)) = &mut state.question {
                asked.error = None;
                tick(asked, step);
            }
        }
        PromiseStep::Make => make(state),
        PromiseStep::Usual => offer(state, analysis),
        PromiseStep::Offered(row_idx, is_taken) => {
            if let Some(Question::Usual(rows)) = &mut state.question
                && let Some(row) = rows.get_mut(row_idx)
            {
                row.is_taken = is_taken;
            }
        }
        PromiseStep::MakeOffered => make_offered(state),
    }
}

fn tick(asked: &mut PromiseBox, step: PromiseStep) {
    match step {
        PromiseStep::Control(row_idx, is_taken) => {
            if let Some((_, taken)) = asked.when.get_mut(row_idx) {
                *taken = is_taken;
            }
        }
        PromiseStep::Part(row_idx, is_taken) => {
            if let Some(row) = asked.then.get_mut(row_idx) {
                row.is_taken = is_taken;
            }
        }
        PromiseStep::Must(row_idx, must) => {
            if let Some(row) = asked.then.get_mut(row_idx) {
                row.claim.must = must;
                row.is_taken = true;
            }
        }
        _ => {}
    }
}

/// Makes the promise; one that asks nothing, or is there, stays in its box with the reason.
fn make(state: &mut State) {
    let Some(Question::Promise(mut asked)) = state.question.take() else { return };
    let promise = asked.promise();
    let refusal = if promise.then.is_empty() {
        Some(PromiseSteps::tick_what_must_do_something().to_owned())
    } else if state.car().promises().values().any(|known| *known == promise) {
        Some(PromiseSteps::this_is_promised_already().to_owned())
    } else {
        let label = format!("promise: {}", crate::words::when(state.car(), &promise));
        edits::try_commit(state, label, Edit::AddPromise(promise.clone())).err()
    };
    if refusal.is_some() {
        asked.error = refusal;
        state.question = Some(Question::Promise(asked));
    } else {
        let says = crate::words::promise(state.car(), &promise);
        state.notice = Some(Notice::Said(PromiseSteps::promised(&says)));
    }
}

/// Offers what is usual; it is known once the car is checked.
fn offer(state: &mut State, analysis: &Analysis) {
    let is_current = analysis.checked.revision == state.doc.revision;
    let Some(usual) = analysis.checked.usual.as_ref().filter(|_| is_current) else {
        let says = PromiseSteps::the_car_is_still_being_checked();
        state.notice = Some(Notice::Refused(says.to_owned()));
        return;
    };
    let rows = usual.iter().map(|(usual, _)| UsualRow {
        about: usual.about,
        promise: usual.promise.clone(),
        is_taken: true,
    });
    let rows: Vec<UsualRow> = rows.collect();
    if rows.is_empty() {
        let says = PromiseSteps::every_promise_that_is_usual_for();
        state.notice = Some(Notice::Said(says.to_owned()));
    } else {
        state.question = Some(Question::Usual(rows));
    }
}

fn make_offered(state: &mut State) {
    let Some(Question::Usual(rows)) = state.question.take() else { return };
    let taken = rows.into_iter().filter(|row| row.is_taken);
    let edits: Vec<Edit> = taken.map(|row| Edit::AddPromise(row.promise)).collect();
    let n_made = edits.len();
    if n_made > 0
        && edits::try_commit(state, PromiseSteps::usual_promises().to_owned(), Edit::All(edits))
            .is_ok()
    {
        let word = if n_made == 1 { "promise" } else { "promises" };
        state.notice = Some(Notice::Said(format!("{n_made} {word} made")));
    }
}
