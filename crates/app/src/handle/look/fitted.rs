//! Where the window looks to show all of a sheet, its letters as large as a screen shows them.

use egui::{Pos2, Rect, vec2};
use loomwright_circuit::{Box2, Point};
use loomwright_drawing::{Item, Sheet as Laid, Subject};

use crate::app::usual_canvas;
use crate::painter::{Screen, legible, lettered};
use crate::state::{Camera, State};

/// From farther off letters are larger on the sheet; so often the view is widened for them.
const ROUNDS: usize = 3;

/// A sheet is shown no smaller for it that all else is larger, up to so much of its full size; where it is small at the
/// usual size as well, so large that all of its letters are read.
const PLAIN: f64 = 0.9;
const READ: f64 = 0.72;
/// No sheet is shown so much larger for that than at the usual size: of that one, the whole is what is looked for.
const MOST_MORE: f64 = 1.5;
/// Nor is its end cut off for letters that are hardly larger and read anyway: from this share of that size on, all of it is
/// shown.
const NEARLY: f64 = 0.85;
/// Room around a sheet that is seen from its beginning, mm.
const AROUND: f64 = 6.0;

/// The view of all of a sheet; where things are shown larger and its letters would be smaller for that, the view of its
/// beginning.
pub(super) fn fitted(laid: &Laid, state: &State) -> Camera {
    let (canvas, larger) = (state.canvas_size, state.larger);
    let camera = whole(laid, canvas, larger);
    let area = stays(laid).map(|item| item.bounds).reduce(Box2::union);
    let Some(area) = area.filter(|_| larger > 1.0) else { return camera };
    let usual = whole(laid, usual_canvas(canvas, larger, state.window_size), 1.0);
    let usual = usual.scale / Camera::FULL_SIZE;
    let read = if usual * MOST_MORE > READ { READ } else { 0.0 };
    let wanted = usual.max(read).min(PLAIN);
    let enough = wanted.min(READ.max(NEARLY * wanted));
    let [scale, enough] = [wanted, enough].map(|it| it * Camera::FULL_SIZE / f64::from(larger));
    if enough <= camera.scale {
        return camera;
    }
    let seen = Point::new(canvas.0, canvas.1) * (1.0 / scale);
    let area = area.grown(AROUND);
    let along = |room: f64, least: f64, most: f64| {
        if room < most - least { least + room / 2.0 } else { f64::midpoint(least, most) }
    };
    let x = along(seen.x, area.min.x, area.max.x);
    Camera { centre: Point::new(x, along(seen.y, area.min.y, area.max.y)), scale }
}

/// The view of all of a sheet on a canvas of this many screen points, where everything is shown so much larger than usual.
pub(super) fn whole(laid: &Laid, canvas: (f64, f64), larger: f32) -> Camera {
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

/// Whether something that is written on a sheet leaves the view in which it was fitted.
pub(crate) fn fits_no_more(laid: &Laid, state: &State) -> bool {
    let camera = state.camera();
    !shows_all(laid, (camera, state.larger), state.canvas_size) && fitted(laid, state) != camera
}

/// Whether all that is written on a sheet is in such a view.
fn shows_all(laid: &Laid, (camera, larger): (Camera, f32), canvas: (f64, f64)) -> bool {
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
    use loomwright_drawing::{Live, LiveWire, Options, Rank, lay_out};

    use super::*;
    use crate::demo::{DEMOS, car};
    use crate::state::Document;
    use crate::store::Settings;

    /// Heights of the strip, the tabs and the line along the bottom, and of the bench of Try, points.
    const ABOVE_AND_BELOW: f64 = 110.0;
    const BENCH: f64 = 122.0;

    /// What a rank's capitals are drawn high, mm.
    const DRAWN: [(Rank, f64); 4] =
        [(Rank::Name, 2.5), (Rank::Wire, 2.5), (Rank::Amps, 2.2), (Rank::Terminal, 1.9)];

    /// How high letters are on a window, pixels, with the pixels for each mm.
    fn pixels(laid: &Laid, window: (f64, f64), larger: f32) -> (Vec<Option<f64>>, f64) {
        let mut state = State::new(Document::new(car(0), None), Settings::default());
        let factor = f64::from(larger);
        let height = window.1 / factor - ABOVE_AND_BELOW - BENCH;
        // What is left between the panels is at least half of the window.
        let width = window.0 / factor;
        let beside = (width * 0.18).clamp(178.0, 230.0) + (width * 0.2375).clamp(246.0, 304.0);
        (state.larger, state.window_size) = (larger, window);
        state.canvas_size = (width - beside, height);
        let camera = fitted(laid, &state);
        let legible = legible(&Screen::new(Rect::ZERO, camera).larger(larger), laid);
        let scale = camera.scale * factor;
        let high = DRAWN.map(|(rank, mm)| Some(legible.times(rank)? * mm * scale));
        (high.to_vec(), scale)
    }

    #[test]
    fn no_letters_shrink_below_what_is_read_where_all_is_shown_larger() {
        const READ_FROM: f64 = 5.1;
        let (mut n_looked, mut shrunk, mut n_whole) = (0, Vec::new(), 0);
        for demo_idx in 0..DEMOS.len() {
            let car = car(demo_idx);
            let flows =
                |id| (id, LiveWire { amps: [3.5; 2], is_live: true, ..LiveWire::default() });
            let wires = car.wires().keys().copied().map(flows).collect();
            let live = Some(Live { wires, ..Live::default() });
            let options =
                Options { has_heading: true, is_for_screen: true, live, ..Options::default() };
            for id in car.sheets().keys() {
                let laid = lay_out(&car, *id, &options);
                for (window, larger) in [
                    ((1280.0, 800.0), 1.25),
                    ((1280.0, 800.0), 1.5),
                    ((1440.0, 900.0), 1.5),
                    ((1920.0, 1080.0), 1.5),
                    ((1920.0, 1080.0), 2.0),
                ] {
                    let (usual, _) = pixels(&laid, window, 1.0);
                    let (high, scale) = pixels(&laid, window, larger);
                    n_whole += usize::from(scale > PLAIN * Camera::FULL_SIZE);
                    for ((usual, high), (rank, _)) in usual.iter().zip(&high).zip(DRAWN) {
                        let Some(usual) = usual else { continue };
                        n_looked += 1;
                        if high.is_none_or(|high| high < usual.min(READ_FROM) - 1e-6) {
                            let on = format!("demo {demo_idx}, {id} at {window:?}, {larger}");
                            shrunk.push(format!("{on}: {rank:?} {usual:?} to {high:?}"));
                        }
                    }
                }
            }
        }
        assert!(n_looked > 200 && n_whole > 5, "{n_looked} {n_whole}");
        assert!(shrunk.is_empty(), "{}:\n{}", shrunk.len(), shrunk.join("\n"));
    }

    #[test]
    fn a_whole_sheet_is_not_blown_up_on_a_large_screen() {
        let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
        for demo_idx in 0..DEMOS.len() {
            let car = car(demo_idx);
            for sheet in car.sheets().keys() {
                let laid = lay_out(&car, *sheet, &options);
                let scale = whole(&laid, (1386.0, 970.0), 1.0).scale / Camera::FULL_SIZE;
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
                    let camera = whole(&laid, canvas, 1.0);
                    let shown = shows_all(&laid, (camera, 1.0), canvas);
                    assert!(shown, "demo {demo_idx}, {sheet:?}, {canvas:?}");
                }
            }
        }
    }
}
