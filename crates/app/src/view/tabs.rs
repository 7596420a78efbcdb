//! The bar above the canvas: the sheets by title, like index cards, and the pen.

use egui::scroll_area::ScrollBarVisibility;
use egui::{Align, Layout, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use loomwright_circuit::{Edit, SheetId};

use crate::action::Action;
use crate::command::Command;
use crate::painter::elided;
use crate::state::{Mode, Pen, State};
use crate::theme::{Theme, drafting_narrow, medium, plain};

/// What the bar shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TabsView {
    /// The sheets with their titles; more than one are numbered, as the marks of wires that go on are.
    pub sheets: Vec<(SheetId, String)>,
    /// The sheet shown.
    pub shown: SheetId,
    /// The pen; nothing outside Draw.
    pub pen: Option<Pen>,
}

/// Builds it.
pub fn tabs_view(state: &State) -> TabsView {
    TabsView {
        sheets: state.car().sheets().iter().map(|(id, sheet)| (*id, sheet.title.clone())).collect(),
        shown: state.sheet,
        pen: (state.mode == Mode::Draw).then_some(state.pen),
    }
}

/// Paints it.
pub fn tabs_ui(ui: &mut Ui, theme: &Theme, view: &TabsView, actions: &mut Vec<Action>) {
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let pen_width = if view.pen.is_some() { 190.0 } else { 0.0 };
        let all = ui.available_width() - pen_width - 40.0;
        let room = widest_tab(ui, view, all);
        egui::ScrollArea::horizontal()
            .max_width(all)
            .scroll_bar_visibility(ScrollBarVisibility::AlwaysHidden)
            .show(ui, |ui| {
                for (sheet_idx, (id, title)) in view.sheets.iter().enumerate() {
                    let is_shown = *id == view.shown;
                    let room = if is_shown { f32::INFINITY } else { room };
                    let card = card_text(view, sheet_idx, room);
                    tab_ui(ui, theme, Tab { id: *id, title, card, is_shown, room }, actions);
                }
            });
        if view.pen.is_some() {
            let button = egui::Button::new(egui::RichText::new("+").font(medium(16.0)))
                .fill(theme.paper)
                .stroke(Stroke::NONE);
            let response = ui.add(button).on_hover_text(Command::AddSheet.tip());
            response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "New sheet"));
            if response.clicked() {
                actions.push(Action::Command(Command::AddSheet));
            }
        }
        if let Some(pen) = view.pen {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.add_space(6.0);
                pen_ui(ui, theme, pen, actions);
            });
        }
    });
}

/// A tab as it is painted.
struct Tab<'a> {
    id: SheetId,
    title: &'a str,
    card: String,
    is_shown: bool,
    room: f32,
}

/// What is written on a card: number and title, or the number alone where a title would be cut to pieces.
fn card_text(view: &TabsView, sheet_idx: usize, room: f32) -> String {
    const LEAST_FOR_TITLES: f32 = 84.0;
    let title = view.sheets.get(sheet_idx).map_or("", |(_, title)| title);
    let title = if title.is_empty() { "Untitled" } else { title };
    let number = sheet_idx + 1;
    match view.sheets.len() {
        1 => title.to_owned(),
        _ if room < LEAST_FOR_TITLES => number.to_string(),
        _ => format!("{number}  {title}"),
    }
}

/// The greatest width of a tab at which all of them fit: short titles leave their room to long ones.
fn widest_tab(ui: &Ui, view: &TabsView, room: f32) -> f32 {
    let width = |(sheet_idx, _): &(usize, &(SheetId, String))| {
        let text = card_text(view, *sheet_idx, f32::INFINITY);
        let ink = egui::Color32::PLACEHOLDER;
        let galley = elided(ui.painter(), &text, drafting_narrow(15.0), ink, 400.0);
        galley.size().x + 26.0 + 4.0
    };
    // The sheet that is shown keeps its whole title.
    let (shown, others): (Vec<_>, Vec<_>) =
        view.sheets.iter().enumerate().partition(|(_, (id, _))| *id == view.shown);
    let room = room - shown.iter().map(width).sum::<f32>();
    let mut widths: Vec<f32> = others.iter().map(width).collect();
    widths.sort_by(f32::total_cmp);
    let (mut left, mut n_left) = (room, widths.len());
    for width in widths {
        let share = left / n_left as f32;
        if width > share {
            return share - 4.0;
        }
        left -= width;
        n_left -= 1;
    }
    f32::INFINITY
}

fn tab_ui(ui: &mut Ui, theme: &Theme, tab: Tab<'_>, actions: &mut Vec<Action>) {
    let Tab { id, title, card, is_shown, room } = tab;
    let colour = if is_shown { theme.ink } else { theme.muted };
    let width = (room - 26.0).max(20.0);
    let galley = elided(ui.painter(), &card, drafting_narrow(15.0), colour, width);
    let size = vec2(galley.size().x + 26.0, 26.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Tab, true, is_shown, format!("Sheet {title}")));
    let is_cut = galley.elided || !card.ends_with(title);
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
    }
    let at = pos2(rect.left() + 10.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, colour);
    if response.clicked() {
        actions.push(Action::Sheet(id));
    }
    response.context_menu(|ui| {
        if ui.button("Erase this sheet").clicked() {
            let label = format!("erase sheet {title}");
            actions.push(Action::Edit(label, Edit::EraseSheet(id)));
        }
    });
    if is_cut {
        response.on_hover_text(title);
    }
}

fn pen_ui(ui: &mut Ui, theme: &Theme, pen: Pen, actions: &mut Vec<Action>) {
    let choices = [
        (
            Pen::ToFit,
            "to fit",
            "New parts and wires are to fit; changing an as-found wire makes a pair: the old one to remove, a new one to fit",
        ),
        (
            Pen::AsFound,
            "as found",
            "New parts and wires describe the car as it is; changing one corrects the record",
        ),
    ];
    for (value, word, tip) in choices {
        let is_chosen = value == pen;
        let (fill, colour) = match (is_chosen, value) {
            (true, Pen::ToFit) => (theme.to_fit, theme.to_fit_text),
            (true, Pen::AsFound) => (theme.field, theme.ink),
            (false, _) => (theme.paper, theme.muted),
        };
        let edge = if is_chosen { colour } else { theme.edge };
        let button = egui::Button::new(egui::RichText::new(word).font(medium(13.0)).color(colour))
            .fill(fill)
            .stroke(Stroke::new(1.0, edge));
        let response = ui.add(button).on_hover_text(tip);
        let name = format!("Pen: {word}");
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &name));
        if response.clicked() && !is_chosen {
            actions.push(Action::Command(Command::SwitchPen));
        }
    }
    ui.label(egui::RichText::new("Pen").font(plain(13.0)).color(theme.muted));
}
