//! The settings at the left: the controls with their positions, fuses out, and how the row is kept.

use egui::{PopupCloseBehavior, Rect, Sense, Ui, pos2, vec2};
use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, FuseWay, Moment};

use super::{GridView, HEAD, LEFT, Place, RowView, Sheet, piece, sign, small_button};
use crate::action::{Action, GridStep};
use crate::rich::rich;
use crate::texts::SettingWords;
use crate::theme::{Theme, medium, plain, semibold};
use crate::view::widgets::word_button;
use crate::words;

/// Height of one line, and room around all of them.
const LINE: f32 = 24.0;
const ROOM: f32 = 16.0;

/// Every fuse of the car, each way of a box by itself.
pub(super) fn fuses(car: &Car) -> Vec<(FuseWay, String)> {
    let mut ways = Vec::new();
    for id in car.parts().keys() {
        let Some(part_type) = car.type_of(*id) else { continue };
        let fuses = part_type.elements.iter().filter_map(|element| match element {
            Element::Fuse { between, .. } => Some(&between[0]),
            _ => None,
        });
        let fuses: Vec<_> = fuses.collect();
        for terminal in &fuses {
            let terminal = (fuses.len() > 1).then(|| (*terminal).clone());
            ways.push(FuseWay { part: *id, terminal });
        }
    }
    let named = |way: FuseWay| {
        let name = words::column(car, &(way.part, way.terminal.clone()));
        (way, name)
    };
    ways.into_iter().map(named).collect()
}

fn judged(ui: &Ui, theme: &Theme, row: &RowView) -> std::sync::Arc<egui::Galley> {
    let colour = row.mark.colour(theme);
    crate::painter::in_lines(ui.painter(), &row.judged, plain(13.0), colour, (LEFT - 38.0, 4))
}

/// How high a row is.
pub(super) fn height(ui: &Ui, theme: &Theme, row: &RowView) -> f32 {
    let n_lines = row.when.len().max(1) + usize::from(!row.without.is_empty()) + 1;
    LINE * n_lines as f32 + judged(ui, theme, row).size().y.max(18.0) + ROOM
}

/// Paints the setting of a row.
pub(super) fn setting_ui(
    ui: &mut Ui,
    sheet: &Sheet<'_>,
    (row_idx, row): (usize, &RowView),
    actions: &mut Vec<Action>,
) {
    let (theme, view) = (sheet.theme, sheet.view);
    let (top, height) = sheet.rows.get(row_idx).copied().unwrap_or_default();
    let corner = pos2(sheet.seen.left(), sheet.origin.y + HEAD + top);
    let rect = Rect::from_min_size(corner, vec2(LEFT, height));
    let mut ground = piece(ui, ("setting", row_idx), rect, sheet.clip(Place::Settings));
    ground.painter().rect_filled(rect, 0.0, theme.chrome);
    let inner = rect.shrink2(vec2(9.0, 5.0));
    let mut ui = piece(&mut ground, ("lines", row_idx), inner, sheet.clip(Place::Settings));
    let ui = &mut ui;
    ui.spacing_mut().item_spacing = vec2(5.0, LINE - 20.0);
    ui.spacing_mut().interact_size.y = 20.0;
    ui.spacing_mut().button_padding = vec2(6.0, 1.0);
    if row.when.is_empty() {
        ui.horizontal(|ui| {
            ui.set_height(20.0);
            ui.label(rich("always").font(medium(13.5)).color(theme.ink));
        });
    }
    for moment_idx in 0..row.when.len() {
        moment_ui(ui, theme, view, (row, moment_idx), actions);
    }
    if !row.without.is_empty() {
        let names = view.fuses.iter().filter(|(way, _)| row.without.contains(way));
        let names: Vec<&str> = names.map(|(_, name)| &**name).collect();
        let text = SettingWords::also_without(names.join(" or "));
        let response = small_button(ui, theme, &text, theme.ink);
        response.widget_info(|| {
            let name = format!("{text}, of {}", row.says);
            egui::WidgetInfo::labeled(egui::Role::Button, true, name)
        });
        if response.clicked() {
            egui::Popup::open_id(ui.ctx(), egui::Id::unique((SettingWords::fuses_out(), row_idx)));
        }
        response.on_hover_text(rich(text));
    }
    ui.horizontal_top(|ui| {
        let galley = judged(ui, theme, row);
        let colour = row.mark.colour(theme);
        let (at, _) = ui.allocate_exact_size(vec2(11.0, galley.size().y.max(18.0)), Sense::hover());
        sign(ui.painter(), at.left_top() + vec2(5.0, 8.0), row.mark, colour);
        let says = rich(&row.judged).font(plain(13.0)).color(colour);
        let response = ui.add(egui::Label::new(galley).selectable(false));
        response.on_hover_text(says);
    });
    buttons_ui(ui, theme, view, (row_idx, row), actions);
}

/// A control with its positions.
fn moment_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &GridView,
    (row, moment_idx): (&RowView, usize),
    actions: &mut Vec<Action>,
) {
    let Some(moment) = row.when.get(moment_idx) else { return };
    let text = format!("{} {}", moment.control, moment.positions.join(" or "));
    let response = small_button(ui, theme, &text, theme.ink);
    response.widget_info(|| {
        let name = SettingWords::setting_of(&text, &row.says);
        egui::WidgetInfo::labeled(egui::Role::Button, true, name)
    });
    let popup = egui::Popup::menu(&response);
    popup.close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        let known = view.controls.iter().find(|(name, ..)| *name == moment.control);
        let set = |moment: Option<Moment>| {
            let mut when = row.when.clone();
            match moment {
                Some(moment) => when[moment_idx] = moment,
                None => drop(when.remove(moment_idx)),
            }
            Action::Grid(GridStep::When(row.row, when))
        };
        for position in known.map_or(&moment.positions, |(_, positions, _)| positions) {
            let mut is_in = moment.positions.contains(position);
            // The last one stays: a control that may stand anywhere is left out instead.
            let is_last = is_in && moment.positions.len() == 1;
            let text = rich(position).font(plain(14.0)).color(theme.ink);
            let tick = egui::Checkbox::new(&mut is_in, text);
            if ui.add_enabled(!is_last, tick).changed() {
                let all = known.map_or(&moment.positions, |(_, positions, _)| positions);
                let is_meant = |name: &&String| {
                    if *name == position { is_in } else { moment.positions.contains(name) }
                };
                let positions = all.iter().filter(is_meant).cloned().collect();
                let control = moment.control.clone();
                actions.push(set(Some(Moment { control, positions })));
            }
        }
        ui.separator();
        if word_button(ui, SettingWords::may_stand_anywhere(), theme.ink).clicked() {
            actions.push(set(None));
            ui.close();
        }
    });
    response.on_hover_text(format!("{text}\n{}", SettingWords::click_chooses()));
}

/// What else there is to do with a row.
fn buttons_ui(
    ui: &mut Ui,
    theme: &Theme,
    view: &GridView,
    (row_idx, row): (usize, &RowView),
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        ui.spacing_mut().button_padding.x = 3.0;
        if let Some(id) = row.shown {
            let response = word_button(ui, SettingWords::show_me(), theme.danger);
            if response.clicked() {
                actions.push(Action::Grid(GridStep::ShowMe(id)));
            }
            let tip = SettingWords::goes_to_try_and_puts_the();
            response.on_hover_text(tip).accessible_name(SettingWords::show_me_2(&row.says));
        }
        let response = word_button(ui, SettingWords::control(), theme.ink);
        controls_popup(&response, theme, view, row, actions);
        let response = response.on_hover_text(SettingWords::another_control_that_must_stand_so());
        response.accessible_name(SettingWords::add_a_control_to(&row.says));
        if !view.fuses.is_empty() {
            let response = word_button(ui, SettingWords::fuse_out(), theme.ink);
            fuses_popup(&response, theme, view, (row_idx, row), actions);
            let response = response.on_hover_text(SettingWords::it_must_hold_with_any_one());
            response.accessible_name(SettingWords::fuses_out_of(&row.says));
        }
        let response = word_button(ui, SettingWords::remove(), theme.muted);
        if response.clicked() {
            actions.push(Action::Grid(GridStep::DropRow(row.row)));
        }
        response.accessible_name(SettingWords::remove_the_promise(&row.says));
    });
}

/// The controls that do not matter yet; one that is chosen gets the position in which it stands in Try.
fn controls_popup(
    response: &egui::Response,
    theme: &Theme,
    view: &GridView,
    row: &RowView,
    actions: &mut Vec<Action>,
) {
    egui::Popup::menu(response).show(|ui| {
        let is_free = |name: &str| !row.when.iter().any(|moment| moment.control == name);
        let mut has_any = false;
        for (name, _, stands) in view.controls.iter().filter(|(name, ..)| is_free(name)) {
            has_any = true;
            let text = format!("{name} {stands}");
            if ui.button(rich(text).font(plain(14.0)).color(theme.ink)).clicked() {
                let moment = Moment { control: name.clone(), positions: vec![stands.clone()] };
                let when = row.when.iter().cloned().chain([moment]).collect();
                actions.push(Action::Grid(GridStep::When(row.row, when)));
            }
        }
        if !has_any {
            let text = rich(SettingWords::every_control_is_named()).font(plain(14.0));
            ui.label(text.color(theme.muted));
        }
    });
}

fn fuses_popup(
    response: &egui::Response,
    theme: &Theme,
    view: &GridView,
    (row_idx, row): (usize, &RowView),
    actions: &mut Vec<Action>,
) {
    // By its row: with the first fuse, a line comes in above the button, and its own id is another.
    let id = egui::Id::unique((SettingWords::fuses_out(), row_idx));
    let popup = egui::Popup::menu(response).id(id);
    popup.close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
        let head = SettingWords::it_must_hold_with_any_one_2();
        ui.label(rich(head).font(semibold(13.0)).color(theme.muted));
        egui::ScrollArea::vertical().max_height(240.0).show(ui, |ui| {
            for (way, name) in &view.fuses {
                let mut is_out = row.without.contains(way);
                let text = rich(name).font(plain(14.0)).color(theme.ink);
                if ui.checkbox(&mut is_out, text).changed() {
                    actions.push(Action::Grid(GridStep::Fuse(row.row, way.clone(), is_out)));
                }
            }
        });
    });
}

/// The button below the last row.
pub(super) fn add_ui(ui: &mut Ui, sheet: &Sheet<'_>, top: f32, actions: &mut Vec<Action>) {
    let corner = pos2(sheet.seen.left() + 9.0, sheet.origin.y + HEAD + top + 8.0);
    let rect = Rect::from_min_size(corner, vec2(LEFT - 18.0, 24.0));
    let mut piece = piece(ui, SettingWords::add_a_row(), rect, sheet.clip(Place::Settings));
    let response =
        small_button(&mut piece, sheet.theme, SettingWords::add_a_setting(), sheet.theme.ink);
    if response.clicked() {
        actions.push(Action::Grid(GridStep::AddRow));
    }
    response.on_hover_text(SettingWords::a_row_for_the_controls_as());
}
