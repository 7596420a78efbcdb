//! The switch between the car before and after the alteration, and both.

use egui::{Role, Stroke, Ui, WidgetInfo};
use loomwright_circuit::Version;

use crate::action::{Action, DeskStep};
use crate::command::{Command, key_text};
use crate::rich::rich;
use crate::state::Mode;
use crate::texts::Looking;
use crate::theme::{Theme, medium};
use crate::view::strip::StripView;

/// Switches between the car before, after, and both; on a small window by a menu.
pub(super) fn version_ui(ui: &mut Ui, theme: &Theme, view: &StripView, actions: &mut Vec<Action>) {
    // Room for undo, history and redo is left beside it.
    const OTHERS: f32 = 150.0;
    let all = [
        (Some(Version::After), Looking::after(), Looking::after_tip()),
        (None, Looking::both(), Looking::both_tip()),
        (Some(Version::Before), Looking::before(), Looking::before_tip()),
    ];
    if view.altered.is_empty() || view.mode != Mode::Draw {
        return;
    }
    let key = key_text(ui.ctx(), Command::ShowOther);
    let button = |word: &'static str, is_light: bool| {
        let (fill, colour) = if is_light {
            (theme.strip_text, theme.strip)
        } else {
            (theme.strip, theme.strip_text)
        };
        egui::Button::new(rich(word).font(medium(13.0)).color(colour))
            .fill(fill)
            .stroke(Stroke::new(1.0, theme.strip_edge))
    };
    if ui.available_width() - OTHERS < 190.0 {
        let shown = all.into_iter().find(|(version, ..)| *version == view.version);
        let word = shown.map_or("", |(_, word, _)| word);
        ui.spacing_mut().button_padding.x = 7.0;
        // Room for the sign that it is a list; light, as the button of the version in use is where all three stand.
        let menu = button(word, true).min_size(egui::vec2(76.0, 0.0));
        let menu = menu.right_text("");
        let menu = egui::containers::menu::MenuButton::from_button(menu);
        let (response, _) = menu.ui(ui, |ui| {
            for (version, word, tip) in all.into_iter().rev() {
                let is_shown = version == view.version;
                if ui.selectable_label(is_shown, word).on_hover_text(tip).clicked() {
                    actions.push(Action::Desk(DeskStep::Show(version)));
                    ui.close();
                }
            }
        });
        let tip = response.rect.right_center() - egui::vec2(12.0, -3.0);
        let points = vec![tip + egui::vec2(-4.5, -6.0), tip + egui::vec2(4.5, -6.0), tip];
        ui.painter().add(egui::Shape::convex_polygon(points, theme.strip, Stroke::NONE));
        let name = Looking::show_name(word.to_lowercase());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        response.on_hover_text(Looking::choose_tip(key));
        return;
    }
    ui.spacing_mut().item_spacing.x = 1.0;
    ui.spacing_mut().button_padding.x = 7.0;
    for (version, word, tip) in all {
        let is_shown = version == view.version;
        let response = ui.add(button(word, is_shown)).on_hover_text(format!("{tip} ({key})"));
        let name = Looking::show_name(word.to_lowercase());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_shown, &name));
        if response.clicked() {
            actions.push(Action::Desk(DeskStep::Show(version)));
        }
    }
    ui.spacing_mut().item_spacing.x = 4.0;
}
