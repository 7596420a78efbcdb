//! The page of names: what it is called, on which shelf it stands, what it teaches.

use egui::Ui;
use loomwright_circuit::part_type::Group;

use super::fields::{Shown, faults_ui, field_ui, labelled, lines_ui, list_ui};
use crate::action::{Action, PartStep};
use crate::own_type::FaultAt;
use crate::state::{PartEditor, PartField};
use crate::texts::PartWords;
use crate::theme::Theme;

/// Paints it.
pub(super) fn names_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    let row = &editor.doc.row;
    let nicknames = row.nicknames.join(", ");
    let fields = [
        (PartField::Title, PartWords::field_title(), &*row.title, PartWords::field_title_hint()),
        (
            PartField::Nicknames,
            PartWords::field_nicknames(),
            &*nicknames,
            PartWords::field_nicknames_hint(),
        ),
        (PartField::Stem, PartWords::field_stem(), &*row.stem, ""),
        (PartField::Shows, PartWords::field_shows(), &*row.shows, PartWords::field_shows_hint()),
        (PartField::Name, PartWords::field_name(), &*row.name, ""),
    ];
    for (field, name, value, hint) in fields {
        let is_fixed = field == PartField::Name && editor.of.is_some();
        labelled(ui, theme, name, |ui| {
            let width = ui.available_width();
            ui.add_enabled_ui(!is_fixed, |ui| {
                field_ui(ui, theme, editor, &Shown { field, name, value, hint, width }, actions);
            });
        });
        match field {
            PartField::Title => {
                faults_ui(ui, theme, editor, FaultAt::Title);
                group_ui(ui, theme, row.group, actions);
            }
            PartField::Name => faults_ui(ui, theme, editor, FaultAt::FileName),
            _ => {}
        }
    }
    labelled(ui, theme, PartWords::field_teaches(), |ui| {
        let shown = Shown {
            field: PartField::Teaches,
            name: PartWords::field_teaches(),
            value: &row.teaches,
            hint: PartWords::field_teaches_hint(),
            width: ui.available_width(),
        };
        lines_ui(ui, theme, editor, &shown, 3, actions);
    });
    faults_ui(ui, theme, editor, FaultAt::Names);
}

fn group_ui(ui: &mut Ui, theme: &Theme, chosen: Group, actions: &mut Vec<Action>) {
    let groups: Vec<(Group, String)> =
        Group::ALL.into_iter().map(|group| (group, group.title().to_owned())).collect();
    let name = PartWords::field_group();
    labelled(ui, theme, name, |ui| {
        if let Some(group) = list_ui(ui, (name, 220.0), &groups, &chosen) {
            actions.push(Action::OwnType(PartStep::Group(group)));
        }
    });
}
