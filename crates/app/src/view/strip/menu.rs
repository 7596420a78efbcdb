//! The menu at the end of the strip.

use egui::style::ScrollStyle;
use egui::{Align2, Id, RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use crate::action::{Action, DeskStep};
use crate::command::{Command, key_text};
use crate::decimal::MarkChoice;
use crate::demo::DEMOS;
use crate::state::Mode;
use crate::texts::{Called, Marked, Schemes, StripWords};
use crate::theme::{Theme, medium, scroll_bar};
use crate::view::strip::StripView;

/// Paints its button, and the menu while it is open.
pub(super) fn menu_ui(ui: &mut Ui, theme: &Theme, view: &StripView, actions: &mut Vec<Action>) {
    let button = egui::Button::new(
        RichText::new(StripWords::menu()).font(medium(14.0)).color(theme.strip_text),
    )
    .fill(theme.strip)
    .stroke(Stroke::new(1.0, theme.strip_edge));
    let (response, _) = egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
        let n_before = actions.len();
        scrolled_ui(ui, theme, |ui| items_ui(ui, view, actions));
        // The toolkit closes it by click only, not where a row is taken by Enter.
        if actions.len() > n_before {
            ui.close();
        }
    });
    if view.opens_menu {
        egui::Popup::open_id(ui.ctx(), egui::Popup::default_response_id(&response));
        actions.push(Action::Desk(DeskStep::MenuIsOpen));
    }
}

/// On a small window the menu is scrolled: it opens at its top each time, and says that it goes on below.
fn scrolled_ui(ui: &mut Ui, theme: &Theme, items: impl FnOnce(&mut Ui)) {
    const MORE: f32 = 18.0;
    const WIDTH: f32 = 290.0;
    ui.set_width(WIDTH);
    let room = (ui.ctx().content_rect().height() - 24.0 - MORE).max(120.0);
    let mut scroll =
        egui::ScrollArea::vertical().max_height(room).min_scrolled_height(room).id_salt("menu");
    let key = Id::unique("pass in which the menu was open");
    let pass = ui.ctx().cumulative_pass_nr();
    let was_open: Option<u64> = ui.data(|data| data.get_temp(key));
    ui.data_mut(|data| data.insert_temp(key, pass));
    if was_open.is_none_or(|known| known + 1 < pass) {
        scroll = scroll.vertical_scroll_offset(0.0);
    }
    // It stands beside the rows, so that it is seen before it is used.
    ui.spacing_mut().scroll = scroll_bar(ScrollStyle { bar_width: 7.0, ..ScrollStyle::solid() });
    let shown = scroll.show(ui, items);
    let below = shown.content_size.y - shown.inner_rect.height();
    if below < 1.0 {
        return;
    }
    // The line stays at the end of the list too, so that the menu keeps its size.
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), MORE), Sense::hover());
    if shown.state.unclamped_offset().y < below - 1.0 {
        let centre = Align2::CENTER_CENTER;
        let says = StripWords::more_below();
        ui.painter().text(rect.center(), centre, says, medium(12.5), theme.muted);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, says));
    }
}

/// Files opened lately, and the demo cars.
fn others_to_open_ui(ui: &mut Ui, view: &StripView, actions: &mut Vec<Action>) {
    ui.menu_button(StripWords::open_recent(), |ui| {
        if view.recent.is_empty() {
            ui.label(StripWords::no_files_yet());
        }
        for (name, path) in &view.recent {
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::OpenPath(path.clone()));
            }
        }
    });
    ui.menu_button(StripWords::open_a_demo_car(), |ui| {
        for (demo_idx, (name, says)) in DEMOS.iter().enumerate() {
            if ui.button(*name).on_hover_text(*says).clicked() {
                actions.push(Action::OpenDemo(demo_idx));
            }
        }
    });
}

fn items_ui(ui: &mut Ui, view: &StripView, actions: &mut Vec<Action>) {
    for command in [Command::New, Command::Open] {
        item_ui(ui, command, true, actions);
    }
    others_to_open_ui(ui, view, actions);
    for command in [Command::Save, Command::SaveAs, Command::ExportPack, Command::Print] {
        item_ui(ui, command, true, actions);
    }
    ui.separator();
    item_ui(ui, Command::Undo, view.undo.is_some(), actions);
    item_ui(ui, Command::Redo, view.redo.is_some(), actions);
    item_ui(ui, Command::History, true, actions);
    ui.separator();
    for command in [Command::Cut, Command::Copy] {
        item_ui(ui, command, view.has_selection, actions);
    }
    item_ui(ui, Command::Paste, view.mode == Mode::Draw, actions);
    for command in [Command::Duplicate, Command::Delete, Command::Turn, Command::Mirror] {
        item_ui(ui, command, view.has_selection, actions);
    }
    ui.menu_button(Called::line_up(), |ui| line_up_ui(ui, view.has_selection, actions));
    for command in [Command::SelectAll, Command::RunWire, Command::PartsCounter] {
        item_ui(ui, command, true, actions);
    }
    for command in [Command::SelectConnection, Command::SelectCircuit] {
        item_ui(ui, command, view.has_selection, actions);
    }
    ui.separator();
    for command in [
        Command::ShowOther,
        Command::ShowOverview,
        Command::WholeSheet,
        Command::ZoomSelection,
        Command::FullSize,
        Command::AddSheet,
    ] {
        item_ui(ui, command, true, actions);
    }
    settings_ui(ui, view, actions);
    ui.separator();
    for command in [Command::Tour, Command::Keys, Command::Course, Command::Cautions, Command::Quit]
    {
        item_ui(ui, command, true, actions);
    }
}

/// How the window looks and writes.
fn settings_ui(ui: &mut Ui, view: &StripView, actions: &mut Vec<Action>) {
    ui.menu_button(Schemes::heading(), |ui| {
        for (scheme, word, tip) in Schemes::ALL {
            let is_chosen = view.scheme == scheme;
            if ui.selectable_label(is_chosen, word()).on_hover_text(tip()).clicked() {
                actions.push(Action::Scheme(scheme));
            }
        }
    });
    ui.menu_button(StripWords::size_of_everything(), |ui| {
        for percent in [80_u8, 100, 125, 150, 175, 200] {
            let factor = f32::from(percent) / 100.0;
            let is_chosen = (view.larger - factor).abs() < 0.01;
            if ui.selectable_label(is_chosen, format!("{percent} %")).clicked() {
                actions.push(Action::Larger(factor));
            }
        }
    });
    ui.menu_button(Marked::heading(), |ui| {
        for choice in MarkChoice::ALL {
            let is_chosen = view.decimal_mark == choice;
            let (word, tip) = Marked::of(choice);
            if ui.selectable_label(is_chosen, word).on_hover_text(tip).clicked() {
                actions.push(Action::DecimalMark(choice));
            }
        }
    });
}

/// What sets parts in line, and what spreads them.
pub fn line_up_ui(ui: &mut Ui, has_selection: bool, actions: &mut Vec<Action>) {
    let edges = [Command::AlignLeft, Command::AlignRight, Command::AlignTop, Command::AlignBottom];
    for command in edges {
        item_ui(ui, command, has_selection, actions);
    }
    ui.separator();
    for command in [Command::AlignColumn, Command::AlignRow] {
        item_ui(ui, command, has_selection, actions);
    }
    ui.separator();
    for command in [Command::SpreadAcross, Command::SpreadDown] {
        item_ui(ui, command, has_selection, actions);
    }
}

fn item_ui(ui: &mut Ui, command: Command, is_possible: bool, actions: &mut Vec<Action>) {
    let mut key = RichText::new(key_text(ui.ctx(), command));
    if !is_possible {
        // Faded and quiet at once it could not be read.
        key = key.color(ui.visuals().text_color());
    }
    let button = egui::Button::new(command.text()).shortcut_text(key);
    if ui.add_enabled(is_possible, button).on_hover_text(command.tip()).clicked() {
        actions.push(Action::Command(command));
    }
}
