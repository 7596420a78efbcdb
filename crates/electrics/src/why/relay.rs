//! The volts that a relay's coil has, and those at which it pulls in and drops out.

use loomwright_circuit::part_type::{Element, Figure};

use super::{Derivation, Input, Placed, WhyFlow, computed, derive, solved};
use crate::network::BranchRef;

const COIL: &str = "pull goes with the ampere-turns, and so with the volts on the coil";

impl WhyFlow<'_> {
    /// Volts on the coil, those at which it pulls in, and those at which it drops out.
    pub(super) fn coil(&self, placed: &Placed<'_>, relay: usize) -> Vec<Derivation> {
        let thresholds = self.thresholds(placed, relay);
        self.coil_volts(placed, relay).into_iter().chain(thresholds.into_iter().flatten()).collect()
    }

    fn coil_volts(&self, placed: &Placed<'_>, relay: usize) -> Option<Derivation> {
        let tables = self.why.tables;
        let row = tables.relays[relay];
        let pull = (row.pull(tables, &self.flow.volts), "V");
        let end = |symbol, step: u32| {
            solved(symbol, self.flow.volts[step as usize], "V", self.place(placed.id, step))
        };
        let coil = tables.fixed[row.branch];
        let mut inputs = vec![end("V₁", coil.a), end("V₂", coil.b)];
        let Some(second) = row.second else {
            return Some(derive(placed.itself(), pull, "Uₖ = |V₁ − V₂|", COIL, inputs));
        };
        let other = tables.fixed[second.branch];
        inputs.extend(self.windings(placed, relay)?);
        inputs.extend([end("V₃", other.a), end("V₄", other.b)]);
        let formula = "Uₖ = |V₁ − V₂ + R₁ / R₂ · (V₃ − V₄)|";
        Some(derive(placed.itself(), pull, formula, COIL, inputs))
    }

    /// Resistances of both windings.
    fn windings(&self, placed: &Placed<'_>, relay: usize) -> Option<[Input; 2]> {
        let row = self.why.tables.relays[relay];
        let first = self.why.ohms(placed, BranchRef::Fixed(row.branch))?;
        let second = self.why.ohms(placed, BranchRef::Fixed(row.second?.branch))?;
        Some([computed("R₁", first), computed("R₂", second)])
    }

    fn thresholds(&self, placed: &Placed<'_>, relay: usize) -> Option<[Derivation; 2]> {
        let Element::Relay { volts, pull_in, drop_out, .. } = placed.element else { return None };
        let row = self.why.tables.relays[relay];
        let of_part = Figure::Fact("volts".to_owned());
        let marked = placed.figure("U", "V", volts.as_ref().unwrap_or(&of_part));
        let marked = marked
            .filter(|marked| marked.quantity.value > 0.0)
            .unwrap_or_else(|| self.why.car_volts("U"));
        let pulls = placed.figure("s", "", pull_in)?;
        let drops = placed.figure("d", "", drop_out)?;
        let mut inputs = vec![pulls.clone(), marked.clone()];
        let windings = self.windings(placed, relay);
        let formula =
            if windings.is_some() { "Uₚ = s · U · (1 + R₁ / R₂)" } else { "Uₚ = s · U" };
        inputs.extend(windings.into_iter().flatten());
        let of = placed.itself();
        let least = "share of the marked volts, as the part gives it";
        let found = (row.pull_in_volts, "V");
        let pulls_in = derive(of.clone(), found, formula, least, inputs);
        let found = (row.drop_out_volts, "V");
        let inputs = [drops, pulls, marked];
        let drops_out = derive(of, found, "Uₐ = min(d, s) · U", least, inputs);
        Some([pulls_in, drops_out])
    }
}
