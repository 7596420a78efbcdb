//! Edits of parts: placing, rewriting, moving, turning and mirroring.

use std::collections::BTreeSet;

use super::EditError;
use super::label::trimmed;
use crate::check;
use crate::{Box2, Car, Draft, Part, PartId, Placement, Point, Row, RowId, Turn};

/// Pitch of the grid on which terminals lie, mm.
const GRID_MM: f64 = 2.5;

impl Draft {
    pub(super) fn place(&mut self, mut part: Part) -> Result<PartId, EditError> {
        let Some(part_type) = self.car().type_named(&part.type_name) else {
            return Err(EditError::UnknownType(part.type_name));
        };
        part.label = trimmed(&part.label);
        if part.label.is_empty() {
            part.label = self.car().next_part_label(&part_type.stem);
        }
        tidy_controls(&mut part);
        self.car().canonical_roles(&mut part);
        check::part(self.car(), &part)?;
        check::part_label(self.car(), &part.label, None)?;
        let id = PartId(self.new_id()?);
        self.put_part(id, part);
        Ok(id)
    }

    pub(super) fn set_part(&mut self, id: PartId, mut part: Part) -> Result<(), EditError> {
        let old = self.part(id)?.clone();
        part.label = trimmed(&part.label);
        tidy_controls(&mut part);
        self.car().canonical_roles(&mut part);
        check::part(self.car(), &part)?;
        check::part_label(self.car(), &part.label, Some(id))?;
        if part.type_name != old.type_name {
            self.check_joined_terminals(id, &part)?;
        }
        let renamed = renamed_controls(self.car(), &old, &part);
        let drawn = self.drawn_at(&[id].into());
        self.put_part(id, part);
        self.rename_controls(&renamed);
        // A wire from the part to itself follows at both ends.
        self.follow_at(&drawn, &BTreeSet::new());
        self.clear_unfit_at(&[id].into());
        Ok(())
    }

    /// Whether every terminal that wires and promises use is on the part in its new form.
    fn check_joined_terminals(&self, id: PartId, part: &Part) -> Result<(), EditError> {
        let Some(part_type) = self.car().type_named(&part.type_name) else { return Ok(()) };
        check_used_terminals(self.car(), id, &part.label, |name| part_type.terminal(name).is_some())
    }

    /// Lets promises follow a control's new name, unless other parts still work one of the old name.
    fn rename_controls(&mut self, renamed: &[(String, String)]) {
        let names: BTreeSet<String> =
            self.car().controls().into_iter().map(|control| control.name).collect();
        for (old, new) in renamed.iter().filter(|(old, _)| !names.contains(old)) {
            let promises: Vec<_> = self
                .car()
                .promises()
                .iter()
                .filter(|(_, promise)| promise.when.iter().any(|moment| moment.control == *old))
                .map(|(id, promise)| (*id, promise.clone()))
                .collect();
            for (id, mut promise) in promises {
                for moment in promise.when.iter_mut().filter(|moment| moment.control == *old) {
                    moment.control.clone_from(new);
                }
                self.put(RowId::Promise(id), Some(Row::Promise(promise)));
            }
        }
    }

    pub(super) fn shift(&mut self, parts: &[PartId], by: Point) -> Result<(), EditError> {
        check::point("the move", by)?;
        self.carry(parts, |place| Placement { at: place.at + by, ..place }, |point| point + by)
    }

    pub(super) fn turn(&mut self, parts: &[PartId]) -> Result<(), EditError> {
        let Some(middle) = self.pivot(parts)? else { return Ok(()) };
        let quarter = |point: Point| {
            let from_middle = point - middle;
            middle + Point::new(-from_middle.y, from_middle.x)
        };
        let carry = |place: Placement| Placement {
            at: quarter(place.at),
            turn: place.turn.next(),
            ..place
        };
        self.carry(parts, carry, quarter)
    }

    pub(super) fn mirror(&mut self, parts: &[PartId]) -> Result<(), EditError> {
        let Some((first, middle)) = self.middle(parts)? else { return Ok(()) };
        // A mirror line half-way between two grid lines keeps the grid too; one part keeps its own place.
        let line = if middle == first.at { middle.x } else { snap(middle.x, GRID_MM / 2.0) };
        let flip = |point: Point| Point::new(2.0 * line - point.x, point.y);
        let carry = |place: Placement| Placement {
            at: flip(place.at),
            // A placement mirrors before it turns, so that the turn goes the other way round.
            turn: match place.turn {
                Turn::Quarter => Turn::ThreeQuarters,
                Turn::ThreeQuarters => Turn::Quarter,
                turn => turn,
            },
            mirror: !place.mirror,
        };
        self.carry(parts, carry, flip)
    }

    /// The point about which parts turn: one part's own origin, or a grid point at the middle of several.
    fn pivot(&self, parts: &[PartId]) -> Result<Option<Point>, EditError> {
        let Some((first, centre)) = self.middle(parts)? else { return Ok(None) };
        // Snapped in the frame of the first part, so that the choice between two equally near grid points turns
        // along, and four quarter turns come home.
        let frame = Placement { at: Point::default(), turn: first.turn, mirror: false };
        let unturned = Placement { turn: inverse(first.turn), ..frame };
        let in_frame = unturned.sheet_from_symbol(centre);
        let snapped = Point::new(snap(in_frame.x, GRID_MM), snap(in_frame.y, GRID_MM));
        Ok(Some(frame.sheet_from_symbol(snapped)))
    }

    /// The first part's place, and the middle of all: one part's own origin, or the middle of several's terminals.
    fn middle(&self, parts: &[PartId]) -> Result<Option<(Placement, Point)>, EditError> {
        let parts: BTreeSet<PartId> = parts.iter().copied().collect();
        let Some(first) = parts.first() else { return Ok(None) };
        let first = self.part(*first)?.place;
        if parts.len() == 1 {
            return Ok(Some((first, first.at)));
        }
        let mut extent = Vec::new();
        for id in &parts {
            extent.extend(grid_points(self.car(), self.part(*id)?));
        }
        Ok(Some((first, Box2::around(extent).map_or(first.at, Box2::centre))))
    }

    fn carry(
        &mut self,
        parts: &[PartId],
        carry: impl Fn(Placement) -> Placement,
        carry_point: impl Fn(Point) -> Point,
    ) -> Result<(), EditError> {
        let parts: BTreeSet<PartId> = parts.iter().copied().collect();
        let mut carried = Vec::new();
        for id in &parts {
            let mut part = self.part(*id)?.clone();
            part.place = carry(part.place);
            check::point(&part.label, part.place.at)?;
            carried.push((*id, part));
        }
        let drawn = self.drawn_at(&parts);
        for (id, part) in carried {
            self.put_part(id, part);
        }
        self.follow_at(&drawn, &parts);
        self.carry_routes(&parts, carry_point);
        self.clear_unfit_at(&parts);
        Ok(())
    }
}

/// Refuses a change after which a terminal that wires or promises use would be gone.
pub(super) fn check_used_terminals(
    car: &Car,
    id: PartId,
    label: &str,
    is_there: impl Fn(&str) -> bool,
) -> Result<(), EditError> {
    let ends = car.wires().values().flat_map(|wire| wire.ends()).filter_map(|end| match &end.at {
        crate::Anchor::Terminal { part, terminal } if *part == id => Some(terminal),
        _ => None,
    });
    let claims = car.promises().values().flat_map(|promise| &promise.then);
    let claimed =
        claims.filter(|claim| claim.part == id).filter_map(|claim| claim.terminal.as_ref());
    let outs = car.promises().values().flat_map(|promise| &promise.without);
    let outs = outs.filter(|way| way.part == id).filter_map(|way| way.terminal.as_ref());
    match ends.chain(claimed).chain(outs).find(|name| !is_there(name)) {
        None => Ok(()),
        Some(name) => {
            Err(EditError::UnknownTerminal { part: label.to_owned(), terminal: name.clone() })
        }
    }
}

/// The nearest multiple of the pitch; of two equally near, the greater one wherever they lie.
fn snap(value: f64, pitch: f64) -> f64 {
    (value / pitch + 0.5).floor() * pitch
}

fn inverse(turn: Turn) -> Turn {
    match turn {
        Turn::Quarter => Turn::ThreeQuarters,
        Turn::ThreeQuarters => Turn::Quarter,
        turn => turn,
    }
}

fn tidy_controls(part: &mut Part) {
    for name in part.controls.values_mut() {
        *name = trimmed(name);
    }
    part.controls.retain(|_, name| !name.is_empty());
}

/// Names of controls before and after, where they differ.
fn renamed_controls(car: &Car, old: &Part, new: &Part) -> Vec<(String, String)> {
    let types = car.type_named(&old.type_name).zip(car.type_named(&new.type_name));
    let Some((old_type, new_type)) = types else { return Vec::new() };
    old_type
        .controls
        .iter()
        .filter(|control| new_type.control(&control.key).is_some())
        .map(|control| (old.control(old_type, &control.key), new.control(new_type, &control.key)))
        .filter(|(old, new)| old != new)
        .map(|(old, new)| (old.to_owned(), new.to_owned()))
        .collect()
}

/// The points of a part that lie on the grid: its origin and its terminals.
fn grid_points(car: &Car, part: &Part) -> Vec<Point> {
    let terminals = car.type_named(&part.type_name).map_or(&[][..], |row| &row.terminals);
    std::iter::once(Point::default())
        .chain(terminals.iter().map(|terminal| terminal.at))
        .map(|point| part.place.sheet_from_symbol(point))
        .collect()
}
