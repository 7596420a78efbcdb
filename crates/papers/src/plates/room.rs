//! Room made on a crowded sheet for its page.

use loomwright_circuit::{Car, Edit};
use loomwright_drawing::{room_on, stretch};

use super::fit::{Drawer, Fit, LEAST_OF_ONE_CIRCUIT, PADDING};

/// So often is room made for what a sheet as it was drawn has none for; a larger sheet stands smaller on its page, and
/// then asks for larger letters.
const MOST_ROOMS: usize = 3;
/// A crowded sheet is drawn out over the empty part of its page by no less and no more.
const STRETCH: [f64; 2] = [1.1, 1.6];

impl Drawer<'_> {
    /// The best way to put a crowded sheet on paper once room is made on it: whole, where that can be read then. On one
    /// that is too large for that, room is made only where something is covered.
    pub(super) fn with_room(&self, car: &Car, as_drawn: &Fit, whole: Option<Fit>) -> Fit {
        let is_whole = whole.is_some();
        if !is_whole && as_drawn.harm[0] == 0 {
            return as_drawn.clone();
        }
        let mut best = whole.unwrap_or_else(|| as_drawn.clone());
        let mut roomy = car.clone();
        if let Some(slack) = slack(&best)
            && let Some((car, fit)) = self.after(&roomy, stretch(&roomy, self.id, slack), is_whole)
            && worth(&fit) < worth(&best)
        {
            (roomy, best) = (car, fit);
        }
        for _ in 0..MOST_ROOMS {
            if worth(&best)[..3] == [0; 3] {
                break;
            }
            // Room is made for numbers as high as they should be.
            let (flags, at_both_ends) = best.lettering;
            let flags = if best.is_low() { flags.max(LEAST_OF_ONE_CIRCUIT) } else { flags };
            let drawing = self.drawing((flags, at_both_ends), best.scale);
            let edit = room_on(&roomy, self.id, &drawing);
            let Some((car, fit)) = edit.and_then(|edit| self.after(&roomy, edit, is_whole)) else {
                break;
            };
            if worth(&fit)[..3] >= worth(&best)[..3] {
                break;
            }
            (roomy, best) = (car, fit);
        }
        if as_drawn.is_whole() || !is_whole || best.harm[0] == 0 { best } else { as_drawn.clone() }
    }

    /// The car after an edit, with its sheet on paper, whole where that is asked for; nothing where it no longer is.
    fn after(&self, car: &Car, edit: Edit, is_whole: bool) -> Option<(Car, Fit)> {
        let patch = car.plan(edit).ok()?;
        let mut car = car.clone();
        car.apply(&patch);
        let (any, whole) = self.fit(&car);
        let fit = if is_whole { whole? } else { any };
        Some((car, fit))
    }
}

/// What decides between two ways to put a sheet on a page, the better one less.
fn worth(fit: &Fit) -> [usize; 4] {
    let [covered, in_the_way, crowded] = fit.harm;
    [covered, usize::from(fit.is_low()), in_the_way, crowded]
}

/// How far a sheet could be drawn out across and down its page; nothing where that is full, or several pages.
fn slack(fit: &Fit) -> Option<[f64; 2]> {
    let bounds = fit.sheet.bounds.filter(|_| fit.is_whole())?;
    let times = |frame: f64, side: f64| {
        let times = (frame - 2.0 * PADDING) / (side.max(1.0) * fit.scale);
        if times < STRETCH[0] { 1.0 } else { times.min(STRETCH[1]) }
    };
    let slack = [times(fit.frame[0], bounds.width()), times(fit.frame[1], bounds.height())];
    (slack != [1.0, 1.0]).then_some(slack)
}
