//! The bar above the canvas: the sheets by title, like index cards.

use egui::scroll_area::ScrollBarVisibility;
use egui::text::CCursor;
use egui::text_selection::CCursorRange;
use egui::{Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_circuit::{Edit, SheetId};

use crate::action::Action;
use crate::command::Command;
use crate::painter::elided;
use crate::state::{Field, Mode, State};
use crate::texts::TabWords;
use crate::theme::{Theme, drafting_narrow, medium};
use crate::tool::Tool;

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
        let room = ui.available_width() - 36.0;
        let widest = widest_tab(ui, view, room);
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
                    let card = card_text(view, sheet_idx);
                    let tab = Tab { id: *id, title, card, is_shown, widest };
                    let response = tab_ui(ui, theme, tab, view.may_add, actions);
                    if view.is_under_way && !is_shown && is_waited_on(ui, &response) {
                        actions.push(Action::Sheet(*id));
                    }
                }
            });
        if view.may_add {
            let button = egui::Button::new(egui::RichText::new("+").font(medium(16.0)))
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

const GAP: f32 = 4.0;

/// Room beside the letters of a card.
const MARGIN: f32 = 22.0;

/// A tab as it is painted.
struct Tab<'a> {
    id: SheetId,
    title: &'a str,
    card: String,
    is_shown: bool,
    widest: f32,
}

/// What is written on a card: its title, after its number where there are several.
fn card_text(view: &TabsView, sheet_idx: usize) -> String {
    let title = view.sheets.get(sheet_idx).map_or("", |(_, title)| title);
    let title = if title.is_empty() { TabWords::untitled() } else { title };
    match view.sheets.len() {
        1 => title.to_owned(),
        _ => format!("{}  {title}", sheet_idx + 1),
    }
}

/// The greatest width of a tab at which all of them fit: short titles leave their room to long ones. Which sheet is
/// shown makes no difference, so that no card moves when another is taken.
fn widest_tab(ui: &Ui, view: &TabsView, room: f32) -> f32 {
    // Narrower than this, titles would be cut to pieces: then the cards are pushed along instead.
    const LEAST: f32 = 72.0;
    let mut widths: Vec<f32> = (0..view.sheets.len())
        .map(|sheet_idx| {
            let ink = egui::Color32::PLACEHOLDER;
            let text = card_text(view, sheet_idx);
            let galley = elided(ui.painter(), &text, drafting_narrow(15.0), ink, 400.0);
            galley.size().x + MARGIN + GAP
        })
        .collect();
    widths.sort_by(f32::total_cmp);
    let (mut left, mut n_left) = (room, widths.len());
    for width in widths {
        let share = left / n_left as f32;
        if width > share {
            return (share - GAP).max(LEAST);
        }
        left -= width;
        n_left -= 1;
    }
    f32::INFINITY
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
    let Tab { id, title, card, is_shown, widest } = tab;
    let colour = if is_shown { theme.ink } else { theme.muted };
    let galley = elided(ui.painter(), &card, drafting_narrow(15.0), colour, widest - MARGIN);
    let size = vec2(galley.size().x + MARGIN, 26.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Tab, true, is_shown, TabWords::sheet(title)));
    let is_cut = galley.elided;
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
        ui.painter().hline(rect.x_range(), y, Stroke::new(2.5, theme.danger));
        follow_ui(ui, &response, id);
    }
    let at = pos2(rect.left() + 9.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, colour);
    if may_change && response.double_clicked() {
        actions.push(Action::RenameSheet(Some(id)));
    } else if response.clicked() {
        actions.push(Action::Sheet(id));
    }
    if may_change {
        response.context_menu(|ui| {
            if ui.button(TabWords::rename_this_sheet()).clicked() {
                actions.push(Action::RenameSheet(Some(id)));
            }
            if ui.button(TabWords::erase_this_sheet()).clicked() {
                let label = TabWords::erase_sheet(title);
                actions.push(Action::Edit(label, Edit::EraseSheet(id)));
            }
        });
    }
    if is_cut { response.on_hover_text(title) } else { response }
}

/// Pushes the cards along until the one that has come to be shown can be seen.
fn follow_ui(ui: &Ui, response: &egui::Response, id: SheetId) {
    let key = ui.scope_id().with("sheet seen last");
    let seen: Option<SheetId> = ui.data(|data| data.get_temp(key));
    if seen != Some(id) {
        ui.data_mut(|data| data.insert_temp(key, id));
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
