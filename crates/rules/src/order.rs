//! Moves in the order in which a person at the car makes them, where their order does not matter.

use std::collections::BTreeMap;

use loomwright_electrics::{Move, State};

use crate::ctx::Ctx;
use crate::roles::ControlRole;

/// Puts moves in order, and remembers those it has tried.
#[derive(Debug, Default)]
pub(crate) struct WorkingOrder {
    tried: BTreeMap<Vec<Move>, Vec<Move>>,
    /// The state that moves lead to from rest; nothing where one of them is refused.
    ends: BTreeMap<Vec<Move>, Option<State>>,
}

impl WorkingOrder {
    /// The key first, then engine, lighting, dip, indicators and the rest; as they were where that leads elsewhere.
    pub(crate) fn put(&mut self, ctx: &Ctx<'_>, moves: &mut Vec<Move>) {
        let rank =
            |step: &Move| ctx.control(&step.control).map_or(LAST, |control| rank(ctx, control));
        if moves.is_sorted_by_key(rank) {
            return;
        }
        let known = self.tried.get(moves).cloned().unwrap_or_else(|| {
            let mut sorted = moves.clone();
            sorted.sort_by_key(rank);
            // What the drawing alone shows has no states to lead elsewhere.
            let is_same = ctx.evidence.exploration.is_none() || {
                let end = self.end(ctx, moves);
                end.is_some() && end == self.end(ctx, &sorted)
            };
            if is_same { sorted } else { moves.clone() }
        });
        self.tried.insert(std::mem::replace(moves, known.clone()), known);
    }

    fn end(&mut self, ctx: &Ctx<'_>, moves: &[Move]) -> Option<State> {
        if let Some(known) = self.ends.get(moves) {
            return known.clone();
        }
        let end = match moves.split_last() {
            None => Some(ctx.network.at_rest().state),
            Some((last, before)) => self.end(ctx, before).and_then(|state| {
                let settled = ctx.network.move_control(&state, &last.control, &last.position);
                settled.ok().map(|settled| settled.state)
            }),
        };
        self.ends.insert(moves.to_vec(), end.clone());
        end
    }
}

/// The rank of controls that are worked last.
const LAST: usize = 7;

fn rank(ctx: &Ctx<'_>, control: usize) -> usize {
    let order = [
        ControlRole::Ignition,
        ControlRole::Engine,
        ControlRole::Lighting,
        ControlRole::Dip,
        ControlRole::Indicators,
        ControlRole::Hazard,
        ControlRole::Brake,
    ];
    let has = |role: &ControlRole| ctx.roles.controls(*role).any(|known| known == control);
    order.iter().position(has).unwrap_or(LAST)
}
