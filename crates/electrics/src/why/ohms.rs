//! The resistance of wires, joints, earth points, contacts, fuses and coils.

use loomwright_circuit::part_type::{Element, Figure, FlasherFamily};
use loomwright_circuit::{Name, PartId, WireId};

use super::hold::area_of;
use super::{
    Derivation, Input, Origin, Placed, Subject, Why, assumed, computed, constant, derive, input,
};
use crate::network::BranchRef;
use crate::{assumed as usual, cable, coil, losses};

/// In a row, resistances add up.
pub(super) const SERIES: &str = "resistances in a row add up";

impl Why<'_> {
    /// Resistance of a wire: its copper and its two ends.
    pub fn ohms_of_wire(&self, wire: WireId) -> Option<Derivation> {
        let row = &self.tables.wires[*self.tables.wire_of.get(&wire)?];
        Some(derive(
            Subject::Wire(wire),
            (self.fixed_ohms(row.branch), "Ω"),
            "R = k · ρ · l / a + 2 · Rₑ",
            cable::RESISTIVITY_SOURCE,
            self.pieces_of_wire(wire)?,
        ))
    }

    /// Losses of copper, resistivity, length and size of a wire, and the resistance of each of its ends.
    pub(super) fn pieces_of_wire(&self, wire: WireId) -> Option<[Input; 5]> {
        let row = &self.tables.wires[*self.tables.wire_of.get(&wire)?];
        let known = self.car.wire(wire)?;
        let of = Subject::Wire(wire);
        let stated = |name: &str| Origin::Stated(of.clone(), name.to_owned());
        let length = match known.length.filter(|l| l.0.is_finite() && l.0 >= 0.0) {
            Some(length) => input("l", length.0, "m", stated("length")),
            None => assumed("l", usual::WIRE_METRES, "m", usual::UNSTATED_WIRE_SOURCE),
        };
        let size = match known.copper() {
            Some(size) => input("a", size.square_mm(), "mm²", stated(area_of(known))),
            None => assumed("a", usual::WIRE_SQUARE_MM, "mm²", usual::UNSTATED_WIRE_SOURCE),
        };
        let (ends, ends_source) = usual::end_ohms(size.quantity.value);
        let inputs = [self.joints("c"), assumed("r", ends, "Ω", ends_source)];
        let end = (row.cable.end_ohms, "Ω");
        let end = derive(of.clone(), end, "Rₑ = c · r", losses::SOURCE, inputs);
        Some([
            assumed("k", self.tables.losses.copper, "", losses::SOURCE),
            constant("ρ", cable::RESISTIVITY, "Ω·mm²/m", cable::RESISTIVITY_SOURCE),
            length,
            size,
            computed("Rₑ", end),
        ])
    }

    /// Every resistance within a part: of its contacts, windings, joints, heating elements, of a battery.
    pub fn ohms_of_part(&self, part: PartId) -> Vec<Derivation> {
        let elements = self.elements(part);
        let branches = elements
            .iter()
            .flat_map(|placed| placed.row.branches.iter().map(move |branch| (placed, *branch)));
        branches.filter_map(|(placed, branch)| self.ohms(placed, branch)).collect()
    }

    /// The resistance of one branch of an element; nothing of a branch that follows another law.
    pub(super) fn ohms(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<Derivation> {
        match placed.element {
            Element::Battery { .. } => self.battery_ohms(placed, false),
            Element::Generator { warning, .. } => {
                self.exciter_ohms(placed, branch, warning.as_ref()?)
            }
            Element::Dynamo { field, case, .. } => self.dynamo_ohms(placed, branch, [field, case]),
            Element::ControlBox { .. } => self.regulator_ohms(placed, branch),
            Element::Joined { ohms, .. } => self.joint_ohms(placed, branch, ohms),
            Element::Earth { terminal, ohms, .. } => {
                self.earth_ohms(placed, branch, terminal, ohms)
            }
            Element::Resistor { ohms, .. } | Element::Meter { ohms, .. } => {
                let given = placed.figure("r", "Ω", ohms)?;
                Some(self.no_less(placed.itself(), branch, given, usual::LEAST_SOURCE))
            }
            Element::Fuse { .. } => match branch {
                // The contact of a breaker has no more than anything has; its strip has the rest.
                BranchRef::Switch(_) => {
                    let least = constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE);
                    let ohms = self.branch_ohms(branch)?;
                    Some(derive(
                        self.subject(placed, branch),
                        (ohms, "Ω"),
                        "R = Rₘ",
                        usual::LEAST_SOURCE,
                        [least],
                    ))
                }
                _ => self.fuse_ohms(placed, branch),
            },
            Element::Contacts { .. } => self.contact_ohms(placed, branch, None),
            Element::Relay { amps, .. } => match branch {
                BranchRef::Switch(_) => self.contact_ohms(placed, branch, Some(amps)),
                _ => self.winding_ohms(placed, branch),
            },
            Element::Flasher { .. } => self.flasher_ohms(placed, branch),
            Element::Load { watts, volts, .. } if matches!(branch, BranchRef::Fixed(_)) => {
                Some(derive(
                    placed.itself(),
                    (self.branch_ohms(branch)?, "Ω"),
                    "R = U² / P",
                    "Joule's and Ohm's laws, at marked volts",
                    [placed.figure("U", "V", volts)?, placed.figure("P", "W", watts)?],
                ))
            }
            _ => None,
        }
    }

    fn fixed_ohms(&self, idx: usize) -> f64 {
        1.0 / self.tables.fixed[idx].siemens
    }

    /// Resistance of a branch as it stands in the tables.
    pub(super) fn branch_ohms(&self, branch: BranchRef) -> Option<f64> {
        match branch {
            BranchRef::Fixed(idx) => Some(self.fixed_ohms(idx)),
            BranchRef::Switch(idx) => Some(1.0 / self.tables.switches[idx].siemens),
            BranchRef::Law(_) => None,
        }
    }

    /// The terminals that a contact joins, else those of the element.
    pub(super) fn subject(&self, placed: &Placed<'_>, branch: BranchRef) -> Subject {
        if let BranchRef::Switch(idx) = branch {
            return placed.between(&self.tables.switches[idx].joins);
        }
        let (a, b) = self.tables.ends(branch);
        let terminals = self.tables.terminals.get(&placed.id);
        let name =
            |step: u32| terminals?.iter().find(|(_, at)| *at == step).map(|(name, _)| name.clone());
        match (name(a), name(b)) {
            (Some(first), second) | (second, Some(first)) => {
                Subject::Between(placed.id, first, second)
            }
            (None, None) => placed.part(),
        }
    }

    fn joints(&self, symbol: &'static str) -> Input {
        assumed(symbol, self.tables.losses.joints, "", losses::SOURCE)
    }

    /// A given resistance, or the least that anything has.
    fn no_less(
        &self,
        of: Subject,
        branch: BranchRef,
        given: Input,
        source: &'static str,
    ) -> Derivation {
        let ohms = self.branch_ohms(branch).unwrap_or(given.quantity.value);
        let least = constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE);
        derive(of, (ohms, "Ω"), "R = max(r, Rₘ)", source, [given, least])
    }

    fn joint_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
        ohms: &Figure,
    ) -> Option<Derivation> {
        let of = self.subject(placed, branch);
        let between_two = match placed.element {
            Element::Joined { terminals, .. } => terminals.len() == 2,
            _ => false,
        };
        let formula =
            if between_two { "R = 2 · max(c · r, Rₘ)" } else { "R = max(c · r, Rₘ)" };
        let usual_ohms = (usual::JOINED_TERMINAL_OHMS, usual::JOINED_TERMINAL_SOURCE);
        let given = placed.figure_or("r", "Ω", Some(ohms), usual_ohms);
        let times = if placed.is_stated(ohms) { 1.0 } else { self.tables.losses.joints };
        Some(derive(
            of,
            (self.branch_ohms(branch)?, "Ω"),
            formula,
            SERIES,
            [
                assumed("c", times, "", losses::SOURCE),
                given,
                constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE),
            ],
        ))
    }

    fn earth_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
        terminal: &Name,
        ohms: &Figure,
    ) -> Option<Derivation> {
        let usual_ohms = (usual::EARTH_POINT_OHMS, usual::EARTH_POINT_SOURCE);
        let given = placed.figure_or("r", "Ω", Some(ohms), usual_ohms);
        let times = if placed.is_stated(ohms) { 1.0 } else { self.tables.losses.earths };
        Some(derive(
            Subject::Terminal(placed.id, terminal.clone()),
            (self.branch_ohms(branch)?, "Ω"),
            "R = max(c · r, Rₘ)",
            losses::SOURCE,
            [
                assumed("c", times, "", losses::SOURCE),
                given,
                constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE),
            ],
        ))
    }

    fn contact_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
        amps: Option<&Figure>,
    ) -> Option<Derivation> {
        let of = self.subject(placed, branch);
        let ohms = (self.branch_ohms(branch)?, "Ω");
        let least = constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE);
        let rated = amps.and_then(|amps| placed.figure("I", "A", amps));
        let rated = rated.filter(|amps| amps.quantity.value > 0.0);
        let relay =
            |symbol| constant(symbol, usual::RELAY_CONTACT_OHMS, "Ω", usual::RELAY_CONTACT_SOURCE);
        Some(match (amps, rated) {
            (None, _) => {
                let new = usual::SWITCH_CONTACT_OHMS;
                let new = assumed("r", new, "Ω", usual::PRACTICE);
                let formula = "R = max(c · r, Rₘ)";
                derive(of, ohms, formula, losses::SOURCE, [self.joints("c"), new, least])
            }
            (Some(_), None) => {
                let formula = "R = max(c · r, Rₘ)";
                derive(of, ohms, formula, losses::SOURCE, [self.joints("c"), relay("r"), least])
            }
            (Some(_), Some(rated)) => {
                let formula = "R = max(c · r · min(Iᵣ / I, 1), Rₘ)";
                let at = usual::RELAY_CONTACT_AMPS;
                let at = constant("Iᵣ", at, "A", usual::RELAY_CONTACT_SHARE_SOURCE);
                let inputs = [self.joints("c"), relay("r"), at, rated, least];
                derive(of, ohms, formula, usual::RELAY_CONTACT_SHARE_SOURCE, inputs)
            }
        })
    }

    fn winding_ohms(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<Derivation> {
        let Element::Relay { ohms, pull_winding, .. } = placed.element else { return None };
        let is_first = placed.row.branches.first() == Some(&branch);
        let figure = if is_first { ohms } else { &pull_winding.as_ref()?.ohms };
        let given = placed.figure("r", "Ω", figure)?;
        let of = self.subject(placed, branch);
        let found = (self.branch_ohms(branch)?, "Ω");
        let share = coil::share(placed.part, placed.part_type, placed.element, figure, {
            placed.system_volts
        })?;
        let least = constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE);
        let share = constant("s", share, "", coil::SHARE_SOURCE);
        Some(derive(of, found, "R = max(s · r, Rₘ)", coil::SHARE_SOURCE, [share, given, least]))
    }

    fn flasher_ohms(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<Derivation> {
        let Element::Flasher { family, watts, .. } = placed.element else { return None };
        let of = self.subject(placed, branch);
        let found = (self.branch_ohms(branch)?, "Ω");
        let is_pilot = placed.row.branches.first() != Some(&branch);
        Some(match (branch, family) {
            (BranchRef::Fixed(_), _) => derive(
                of,
                found,
                "R = r · U / 12",
                usual::ELECTRONIC_FLASHER_SOURCE,
                [
                    assumed(
                        "r",
                        usual::ELECTRONIC_FLASHER_SUPPLY_OHMS,
                        "Ω",
                        usual::ELECTRONIC_FLASHER_SOURCE,
                    ),
                    self.car_volts("U"),
                ],
            ),
            (_, _) if is_pilot => {
                let new = usual::SWITCH_CONTACT_OHMS;
                let new = assumed("r", new, "Ω", usual::PRACTICE);
                self.no_less(of, branch, new, usual::PRACTICE)
            }
            (_, FlasherFamily::Electronic) => {
                let contact = usual::ELECTRONIC_FLASHER_OHMS;
                let contact = assumed("r", contact, "Ω", usual::ELECTRONIC_FLASHER_SOURCE);
                self.no_less(of, branch, contact, usual::ELECTRONIC_FLASHER_SOURCE)
            }
            (_, FlasherFamily::Thermal) => derive(
                of,
                found,
                "R = max(s · U² / P, Rₘ)",
                usual::THERMAL_FLASHER_SOURCE,
                [
                    assumed("s", usual::THERMAL_FLASHER_SHARE, "", usual::THERMAL_FLASHER_SOURCE),
                    self.car_volts("U"),
                    placed.figure("P", "W", watts)?,
                    constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE),
                ],
            ),
        })
    }
}
