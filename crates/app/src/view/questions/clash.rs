//! A part type that came from a file is called as one that is known: which shall it be?

use egui::Ui;
use loomwright_circuit::Library;

use super::{answers, heading, says};
use crate::action::{Action, ClashAnswer, PartStep};
use crate::state::{Clash, State};
use crate::texts::PartWords;

/// Paints it.
pub(super) fn clash_ui(ui: &mut Ui, state: &State, clash: &Clash, actions: &mut Vec<Action>) {
    let theme = state.theme();
    heading(ui, theme, PartWords::clash_heading());
    let answer = |answer| Action::OwnType(PartStep::Clash(answer));
    let title = &clash.theirs.title;
    if Library::standard().get(&clash.theirs.name).is_some() {
        says(ui, theme, &PartWords::clash_program(title));
        let buttons = [
            (PartWords::clash_skip(), answer(ClashAnswer::KeepMine)),
            (PartWords::clash_both(), answer(ClashAnswer::Both)),
        ];
        answers(ui, theme, &buttons, actions);
        return;
    }
    let mine = state.library.types.get(&clash.theirs.name);
    says(ui, theme, &PartWords::clash_mine(mine.map_or("", |mine| &mine.title)));
    let buttons = [
        (PartWords::clash_both(), answer(ClashAnswer::Both)),
        (PartWords::clash_take(), answer(ClashAnswer::TakeTheirs)),
        (PartWords::clash_keep(), answer(ClashAnswer::KeepMine)),
    ];
    answers(ui, theme, &buttons, actions);
}
