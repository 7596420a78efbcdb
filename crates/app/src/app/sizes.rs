//! How large things are shown, and how the width of the window is parted.

use egui::{Vec2, vec2};

use super::App;
use crate::state::Notice;
use crate::texts::StripWords;

impl App {
    /// Shows things as large as was chosen, or as there is room for; where that is less, it is said where it happens.
    pub(super) fn fit_things(&mut self, ctx: &egui::Context) {
        let chosen = self.state.settings.larger;
        let window = ctx.content_rect().size() * ctx.zoom_factor();
        let larger = size_of_things(chosen, window);
        self.state.larger = larger;
        self.state.window_size = (f64::from(window.x), f64::from(window.y));
        if (ctx.zoom_factor() - larger).abs() > 0.001 {
            ctx.set_zoom_factor(larger);
        }
        let told = (chosen > larger + 0.01).then_some(chosen);
        if told != self.told_size {
            self.told_size = told;
            let is_taken = matches!(self.state.notice, Some(Notice::Refused(_)));
            if let Some(chosen) = told.filter(|_| !is_taken) {
                let [chosen, larger] = [chosen, larger].map(percent);
                let says = StripWords::shown_smaller(chosen, larger);
                self.state.notice = Some(Notice::Said(says));
            }
        }
    }
}

/// A size of things as people choose it.
pub(crate) fn percent(factor: f32) -> String {
    loomwright_units::with_decimals(f64::from(100.0 * factor + 0.01).floor(), 0)
}

/// The widths of the panels beside the drawing in a window of such a width: from the least window on, the drawing has half
/// of it.
pub(super) fn sides(all: f32) -> (f32, f32) {
    ((all * 0.18).clamp(178.0, 230.0), (all * 0.2375).clamp(246.0, 304.0))
}

/// The canvas that a window would have at the usual size of things, which has this one where all is so much larger.
#[expect(clippy::cast_possible_truncation, reason = "a window is small")]
pub(crate) fn usual_canvas(canvas: (f64, f64), larger: f32, window: (f64, f64)) -> (f64, f64) {
    let larger = f64::from(larger);
    let (width, height) = (window.0 / larger, window.1 / larger);
    let beside = |all: f64| {
        let (left, right) = sides(all as f32);
        f64::from(left + right)
    };
    let narrower = (window.0 - beside(window.0)) - (width - beside(width));
    (canvas.0 + narrower, canvas.1 + window.1 - height)
}

/// The least window in which nothing lies over anything else, points.
const LEAST_WINDOW: Vec2 = vec2(853.0, 533.0);

/// How much larger than usual all is shown in a window of so many points at the usual size: as much as somebody chose, and
/// no more than leaves everything in reach.
fn size_of_things(chosen: f32, window: Vec2) -> f32 {
    // A settings file may hold anything.
    let chosen = if chosen.is_finite() { chosen.clamp(0.75, 3.0) } else { 1.0 };
    let most = (window / LEAST_WINDOW).min_elem().max(1.0);
    chosen.min(most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_drawing_keeps_half_of_the_window_however_large_things_are_shown() {
        for window in [vec2(900.0, 600.0), vec2(1280.0, 800.0), vec2(1920.0, 1080.0)] {
            for chosen in [1.0, 1.25, 1.5, 2.0] {
                let all = window.x / size_of_things(chosen, window);
                let (left, right) = sides(all);
                assert!(left + right <= all * 0.5, "{left} and {right} of {all}");
            }
        }
    }

    #[test]
    fn things_are_shown_no_larger_than_the_window_has_room_for() {
        for (chosen, window, shown) in [
            (1.0, vec2(1280.0, 800.0), 1.0),
            (1.5, vec2(1280.0, 800.0), 1.5),
            (2.0, vec2(1280.0, 800.0), 1280.0 / 853.0),
            (2.0, vec2(1920.0, 1080.0), 2.0),
            (2.0, vec2(600.0, 400.0), 1.0),
            (0.8, vec2(600.0, 400.0), 0.8),
            (f32::NAN, vec2(1280.0, 800.0), 1.0),
        ] {
            let found = size_of_things(chosen, window);
            assert!((found - shown).abs() < 0.001, "{chosen} in {window}: {found}");
        }
    }
}
