//! What flows through wires and parts: Ohm's law where it holds, else the law of the part.

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{PartId, WireId};

use super::hold::{carries, opens};
use super::law::marked_amps;
use super::{
    Derivation, Input, Placed, Subject, WhyFlow, assumed, computed, constant, derive, solved,
};
use crate::filament;
use crate::law::{LED_LEAK, LED_SOURCE, Law};
use crate::network::{BranchRef, Kind, PlaceName};
use crate::reading::light;
use crate::solve::law_in;

pub(super) const OHM: &str = "Ohm's law";
const DIFFERENCE: &str = "volts across are the difference of the volts at the two ends";

impl WhyFlow<'_> {
    /// Current in a wire, from its `from` end to its `to` end.
    pub fn amps(&self, wire: WireId) -> Option<Derivation> {
        let tables = self.why.tables;
        let row = &tables.wires[*tables.wire_of.get(&wire)?];
        let [from, to] = [true, false].map(|is_from| Subject::End(wire, is_from));
        let amps = self.flow.fixed_amps(tables, row.branch);
        let ohms = self.why.ohms_of_wire(wire)?;
        Some(derive(
            Subject::Wire(wire),
            (amps, "A"),
            "I = (V₁ − V₂) / R",
            OHM,
            [
                solved("V₁", self.flow.volts[row.ends[0] as usize], "V", from),
                solved("V₂", self.flow.volts[row.ends[1] as usize], "V", to),
                computed("R", ohms),
            ],
        ))
    }

    /// Every figure of a part: currents, volts, light, thresholds, times.
    pub fn part(&self, part: PartId) -> Vec<Derivation> {
        let mut found = Vec::new();
        for placed in &self.why.elements(part) {
            let branches = placed.row.branches.iter();
            found.extend(branches.filter_map(|branch| self.branch(placed, *branch)));
            match placed.row.kind {
                Kind::Battery => {
                    found.extend(self.why.battery_emf(placed));
                    found.extend(self.battery_volts(placed));
                }
                Kind::Filament { .. } | Kind::Led { .. } => found.extend(self.light(placed)),
                Kind::Fuse { .. } => {
                    found.extend(carries(placed));
                    let amps = placed.row.branches.first();
                    let amps = amps.and_then(|branch| self.branch(placed, *branch));
                    let times = amps.and_then(|amps| opens(placed, computed("I", amps)));
                    found.extend(times.into_iter().flatten());
                }
                Kind::Relay { relay, .. } => found.extend(self.coil(placed, relay)),
                Kind::Flasher { flasher } => found.extend(self.flashing(placed, flasher)),
                _ => {}
            }
        }
        found
    }

    /// Current through one branch of an element; nothing for a contact that is open.
    pub(super) fn branch(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<Derivation> {
        let tables = self.why.tables;
        if let BranchRef::Switch(idx) = branch {
            self.flow.switch_amps(tables, idx)?;
        }
        let of = self.why.subject(placed, branch);
        let amps = (self.flow.branch_amps(tables, branch), "A");
        let is_regulator = matches!(placed.element, Element::ControlBox { .. })
            && placed.row.branches.get(1) == Some(&branch);
        if let (BranchRef::Law(idx), false) = (branch, is_regulator) {
            let law = law_in(tables, idx, self.flow.phase());
            return self.law(placed, law, (of, amps.0), self.across(placed, branch));
        }
        let ohms = self.why.ohms(placed, branch)?;
        let [first, second] = self.ends(placed, branch);
        Some(derive(
            of,
            amps,
            "I = (V₁ − V₂) / R",
            OHM,
            [
                Input { symbol: "V₁", ..first },
                Input { symbol: "V₂", ..second },
                computed("R", ohms),
            ],
        ))
    }

    /// Volts at the two ends of a branch.
    fn ends(&self, placed: &Placed<'_>, branch: BranchRef) -> [Input; 2] {
        let (a, b) = self.why.tables.ends(branch);
        [a, b].map(|step| {
            solved("V", self.flow.volts[step as usize], "V", self.place(placed.id, step))
        })
    }

    /// What a step is, as seen from a part.
    pub(super) fn place(&self, part: PartId, step: u32) -> Subject {
        let tables = self.why.tables;
        let terminals = tables.terminals.get(&part);
        let own = terminals.and_then(|all| all.iter().find(|(_, at)| *at == step));
        if let Some((name, _)) = own {
            return Subject::Terminal(part, name.clone());
        }
        let is_hub = tables.names.iter().any(|(name, at)| {
            *at == step && matches!(name, PlaceName::Hub(known, _) if *known == part)
        });
        if is_hub { Subject::Part(part) } else { Subject::Metal }
    }

    /// Volts across a branch, from its first end to its second.
    pub(super) fn across(&self, placed: &Placed<'_>, branch: BranchRef) -> Input {
        let [first, second] = self.ends(placed, branch);
        let volts = first.quantity.value - second.quantity.value;
        computed(
            "U",
            derive(
                self.why.subject(placed, branch),
                (volts, "V"),
                "U = V₁ − V₂",
                DIFFERENCE,
                [Input { symbol: "V₁", ..first }, Input { symbol: "V₂", ..second }],
            ),
        )
    }

    /// Volts between a battery's posts: its EMF, and what is lost or gained within.
    fn battery_volts(&self, placed: &Placed<'_>) -> Option<Derivation> {
        let tables = self.why.tables;
        let branch = *placed.row.branches.first()?;
        let amps = self.branch(placed, branch)?;
        let [plus, minus] = placed.row.ends;
        let volts = self.flow.volts[plus as usize] - self.flow.volts[minus as usize];
        let BranchRef::Law(idx) = branch else { return None };
        let Law::Battery { emf, .. } = law_in(tables, idx, self.flow.phase()) else { return None };
        let ohms = self.why.battery_ohms(placed, volts > emf)?;
        Some(derive(
            placed.itself(),
            (volts, "V"),
            "U = E + R · I",
            "Kirchhoff's second law; current counts into the plus post",
            [
                computed("E", self.why.battery_emf(placed)?),
                computed("R", ohms),
                computed("I", amps),
            ],
        ))
    }

    /// Light of a lamp, as a share of that at marked volts.
    fn light(&self, placed: &Placed<'_>) -> Option<Derivation> {
        let branch = *placed.row.branches.first()?;
        let across = self.across(placed, branch);
        let amps = self.branch(placed, branch)?;
        let found = (light(placed.row.kind, across.quantity.value, || amps.figure.value)?, "");
        let of = placed.itself();
        match placed.element {
            Element::Filament { volts, .. } => Some(derive(
                of,
                found,
                "L = |U / Uₙ|^n",
                filament::SOURCE,
                [
                    across,
                    placed.figure("Uₙ", "V", volts)?,
                    constant("n", filament::LIGHT_EXPONENT, "", filament::SOURCE),
                ],
            )),
            Element::Led { watts, volts, either_way, .. } => Some(derive(
                of,
                found,
                if *either_way {
                    "L = max(|I| / Iₙ − 2 · g · |U| / Uₙ, 0)"
                } else {
                    "L = max(max(I, 0) / Iₙ − 2 · g · |U| / Uₙ, 0)"
                },
                LED_SOURCE,
                [
                    computed("I", amps),
                    marked_amps(placed, watts, volts)?,
                    assumed("g", LED_LEAK, "", LED_SOURCE),
                    across,
                    placed.figure("Uₙ", "V", volts)?,
                ],
            )),
            _ => None,
        }
    }
}
