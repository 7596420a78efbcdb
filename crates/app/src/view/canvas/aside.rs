//! Where the overview stands so that nothing that is worked on comes to lie under it.

use egui::{Pos2, Rect, Vec2, pos2};
use loomwright_drawing::{Sheet as Laid, Subject};

use crate::painter::Screen;
use crate::state::State;
use crate::tool::Tool;

/// Its distance from the edges of the sheet, in screen points.
const MARGIN: f32 = 12.0;

/// The corner where it covers nothing that is selected, the bottom right where that will do; nothing while something
/// is in hand, since all of the sheet is then open to be let go on.
pub(super) fn corner(screen: &Screen, state: &State, laid: &Laid, size: Vec2) -> Option<Pos2> {
    if !matches!(state.tool, Tool::Rest | Tool::Boxing { .. } | Tool::Pressed { .. }) {
        return None;
    }
    let inner = screen.rect.shrink(MARGIN);
    let (left, right) = (inner.left(), inner.right() - size.x);
    let (top, bottom) = (inner.top(), inner.bottom() - size.y);
    let corners = [pos2(right, bottom), pos2(left, bottom), pos2(right, top), pos2(left, top)];
    let parts = laid.items.iter().filter(|item| match &item.subject {
        Subject::Part(id) => state.selection.parts.contains(id),
        Subject::Note(id) => state.selection.notes.contains(id),
        _ => false,
    });
    let areas: Vec<Rect> = parts.map(|item| screen.screen_rect(item.bounds)).collect();
    let is_free = |corner: &&Pos2| {
        let rect = Rect::from_min_size(**corner, size);
        !areas.iter().any(|area| area.intersects(rect))
    };
    Some(*corners.iter().find(is_free).unwrap_or(&corners[0]))
}
