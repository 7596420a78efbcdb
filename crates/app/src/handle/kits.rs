//! Fitting a kit: arranged by itself, pasted beside what stands, selected, and its loose ends told.

use loomwright_circuit::{Box2, Car, Clip, Edit, Point, Standing};
use loomwright_drawing::{Options, arrange, lay_out};
use loomwright_sketch::{Kit, fitted};

use crate::handle::edits::{new_rows, try_commit};
use crate::handle::{Shell, bring_into_view};
use crate::state::{Mode, Notice, State};
use crate::texts::KitSteps;
use crate::tool::{PITCH, Tool, begun_small};

/// Room between what stands and a kit, mm.
const GAP: f64 = 25.0;

/// Fits a kit, as one step; why it cannot be is said in the bottom strip.
pub(super) fn fit(state: &mut State, shell: &mut Shell<'_>, name: &str) {
    state.mode = Mode::Draw;
    state.tool = Tool::Rest;
    let Some(kit) = Kit::named(name) else { return };
    if let Some(refusal) = kit.refusal(state.car().vehicle()) {
        state.notice = Some(Notice::Refused(refusal));
        return;
    }
    let Some((clip, area)) = arranged(kit, state.car()) else {
        let says = KitSteps::could_not_be_drawn_in_this(&kit.title);
        state.notice = Some(Notice::Refused(says));
        return;
    };
    let laid = shell.analysis.laid(state, state.sheet);
    let stands = laid.items.iter().map(|item| item.bounds).reduce(Box2::union);
    let by = stands.map_or_else(Point::default, |stands| beside(stands, area));
    let before = state.car().last_id();
    let paste = Edit::Paste { clip, sheet: state.sheet, by, standing: Standing::ToFit };
    if try_commit(state, format!("fit {}", begun_small(&kit.title)), paste).is_err() {
        return;
    }
    state.selection = new_rows(state.car(), before);
    let fitted = state.selection.clone();
    bring_into_view(state, shell, &fitted);
    state.notice = Some(Notice::Said(says(kit, state.car(), before)));
}

/// The kit as rows that stand well, and the room that they take with their lettering.
fn arranged(kit: &Kit, car: &Car) -> Option<(Clip, Box2)> {
    let mut alone = kit.car(car.vehicle()).ok()?;
    let patch = alone.plan(arrange(&alone)).ok()?;
    alone.apply(&patch);
    let sheet = *alone.sheets().keys().next()?;
    let drawn = lay_out(&alone, sheet, &Options::default());
    let area = drawn.items.iter().map(|item| item.bounds).reduce(Box2::union)?;
    Some((fitted(&alone, car), area))
}

/// How far a kit is to be shifted: to the right of what stands or below it, whichever leaves the whole nearer to the
/// shape of a sheet of paper.
fn beside(stands: Box2, area: Box2) -> Point {
    let size = |area: Box2| (area.max.x - area.min.x, area.max.y - area.min.y);
    let ((width, height), (new_width, new_height)) = (size(stands), size(area));
    // A4 and A3 lying: the square root of two (ISO 216).
    let off = |width: f64, height: f64| {
        let share = width / height.max(1.0) / std::f64::consts::SQRT_2;
        share.max(1.0 / share.max(f64::EPSILON))
    };
    let right = off(width + GAP + new_width, height.max(new_height));
    let below = off(width.max(new_width), height + GAP + new_height);
    let to = if right <= below {
        Point::new(stands.max.x + GAP, stands.min.y)
    } else {
        Point::new(stands.min.x, stands.max.y + GAP)
    };
    Point::new(to.x - area.min.x, to.y - area.min.y).snapped(PITCH)
}

/// What was fitted, and which wires wait for the car.
fn says(kit: &Kit, car: &Car, before: u32) -> String {
    let title = &kit.title;
    let loose: Vec<&str> = car
        .wires()
        .iter()
        .filter(|(id, wire)| id.0 > before && wire.ends().iter().any(|end| end.at.part().is_none()))
        .map(|(_, wire)| wire.label.as_str())
        .collect();
    match loose.split_last() {
        None => format!("{title}: fitted"),
        Some((last, [])) => KitSteps::join_the_loose_end_of_its(title, last),
        Some((last, others)) => {
            KitSteps::join_the_loose_ends_of_and(title, others.join(", "), last)
        }
    }
}
