//! The menu at the end of the strip: submenus by the desktop's convention, none of which hides the button.

mod rows;

use egui::containers::menu::MenuButton;
use egui::{Id, Popup, Stroke, Ui};

use crate::action::{Action, DeskStep};
use crate::command::{Command, key_text};
use crate::decimal::MarkChoice;
use crate::demo::DEMOS;
use crate::rich::rich;
use crate::texts::{Marked, Schemes, StripWords};
use crate::theme::{Theme, medium};
use crate::view::beside::{beside_row, close_rows, give_keyboard, take_keyboard};
use crate::view::strip::StripView;

use rows::{GROUPS, Group, HELP, Pick, Row, SETTINGS, is_possible};

/// Paints its button, and the menu while it is open.
pub(super) fn menu_ui(ui: &mut Ui, theme: &Theme, view: &StripView, actions: &mut Vec<Action>) {
    let button =
        egui::Button::new(rich(StripWords::menu()).font(medium(14.0)).color(theme.strip_text))
            .fill(theme.strip)
            .stroke(Stroke::new(1.0, theme.strip_edge));
    let (response, _) = MenuButton::from_button(button).ui(ui, |ui| {
        take_keyboard(ui, by_key());
        let n_before = actions.len();
        groups_ui(ui, view, actions);
        // The toolkit closes it by click only, not where a row is taken by Enter.
        if actions.len() > n_before {
            ui.close();
        }
    });
    if view.opens_menu {
        Popup::open_id(ui.ctx(), Popup::default_response_id(&response));
        give_keyboard(ui, by_key());
        actions.push(Action::Desk(DeskStep::MenuIsOpen));
    }
}

/// What is known of the menu while it was opened by its key.
fn by_key() -> Id {
    Id::unique("menu opened by its key")
}

fn groups_ui(ui: &mut Ui, view: &StripView, actions: &mut Vec<Action>) {
    close_rows(ui);
    for group in &GROUPS {
        group_ui(ui, group, view, actions);
    }
    ui.separator();
    for group in &SETTINGS {
        group_ui(ui, group, view, actions);
    }
    ui.separator();
    group_ui(ui, &HELP, view, actions);
}

fn group_ui(ui: &mut Ui, group: &Group, view: &StripView, actions: &mut Vec<Action>) {
    let room = room_beside(ui);
    ui.menu_button((group.heading)(), |ui| {
        // What has no room beside its row would lie over it.
        egui::ScrollArea::vertical().max_height(room).show(ui, |ui| {
            close_rows(ui);
            // In two lines a row would be higher than it is measured.
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
            if let Some(says) = group.idle(view) {
                idle_ui(ui, says);
            }
            for row in group.rows {
                match *row {
                    Row::Run(command) => item_ui(ui, command, is_possible(view, command), actions),
                    Row::Pick(pick) => pick_ui(ui, pick, view, actions),
                    Row::Line => drop(ui.separator()),
                }
            }
        });
    });
}

/// The height that a menu may have which begins at the row that comes next, or ends there.
fn room_beside(ui: &Ui) -> f32 {
    /// The row itself, and what lies around the rows of a menu.
    const AROUND: f32 = 20.0;
    let (row, screen) = (ui.next_widget_position().y, ui.ctx().content_rect());
    let [below, above] = [screen.bottom() - row, row + ui.spacing().interact_size.y - screen.top()];
    below.max(above) - AROUND
}

fn pick_ui(ui: &mut Ui, pick: Pick, view: &StripView, actions: &mut Vec<Action>) {
    match pick {
        Pick::Recent => drop(ui.menu_button(StripWords::open_recent(), |ui| {
            close_rows(ui);
            recent_ui(ui, view, actions);
        })),
        Pick::Demo => drop(ui.menu_button(StripWords::open_a_demo_car(), |ui| {
            close_rows(ui);
            for (demo_idx, (name, says)) in DEMOS.iter().enumerate() {
                let response = ui.button(*name);
                beside_row(&response).tip(&response, *says);
                if response.clicked() {
                    actions.push(Action::OpenDemo(demo_idx));
                }
            }
        })),
        Pick::Scheme => {
            for (scheme, word, tip) in Schemes::ALL {
                if choice_ui(ui, view.scheme == scheme, word(), tip()) {
                    actions.push(Action::Scheme(scheme));
                }
            }
        }
        Pick::Size => {
            for percent in [80_u8, 100, 125, 150, 175, 200] {
                let factor = f32::from(percent) / 100.0;
                let is_chosen = (view.larger - factor).abs() < 0.01;
                if choice_ui(ui, is_chosen, &format!("{percent} %"), "") {
                    actions.push(Action::Larger(factor));
                }
            }
            let shown = ui.ctx().zoom_factor();
            if view.larger > shown + 0.01 {
                let percent = crate::app::percent(shown);
                ui.label(rich(StripWords::window_has_room_for(percent)).weak());
            }
        }
        Pick::Mark => {
            for choice in MarkChoice::ALL {
                let (word, tip) = Marked::of(choice);
                if choice_ui(ui, view.decimal_mark == choice, word, tip) {
                    actions.push(Action::DecimalMark(choice));
                }
            }
        }
    }
}

/// Why no row of a submenu can be taken: where the keyboard comes to, so that it finds its way back from there.
fn idle_ui(ui: &mut Ui, says: &str) {
    let label = egui::Label::new(rich(says).weak()).selectable(false);
    ui.add(label.sense(egui::Sense::focusable_noninteractive()));
    ui.separator();
}

fn recent_ui(ui: &mut Ui, view: &StripView, actions: &mut Vec<Action>) {
    if view.recent.is_empty() {
        ui.label(StripWords::no_files_yet());
    }
    for (name, path) in &view.recent {
        let response = ui.button(name);
        beside_row(&response).tip(&response, path.display().to_string());
        if response.clicked() {
            actions.push(Action::OpenPath(path.clone()));
        }
    }
}

/// A choice among several; whether it was taken.
fn choice_ui(ui: &mut Ui, is_chosen: bool, word: &str, tip: &str) -> bool {
    let response = ui.selectable_label(is_chosen, word);
    if !tip.is_empty() {
        beside_row(&response).tip(&response, tip);
    }
    response.clicked()
}

fn item_ui(ui: &mut Ui, command: Command, is_possible: bool, actions: &mut Vec<Action>) {
    let mut key = rich(key_text(ui.ctx(), command));
    if !is_possible {
        // Faded and quiet at once it could not be read.
        key = key.color(ui.visuals().text_color());
    }
    let button = egui::Button::new(command.text()).shortcut_text(key);
    let response = ui.add_enabled(is_possible, button);
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    beside_row(&response).tip(&response, command.tip());
    if response.clicked() {
        actions.push(Action::Command(command));
    }
}
