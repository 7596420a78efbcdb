//! Where the overview stands so that nothing that is worked on comes to lie under it.

use egui::{Pos2, Rect, Vec2, pos2};
use loomwright_drawing::{Sheet as Laid, Subject};

use crate::painter::Screen;
use crate::state::{Selection, State};
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
    let is_free = |corner: &&Pos2| {
        !lies_under(screen, laid, &state.selection, Rect::from_min_size(**corner, size))
    };
    Some(*corners.iter().find(is_free).unwrap_or(&corners[0]))
}

/// Whether any of these rows lies under a rectangle of the screen.
pub(super) fn lies_under(screen: &Screen, laid: &Laid, rows: &Selection, rect: Rect) -> bool {
    let covers = |area| screen.screen_rect(area).intersects(rect);
    let is_wire_under = || {
        let routes = rows.wires.iter().filter_map(|id| laid.routes.get(id));
        routes.flat_map(|route| route.windows(2)).any(|ends| {
            let [from, to] = [ends[0], ends[1]].map(|end| screen.screen_from_sheet(end));
            Rect::from_two_pos(from, to).intersects(rect)
        })
    };
    let is_part_under = || {
        // Most often nothing of them is looked for.
        let is_wanted = !(rows.parts.is_empty() && rows.notes.is_empty());
        let items = laid.items.iter().take(if is_wanted { laid.items.len() } else { 0 });
        items
            .filter(|item| match &item.subject {
                Subject::Part(id) | Subject::Label(id) => rows.parts.contains(id),
                Subject::Note(id) => rows.notes.contains(id),
                _ => false,
            })
            .any(|item| covers(item.bounds))
    };
    is_wire_under() || is_part_under()
}
