//! Questions about files: unsaved work that was found, and a file that would be written over.

use egui::Ui;

use crate::action::{Action, DeskStep};
use crate::state::{OverwriteBox, Recovered};
use crate::texts::{Kept, OnDisk};
use crate::theme::Theme;
use crate::view::questions::{answers, heading, says};

/// What the unsaved work holds, before it is taken up or thrown away.
pub(super) fn recover_ui(ui: &mut Ui, theme: &Theme, found: &Recovered, actions: &mut Vec<Action>) {
    heading(ui, theme, Kept::heading());
    let name = &found.car.vehicle().name;
    let name = if name.is_empty() { Kept::unnamed() } else { name };
    says(ui, theme, &Kept::last_kept(name, &found.when));
    says(ui, theme, &Kept::holds(found.car.parts().len(), found.car.wires().len()));
    let file = found.path.as_ref().map(|path| path.display());
    let against = match (&file, &found.changes) {
        (None, _) => Kept::never_saved().to_owned(),
        (Some(file), None) => Kept::file_gone(file),
        (Some(file), Some(changes)) => Kept::against(file, changes),
    };
    says(ui, theme, &against);
    let buttons =
        [(Kept::throw_away(), Action::DropRecovered), (Kept::take_up(), Action::TakeRecovered)];
    answers(ui, theme, &buttons, actions);
}

/// A file that would be written over.
pub(super) fn overwrite_ui(
    ui: &mut Ui,
    theme: &Theme,
    asked: &OverwriteBox,
    actions: &mut Vec<Action>,
) {
    let name = asked.path.file_name().unwrap_or_default().to_string_lossy();
    heading(ui, theme, if asked.is_ours { OnDisk::heading() } else { OnDisk::exists_heading() });
    let text = match (&asked.theirs, asked.is_ours) {
        (_, false) => OnDisk::exists(name),
        (Ok(theirs), true) => OnDisk::changed(name, theirs),
        (Err(reason), true) => OnDisk::unreadable(name, reason),
    };
    says(ui, theme, &text);
    says(ui, theme, OnDisk::backup());
    let mut buttons = vec![(OnDisk::cancel(), Action::CloseQuestion)];
    if asked.theirs.is_ok() {
        buttons.push((OnDisk::look(), Action::Desk(DeskStep::LookAtTheirs)));
    }
    buttons.push((OnDisk::overwrite(), Action::SaveOver));
    buttons.push((OnDisk::other_name(), Action::SaveElsewhere));
    answers(ui, theme, &buttons, actions);
}

/// A file that takes long: it comes by itself, or is given up.
pub(super) fn opening_ui(
    ui: &mut Ui,
    theme: &Theme,
    (path, replaces): (&std::path::Path, bool),
    actions: &mut Vec<Action>,
) {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    ui.horizontal(|ui| {
        ui.add(egui::Spinner::new().size(18.0).color(theme.ink));
        heading(ui, theme, &OnDisk::opening(name));
    });
    says(ui, theme, if replaces { OnDisk::opening_says() } else { OnDisk::opening_first() });
    answers(ui, theme, &[(OnDisk::opening_give_up(), Action::CloseQuestion)], actions);
}
