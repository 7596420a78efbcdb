//! The current of a wire that touches the metal.

use loomwright_circuit::WireId;
use loomwright_units::Ohms;

use super::{
    Derivation, Input, Origin, Subject, Why, WhyFlow, computed, constant, derive, input, solved,
};
use crate::fault::{LEAST_PIECE_OHMS, Stand, TOUCH_SOURCE};
use crate::settle::flow;
use crate::solve::Solver;
use crate::{Exploration, Prospect, cable};

const KIRCHHOFF: &str = "Ohm's law at the place of touch: the volts that the way there leaves";

impl Why<'_> {
    /// Current to the metal of a wire that touches it, as the protection study found it in a visit. Nothing for a current
    /// that the study took from between those that it solved for.
    pub fn touch(
        &self,
        exploration: &Exploration,
        wire: WireId,
        contact: Ohms,
        at: &Prospect,
    ) -> Option<Derivation> {
        let row = *self.tables.wire_of.get(&wire)?;
        let before = exploration.visits.get(at.visit)?.settled.on.flow()?;
        let mut stand = Stand::of(self.tables);
        let pieces = stand.pieces(row, at.share);
        stand.touch(row, at.share, contact.0);
        stand.ready();
        let mut solver = Solver::new(&stand.tables);
        stand.volts(&before, &mut solver.volts);
        let ended = solver.solve(before.phase(), false, &|_| false, &mut || true)?;
        let touched = flow(&solver, before.phase(), ended, &[]);
        let tables = &stand.tables;
        let along = touched.fixed_amps(tables, tables.wires[row].branch);
        let [at_from, at_to] =
            stand.touches_of(row).map(|branch| touched.fixed_amps(tables, branch));
        let amps = [along + at_from, at_to - along];
        let total = (amps[0] + amps[1]).abs();
        if (total - at.amps.0).abs() > 1e-6 * total {
            return None;
        }
        // The way leads to the end from which most comes.
        let is_from = amps[0].abs() >= amps[1].abs();
        let end = usize::from(!is_from);
        let share = if is_from { at.share } else { 1.0 - at.share };
        let here = Why { car: self.car, tables };
        let flows = WhyFlow { why: here, flow: &touched, turns: &[], left_out: Some(wire) };
        let fed = flows.volts_of(Subject::End(wire, is_from), tables.wires[row].ends[end])?;
        let metal = flows.volts_of(Subject::Metal, tables.metal)?;
        let piece = self.piece(wire, share, 1.0 / pieces[end])?;
        let of = Subject::Touch(wire);
        Some(derive(
            of,
            (at.amps.0, "A"),
            "I = |V − Vₘ − R₁ · I₁| / R",
            KIRCHHOFF,
            [
                Input { symbol: "V", ..computed("V", fed) },
                computed("Vₘ", metal),
                computed("R₁", piece),
                solved("I₁", amps[end], "A", Subject::End(wire, is_from)),
                constant("R", contact.0, "Ω", TOUCH_SOURCE),
            ],
        ))
    }

    /// Resistance of a wire from one of its ends up to the place of touch.
    fn piece(&self, wire: WireId, share: f64, ohms: f64) -> Option<Derivation> {
        let [losses, resistivity, length, size, end] = self.pieces_of_wire(wire)?;
        Some(derive(
            Subject::Wire(wire),
            (ohms, "Ω"),
            "R₁ = max(Rₑ + x · k · ρ · l / a, Rₘ)",
            cable::RESISTIVITY_SOURCE,
            [
                end,
                input("x", share, "", Origin::Asked),
                losses,
                resistivity,
                length,
                size,
                constant("Rₘ", LEAST_PIECE_OHMS, "Ω", TOUCH_SOURCE),
            ],
        ))
    }
}
