//! The bar between findings and details: dragged, or moved by the arrow keys, it parts the height at the right.

use egui::{CursorIcon, Id, Key, Rangef, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::action::{Action, DeskStep};
use crate::texts::SplitWords;
use crate::theme::Theme;

/// Its height, points.
pub const HEIGHT: f32 = 9.0;

/// How the height at the right is parted, as the settings keep it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Shares {
    /// What the details have of it.
    pub details: f32,
    /// What they have while a finding is read, which then has the larger share.
    pub while_read: f32,
}

impl Default for Shares {
    fn default() -> Self {
        Self { details: 0.42, while_read: 0.36 }
    }
}

impl Shares {
    /// The share of the details, sound whatever a settings file holds.
    pub fn of(self, is_read: bool) -> f32 {
        let (share, usual) = (self.pick(is_read), Self::default().pick(is_read));
        if share.is_finite() { share.clamp(LEAST, MOST) } else { usual }
    }

    /// Sets it.
    pub fn set(&mut self, is_read: bool, share: f32) {
        *(if is_read { &mut self.while_read } else { &mut self.details }) = share;
        *self = Self { details: self.of(false), while_read: self.of(true) };
    }

    fn pick(self, is_read: bool) -> f32 {
        if is_read { self.while_read } else { self.details }
    }
}

/// Neither panel is made so small that nothing of it could be read.
const LEAST: f32 = 0.15;
const MOST: f32 = 0.85;

/// How far an arrow key moves it.
const STEP: f32 = 0.05;

/// What the toolkit knows it by.
pub(crate) fn id() -> Id {
    Id::unique("bar between details and findings")
}

/// Paints the bar at the top of the details, which have `share` of the height of `all`.
pub fn split_ui(
    ui: &mut Ui,
    theme: &Theme,
    (all, share, is_read): (Rangef, f32, bool),
    actions: &mut Vec<Action>,
) {
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), HEIGHT));
    let response = ui.interact(rect, id(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Splitter, true, SplitWords::name()));
    let is_held = response.hovered() || response.dragged() || response.has_focus();
    let (line, dots) = if is_held { (theme.muted, theme.ink) } else { (theme.edge, theme.muted) };
    let y = rect.center().y;
    ui.painter().hline(rect.x_range(), y, Stroke::new(1.0, line));
    // They stand on the panel's own ground.
    let ground = egui::Rect::from_center_size(rect.center(), vec2(26.0, 5.0));
    ui.painter().rect_filled(ground, 0.0, theme.chrome);
    // Three dots, so that it is seen that it can be taken hold of.
    for x in [-6.0, 0.0, 6.0] {
        ui.painter().circle_filled(pos2(rect.center().x + x, y), 1.6, dots);
    }
    let is_let_go = response.drag_stopped();
    let wanted = if response.double_clicked() {
        Some((Shares::default().of(is_read), true))
    } else if response.dragged() || is_let_go {
        let at = response.interact_pointer_pos();
        at.map(|at| ((all.max - at.y + HEIGHT / 2.0) / all.span(), is_let_go))
    } else {
        moved_by_key(ui, &response).map(|by| (share + by, true))
    };
    if let Some((share, is_let_go)) = wanted {
        actions.push(Action::Desk(DeskStep::Split { share, is_read, is_let_go }));
    }
    response.on_hover_cursor(CursorIcon::ResizeVertical).on_hover_text(SplitWords::tip());
}

/// How far the arrow keys move it while it has the keyboard.
fn moved_by_key(ui: &Ui, response: &egui::Response) -> Option<f32> {
    if !response.has_focus() {
        return None;
    }
    let filter = egui::EventFilter { vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let keys = [(Key::ArrowUp, STEP), (Key::ArrowDown, -STEP)];
    let pressed = |(key, by)| ui.input(|input| input.key_pressed(key)).then_some(by);
    keys.into_iter().find_map(pressed)
}
