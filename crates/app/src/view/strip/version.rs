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
use crate::view::widgets::choice_width;

fn all() -> [(Option<Version>, &'static str, &'static str); 3] {
    [
        (Some(Version::After), Looking::after(), Looking::after_tip()),
        (None, Looking::both(), Looking::both_tip()),
        (Some(Version::Before), Looking::before(), Looking::before_tip()),
    ]
}

/// What lies at both sides of a word.
const PADDING: f32 = 6.0;

/// Whether there is anything to choose.
fn is_there(view: &StripView) -> bool {
    !view.altered.is_empty() && view.mode == Mode::Draw
}

/// The width of them all.
pub(super) fn width(ui: &Ui, view: &StripView) -> f32 {
    let words = all().map(|(_, word, _)| word);
    if is_there(view) { choice_width(ui, &words, PADDING) } else { 0.0 }
}

/// Switches between the car before, after, and both.
pub(super) fn version_ui(ui: &mut Ui, theme: &Theme, view: &StripView, actions: &mut Vec<Action>) {
    if !is_there(view) {
        return;
    }
    let key = key_text(ui.ctx(), Command::ShowOther);
    let spacing = ui.spacing().clone();
    ui.spacing_mut().item_spacing.x = 1.0;
    ui.spacing_mut().button_padding.x = PADDING;
    for (version, word, tip) in all() {
        let is_shown = version == view.version;
        let (fill, colour) = if is_shown {
            (theme.strip_text, theme.strip)
        } else {
            (theme.strip, theme.strip_text)
        };
        let button = egui::Button::new(rich(word).font(medium(13.0)).color(colour))
            .fill(fill)
            .stroke(Stroke::new(1.0, theme.strip_edge));
        let response = ui.add(button).on_hover_text(format!("{tip} ({key})"));
        let name = Looking::show_name(word.to_lowercase());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_shown, &name));
        if response.clicked() {
            actions.push(Action::Desk(DeskStep::Show(version)));
        }
    }
    *ui.spacing_mut() = spacing;
}
