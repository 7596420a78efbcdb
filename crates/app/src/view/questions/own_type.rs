//! The editor of a part type: its symbol and the bench at the left, the pages at the right, what is wrong below.

mod bench;
mod cell;
mod contacts;
mod does;
mod fields;
mod names;
mod sheet;
mod symbol;
mod terminals;

use egui::{Align, Key, KeyboardShortcut, Layout, Modifiers, ScrollArea, Ui, UiBuilder, vec2};

use crate::action::{Action, PartStep};
use crate::painter::in_lines;
use crate::rich::rich;
use crate::state::{PartAsks, PartEditor, PartPage, State};
use crate::texts::PartWords;
use crate::theme::{Theme, medium, plain};
use crate::view::widgets::choice_ui;

/// What the editor shows.
#[derive(Debug)]
pub(super) struct PartView<'a> {
    /// The editor as it stands.
    pub editor: &'a PartEditor,
    /// Part types whose symbols can be taken, by name and title.
    pub symbols: Vec<(String, String)>,
}

/// Builds it.
pub(super) fn part_view<'a>(_state: &State, editor: &'a PartEditor) -> PartView<'a> {
    let named =
        |row: &std::sync::Arc<loomwright_circuit::PartType>| (row.name.clone(), row.title.clone());
    let mut symbols: Vec<_> = loomwright_circuit::Library::standard().iter().map(named).collect();
    symbols.sort_by(|a, b| a.1.cmp(&b.1));
    PartView { editor, symbols }
}

/// Width of the symbol and the bench.
const LEFT: f32 = 296.0;
/// What of the height of the window is not the pages: edges, heading, what stands below.
const AROUND: f32 = 204.0;

/// Paints it.
pub(super) fn part_ui(ui: &mut Ui, theme: &Theme, view: &PartView<'_>, actions: &mut Vec<Action>) {
    take_back(ui, actions);
    let editor = view.editor;
    head_ui(ui, theme, editor, actions);
    let room = (ui.ctx().content_rect().height() - AROUND).clamp(240.0, 620.0);
    let (all, _) = ui.allocate_exact_size(vec2(ui.available_width(), room), egui::Sense::hover());
    let left = egui::Rect::from_min_size(all.min, vec2(LEFT, room));
    let right = egui::Rect::from_min_max(all.min + vec2(LEFT + 16.0, 0.0), all.max);
    let mut side = ui.new_child(UiBuilder::new().id_salt("part left").max_rect(left));
    let sheet_height = (room * 0.5).round();
    sheet::sheet_ui(&mut side, theme, editor, vec2(LEFT, sheet_height), actions);
    ScrollArea::vertical().id_salt("bench").auto_shrink(false).show(&mut side, |ui| {
        bench::bench_ui(ui, theme, editor, actions);
    });
    let mut page = ui.new_child(UiBuilder::new().id_salt("part page").max_rect(right));
    let salt = format!("{:?}", editor.page);
    ScrollArea::vertical().id_salt(salt).auto_shrink(false).show(&mut page, |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        ui.set_width(right.width() - 12.0);
        match editor.page {
            PartPage::Names => names::names_ui(ui, theme, editor, actions),
            PartPage::Terminals => terminals::terminals_ui(ui, theme, editor, actions),
            PartPage::Does => does::does_ui(ui, theme, editor, actions),
            PartPage::Contacts => contacts::contacts_ui(ui, theme, editor, actions),
            PartPage::Symbol => symbol::symbol_ui(ui, theme, view, actions),
        }
    });
    foot_ui(ui, theme, editor, actions);
}

/// The heading, and the pages; one with something wrong on it has a mark.
fn head_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let title = match &editor.of {
            None => PartWords::heading_new().to_owned(),
            Some(_) => PartWords::heading_change(&editor.begun.row.title),
        };
        let width = LEFT + 8.0;
        ui.allocate_ui_with_layout(vec2(width, 26.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(width);
            let text = rich(title).font(crate::theme::semibold(18.0)).color(theme.ink);
            ui.add(egui::Label::new(text).truncate());
        });
        let shows = editor.is_changed() || editor.is_refused;
        let has_fault = |page| {
            shows && editor.faults.iter().any(|fault| fault.at.page() == page)
                || editor
                    .typed
                    .iter()
                    .any(|(field, draft)| draft.error.is_some() && field.at().page() == page)
        };
        let words: Vec<(PartPage, String)> = PartPage::ALL
            .into_iter()
            .map(|page| {
                let mark = if has_fault(page) { " !" } else { "" };
                (page, format!("{}{mark}", word(page)))
            })
            .collect();
        let choices: Vec<(PartPage, &str, &str)> =
            words.iter().map(|(page, word)| (*page, &**word, "")).collect();
        if let Some(page) = choice_ui(ui, theme, &choices, editor.page) {
            actions.push(Action::OwnType(PartStep::Page(page)));
        }
    });
}

fn word(page: PartPage) -> &'static str {
    match page {
        PartPage::Names => PartWords::page_names(),
        PartPage::Terminals => PartWords::page_terminals(),
        PartPage::Does => PartWords::page_does(),
        PartPage::Contacts => PartWords::page_contacts(),
        PartPage::Symbol => PartWords::page_symbol(),
    }
}

/// What is wrong or asked, and the answers.
fn foot_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    let step = |step| Action::OwnType(step);
    match &editor.asks {
        Some(PartAsks::Leave) => {
            asked_ui(ui, theme, &[PartWords::leave_asks().to_owned()]);
            let buttons = [
                (PartWords::leave_yes(), step(PartStep::LeaveAnyway)),
                (PartWords::leave_no(), step(PartStep::Stay)),
            ];
            super::answers(ui, theme, &buttons, actions);
            return;
        }
        Some(PartAsks::Lose(lost)) => {
            let mut says = vec![PartWords::lose_heading().to_owned()];
            says.extend(lost.iter().cloned());
            asked_ui(ui, theme, &says);
            let buttons = [
                (PartWords::lose_yes(), step(PartStep::TakeAnyway)),
                (PartWords::lose_no(), step(PartStep::Stay)),
            ];
            super::answers(ui, theme, &buttons, actions);
            return;
        }
        Some(PartAsks::Differs) => {
            asked_ui(ui, theme, &[PartWords::differs(&editor.doc.row.title)]);
            let buttons = [
                (PartWords::differs_back(), step(PartStep::Stay)),
                (PartWords::differs_both(), step(PartStep::TakeEverywhere)),
                (PartWords::differs_here(), step(PartStep::TakeHere)),
            ];
            super::answers(ui, theme, &buttons, actions);
            return;
        }
        None => {}
    }
    // The buttons come first, so that a long verdict runs over none of them; it goes on in a second line.
    let row = vec2(ui.available_width(), 38.0);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        buttons_ui(ui, theme, editor, actions);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let (text, colour) = verdict(theme, editor);
            let room = (ui.available_width() - 8.0, 2);
            let galley = in_lines(ui.painter(), &text, medium(13.5), colour, room);
            ui.add(egui::Label::new(galley)).on_hover_text(rich(text));
        });
    });
}

/// Whether it can be taken as it is, and what it comes to.
fn verdict(theme: &Theme, editor: &PartEditor) -> (String, egui::Color32) {
    let typed = editor.typed.values().filter_map(|draft| draft.error.as_deref());
    let wrong: Vec<&str> = typed.chain(editor.faults.iter().map(|fault| &*fault.says)).collect();
    let unready = if editor.is_refused { theme.danger } else { theme.muted };
    match wrong[..] {
        [] => {}
        [one] => return (PartWords::wrong_one(one), unready),
        [first, ..] => return (PartWords::wrong_many(wrong.len(), first), unready),
    }
    match &*editor.doc.idle_terminals() {
        _ if editor.doc.row.elements.is_empty() => {
            (PartWords::does_nothing().to_owned(), theme.fault)
        }
        [] => (PartWords::all_well().to_owned(), theme.well),
        [one] => (PartWords::idle_one(one), theme.ink),
        many => (PartWords::idle_many(many.join(", ")), theme.ink),
    }
}

fn buttons_ui(ui: &mut Ui, theme: &Theme, editor: &PartEditor, actions: &mut Vec<Action>) {
    let mut button = |ui: &mut Ui, word: &str, is_main: bool, is_enabled: bool, step: PartStep| {
        let (fill, colour) =
            if is_main { (theme.primary, theme.on_primary) } else { (theme.field, theme.ink) };
        let text = rich(word).font(medium(14.5)).color(colour);
        let button = egui::Button::new(text)
            .fill(fill)
            .stroke(egui::Stroke::new(1.0, theme.edge))
            .min_size(vec2(70.0, 30.0));
        if ui.add_enabled(is_enabled, button).clicked() {
            actions.push(Action::OwnType(step));
        }
    };
    button(ui, PartWords::take(), true, true, PartStep::Take);
    button(ui, PartWords::cancel(), false, true, PartStep::Leave);
    button(ui, PartWords::redo(), false, !editor.future.is_empty(), PartStep::Redo);
    let has_past = !editor.past.is_empty() || editor.held.is_some();
    button(ui, PartWords::undo(), false, has_past, PartStep::Undo);
    let mut keeps = editor.keeps;
    let text = rich(PartWords::keeps()).font(plain(13.5)).color(theme.ink);
    if ui.checkbox(&mut keeps, text).changed() {
        actions.push(Action::OwnType(PartStep::Keeps(keeps)));
    }
}

/// What is asked, in a box of its own.
fn asked_ui(ui: &mut Ui, theme: &Theme, says: &[String]) {
    let frame = egui::Frame::new()
        .fill(theme.field)
        .stroke(egui::Stroke::new(1.5, theme.danger))
        .corner_radius(4)
        .inner_margin(egui::Margin::symmetric(10, 6));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ScrollArea::vertical().id_salt("asked").max_height(70.0).show(ui, |ui| {
            for line in says {
                let text = rich(line).font(medium(14.0)).color(theme.ink);
                ui.add(egui::Label::new(text).wrap());
            }
        });
    });
}

/// The keys that take a step back work in the editor as on the sheet, but not while something is typed.
fn take_back(ui: &Ui, actions: &mut Vec<Action>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    // The toolkit takes a key with Shift for the key alone too, so that comes first.
    let redo = Modifiers::COMMAND | Modifiers::SHIFT;
    for (modifiers, key, step) in [
        (redo, Key::Z, PartStep::Redo),
        (Modifiers::COMMAND, Key::Y, PartStep::Redo),
        (Modifiers::COMMAND, Key::Z, PartStep::Undo),
    ] {
        let shortcut = KeyboardShortcut::new(modifiers, key);
        if ui.ctx().input_mut(|input| input.consume_shortcut(&shortcut)) {
            actions.push(Action::OwnType(step));
        }
    }
}

/// A heading inside a page.
fn section_ui(ui: &mut Ui, theme: &Theme, text: &str) {
    ui.label(rich(text).font(crate::theme::semibold(14.0)).color(theme.heading));
}

/// A sentence in quiet letters.
fn quiet_ui(ui: &mut Ui, theme: &Theme, text: &str) {
    let text = rich(text).font(plain(13.5)).color(theme.muted);
    ui.add(egui::Label::new(text).wrap());
}
