//! Where the window looks to show all of a sheet, its letters as large as a screen shows them.

use egui::{Pos2, Rect, vec2};
use loomwright_circuit::Box2;
use loomwright_drawing::{Item, Sheet as Laid, Subject};

use crate::painter::{Screen, legible, lettered};
use crate::state::Camera;

/// From farther off letters are larger on the sheet; so often the view is widened for them.
const ROUNDS: usize = 3;

/// The view of all of a sheet on a canvas of this many screen points, where everything is shown so much larger than usual.
pub(super) fn fitted(laid: &Laid, canvas: (f64, f64), larger: f32) -> Camera {
    let is_empty = laid.items.iter().all(|item| matches!(item.subject, Subject::Heading));
    let Some(mut area) = stays(laid).map(|item| item.bounds).reduce(Box2::union) else {
        return Camera::default();
    };
    if is_empty {
        return Camera::on_empty(area, canvas);
    }
    let mut camera = Camera::fitting_whole(area, canvas);
    for _ in 0..ROUNDS {
        if shows_all(laid, (camera, larger), canvas) {
            break;
        }
        area = written(laid, (camera, larger), canvas).map_or(area, |letters| area.union(letters));
        camera = Camera::fitting_whole(area, canvas);
    }
    camera
}

/// Whether all that is written on a sheet is in such a view.
pub(crate) fn shows_all(laid: &Laid, (camera, larger): (Camera, f32), canvas: (f64, f64)) -> bool {
    let seen = camera.in_view(canvas);
    let is_seen = |letters: Box2| seen.contains(letters.min) && seen.contains(letters.max);
    written(laid, (camera, larger), canvas).is_none_or(is_seen)
}

/// What of a sheet is fitted. Tags come once the car is checked, and keep inside the view by themselves: the drawing does
/// not move for them.
fn stays(laid: &Laid) -> impl Iterator<Item = &Item> {
    let items = laid.items.iter().map(|item| &**item);
    items.filter(|item| !matches!(item.subject, Subject::Tag(_)))
}

/// What the letters cover in such a view.
#[expect(clippy::cast_possible_truncation, reason = "a canvas is small")]
fn written(laid: &Laid, (camera, larger): (Camera, f32), canvas: (f64, f64)) -> Option<Box2> {
    let rect = Rect::from_min_size(Pos2::ZERO, vec2(canvas.0 as f32, canvas.1 as f32));
    let screen = Screen::new(rect, camera).larger(larger);
    let legible = legible(&screen, laid);
    stays(laid).flat_map(|item| lettered(&legible, item)).reduce(Box2::union)
}

#[cfg(test)]
mod tests {
    use loomwright_drawing::{Options, lay_out};

    use super::*;
    use crate::demo::{DEMOS, car};

    #[test]
    fn a_whole_sheet_is_not_blown_up_on_a_large_screen() {
        let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
        for demo_idx in 0..DEMOS.len() {
            let car = car(demo_idx);
            for sheet in car.sheets().keys() {
                let laid = lay_out(&car, *sheet, &options);
                let scale = fitted(&laid, (1386.0, 970.0), 1.0).scale / Camera::FULL_SIZE;
                assert!(scale <= 1.251, "demo {demo_idx}, {sheet:?}: {scale}");
            }
        }
    }

    #[test]
    fn all_that_is_written_on_a_sheet_is_in_view_at_every_size() {
        let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
        for demo_idx in 0..DEMOS.len() {
            let car = car(demo_idx);
            for sheet in car.sheets().keys() {
                let laid = lay_out(&car, *sheet, &options);
                for canvas in [(448.0, 485.0), (470.0, 378.0), (300.0, 200.0), (746.0, 690.0)] {
                    let camera = fitted(&laid, canvas, 1.0);
                    let shown = shows_all(&laid, (camera, 1.0), canvas);
                    assert!(shown, "demo {demo_idx}, {sheet:?}, {canvas:?}");
                }
            }
        }
    }
}
