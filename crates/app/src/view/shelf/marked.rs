//! What stands on top of the shelf: favourites, and what was placed lately.

use std::sync::Arc;

use egui::{Align2, Key, Modifiers, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use loomwright_circuit::{Name, PartType};

use crate::action::{Action, DeskStep};
use crate::painter::paint_symbol;
use crate::state::State;
use crate::texts::Shelved;
use crate::theme::plain;
use crate::view::shelf::{ShelfView, offer_ui, row_ui};
use crate::view::widgets::group_ui;

/// Room for the star at the end of a row.
pub(super) const STAR: f32 = 20.0;

/// What stands on top of the shelf.
#[derive(Debug, Clone, Default)]
pub struct MarkedView {
    /// Favourites, in the order in which they were marked.
    pub favourites: Vec<Arc<PartType>>,
    /// What was placed lately and is no favourite.
    pub lately: Vec<Arc<PartType>>,
}

/// Builds it.
pub(super) fn marked_view(state: &State) -> MarkedView {
    let settings = &state.settings;
    // Part types that only other cars have are not known here.
    let known = |name: &Name| state.library.find(state.car(), name).cloned();
    let lately = settings.placed.iter().filter(|name| !settings.favourites.contains(name));
    MarkedView {
        favourites: settings.favourites.iter().filter_map(known).collect(),
        lately: lately.filter_map(known).collect(),
    }
}

/// Paints it.
pub(super) fn marked_ui(ui: &mut Ui, state: &State, view: &ShelfView, actions: &mut Vec<Action>) {
    let MarkedView { favourites, lately } = &view.marked;
    if !favourites.is_empty() {
        group_ui(ui, state.theme(), Shelved::favourites());
        for part_type in favourites {
            let is_chosen = view.placing.as_deref() == Some(&*part_type.name);
            let name = Shelved::row_favourite(&part_type.title);
            row_ui(ui, state, (part_type, &name), is_chosen, actions);
        }
    }
    // It has its room from the start, so that nothing below it moves when something comes to stand there.
    group_ui(ui, state.theme(), Shelved::lately());
    let room = vec2(ui.available_width(), TILE.y);
    let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
    if lately.is_empty() {
        let (font, colour) = (plain(12.5), state.theme().muted);
        let at = rect.left_center() + vec2(4.0, 0.0);
        ui.painter().text(at, Align2::LEFT_CENTER, Shelved::lately_none(), font, colour);
    }
    for (n, part_type) in lately.iter().enumerate() {
        let left = rect.left() + n as f32 * (TILE.x + 2.0);
        let tile = Rect::from_min_size(egui::pos2(left, rect.top()), TILE);
        if tile.right() > rect.right() + 0.5 {
            break;
        }
        let is_chosen = view.placing.as_deref() == Some(&*part_type.name);
        tile_ui(ui, state, (part_type, tile), is_chosen, actions);
    }
}

/// Size of a picture without its words.
const TILE: egui::Vec2 = vec2(37.0, 30.0);

/// A part type as its picture alone.
fn tile_ui(
    ui: &Ui,
    state: &State,
    (part_type, rect): (&Arc<PartType>, Rect),
    is_chosen: bool,
    actions: &mut Vec<Action>,
) {
    let theme = state.theme();
    let id = ui.scope_id().with(("placed lately", &part_type.name));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let name = Shelved::row_lately(&part_type.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let is_pointed = is_chosen || response.hovered() || response.has_focus();
    let fill = if is_pointed && !is_chosen { theme.hover } else { theme.field };
    let edge = if is_pointed { theme.ink } else { theme.edge };
    let painter = ui.painter();
    painter.rect(rect, 4.0, fill, Stroke::new(1.0, edge), egui::StrokeKind::Inside);
    let picture = Rect::from_center_size(rect.center(), vec2(28.0, 21.0));
    paint_symbol(painter, picture, part_type, theme.ink);
    if is_marked_by_key(ui, &response) {
        actions.push(Action::Desk(DeskStep::MarkPart(part_type.name.clone())));
    }
    offer_ui(ui, state, part_type, response, actions);
}

/// Whether the key of favourites is pressed; it belongs to what the pointer or the focus is on.
fn is_marked_by_key(ui: &Ui, response: &Response) -> bool {
    (response.hovered() || response.has_focus())
        && !ui.ctx().text_edit_focused()
        && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::F))
}

/// The star at the end of a row: full on favourites, hollow on the row that is pointed at.
pub(super) fn star_ui(
    ui: &Ui,
    state: &State,
    row: &Response,
    (part_type, name): (&PartType, &str),
    actions: &mut Vec<Action>,
) {
    let theme = state.theme();
    let is_marked = state.settings.favourites.contains(&part_type.name);
    let centre = row.rect.right_center() - vec2(STAR / 2.0, 0.0);
    let rect = Rect::from_center_size(centre, vec2(STAR, row.rect.height().min(25.0)));
    let response = ui.interact(rect, row.id.with("star"), Sense::click());
    let label = Shelved::favourite(name);
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, is_marked, &label));
    let is_pointed = row.contains_pointer() || row.has_focus() || response.has_focus();
    if is_marked || is_pointed {
        let colour = if response.hovered() || response.has_focus() {
            theme.selected
        } else {
            theme.to_fit_text
        };
        for (n, points) in star(centre).into_iter().enumerate() {
            // A star is hollow inside, so that it is filled in pieces that are not.
            if is_marked && n > 0 {
                ui.painter().add(egui::Shape::convex_polygon(points, colour, Stroke::NONE));
            } else if n == 0 {
                ui.painter().add(egui::Shape::closed_line(points, Stroke::new(1.2, colour)));
            }
        }
    }
    let by_key = is_marked_by_key(ui, row);
    if response.clicked() || by_key {
        actions.push(Action::Desk(DeskStep::MarkPart(part_type.name.clone())));
    }
    let key = Shelved::key();
    let tip = if is_marked { Shelved::unmark_tip(key) } else { Shelved::mark_tip(key) };
    response.on_hover_text(tip);
}

/// The outline of a star of five points, then the pieces that fill it.
fn star(centre: egui::Pos2) -> Vec<Vec<egui::Pos2>> {
    let at = |n: usize, radius: f32| {
        let angle = std::f32::consts::PI * (n as f32 / 5.0 - 0.5);
        centre + vec2(angle.cos(), angle.sin()) * radius
    };
    let radius = |n: usize| if n.is_multiple_of(2) { 6.5 } else { 2.8 };
    let outline: Vec<_> = (0..10).map(|n| at(n, radius(n))).collect();
    let inner: Vec<_> = (0..5).map(|n| at(2 * n + 1, 2.8)).collect();
    let points = (0..5).map(|n| {
        let n = 2 * n;
        vec![at(n + 9, 2.8), at(n, 6.5), at(n + 1, 2.8)]
    });
    [outline, inner].into_iter().chain(points).collect()
}
