//! Resistances of supplies, of their fields and regulators, and of fuses.

use loomwright_circuit::Name;
use loomwright_circuit::part_type::{Element, FuseFamily};

use super::hold::carries;
use super::ohms::SERIES;
use super::{Derivation, Placed, Subject, Why, assumed, computed, constant, derive};
use crate::battery::{CHARGED_SOURCE, DOUBLES_IN_KELVIN, DOUBLES_SOURCE, REST_SOURCE};
use crate::fuse::{self, COLD_MILLIOHMS, COLD_SOURCE, link};
use crate::network::{BatteryRow, BranchRef, Kind};
use crate::{assumed as usual, cable, losses};

impl Why<'_> {
    pub(super) fn battery_row(&self, placed: &Placed<'_>) -> Option<&BatteryRow> {
        let is_meant = |row: &&BatteryRow| {
            let element = &self.tables.elements[row.element];
            element.part == placed.id && element.names == placed.row.names
        };
        self.tables.batteries.iter().find(is_meant)
    }

    /// Temperature and charge as the battery states them.
    pub(super) fn battery_state(&self, placed: &Placed<'_>) -> Option<[super::Input; 2]> {
        let Element::Battery { charge, celsius, .. } = placed.element else { return None };
        let battery = self.battery_row(placed)?.battery;
        let mut state = [
            placed.figure_or("t", "°C", celsius.as_ref(), (battery.celsius, CHARGED_SOURCE)),
            placed.figure_or("q", "", charge.as_ref(), (battery.charge, CHARGED_SOURCE)),
        ];
        // A charge outside of nothing to full is taken as the nearer of them.
        state[1].quantity.value = battery.charge;
        Some(state)
    }

    /// Internal resistance of a battery, while it gives or while it takes.
    pub(super) fn battery_ohms(&self, placed: &Placed<'_>, takes: bool) -> Option<Derivation> {
        let Element::Battery { volts, amp_hours, .. } = placed.element else { return None };
        let battery = self.battery_row(placed)?.battery;
        let [celsius, charge] = self.battery_state(placed)?;
        let marked = placed.figure("U", "V", volts)?;
        let holds = placed.figure("Q", "Ah", amp_hours)?;
        let doubles = constant("d", DOUBLES_IN_KELVIN, "K", DOUBLES_SOURCE);
        let least = constant("Rₘ", usual::LEAST_OHMS, "Ω", usual::LEAST_SOURCE);
        let of = placed.itself();
        if takes {
            let ohms = battery.charge_ohms().max(usual::LEAST_OHMS);
            return Some(derive(
                of,
                (ohms, "Ω"),
                "R = max((V − E) · U / 12 / (s · Q) · 2^(max(20 − t, 0) / d), Rₘ)",
                usual::CHARGE_SOURCE,
                [
                    constant("V", usual::CHARGE_VOLTS, "V", usual::CHARGE_SOURCE),
                    constant("E", usual::battery_emf(12.0), "V", REST_SOURCE),
                    marked,
                    constant("s", usual::CHARGE_SHARE_AT_14_2_V, "1/h", usual::CHARGE_SOURCE),
                    holds,
                    celsius,
                    doubles,
                    least,
                ],
            ));
        }
        let ohms = (self.tables.losses.battery * battery.ohms()).max(usual::LEAST_OHMS);
        Some(derive(
            of,
            (ohms, "Ω"),
            "R = max(c · r · U / 12 · 50 / Q · 2^(max(20 − t, 0) / d) · 2 / (1 + q), Rₘ)",
            usual::BATTERY_OHMS_SOURCE,
            [
                assumed("c", self.tables.losses.battery, "", losses::SOURCE),
                assumed("r", usual::BATTERY_OHMS_12_V_50_AH, "Ω", usual::BATTERY_OHMS_SOURCE),
                marked,
                holds,
                celsius,
                doubles,
                charge,
                least,
            ],
        ))
    }

    /// A resistance of a 12 V car in one of other volts, of equal power.
    fn of_equal_power(
        &self,
        of: Subject,
        ohms: f64,
        usual_ohms: f64,
        source: &'static str,
    ) -> Derivation {
        let inputs = [assumed("r", usual_ohms, "Ω", source), self.car_volts("U")];
        derive(of, (ohms, "Ω"), "R = r · (U / 12)²", source, inputs)
    }

    pub(super) fn exciter_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
        warning: &Name,
    ) -> Option<Derivation> {
        let Element::Generator { plus: output, needs_lamp, .. } = placed.element else {
            return None;
        };
        let of = self.subject(placed, branch);
        let ohms = self.branch_ohms(branch)?;
        let joins_output = match branch {
            BranchRef::Switch(idx) => {
                self.tables.switches[idx].joins == [warning.clone(), output.clone()]
            }
            _ => false,
        };
        let is_switched =
            placed.row.branches.iter().any(|branch| matches!(branch, BranchRef::Switch(_)));
        let is_armature = !needs_lamp && ohms <= usual::armature_ohms(self.tables.system_volts);
        Some(match branch {
            _ if is_armature && !joins_output => {
                self.of_equal_power(of, ohms, usual::ARMATURE_OHMS, usual::DYNAMO_SOURCE)
            }
            BranchRef::Switch(_) if joins_output => {
                plain(of, ohms, usual::EXCITER_OHMS, usual::EXCITER_SOURCE)
            }
            BranchRef::Fixed(_) if is_switched => {
                plain(of, ohms, usual::FIELD_SENSE_OHMS, usual::EXCITER_SOURCE)
            }
            _ => self.of_equal_power(of, ohms, usual::FIELD_OHMS, usual::FIELD_SOURCE),
        })
    }

    pub(super) fn dynamo_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
        [field, case]: [&Name; 2],
    ) -> Option<Derivation> {
        let ohms = self.branch_ohms(branch)?;
        let (of, usual_ohms, source) = if matches!(branch, BranchRef::Switch(_)) {
            (self.subject(placed, branch), usual::ARMATURE_OHMS, usual::DYNAMO_SOURCE)
        } else {
            let field = placed.between(&[field.clone(), case.clone()]);
            (field, usual::FIELD_OHMS, usual::FIELD_SOURCE)
        };
        Some(self.of_equal_power(of, ohms, usual_ohms, source))
    }

    /// The contacts of a control box's regulator.
    pub(super) fn regulator_ohms(
        &self,
        placed: &Placed<'_>,
        branch: BranchRef,
    ) -> Option<Derivation> {
        let is_regulator = placed.row.branches.get(1) == Some(&branch);
        let of = self.subject(placed, branch);
        let ohms = usual::REGULATOR_OHMS;
        is_regulator.then(|| plain(of, ohms, ohms, usual::REGULATOR_SOURCE))
    }

    pub(super) fn fuse_ohms(&self, placed: &Placed<'_>, branch: BranchRef) -> Option<Derivation> {
        let ohms = self.branch_ohms(branch)?;
        let of = placed.itself();
        let holder = derive(
            of.clone(),
            (self.tables.losses.joints * usual::FUSE_HOLDER_OHMS, "Ω"),
            "H = c · h",
            usual::FUSE_HOLDER_SOURCE,
            [
                assumed("c", self.tables.losses.joints, "", losses::SOURCE),
                assumed("h", usual::FUSE_HOLDER_OHMS, "Ω", usual::FUSE_HOLDER_SOURCE),
            ],
        );
        let Some(strip) = strip_ohms(placed) else {
            return Some(derive(of, (ohms, "Ω"), "R = H", SERIES, [computed("H", holder)]));
        };
        let inputs = [computed("F", strip), computed("H", holder)];
        Some(derive(of, (ohms, "Ω"), "R = F + H", SERIES, inputs))
    }
}

/// A usual resistance as it is.
fn plain(of: Subject, ohms: f64, usual_ohms: f64, source: &'static str) -> Derivation {
    derive(of, (ohms, "Ω"), "R = r", source, [assumed("r", usual_ohms, "Ω", source)])
}

/// The fuse itself, without its holder.
fn strip_ohms(placed: &Placed<'_>) -> Option<Derivation> {
    let Kind::Fuse { rating: Some(rating) } = placed.row.kind else { return None };
    let carries = carries(placed)?;
    let (of, cold) = (placed.itself(), (rating.cold().0, "Ω"));
    let amps = || computed("Iₙ", carries.clone());
    Some(match rating.family {
        FuseFamily::Link => derive(
            of,
            cold,
            "F = ρ · l / a",
            cable::RESISTIVITY_SOURCE,
            [
                constant("ρ", cable::RESISTIVITY, "Ω·mm²/m", cable::RESISTIVITY_SOURCE),
                assumed("l", link::METRES, "m", link::METRES_SOURCE),
                computed("a", link_area(placed, carries.clone())),
            ],
        ),
        FuseFamily::Breaker | FuseFamily::ManualBreaker => {
            let lost = assumed("U", fuse::BREAKER_VOLTS, "V", fuse::BREAKER_SOURCE);
            derive(of, cold, "F = U / Iₙ", fuse::BREAKER_SOURCE, [lost, amps()])
        }
        FuseFamily::Blade | FuseFamily::Glass | FuseFamily::Torpedo => {
            let (first, milliohms) = COLD_MILLIOHMS[0];
            if rating.listed_milliohms().is_some() {
                let row = constant("r", cold.0, "Ω", COLD_SOURCE);
                return Some(derive(of, cold, "F = r", COLD_SOURCE, [row]));
            }
            let row = constant("r", milliohms * 1e-3, "Ω", COLD_SOURCE);
            let at = constant("I₁", first, "A", COLD_SOURCE);
            derive(of, cold, "F = r · I₁ / Iₙ", COLD_SOURCE, [row, at, amps()])
        }
    })
}

/// The copper of a fusible link, from what it carries.
fn link_area(placed: &Placed<'_>, carries: Derivation) -> Derivation {
    let area = link::square_mm(carries.figure.value);
    derive(
        placed.itself(),
        (area, "mm²"),
        "a = π / 4 · (Iₙ / s / 80)^(4 / 3)",
        link::PREECE_SOURCE,
        [computed("Iₙ", carries), constant("s", link::CARRIES_SHARE, "", link::CARRIES_SOURCE)],
    )
}
