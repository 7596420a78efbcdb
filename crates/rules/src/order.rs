//! Moves in the order in which a person at the car makes them, where their order does not matter.

use std::collections::BTreeMap;

use loomwright_electrics::{Move, State};

use crate::ctx::Ctx;
use crate::roles::ControlRole;

/// Puts moves in order, and remembers those it has tried.
#[derive(Debug)]
pub(crate) struct WorkingOrder<'c, 'a> {
    ctx: &'c Ctx<'a>,
    tried: BTreeMap<Vec<Move>, Vec<Move>>,
}

impl<'c, 'a> WorkingOrder<'c, 'a> {
    pub(crate) fn new(ctx: &'c Ctx<'a>) -> Self {
        Self { ctx, tried: BTreeMap::new() }
    }

    /// The key first, then engine, lighting, dip, indicators and the rest; as they were where that leads elsewhere.
    pub(crate) fn put(&mut self, moves: &mut Vec<Move>) {
        let rank = |step: &Move| {
            let control = self.ctx.control(&step.control);
            control.map_or(LAST, |control| rank(self.ctx, control))
        };
        if moves.is_sorted_by_key(rank) {
            return;
        }
        let known = self.tried.get(moves).cloned().unwrap_or_else(|| {
            let mut sorted = moves.clone();
            sorted.sort_by_key(rank);
            // What the drawing alone shows has no states to lead elsewhere.
            let is_same = self.ctx.evidence.exploration.is_none()
                || self.end(moves).is_some_and(|end| self.end(&sorted) == Some(end));
            if is_same { sorted } else { moves.clone() }
        });
        self.tried.insert(std::mem::replace(moves, known.clone()), known);
    }

    /// The state that moves lead to from rest; nothing where one of them is refused.
    fn end(&self, moves: &[Move]) -> Option<State> {
        let network = self.ctx.network;
        let mut state = network.at_rest().state;
        for step in moves {
            state = network.move_control(&state, &step.control, &step.position).ok()?.state;
        }
        Some(state)
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
