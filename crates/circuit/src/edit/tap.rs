//! Tapping a wire: cutting it in two with a joint between.

use std::collections::BTreeMap;

use super::{EditError, route};
use crate::check;
use crate::{
    Draft, End, Part, PartId, PartSeen, Placement, Point, SheetId, Standing, Wire, WireId,
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
        let old = self.wire(id)?.clone();
        check::point("the joint", at)?;
        if old.standing == Standing::ToRemove && standing == Standing::ToFit {
            return check::refuse(format!(
                "{} is to be removed; nothing can be joined to it",
                old.label
            ));
        }
        let makes_pair = old.standing == Standing::AsFound && standing == Standing::ToFit;
        let halves = self.halves(&old, at)?;
        let (joint, terminal) = self.set_joint(sheet, at, standing)?;
        let [mut first, mut second] = halves;
        first.to = End::terminal(joint, &terminal);
        second.from = End::terminal(joint, &terminal);
        for half in [&mut first, &mut second] {
            half.length = None;
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
            self.put_wire(id, first);
        }
        self.run(second).map(drop)
    }

    /// The wire twice, each with the corners on its side of the cut.
    pub(super) fn halves(&self, wire: &Wire, at: Point) -> Result<[Wire; 2], EditError> {
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
