//! Accepting a finding with a reason, and taking that back.

use std::sync::Arc;

use loomwright_circuit::{AcceptedId, Edit};
use loomwright_rules::for_reader;

use crate::action::AcceptStep;
use crate::files;
use crate::handle::{Shell, edits, keep_settings};
use crate::state::{AcceptBox, Notice, Question, State};
use crate::texts::AcceptSteps;
use crate::tool::begun_small;

/// Carries out a step.
pub(super) fn accept(state: &mut State, shell: &mut Shell<'_>, step: AcceptStep) {
    match step {
        AcceptStep::Ask(finding_idx) => ask(state, shell, finding_idx),
        AcceptStep::Reason(text) => {
            if let Some(Question::Accept(asked)) = &mut state.question {
                asked.reason = text;
                asked.error = None;
            }
        }
        AcceptStep::By(text) => {
            if let Some(Question::Accept(asked)) = &mut state.question {
                asked.by = text;
                asked.error = None;
            }
        }
        AcceptStep::Take => take(state, shell),
        AcceptStep::Withdraw(id) => withdraw(state, id),
    }
}

fn ask(state: &mut State, shell: &Shell<'_>, finding_idx: usize) {
    let Some(finding) = shell.analysis.finding(finding_idx) else { return };
    let reason = finding.accepted.as_ref().map(|known| known.reason.clone()).unwrap_or_default();
    state.question = Some(Question::Accept(Box::new(AcceptBox {
        finding: finding.clone(),
        reason,
        by: state.settings.accepts.clone(),
        error: None,
        wants_name: false,
    })));
}

/// Changes the mark of numbers, with which the box that is open tells its finding too. The car file keeps points, so the
/// sentence goes there and back.
pub(super) fn told_with(state: &mut State, change: impl FnOnce()) {
    let car = Arc::clone(&state.doc.car);
    let Some(Question::Accept(asked)) = &mut state.question else { return change() };
    let kept = asked.finding.accept(&car, "", "", "").says;
    change();
    asked.finding.says = for_reader(&car, &kept);
}

/// Accepts it; without a reason or a name the box stays open and says what it wants.
fn take(state: &mut State, shell: &Shell<'_>) {
    let Some(Question::Accept(mut asked)) = state.question.take() else { return };
    if asked.reason.trim().is_empty() {
        asked.error = Some(AcceptSteps::say_why_this_may_stay_as().to_owned());
        asked.wants_name = false;
        state.question = Some(Question::Accept(asked));
        return;
    }
    if asked.by.trim().is_empty() {
        asked.error = Some(AcceptSteps::say_who_accepts_it_a_name().to_owned());
        asked.wants_name = true;
        state.question = Some(Question::Accept(asked));
        return;
    }
    let row = asked.finding.accept(state.car(), &asked.reason, &asked.by, &files::today());
    // What was accepted before and came back is accepted anew.
    let earlier = asked.finding.accepted.as_ref().map(|known| Edit::Withdraw(known.id));
    let edit = Edit::All(earlier.into_iter().chain([Edit::Accept(row)]).collect());
    let title = begun_small(asked.finding.title);
    if let Err(reason) = edits::try_commit(state, format!("accept: {title}"), edit) {
        asked.error = Some(reason);
        state.question = Some(Question::Accept(asked));
        return;
    }
    state.finding = None;
    state.why = None;
    state.notice = Some(Notice::Said(AcceptSteps::is_accepted(asked.finding.title)));
    let by = asked.by.trim();
    if state.settings.accepts != by {
        by.clone_into(&mut state.settings.accepts);
        keep_settings(state, shell);
    }
}

fn withdraw(state: &mut State, id: AcceptedId) {
    if edits::try_commit(
        state,
        AcceptSteps::withdraw_what_was_accepted().to_owned(),
        Edit::Withdraw(id),
    )
    .is_ok()
    {
        state.notice = Some(Notice::Said(AcceptSteps::it_counts_as_open_again().to_owned()));
    }
}
