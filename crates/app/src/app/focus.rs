//! Where the keyboard is: a ring around what has it, the same for all that can be pressed.

use egui::{Id, LayerId, Order, Stroke, StrokeKind};

use crate::theme::Theme;

/// From the edge of what has the keyboard to the ring, and how wide that is.
const BESIDE: f32 = 2.0;
const WIDTH: f32 = 2.0;

/// Paints it, `strip` being the lower edge of the strip along the top, which is dark in any theme. A field that is typed
/// into has a cursor, and needs none.
pub(super) fn ring(ctx: &egui::Context, theme: &Theme, strip: f32) {
    if ctx.text_edit_focused() {
        return;
    }
    let Some(focused) = ctx.memory(egui::Memory::focused) else { return };
    let Some(response) = ctx.read_response(focused) else { return };
    // What of it a list that is scrolled cuts off has none.
    let rect = response.interact_rect;
    if !rect.is_positive() || rect.height() > ctx.content_rect().height() / 2.0 {
        return;
    }
    let colour = if rect.center().y < strip { theme.strip_count } else { theme.selected };
    let layer = LayerId::new(Order::Tooltip, Id::unique("where the keyboard is"));
    let stroke = Stroke::new(WIDTH, colour);
    let ring = rect.expand(BESIDE).intersect(ctx.content_rect());
    ctx.layer_painter(layer).rect_stroke(ring, 4.0, stroke, StrokeKind::Middle);
}
