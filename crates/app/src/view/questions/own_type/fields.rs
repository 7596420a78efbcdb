//! Fields and lists of the editor, each with its name for who cannot see it.

use egui::{Id, Stroke, Ui, vec2};

use crate::action::{Action, PartStep};
use crate::own_type::FaultAt;
use crate::rich::rich;
use crate::state::{PartEditor, PartField};
use crate::theme::{Theme, medium, plain};
use crate::view::widgets::red_edge;

/// How a field is shown.
pub(super) struct Shown<'a> {
    pub(super) field: PartField,
    pub(super) name: &'a str,
    pub(super) value: &'a str,
    pub(super) hint: &'a str,
    pub(super) width: f32,
}

/// A field; what is typed counts at once where it is understood.
pub(super) fn field_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    shown: &Shown<'_>,
    actions: &mut Vec<Action>,
) {
    lines_ui(ui, theme, editor, shown, 1, actions);
}

/// A field of several lines.
pub(super) fn lines_ui(
    ui: &mut Ui,
    theme: &Theme,
    editor: &PartEditor,
    shown: &Shown<'_>,
    rows: usize,
    actions: &mut Vec<Action>,
) {
    let draft = editor.typed.get(&shown.field);
    let mut text = draft.map_or(shown.value, |draft| &draft.text).to_owned();
    let has_error = draft.is_some_and(|draft| draft.error.is_some());
    let edit = if rows == 1 {
        egui::TextEdit::singleline(&mut text)
    } else {
        egui::TextEdit::multiline(&mut text).desired_rows(rows)
    };
    let edit = edit
        .id(Id::unique(("part field", shown.field)))
        .hint_text(rich(shown.hint).color(theme.muted))
        .desired_width(shown.width)
        .margin(egui::Margin::symmetric(7, 3));
    let response = ui
        .scope(|ui| {
            if has_error {
                red_edge(ui, theme);
            }
            ui.add(edit)
        })
        .inner
        .accessible_name(shown.name);
    if response.changed() {
        actions.push(Action::OwnType(PartStep::Typed(shown.field, text)));
    }
    if response.lost_focus() {
        let gives_up = ui.input(|input| input.key_pressed(egui::Key::Escape));
        actions.push(Action::OwnType(if gives_up {
            PartStep::GivenUp(shown.field)
        } else {
            PartStep::Entered(shown.field)
        }));
    }
}

/// A label before something, as wide as those above and below it.
pub(super) fn labelled(ui: &mut Ui, theme: &Theme, label: &str, content: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let left = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(vec2(120.0, 24.0), left, |ui| {
            ui.set_min_width(120.0);
            let text = rich(label).font(plain(13.5)).color(theme.muted);
            ui.add(egui::Label::new(text).truncate());
        });
        content(ui);
    });
}

/// A list to choose from, of this width.
pub(super) fn list_ui<T: Clone + PartialEq>(
    ui: &mut Ui,
    (name, width): (&str, f32),
    choices: &[(T, String)],
    chosen: &T,
) -> Option<T> {
    let shown = choices.iter().find(|(value, _)| value == chosen);
    let shown = shown.map_or("", |(_, word)| word);
    let mut picked = None;
    let response = egui::ComboBox::from_id_salt(name)
        .selected_text(rich(shown).font(plain(14.0)))
        .width(width)
        .truncate()
        .show_ui(ui, |ui| {
            for (value, word) in choices {
                if ui.selectable_label(value == chosen, word).clicked() {
                    picked = Some(value.clone());
                }
            }
        })
        .response;
    response.accessible_name(name);
    picked
}

/// A small button with a cross, that takes something out.
pub(super) fn cross_ui(ui: &mut Ui, theme: &Theme, name: &str) -> bool {
    let text = rich("×").font(medium(15.0)).color(theme.muted);
    let button = egui::Button::new(text).frame(false).min_size(vec2(20.0, 20.0));
    ui.add(button).on_hover_text(name).accessible_name(name).clicked()
}

/// A small button with an arrow up, that puts something one place earlier.
pub(super) fn raise_ui(ui: &mut Ui, theme: &Theme, name: &str, is_enabled: bool) -> bool {
    let button = egui::Button::new("").frame(false).min_size(vec2(20.0, 20.0));
    let response = ui.add_enabled(is_enabled, button).on_hover_text(name).accessible_name(name);
    let colour = if is_enabled { theme.muted } else { theme.edge };
    let at = |x: f32, y: f32| response.rect.center() + vec2(x, y);
    let (tip, stroke) = (at(0.0, -5.0), Stroke::new(1.5, colour));
    ui.painter().line_segment([at(0.0, 5.0), tip], stroke);
    for x in [-4.0, 4.0] {
        ui.painter().line_segment([at(x, -1.0), tip], stroke);
    }
    response.clicked()
}

/// All that is wrong at a place: with what is typed there, and with what is there.
pub(super) fn faults_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, at: FaultAt) {
    let drafts = editor.typed.iter().filter(|(field, _)| field.at() == at);
    let drafts = drafts.filter_map(|(_, draft)| draft.error.as_deref());
    // Who has only just begun need not be told that all is still to do.
    let shows = editor.is_changed() || editor.is_refused;
    let faults = editor.faults_at(at).filter(|_| shows);
    for says in drafts.chain(faults) {
        ui.horizontal_wrapped(|ui| {
            let text = rich(format!("! {says}")).font(medium(13.0)).color(theme.danger);
            ui.add(egui::Label::new(text).wrap());
        });
    }
}
