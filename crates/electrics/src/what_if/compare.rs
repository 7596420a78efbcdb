//! Comparing what flows with a fault on with what flowed without it.

use std::sync::Arc;

use loomwright_units::{Amps, Seconds};

use crate::engine::loses_ignition;
use crate::extremes::is_cranking;
use crate::heat::{AMBIENT, Conductor, all_day_limit};
use crate::network::{ElementRow, Kind};
use crate::reading::{ElementFlow, Flow, across_element};
use crate::what_if::{Consequences, Effect, Hot, Opening, WhatIf};
use crate::{Fault, FuseRef, PartState};

/// An element whose volts change by less than this share of the car's is not changed, whatever its word: the words
/// have sharp limits.
const CHANGED_SHARE: f64 = 0.02;

/// A wire that is overloaded already must carry more by this share to count as made hot (own choice: a quarter more
/// current is half as much heat again).
const FURTHER_SHARE: f64 = 0.25;

/// How long an engine is cranked at a time.
///
/// # Source
/// Makers' handbooks: ten to fifteen seconds, then a pause; twice as long is taken (practice).
const CRANKING: Seconds = Seconds(30.0);

impl WhatIf<'_> {
    /// The fuse that opens first, of those that held before.
    pub(super) fn opens(&self, flow: &Flow, before: &Flow) -> Option<(FuseRef, Amps, Seconds)> {
        let tables = &self.stand.tables;
        let rows = tables.elements.iter().zip(&self.network.tables.elements);
        let opening = rows.filter_map(|(row, was)| {
            let Kind::Fuse { rating: Some(rating) } = row.kind else { return None };
            let amps = Amps(flow.element_amps(tables, row).abs());
            let within = rating.melts_within(amps)?;
            let held = before.element_amps(&self.network.tables, was);
            rating.opens_within(Amps(held)).is_none().then(|| {
                let fuse = FuseRef { part: row.part, between: row.names.clone() };
                (fuse, amps, within)
            })
        });
        opening.reduce(|first, next| if next.2.0 < first.2.0 { next } else { first })
    }

    pub(super) fn compare(
        &self,
        visit: usize,
        before: &Flow,
        phases: &[Arc<Flow>],
        found: &mut Consequences,
    ) {
        let Some(on) = phases.first() else { return };
        let (was_tables, tables) = (&*self.network.tables, &self.stand.tables);
        let least = CHANGED_SHARE * tables.system_volts;
        let mut is_changed = false;
        for (idx, was) in self.watched.iter().zip(&self.known[visit]) {
            let row = &tables.elements[*idx];
            let now = ElementFlow { tables, flow: on, phases, row }.state();
            if now == *was || is_faulty(&found.fault, row) {
                continue;
            }
            let volts = across_element(was_tables, before, &was_tables.elements[*idx]);
            let is_steady = (volts - across_element(tables, on, row)).abs() < least;
            if is_steady
                && !matches!(row.kind, Kind::Flasher { .. } | Kind::Generator | Kind::Battery)
            {
                continue;
            }
            if row.kind == Kind::Battery && *was != PartState::Takes {
                // Of a battery only this counts: that it is no longer charged.
                continue;
            }
            let is_drained = row.kind == Kind::Battery && now == PartState::Gives;
            let (was_rank, now_rank) = (rank(*was), if is_drained { 0 } else { rank(now) });
            let list = if now != PartState::Buzzing && now_rank < was_rank {
                &mut found.stops
            } else if now == PartState::Buzzing || now_rank > was_rank || now_rank == 2 {
                &mut found.wrong
            } else {
                continue;
            };
            is_changed = true;
            note_effect(list, row, [*was, now], visit);
        }
        let setting = &self.exploration.visits[visit].settled.state.setting;
        if loses_ignition(tables, setting, on) && !loses_ignition(was_tables, setting, before) {
            found.stops_engine.push(visit);
            is_changed = true;
        }
        is_changed |= self.note_hot(visit, before, on, found);
        if is_changed {
            found.visits.push(visit);
        }
    }

    /// Notes wires that carry more than they bear, and more than before.
    fn note_hot(&self, visit: usize, before: &Flow, on: &Flow, found: &mut Consequences) -> bool {
        let (was_tables, tables) = (&*self.network.tables, &self.stand.tables);
        let mut is_hot = false;
        for (idx, row) in tables.wires.iter().enumerate() {
            let amps = self.carried(on, idx);
            let was = before.fixed_amps(was_tables, was_tables.wires[idx].branch).abs();
            // What is overloaded without a fault, as a battery lead is for the seconds of cranking, is not made hot by
            // one that adds little.
            let is_over = was > self.bearable[idx];
            let share = if is_over { FURTHER_SHARE } else { CHANGED_SHARE };
            if amps <= self.bearable[idx] || amps <= was * (1.0 + share) {
                continue;
            }
            let conductor = row.cable.size.map(|size| Conductor::new(size, AMBIENT));
            let celsius = conductor.and_then(|conductor| {
                if is_cranking(tables, on) {
                    Some(conductor.after(AMBIENT, Amps(amps), CRANKING))
                } else {
                    conductor.in_the_end(Amps(amps))
                }
            });
            let limit = all_day_limit(row.cable.insulation);
            if celsius.is_some_and(|celsius| celsius.0 <= limit.0) {
                continue;
            }
            is_hot = true;
            let hot = Hot { wire: row.id, amps: Amps(amps), celsius, visit };
            match found.hot.iter_mut().find(|known| known.wire == row.id) {
                Some(known) if known.amps.0 < amps => *known = hot,
                Some(_) => {}
                None => found.hot.push(hot),
            }
        }
        is_hot
    }

    /// The greatest current anywhere along a wire: at one of its ends, if it touches the metal in between.
    fn carried(&self, flow: &Flow, wire: usize) -> f64 {
        let through = |branch: usize| flow.fixed_amps(&self.stand.tables, branch);
        let along = through(self.stand.tables.wires[wire].branch);
        let [at_from, at_to] = self.stand.touches_of(wire).map(through);
        (along + at_from).abs().max((along - at_to).abs())
    }
}

/// Whether an element is the faulty one itself.
fn is_faulty(fault: &Fault, row: &ElementRow) -> bool {
    match fault {
        Fault::LampFailed { part, between } => row.part == *part && row.names == *between,
        Fault::RelayStuckIn(part) | Fault::RelayStuckOut(part) => {
            row.part == *part && matches!(row.kind, Kind::Relay { .. })
        }
        _ => false,
    }
}

/// How much something does: at work, half at work, at rest.
pub(super) fn rank(state: PartState) -> u8 {
    match state {
        PartState::Lit
        | PartState::Flashing
        | PartState::Working
        | PartState::In
        | PartState::Gives
        | PartState::Takes => 2,
        PartState::Dim | PartState::Weak | PartState::Buzzing => 1,
        _ => 0,
    }
}

fn note_effect(list: &mut Vec<Effect>, row: &ElementRow, words: [PartState; 2], visit: usize) {
    let is_same = |known: &&mut Effect| known.part == row.part && known.between == row.names;
    match list.iter_mut().find(is_same) {
        Some(known) => known.visits.push(visit),
        None => list.push(Effect {
            part: row.part,
            between: row.names.clone(),
            was: words[0],
            now: words[1],
            visits: vec![visit],
        }),
    }
}

pub(super) fn note_opening(
    found: &mut Consequences,
    fuse: FuseRef,
    amps: Amps,
    within: Seconds,
    visit: usize,
) {
    match found.opens.iter_mut().find(|known| known.fuse == fuse) {
        Some(known) => known.visits.push(visit),
        None => found.opens.push(Opening { fuse, amps, within, visits: vec![visit] }),
    }
}
