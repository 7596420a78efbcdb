//! The headings: a part for each column, and to ask for another.

use egui::{Align2, Rect, Role, ScrollArea, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::{CELL, HEAD, LEFT, Place, Sheet, piece};
use crate::action::{Action, GridStep};
use crate::rich::rich;
use crate::texts::HeadWords;
use crate::theme::{drafting, medium, plain, semibold};

/// Paints all of them.
pub(super) fn heads_ui(ui: &mut Ui, sheet: &Sheet<'_>, actions: &mut Vec<Action>) {
    let theme = sheet.theme;
    let corner = sheet.clip(Place::Corner);
    let painter = ui.painter().with_clip_rect(corner);
    painter.rect_filled(corner, 0.0, theme.chrome);
    let at = corner.left_bottom() + vec2(10.0, -8.0);
    painter.text(at, Align2::LEFT_BOTTOM, HeadWords::whenever(), semibold(14.0), theme.ink);
    let at = corner.right_top() + vec2(-10.0, 8.0);
    painter.text(
        at,
        Align2::RIGHT_TOP,
        HeadWords::it_must_be_so_that(),
        drafting(12.0),
        theme.muted,
    );
    painter.line_segment([corner.left_top(), corner.right_bottom()], Stroke::new(1.0, theme.edge));
    let clip = sheet.clip(Place::Heads);
    ui.painter().with_clip_rect(clip).rect_filled(clip, 0.0, theme.chrome);
    let top = sheet.seen.top();
    for (column_idx, (column, name)) in sheet.view.columns.iter().enumerate() {
        let left = sheet.origin.x + LEFT + CELL * column_idx as f32;
        let rect = Rect::from_min_size(pos2(left, top), vec2(CELL, HEAD));
        let piece = piece(ui, ("head", column_idx), rect, clip);
        let id = egui::Id::unique((HeadWords::truth_table_column(), column));
        let response = piece.interact(rect, id, Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, HeadWords::column(name)));
        let is_near = response.hovered() || response.has_focus();
        let colour = if is_near { theme.selected } else { theme.ink };
        let room = (CELL - 12.0, 3);
        let galley = crate::painter::in_lines(piece.painter(), name, semibold(13.0), colour, room);
        let at = rect.left_bottom() + vec2(7.0, -6.0 - galley.size().y);
        piece.painter().galley(at, galley, colour);
        egui::Popup::menu(&response).show(|ui| {
            let text = rich(HeadWords::take_this_column_out()).font(medium(14.0)).color(theme.ink);
            if ui.button(text).clicked() {
                actions.push(Action::Grid(GridStep::DropColumn(column.clone())));
            }
        });
        response.on_hover_text(format!("{name}\n{}", HeadWords::click_takes_it_out()));
    }
    add_ui(ui, sheet, clip, actions);
}

/// Asks for a part that gets a column.
fn add_ui(ui: &mut Ui, sheet: &Sheet<'_>, clip: Rect, actions: &mut Vec<Action>) {
    let theme = sheet.theme;
    let left = sheet.origin.x + LEFT + CELL * sheet.view.columns.len() as f32;
    let rect = Rect::from_min_size(pos2(left, sheet.seen.top()), vec2(CELL, HEAD));
    let mut piece = piece(ui, HeadWords::add_a_column(), rect.shrink2(vec2(6.0, 18.0)), clip);
    let response = super::small_button(&mut piece, theme, HeadWords::add_a_part(), theme.ink);
    egui::Popup::menu(&response)
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .width(260.0)
        .show(|ui| parts_ui(ui, sheet, actions));
    response.on_hover_text(HeadWords::a_column_for_another_lamp_motor());
}

/// The parts that can be asked for, found by typing.
fn parts_ui(ui: &mut Ui, sheet: &Sheet<'_>, actions: &mut Vec<Action>) {
    let (theme, view) = (sheet.theme, sheet.view);
    let mut text = view.search.clone();
    let edit = egui::TextEdit::singleline(&mut text)
        .hint_text(HeadWords::parts_name())
        .desired_width(250.0)
        .margin(egui::Margin::symmetric(7, 4));
    let response = ui.add(edit).accessible_name(HeadWords::find_a_part_for_a_column());
    if response.changed() {
        actions.push(Action::Grid(GridStep::Search(text.clone())));
    } else if !response.has_focus() && ui.memory(|memory| memory.focused().is_none()) {
        response.request_focus();
    }
    let wanted = text.to_lowercase();
    let found: Vec<_> =
        view.askable.iter().filter(|(_, name)| name.to_lowercase().contains(&wanted)).collect();
    if found.is_empty() {
        let none = if view.askable.is_empty() {
            HeadWords::every_part_has_its_column()
        } else {
            HeadWords::no_other_part_is_called_so()
        };
        ui.label(rich(none).font(plain(13.5)).color(theme.muted));
    }
    let is_entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let first = found.first().map(|(column, _)| column.clone()).filter(|_| is_entered);
    let mut picked = first;
    ScrollArea::vertical().max_height(240.0).show(ui, |ui| {
        for (column, name) in found {
            let text = rich(name).font(plain(14.0)).color(theme.ink);
            let button = egui::Button::new(text).truncate().min_size(vec2(250.0, 24.0));
            if ui.add(button.fill(theme.field)).clicked() {
                picked = Some(column.clone());
            }
        }
    });
    if let Some(column) = picked {
        actions.push(Action::Grid(GridStep::AddColumn(column)));
        ui.close();
    }
}
