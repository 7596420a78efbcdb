//! The page of what it does: what stands between the terminals, in plain words, with its figures.

use egui::Ui;
use loomwright_circuit::part_type::Element;
use loomwright_units::exact;

use super::fields::{Shown, cross_ui, faults_ui, field_ui, list_ui};
use super::quiet_ui;
use crate::action::{Action, PartStep};
use crate::own_type::{FaultAt, Kind, figures};
use crate::rich::rich;
use crate::state::{PartEditor, PartField, PartPage};
use crate::texts::PartWords;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::widgets::{card_ui, word_button};

/// Paints it.
pub(super) fn does_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    let row = &editor.doc.row;
    if row.elements.is_empty() {
        quiet_ui(ui, theme, PartWords::nothing_yet());
    }
    let mut seen: Vec<&str> = Vec::new();
    for (idx, element) in row.elements.iter().enumerate() {
        let word = Kind::word_of(element);
        seen.push(word);
        let n = seen.iter().filter(|known| **known == word).count();
        // The second of a kind has a number, so that their fields differ by name.
        let word = if n > 1 { PartWords::element_named(word, n) } else { word.to_owned() };
        card_ui(ui, theme, |ui| {
            ui.horizontal(|ui| {
                ui.label(rich(&word).font(semibold(14.5)).color(theme.ink));
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    if cross_ui(ui, theme, &PartWords::element_drop(&word)) {
                        actions.push(Action::OwnType(PartStep::DropElement(idx)));
                    }
                });
            });
            ends_ui(ui, theme, editor, (idx, element, &word), actions);
            figures_ui(ui, theme, editor, (idx, element, &word), actions);
            faults_ui(ui, theme, editor, FaultAt::Element(idx));
        });
    }
    let text = rich(PartWords::add_element()).font(medium(14.0)).color(theme.ink);
    ui.menu_button(text, |ui| {
        for kind in Kind::ALL {
            let text = rich(kind.word()).font(medium(14.0)).color(theme.ink);
            let response = ui.button(text).accessible_name(PartWords::add_what(kind.word()));
            if response.clicked() {
                actions.push(Action::OwnType(PartStep::AddElement(kind)));
            }
        }
    });
}

/// The terminals between which it stands.
fn ends_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (idx, element, word): (usize, &Element, &str),
    actions: &mut Vec<Action>,
) {
    let has_table = matches!(element, Element::Contacts { .. } | Element::Relay { .. });
    let names = element.terminals();
    let terminals = editor.doc.row.terminals.iter().map(|it| (it.name.clone(), it.name.clone()));
    let none = (String::new(), PartWords::no_terminal().to_owned());
    let choices: Vec<(String, String)> = std::iter::once(none).chain(terminals).collect();
    ui.horizontal_wrapped(|ui| {
        for (end, says) in Kind::ends(element).into_iter().enumerate() {
            let Some(chosen) = names.get(end) else { continue };
            ui.label(rich(says).font(plain(13.5)).color(theme.muted));
            let n = if matches!(element, Element::Joined { .. }) {
                format!("{says} {}", end + 1)
            } else {
                says.to_owned()
            };
            let name = PartWords::element_end(word, n);
            if let Some(picked) = list_ui(ui, (&name, 62.0), &choices, chosen) {
                actions.push(Action::OwnType(PartStep::End(idx, end, picked)));
            }
        }
        if matches!(element, Element::Joined { .. })
            && word_button(ui, PartWords::another_end(), theme.ink).clicked()
        {
            actions.push(Action::OwnType(PartStep::AddEnd(idx)));
        }
        if has_table && word_button(ui, PartWords::see_table(), theme.advice).clicked() {
            actions.push(Action::OwnType(PartStep::Page(PartPage::Contacts)));
        }
    });
}

/// Its figures, each with what it usually is.
fn figures_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    (idx, element, word): (usize, &Element, &str),
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        for (figure, shown) in figures(&editor.doc.row, element).into_iter().enumerate() {
            let title =
                if shown.title.is_empty() { PartWords::fixed_figure() } else { &*shown.title };
            ui.label(rich(title).font(plain(13.5)).color(theme.muted));
            let value = shown.usual.map(exact).unwrap_or_default();
            let hint =
                if shown.is_car_volts { PartWords::car_volts() } else { PartWords::asked_each() };
            let name = PartWords::figure_named(word, title);
            let field = PartField::Figure(idx, figure);
            let shown_field = Shown { field, name: &name, value: &value, hint, width: 72.0 };
            field_ui(ui, theme, editor, &shown_field, actions);
            let unit = if shown.unit == "ohm" { "Ω" } else { &*shown.unit };
            ui.label(rich(unit).font(plain(13.5)).color(theme.muted));
            ui.add_space(8.0);
        }
    });
}
