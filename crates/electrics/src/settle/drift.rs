//! Several flashers at work at the same time: none waits for the other, so in time every one of them is closed alone.

use crate::flasher::{Flashes, flashes_now};
use crate::network::{Kind, Note, NoteKind, Tables};
use crate::reading::{Flow, LIT, light};

use super::Way;

/// Of so many flashers at work, all combinations of open and closed are solved; of more, only each by itself.
const MOST_COMBINED: usize = 3;

impl Way<'_, '_> {
    /// The flashers that open and close, without their contacts for tell-tales: those at work in the lit phase, and
    /// those that stayed dark there because another robbed them of their current, and that work by themselves.
    pub(super) fn drifting(&mut self, at_work: &[bool], lit: &[bool]) -> Vec<usize> {
        let tables = self.solver.tables;
        let mains = |idx: &usize| !tables.flashers[*idx].is_pilot();
        let mut drifting: Vec<usize> =
            (0..lit.len()).filter(mains).filter(|idx| at_work[*idx]).collect();
        for idx in (0..lit.len()).filter(mains).filter(|idx| !lit[*idx]).collect::<Vec<_>>() {
            self.close_only(&[idx], &drifting.clone(), lit);
            self.follow();
            if let Flashes::At(_) = flashes_now(self.solver, &tables.flashers[idx]) {
                drifting.push(idx);
            }
        }
        drifting.sort_unstable();
        drifting
    }

    /// What flows with each of several flashers closed by itself, and in the other combinations that are neither the
    /// lit phase nor the dark one. Nothing if the caller did not want to go on.
    pub(super) fn drift(
        &mut self,
        drifting: &[usize],
        lit: &[bool],
        relays: &[bool],
        buzzing: &[bool],
    ) -> Option<Vec<Flow>> {
        let n = drifting.len();
        if n < 2 {
            return Some(Vec::new());
        }
        let chosen = |code: usize| -> Vec<usize> {
            (0..n).filter(|bit| code >> bit & 1 == 1).map(|bit| drifting[bit]).collect()
        };
        let mut combinations: Vec<Vec<usize>> = if n <= MOST_COMBINED {
            (1..1 << n).map(chosen).collect()
        } else {
            drifting.iter().map(|idx| vec![*idx]).collect()
        };
        // Each by itself comes first.
        combinations.sort_by_key(Vec::len);
        let in_lit: Vec<usize> = drifting.iter().copied().filter(|idx| lit[*idx]).collect();
        let mut apart = Vec::new();
        for closed in combinations.iter().filter(|closed| **closed != in_lit) {
            self.close_only(closed, drifting, lit);
            self.relays = relays.to_vec();
            let ended = self.follow()?;
            apart.push(self.flow(ended, buzzing));
        }
        Some(apart)
    }

    /// Closes some of the flashers at work, with their contacts for tell-tales, and opens the others; those not at work
    /// stay as in the lit phase.
    fn close_only(&mut self, closed: &[usize], drifting: &[usize], lit: &[bool]) {
        let rows = &self.solver.tables.flashers;
        for (idx, row) in rows.iter().enumerate() {
            let main = rows.iter().position(|main| main.switch == row.senses).unwrap_or(idx);
            self.flashers[idx] =
                if closed.contains(&main) { true } else { lit[idx] && !drifting.contains(&main) };
        }
    }
}

/// Notes flashers that light the same lamps, each by itself, and those lamps.
pub(super) fn note_drift(
    tables: &Tables,
    drifting: &[usize],
    [on, off]: [&mut Flow; 2],
    apart: &[Flow],
) {
    if drifting.len() < 2 {
        return;
    }
    let closed = |flow: &Flow| -> Vec<usize> {
        drifting.iter().copied().filter(|idx| flow.flashers[*idx]).collect()
    };
    let alone: Vec<&Flow> =
        std::iter::once(&*on).chain(apart).filter(|flow| closed(flow).len() == 1).collect();
    let mut lamps = Vec::new();
    let mut lighting = vec![false; tables.flashers.len()];
    for row in &tables.elements {
        let is_lit = |flow: &Flow| {
            let volts = flow.across(tables, row.ends[0], row.ends[1]);
            light(row.kind, volts, || flow.element_amps(tables, row))
                .is_some_and(|light| light >= LIT)
        };
        let lit: Vec<usize> =
            alone.iter().filter(|flow| is_lit(flow)).flat_map(|flow| closed(flow)).collect();
        if lit.len() < 2 || is_lit(off) {
            continue;
        }
        for idx in lit {
            lighting[idx] = true;
        }
        if !lamps.contains(&row.part) {
            lamps.push(row.part);
        }
    }
    if lamps.is_empty() {
        return;
    }
    let is_meant = |kind: Kind| matches!(kind, Kind::Flasher { flasher } if lighting[flasher]);
    let units = tables.elements.iter().filter(|row| is_meant(row.kind)).map(|row| row.part);
    let parts = units.chain(lamps).collect();
    on.notes.push(Note { kind: NoteKind::FlashersDrift, parts, wires: Vec::new() });
}
