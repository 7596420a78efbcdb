//! Menus and tips that stand beside what they are about, and the keyboard in a menu.

use egui::{Id, Popup, Rect, RectAlign, Response, Tooltip, Ui};

use crate::rich::rich;

/// Where something stands on the screen, and on which side of it there is room for words about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spot {
    /// Where it stands.
    pub(crate) rect: Rect,
    /// The side.
    pub(crate) side: RectAlign,
}

impl Spot {
    /// Room between it and the words about it, in screen points.
    const GAP: f32 = 4.0;

    /// A menu of it, at another side where there is no room.
    pub(crate) fn menu<'a>(&self, popup: Popup<'a>) -> Popup<'a> {
        popup.anchor(self.rect).align(self.side).gap(Self::GAP)
    }

    /// A tip of it, while the pointer rests on `response`.
    pub(crate) fn tip(&self, response: &Response, says: impl Into<String>) {
        let mut tip = Tooltip::for_enabled(response);
        tip.popup = tip.popup.anchor(self.rect).align(self.side).gap(Self::GAP);
        tip.show(|ui| ui.label(rich(says)));
    }
}

/// Below a button or a card, as lists of what it stands for hang.
pub(crate) fn below(response: &Response) -> Spot {
    Spot { rect: response.rect, side: RectAlign::BOTTOM_START }
}

/// Beside a row of a menu, so that a tip of it hides no other row.
pub(crate) fn beside_row(response: &Response) -> Spot {
    Spot { rect: response.rect.expand2(egui::vec2(8.0, 0.0)), side: RectAlign::LEFT_START }
}

/// Rows of a menu as close as they are on desktops: all of the longest is seen on a small window.
pub(crate) fn close_rows(ui: &mut Ui) {
    const ROW: f32 = 22.0;
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.spacing_mut().interact_size.y = ROW;
}

/// Lets the keyboard come to the first row of a menu that is opened by key.
pub(crate) fn give_keyboard(ui: &Ui, menu: Id) {
    ui.data_mut(|data| data.insert_temp(menu, true));
}

/// Takes the keyboard to the row that comes next, if the menu was opened by key, and as soon as it is more than measured.
pub(crate) fn take_keyboard(ui: &Ui, menu: Id) {
    if !ui.is_sizing_pass() && ui.data_mut(|data| data.remove_temp::<bool>(menu)).is_some() {
        ui.memory_mut(|memory| memory.request_focus(ui.next_auto_id()));
    }
}
