//! What somebody at the car can see of what is selected: a section that is folded away until it is asked for.

use egui::Ui;
use loomwright_circuit::seen::Question;
use loomwright_circuit::{Car, PartId, PartSeen, Seen, WireId};

use crate::action::{Action, SeenAt};
use crate::state::{Field, State};
use crate::texts::SeenDetails;
use crate::theme::Theme;
use crate::view::widgets::{FieldView, field_ui, fold_ui, list_ui, row_ui};

/// The section.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenView {
    /// Whether it is unfolded.
    pub is_open: bool,
    /// "Seen at the car, 2 of 13".
    pub heading: String,
    /// The questions.
    pub rows: Vec<SeenRow>,
}

/// One question with what is known.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenRow {
    /// What is asked about.
    pub at: SeenAt,
    /// The question.
    pub question: &'static Question,
    /// Its title.
    pub title: String,
    /// The answer, as files write it.
    pub answer: Option<&'static str>,
    /// The field, where the answer is a length.
    pub field: Option<FieldView>,
}

/// The questions about one wire and its ends.
pub(super) fn seen_of_wire(state: &State, id: WireId) -> Option<SeenView> {
    let wire = state.car().wire(id)?;
    let mut rows = rows(SeenAt::Wire(id), &wire.seen, "");
    for (is_to, end, whose) in
        [(false, &wire.from, SeenDetails::from()), (true, &wire.to, SeenDetails::to())]
    {
        rows.extend(self::rows(SeenAt::End(id, is_to), &end.seen, whose));
    }
    Some(view(state, rows))
}

/// The questions about all the selected wires: an answer is shown where all of them have it.
pub(super) fn seen_of_wires(state: &State) -> Option<SeenView> {
    let mut wires = state.selection.wires.iter().filter_map(|id| state.car().wire(*id));
    let mut common = wires.next()?.seen;
    for wire in wires {
        for (question, answer) in common.answered() {
            if wire.seen.answer(question.key) != Some(answer) {
                common.set(question.key, None);
            }
        }
    }
    Some(view(state, rows(SeenAt::Wires, &common, "")))
}

/// The questions that make sense for one part.
pub(super) fn seen_of_part(state: &State, id: PartId) -> Option<SeenView> {
    let car: &Car = state.car();
    let (part, part_type) = (car.part(id)?, car.type_of(id)?);
    let asked = PartSeen::asked_of(part_type, car.vehicle());
    let rows = asked.into_iter().map(|question| {
        let mut row = row(SeenAt::Part(id), question, &part.seen, "");
        if question.choices.is_empty() {
            let known = part.seen.answer(question.key);
            let known = known.map_or_else(String::new, |mm| question.words(&mm));
            let field = Field::PartSeen(id, question.key.to_owned());
            let view = FieldView::new(state, field, question.title, known);
            row.field = Some(view.hint(SeenDetails::not_known_mm()));
        }
        row
    });
    let rows = rows.collect();
    Some(view(state, rows))
}

fn view(state: &State, rows: Vec<SeenRow>) -> SeenView {
    let is_known = |row: &&SeenRow| {
        row.answer.is_some() || row.field.as_ref().is_some_and(|field| !field.text.is_empty())
    };
    let (n_known, n_asked) = (rows.iter().filter(is_known).count(), rows.len());
    let heading = match n_known {
        0 => SeenDetails::seen_at_the_car().to_owned(),
        _ => SeenDetails::seen_at_the_car_of(n_known, n_asked),
    };
    SeenView { is_open: state.unfolded.seen, heading, rows }
}

fn rows<S: Seen>(at: SeenAt, seen: &S, whose: &str) -> Vec<SeenRow> {
    S::QUESTIONS.iter().map(|question| row(at, question, seen, whose)).collect()
}

fn row<S: Seen>(at: SeenAt, question: &'static Question, seen: &S, whose: &str) -> SeenRow {
    let word = seen.answer(question.key);
    let known = question.choices.iter().find(|(choice, _)| Some(*choice) == word.as_deref());
    let title = match whose {
        "" => question.title.to_owned(),
        whose => format!("{whose}{}", question.title.to_lowercase()),
    };
    SeenRow { at, question, title, answer: known.map(|(word, _)| *word), field: None }
}

/// Paints it.
pub(super) fn seen_ui(ui: &mut Ui, theme: &Theme, view: &SeenView, actions: &mut Vec<Action>) {
    ui.add_space(2.0);
    let tip = SeenDetails::what_a_drawing_cannot_know_what();
    if fold_ui(ui, theme, &view.heading, tip, view.is_open) {
        actions.push(Action::AskSeen(!view.is_open));
    }
    if !view.is_open {
        return;
    }
    for row in &view.rows {
        if let Some(field) = &row.field {
            field_ui(ui, theme, field, actions);
            continue;
        }
        row_ui(ui, theme, &row.title, |ui| {
            let mut choices = vec![(None, SeenDetails::not_known())];
            choices.extend(row.question.choices.iter().map(|(word, words)| (Some(*word), *words)));
            if let Some(picked) = list_ui(ui, &row.title, &choices, row.answer) {
                actions.push(Action::SetSeen(row.at, row.question.key, picked));
            }
        });
    }
}
