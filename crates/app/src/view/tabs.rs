//! The bar above the canvas: the sheets by title, like index cards.

mod card;

use egui::scroll_area::ScrollBarVisibility;
use egui::text::CCursor;
use egui::text_selection::CCursorRange;
use egui::{Popup, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_circuit::{Edit, SheetId};

use crate::action::Action;
use crate::command::Command;
use crate::rich::rich;
use crate::state::{Field, Mode, State};
use crate::texts::TabWords;
use crate::theme::{Theme, drafting_narrow, medium};
use crate::tool::Tool;
use crate::view::beside::below;
use card::{Card, Fit, GAP, fit};

/// What the bar shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TabsView {
    /// The sheets with their titles; more than one are numbered, as the marks of wires that go on are.
    pub sheets: Vec<(SheetId, String)>,
    /// The sheet shown.
    pub shown: SheetId,
    /// The sheet whose title is being written, with the text so far.
    pub renamed: Option<(SheetId, String)>,
    /// Whether sheets can be added and changed.
    pub may_add: bool,
    /// Whether a wire or a part is on its way, and may go on on another sheet.
    pub is_under_way: bool,
}

/// Builds it.
pub fn tabs_view(state: &State) -> TabsView {
    TabsView {
        sheets: state.car().sheets().iter().map(|(id, sheet)| (*id, sheet.title.clone())).collect(),
        shown: state.sheet,
        renamed: state.renaming.filter(|_| state.mode == Mode::Draw).map(|id| {
            let title = state.car().sheets().get(&id).map_or("", |sheet| &*sheet.title);
            (id, state.field_text(&Field::SheetTitle(id), title).to_owned())
        }),
        may_add: state.mode == Mode::Draw,
        is_under_way: matches!(
            state.tool,
            Tool::Running { .. } | Tool::Aiming { .. } | Tool::Placing { .. }
        ),
    }
}

/// Paints it.
pub fn tabs_ui(ui: &mut Ui, theme: &Theme, view: &TabsView, actions: &mut Vec<Action>) {
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        // Room for the button stays where there is none, so that the cards stand alike in every mode.
        let all = ui.available_width() - BUTTON;
        let whole = whole_sheet(ui, view);
        let fit = fit(ui, view, (all, all - BUTTON), whole);
        let has_room = !matches!(fit, Fit::Cut(_));
        let room = if has_room { all } else { all - BUTTON };
        egui::ScrollArea::horizontal()
            .max_width(room)
            .scroll_bar_visibility(ScrollBarVisibility::AlwaysHidden)
            .show(ui, |ui| {
                for (sheet_idx, (id, title)) in view.sheets.iter().enumerate() {
                    if let Some(text) = view.renamed.as_ref().filter(|(of, _)| of == id) {
                        rename_ui(ui, (*id, &text.1), actions);
                        continue;
                    }
                    let is_shown = *id == view.shown;
                    let card = Card::new(ui, view, sheet_idx, (fit, *id == whole, room));
                    let tab = Tab { id: *id, title, card, is_shown };
                    let response = tab_ui(ui, theme, tab, view.may_add, actions);
                    if is_shown {
                        follow_ui(ui, &response, (*id, response.rect.width(), room));
                    }
                    if view.is_under_way && !is_shown && is_waited_on(ui, &response) {
                        actions.push(Action::Sheet(*id));
                    }
                }
            });
        if !has_room {
            list_ui(ui, theme, view, actions);
        }
        if view.may_add {
            let button = egui::Button::new(rich("+").font(medium(16.0)))
                .fill(theme.paper)
                .stroke(Stroke::NONE);
            let response = ui.add(button).on_hover_text(Command::AddSheet.tip());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, TabWords::new_sheet()));
            if response.clicked() {
                actions.push(Action::Command(Command::AddSheet));
            }
        }
    });
}

/// All sheets by their whole titles, where the bar has no room for them.
fn list_ui(ui: &mut Ui, theme: &Theme, view: &TabsView, actions: &mut Vec<Action>) {
    let button = egui::Button::new("").min_size(vec2(BUTTON - GAP, 26.0)).stroke(Stroke::NONE);
    let button = button.fill(theme.paper);
    let (response, _) = egui::containers::menu::MenuButton::from_button(button).ui(ui, |ui| {
        for (sheet_idx, (id, _)) in view.sheets.iter().enumerate() {
            let is_shown = *id == view.shown;
            if ui.selectable_label(is_shown, card::text(view, sheet_idx)).clicked() {
                actions.push(Action::Sheet(*id));
                ui.close();
            }
        }
    });
    let middle = response.rect.center();
    let points = vec![middle + vec2(-5.0, -3.0), middle + vec2(5.0, -3.0), middle + vec2(0.0, 4.0)];
    ui.painter().add(egui::Shape::convex_polygon(points, theme.ink, Stroke::NONE));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, TabWords::all_sheets()));
    response.on_hover_text(TabWords::all_sheets_tip());
}

/// Room for a button at the end of the bar.
const BUTTON: f32 = 36.0;

/// A tab as it is painted.
struct Tab<'a> {
    id: SheetId,
    title: &'a str,
    card: Card,
    is_shown: bool,
}

/// The sheet whose title stands whole: the one that is shown. It takes its room only once a second click can no longer
/// be meant for the card that was clicked, since others move for it.
fn whole_sheet(ui: &Ui, view: &TabsView) -> SheetId {
    const SECOND_CLICK_SECS: f64 = 0.4;
    let key = ui.scope_id().with("sheet whose title is whole");
    let now = ui.input(|input| input.time);
    let known: Option<(SheetId, SheetId, f64)> = ui.data(|data| data.get_temp(key));
    let (whole, shown, since) = match known {
        Some((whole, shown, since)) if shown == view.shown => (whole, shown, since),
        Some((whole, ..)) => (whole, view.shown, now),
        None => (view.shown, view.shown, now),
    };
    let left = SECOND_CLICK_SECS - (now - since);
    let is_there = view.sheets.iter().any(|(id, _)| *id == whole);
    let whole = if left <= 0.0 || !is_there { shown } else { whole };
    if whole != shown {
        ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
    }
    ui.data_mut(|data| data.insert_temp(key, (whole, shown, since)));
    whole
}

/// Whether what is under way has been held over a card for long enough to mean its sheet, or is let go there.
fn is_waited_on(ui: &Ui, response: &egui::Response) -> bool {
    const WAIT_SECS: f64 = 0.5;
    let key = response.id.with("waited on since");
    // While the sheet is dragged from, the toolkit calls nothing else hovered.
    if !response.contains_pointer() {
        ui.data_mut(|data| data.remove::<f64>(key));
        return false;
    }
    let (now, is_let_go) = ui.input(|input| (input.time, input.pointer.primary_released()));
    let since = ui.data_mut(|data| *data.get_temp_mut_or(key, now));
    let left = WAIT_SECS - (now - since);
    if left > 0.0 && !is_let_go {
        ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
        return false;
    }
    ui.data_mut(|data| data.remove::<f64>(key));
    true
}

fn tab_ui(
    ui: &mut Ui,
    theme: &Theme,
    tab: Tab<'_>,
    may_change: bool,
    actions: &mut Vec<Action>,
) -> egui::Response {
    let Tab { id, title, card, is_shown } = tab;
    let colour = if is_shown { theme.ink } else { theme.muted };
    let (rect, response) = ui.allocate_exact_size(card.size(), Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Tab, true, is_shown, TabWords::sheet(title)));
    // An index card: the corner at the right is cut off.
    let cut = 7.0;
    let outline = vec![
        rect.left_bottom(),
        rect.left_top(),
        pos2(rect.right() - cut, rect.top()),
        pos2(rect.right(), rect.top() + cut),
        rect.right_bottom(),
    ];
    let fill = match (is_shown, response.hovered()) {
        (true, _) => theme.field,
        (false, true) => theme.hover,
        (false, false) => theme.chrome,
    };
    let edge = if response.has_focus() { theme.selected } else { theme.edge };
    ui.painter().add(egui::Shape::convex_polygon(outline, fill, Stroke::new(1.0, edge)));
    if is_shown {
        let y = rect.bottom() - 1.0;
        ui.painter().hline(rect.x_range(), y, Stroke::new(2.5, theme.heading));
    }
    card.paint(ui.painter(), rect, colour);
    if may_change && response.double_clicked() {
        actions.push(Action::RenameSheet(Some(id)));
    } else if response.clicked() {
        actions.push(Action::Sheet(id));
    }
    if may_change {
        below(&response).menu(Popup::context_menu(&response)).show(|ui| {
            if ui.button(TabWords::rename_this_sheet()).clicked() {
                actions.push(Action::RenameSheet(Some(id)));
            }
            if ui.button(TabWords::erase_this_sheet()).clicked() {
                let label = TabWords::erase_sheet(title);
                actions.push(Action::Edit(label, Edit::EraseSheet(id)));
            }
        });
    }
    if card.is_cut { response.on_hover_text(title) } else { response }
}

/// Pushes the cards along until the one that has come to be shown, or to be wider, can be seen.
fn follow_ui(ui: &Ui, response: &egui::Response, stands: (SheetId, f32, f32)) {
    let key = ui.scope_id().with("sheet seen last");
    let seen: Option<(SheetId, f32, f32)> = ui.data(|data| data.get_temp(key));
    if seen != Some(stands) {
        ui.data_mut(|data| data.insert_temp(key, stands));
        response.scroll_to_me(None);
    }
}

/// The card of a sheet whose title is being written.
fn rename_ui(ui: &mut Ui, (id, title): (SheetId, &str), actions: &mut Vec<Action>) {
    let mut text = title.to_owned();
    let edit = egui::TextEdit::singleline(&mut text)
        .id_salt(("rename", id))
        .font(drafting_narrow(15.0))
        .desired_width(120.0)
        .margin(egui::Margin::symmetric(8, 3));
    let response = ui.add(edit).accessible_name(TabWords::title_of_the_sheet());
    if response.changed() {
        actions.push(Action::Typed(Field::SheetTitle(id), text));
    }
    if response.lost_focus() {
        let gives_up = ui.input(|input| input.key_pressed(egui::Key::Escape));
        let field = Field::SheetTitle(id);
        actions.push(if gives_up { Action::GivenUp(field) } else { Action::Entered(field) });
        actions.push(Action::RenameSheet(None));
    } else if !response.has_focus() {
        response.request_focus();
        // The whole title is selected, so that typing replaces it.
        let mut editing = egui::TextEdit::load_state(ui.ctx(), response.id).unwrap_or_default();
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(title.chars().count()));
        editing.cursor.set_char_range(Some(all));
        egui::TextEdit::store_state(ui.ctx(), response.id, editing);
    }
}
