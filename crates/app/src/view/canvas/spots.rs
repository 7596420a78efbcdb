//! Where what is meant stands on the screen, so that tips and menus stand beside it and not over it.

use egui::{Pos2, Rect, RectAlign, vec2};
use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Sheet as Laid, Subject};

use crate::painter::Screen;
use crate::tool::{Target, body, nearest_stretch};
use crate::view::beside::Spot;

/// Half the side of the square around a place that has no size of its own, in screen points: what is pointed at and
/// the arrow that points at it are both seen.
const AROUND: f32 = 16.0;

/// The greatest share of the canvas that something may take, along and down, with room left for words beside it.
const MOST: f32 = 0.7;

/// Where a target stands that is pointed at or meant at `pos`.
pub(super) fn spot(screen: &Screen, laid: &Laid, target: &Target, pos: Pos2) -> Spot {
    let at = screen.sheet_from_screen(pos);
    let here = Rect::from_center_size(pos, vec2(AROUND, AROUND) * 2.0);
    let of_item = |subject: Subject| {
        let item = laid.items.iter().find(|item| item.subject == subject)?;
        let rect = screen.screen_rect(body(item)).intersect(screen.rect);
        let has_room = rect.width() < screen.rect.width() * MOST
            || rect.height() < screen.rect.height() * MOST;
        (rect.is_positive() && has_room).then_some(rect)
    };
    let beside = |rect: Option<Rect>| Spot {
        rect: rect.map_or(here, |rect| rect.expand(3.0)),
        side: RectAlign::RIGHT_START,
    };
    match target {
        Target::Part(id) => beside(of_item(Subject::Part(*id))),
        Target::Note(id) => beside(of_item(Subject::Note(*id))),
        Target::Tag(n) => beside(of_item(Subject::Tag(*n))),
        Target::Onward(id, sheet) => beside(of_item(Subject::Continuation(*id, *sheet))),
        Target::Terminal(id, _) => {
            let part = laid.items.iter().find(|item| item.subject == Subject::Part(*id));
            let side = part.map_or(RectAlign::RIGHT_START, |part| away(part.bounds, at));
            Spot { rect: here, side }
        }
        Target::Wire(id) | Target::Loose(id, _) | Target::Plug(id, _) => {
            let route = laid.routes.get(id).map_or(&[][..], |line| line);
            let is_upright = nearest_stretch(route, at).is_some_and(|idx| {
                let run = route[idx + 1] - route[idx];
                run.y.abs() > run.x.abs()
            });
            let side = if is_upright { RectAlign::RIGHT_START } else { RectAlign::BOTTOM_START };
            Spot { rect: here, side }
        }
        // On empty paper nothing can be hidden.
        Target::Nothing => {
            Spot { rect: Rect::from_min_size(pos, vec2(0.0, 0.0)), side: RectAlign::BOTTOM_START }
        }
    }
}

/// The side of a place on the edge of a body that looks away from it.
fn away(body: Box2, at: Point) -> RectAlign {
    let out = at - body.centre();
    // As far out as the body is wide or high, so that a long body has its ends.
    let (x, y) = (out.x / body.width().max(1e-6), out.y / body.height().max(1e-6));
    match (x.abs() > y.abs(), x > 0.0, y > 0.0) {
        (true, true, _) => RectAlign::RIGHT_START,
        (true, false, _) => RectAlign::LEFT_START,
        (false, _, true) => RectAlign::BOTTOM_START,
        (false, _, false) => RectAlign::TOP_START,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_terminal_has_its_words_away_from_its_body() {
        let body = Box2 { min: Point::new(0.0, 0.0), max: Point::new(10.0, 20.0) };
        let sides = [(10.0, 12.0), (0.0, 8.0), (5.0, 20.0), (5.0, 0.0)];
        let sides = sides.map(|(x, y)| away(body, Point::new(x, y)));
        let out = [
            RectAlign::RIGHT_START,
            RectAlign::LEFT_START,
            RectAlign::BOTTOM_START,
            RectAlign::TOP_START,
        ];
        assert_eq!(sides, out);
    }
}
