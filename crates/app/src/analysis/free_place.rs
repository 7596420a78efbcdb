//! Free places on a sheet for what comes new, clear of all that is drawn there.

use loomwright_circuit::{Box2, Car, Edit, Patch, Point, Row, SheetId};
use loomwright_drawing::{Options, Sheet as Laid, Subject, lay_out_again, well_placed};

use super::Analysis;
use crate::state::State;

impl Analysis {
    /// How far the new parts of an edit must be shifted to stand clear of all that is drawn on a sheet, lettering and
    /// wires included; nothing where no place near is free.
    pub(crate) fn free_shift(
        &mut self,
        state: &State,
        sheet: SheetId,
        edit: &Edit,
    ) -> Option<Point> {
        let laid = self.laid(state, sheet);
        let patch = state.car().plan(edit.clone()).ok()?;
        let mut after = state.car().clone();
        after.apply(&patch);
        let options = Options { has_heading: true, is_for_screen: true, ..Options::default() };
        let drawn = lay_out_again(&after, sheet, &options, &laid);
        let area = area_of_new(state.car(), &drawn)?.grown(2.5);
        let is_free = |by: &Point| is_clear(&laid, moved(area, *by));
        // Rings of places around, the nearest first.
        let rings = (0..24_i32).flat_map(|ring| {
            (-ring..=ring).flat_map(move |y| {
                (-ring..=ring)
                    .filter(move |x| x.abs().max(y.abs()) == ring)
                    .map(move |x| Point::new(f64::from(x) * 10.0, f64::from(y) * 10.0))
            })
        });
        rings.into_iter().find(is_free)
    }

    /// The edit of a fix with its new parts where they stand best: on nothing, with short leads.
    pub(crate) fn clear_of_drawing(&mut self, state: &State, edit: Edit) -> Edit {
        let Some(sheet) =
            state.car().plan(edit.clone()).ok().and_then(|patch| sheet_of_new(&patch))
        else {
            return edit;
        };
        let laid = self.laid(state, sheet);
        well_placed(state.car(), sheet, edit, &laid)
    }
}

/// The sheet of the first part that comes new.
fn sheet_of_new(patch: &Patch) -> Option<SheetId> {
    patch.changes.iter().find_map(|change| match (&change.before, &change.after) {
        (None, Some(Row::Part(part))) => Some(part.sheet),
        _ => None,
    })
}

/// What new parts and notes take up, with their lettering.
fn area_of_new(car: &Car, drawn: &Laid) -> Option<Box2> {
    let areas = drawn.items.iter().filter_map(|item| match &item.subject {
        Subject::Part(id) | Subject::Label(id) if car.part(*id).is_none() => Some(item.bounds),
        Subject::Note(id) if !car.notes().contains_key(id) => Some(item.bounds),
        _ => None,
    });
    areas.reduce(Box2::union)
}

fn moved(area: Box2, by: Point) -> Box2 {
    Box2 { min: area.min + by, max: area.max + by }
}

fn is_clear(laid: &Laid, area: Box2) -> bool {
    let meets = |other: Box2| other.meets(area);
    // The box around a wire is mostly empty paper: its stretches count.
    let is_line = |subject: &Subject| matches!(subject, Subject::Wire(_) | Subject::UnderWire(_));
    !laid.items.iter().any(|item| !is_line(&item.subject) && meets(item.bounds))
        && !laid.routes.values().any(|route| {
            route.windows(2).any(|ends| Box2::around([ends[0], ends[1]]).is_some_and(meets))
        })
}
