//! Cutting a wire in two: with a joint between to tap it, or with a part cut in.

use std::collections::BTreeMap;

use super::{EditError, route};
use crate::check;
use crate::{
    Draft, End, Name, Part, PartId, PartSeen, Placement, Point, SheetId, Standing, Wire, WireId,
};

/// The part type of the joint that a tap sets.
const JOINT: &str = "joint";

impl Draft {
    pub(super) fn tap(
        &mut self,
        id: WireId,
        (sheet, at): (SheetId, Point),
        standing: Standing,
    ) -> Result<(), EditError> {
        check::point("the joint", at)?;
        self.check_cut(id, standing)?;
        let (joint, terminal) = self.set_joint(sheet, at, standing)?;
        let end = || End::terminal(joint, &terminal);
        self.part_wire(id, (at, standing), [end(), end()])
    }

    pub(super) fn cut_in(
        &mut self,
        id: WireId,
        part: Part,
        ends: &[Name; 2],
    ) -> Result<(), EditError> {
        let standing = part.standing;
        self.check_cut(id, standing)?;
        // On a copy, so that a cut which is refused half-way leaves no part behind.
        let mut draft = self.clone();
        let placed = draft.place(part)?;
        let mut new = ends.each_ref().map(|name| End::terminal(placed, name));
        let mut places = Vec::new();
        for end in &mut new {
            let place = draft.car().pos_on_sheet(&end.at);
            let kind = draft.car().type_of(placed);
            let terminal = end.at.terminal_name().and_then(|name| kind?.terminal(name));
            end.fitting = terminal.and_then(|terminal| terminal.fitting);
            places.extend(place.map(|(_, at)| at));
        }
        let [Some(a), Some(b)] = [places.first(), places.get(1)] else {
            return check::refuse("a part that is cut in needs two terminals");
        };
        draft.part_wire(id, ((*a + *b) * 0.5, standing), new)?;
        *self = draft;
        Ok(())
    }

    fn check_cut(&self, id: WireId, standing: Standing) -> Result<(), EditError> {
        let old = self.wire(id)?;
        if old.standing == Standing::ToRemove && standing == Standing::ToFit {
            return check::refuse(format!(
                "{} is to be removed; nothing can be joined to it",
                old.label
            ));
        }
        Ok(())
    }

    /// Cuts a wire at a place; its first piece then ends on the first of the new ends, and its second on the other.
    fn part_wire(
        &mut self,
        id: WireId,
        (at, standing): (Point, Standing),
        [to, from]: [End; 2],
    ) -> Result<(), EditError> {
        let old = self.wire(id)?.clone();
        let makes_pair = old.standing == Standing::AsFound && standing == Standing::ToFit;
        let [mut first, mut second] = self.halves(&old, at)?;
        first.to = to;
        second.from = from;
        for half in [&mut first, &mut second] {
            half.length = None;
            half.keeps = None;
            route::clear_unfit(self.car(), half);
        }
        second.label.clear();
        if makes_pair {
            first.label.clear();
            first.standing = standing;
            second.standing = standing;
            self.run(first)?;
            self.put_wire(id, Wire { standing: Standing::ToRemove, ..old });
        } else {
            check::wire(self.car(), &first)?;
            self.put_wire(id, first);
        }
        self.run(second).map(drop)
    }

    /// The wire twice, each with the corners on its side of the cut.
    fn halves(&self, wire: &Wire, at: Point) -> Result<[Wire; 2], EditError> {
        let [from, to] = wire.ends().map(|end| self.car().pos_on_sheet(&end.at));
        let (Some((_, from)), Some((_, to))) = (from, to) else {
            return Err(EditError::Missing(format!("end of wire {}", wire.label)));
        };
        let [before, after] = route::cut(from, &wire.route, to, at);
        let half = |route| Wire { route, ..wire.clone() };
        Ok([half(before), half(after)])
    }

    fn set_joint(
        &mut self,
        sheet: SheetId,
        at: Point,
        standing: Standing,
    ) -> Result<(PartId, String), EditError> {
        let terminal = match self.car().type_named(JOINT).and_then(|joint| joint.terminals.first())
        {
            None => return Err(EditError::UnknownType(JOINT.to_owned())),
            Some(terminal) => terminal.clone(),
        };
        let joint = Part {
            type_name: JOINT.to_owned(),
            label: String::new(),
            standing,
            sheet,
            // The joint's terminal is what lies on the wire.
            place: Placement { at: at - terminal.at, ..Placement::default() },
            facts: BTreeMap::new(),
            controls: BTreeMap::new(),
            seen: PartSeen::default(),
            roles: BTreeMap::new(),
            note: String::new(),
        };
        Ok((self.place(joint)?, terminal.name))
    }
}
