//! The frame around what is selected: it is left open where letters stand, so that it goes through none.

use egui::{CornerRadius, Painter, Pos2, Rangef, Rect, Stroke, StrokeKind, pos2};
use loomwright_circuit::Box2;
use loomwright_drawing::Sheet as Laid;

use crate::painter::{Screen, legible, lettered};

/// Around more than so many, nobody reads the names, and frames go through them.
pub(super) const MOST: usize = 60;

/// How far off items are looked at, mm: their letters may have moved aside.
const NEAR: f64 = 20.0;

/// How far it keeps from letters, screen points.
const CLEAR: f32 = 1.5;

/// The letters that stand at the edge of an area of a sheet.
pub(super) fn letters_at(screen: &Screen, laid: &Laid, area: Box2) -> Vec<Rect> {
    let frame = screen.screen_rect(area);
    let legible = legible(screen, laid);
    // Letters that moved aside may stand off what else is of their item.
    let near = laid.items_in(area.grown(NEAR)).flat_map(|item| lettered(&legible, item));
    let rects = near.map(|letters| screen.screen_rect(letters).expand(CLEAR));
    rects.filter(|rect| rect.intersects(frame) && !frame.contains_rect(*rect)).collect()
}

/// Paints it.
pub(super) fn frame(painter: &Painter, rect: Rect, letters: &[Rect], stroke: Stroke) {
    if letters.is_empty() {
        painter.rect_stroke(rect, CornerRadius::same(4), stroke, StrokeKind::Middle);
        return;
    }
    for side in sides(rect, letters) {
        painter.line_segment(side, stroke);
    }
}

/// The pieces of its four sides.
fn sides(rect: Rect, letters: &[Rect]) -> Vec<[Pos2; 2]> {
    let mut pieces = Vec::new();
    for y in [rect.top(), rect.bottom()] {
        let across = letters.iter().filter(|letters| letters.y_range().contains(y));
        let open = across.map(|letters| letters.x_range()).collect();
        let whole = without(rect.x_range(), open).into_iter();
        pieces.extend(whole.map(|piece| [pos2(piece.min, y), pos2(piece.max, y)]));
    }
    for x in [rect.left(), rect.right()] {
        let across = letters.iter().filter(|letters| letters.x_range().contains(x));
        let open = across.map(|letters| letters.y_range()).collect();
        let whole = without(rect.y_range(), open).into_iter();
        pieces.extend(whole.map(|piece| [pos2(x, piece.min), pos2(x, piece.max)]));
    }
    pieces
}

/// What is left of a stretch without those that are open.
fn without(stretch: Rangef, mut open: Vec<Rangef>) -> Vec<Rangef> {
    open.sort_by(|a, b| a.min.total_cmp(&b.min));
    let mut pieces = Vec::new();
    let mut from = stretch.min;
    for gap in open {
        if gap.min > from {
            pieces.push(Rangef::new(from, gap.min.min(stretch.max)));
        }
        from = from.max(gap.max);
    }
    if from < stretch.max {
        pieces.push(Rangef::new(from, stretch.max));
    }
    pieces.retain(|piece| piece.span() > 0.0);
    pieces
}

#[cfg(test)]
mod tests {
    use egui::vec2;

    use super::*;

    #[test]
    fn a_side_is_open_where_letters_stand_and_whole_elsewhere() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(100.0, 50.0));
        assert_eq!(sides(rect, &[]).len(), 4);
        let name = Rect::from_min_max(pos2(40.0, -6.0), pos2(70.0, 4.0));
        let top: Vec<_> = sides(rect, &[name])
            .into_iter()
            .filter(|side| side[0].y == 0.0 && side[1].y == 0.0)
            .collect();
        let expected = [[pos2(0.0, 0.0), pos2(40.0, 0.0)], [pos2(70.0, 0.0), pos2(100.0, 0.0)]];
        assert_eq!(top, expected);
        // One that goes round a corner.
        let corner = Rect::from_min_max(pos2(90.0, 40.0), pos2(120.0, 60.0));
        assert!(sides(rect, &[corner]).contains(&[pos2(0.0, 50.0), pos2(90.0, 50.0)]));
        assert!(sides(rect, &[corner]).contains(&[pos2(100.0, 0.0), pos2(100.0, 40.0)]));
    }
}
