//! A battery's volts at rest, how long it lasts, and who drains it.

use loomwright_circuit::PartId;
use loomwright_circuit::part_type::Element;

use super::{Derivation, Input, Placed, Subject, Why, computed, constant, derive, solved};
use crate::battery::{
    CAPACITY_A_KELVIN, CAPACITY_SOURCE, PEUKERT, PEUKERT_SOURCE, REST_SOURCE, START_CHARGE,
    START_CHARGE_SOURCE,
};
use crate::endurance::{self, Endurance};
use crate::network::BatteryRow;
use crate::{Battery, Settled};

impl Why<'_> {
    /// Volts that a battery has at rest.
    pub fn emf(&self, part: PartId) -> Option<Derivation> {
        self.elements(part).iter().find_map(|placed| self.battery_emf(placed))
    }

    pub(super) fn battery_emf(&self, placed: &Placed<'_>) -> Option<Derivation> {
        let Element::Battery { volts, .. } = placed.element else { return None };
        let BatteryRow { battery, .. } = self.battery_row(placed)?;
        let [(low, from), (high, to)] = battery.listed();
        let [_, charge] = self.battery_state(placed)?;
        let listed = |symbol, value, unit| constant(symbol, value, unit, REST_SOURCE);
        Some(derive(
            placed.itself(),
            (battery.emf(), "V"),
            "E = (E₁ + (E₂ − E₁) · (q − q₁) / (q₂ − q₁)) · U / 12",
            REST_SOURCE,
            [
                listed("E₁", from, "V"),
                listed("E₂", to, "V"),
                charge,
                listed("q₁", low, ""),
                listed("q₂", high, ""),
                placed.figure("U", "V", volts)?,
            ],
        ))
    }

    /// What a battery would hold when charged, at its temperature.
    fn holds(&self, placed: &Placed<'_>, battery: Battery) -> Option<Derivation> {
        let Element::Battery { amp_hours, .. } = placed.element else { return None };
        let [celsius, _] = self.battery_state(placed)?;
        Some(derive(
            placed.itself(),
            (battery.holds_amp_hours(), "Ah"),
            "H = Q · max(1 − k · max(20 − t, 0), 1 / 3)",
            CAPACITY_SOURCE,
            [
                placed.figure("Q", "Ah", amp_hours)?,
                constant("k", CAPACITY_A_KELVIN, "1/K", CAPACITY_SOURCE),
                celsius,
            ],
        ))
    }

    /// How long a battery lasts until it no longer starts the car; nothing where it gives nothing.
    pub fn hours_to_no_start(&self, endures: &Endurance) -> Option<Derivation> {
        let placed = self.elements(endures.battery);
        let placed =
            placed.iter().find(|placed| matches!(placed.element, Element::Battery { .. }))?;
        let BatteryRow { battery, .. } = *self.battery_row(placed)?;
        let [_, charge] = self.battery_state(placed)?;
        Some(derive(
            placed.itself(),
            (endures.hours?, "h"),
            "T = max(q − q₀, 0) · H / I / max(I / (H / 20), 1)^(p − 1)",
            PEUKERT_SOURCE,
            [
                charge,
                constant("q₀", START_CHARGE, "", START_CHARGE_SOURCE),
                computed("H", self.holds(placed, battery)?),
                solved("I", endures.amps.0, "A", placed.part()),
                constant("p", PEUKERT, "", PEUKERT_SOURCE),
            ],
        ))
    }

    /// What a part draws from the battery in a setting: of the standing drain, that at rest.
    pub fn draw(&self, settled: &Settled, part: PartId) -> Option<Derivation> {
        let tables = self.tables;
        let range = tables.parts.get(&part)?.clone();
        let watts = endurance::watts_of(tables, settled, &tables.elements[range]);
        let volts = endurance::live_volts(tables, settled);
        Some(derive(
            Subject::Part(part),
            (watts / volts, "A"),
            "I = P / U",
            "power, as a mean over the time, over the volts that the battery holds",
            [
                solved("P", watts, "W", Subject::Part(part)),
                computed("U", self.held_up(settled, volts)),
            ],
        ))
    }

    /// Volts that the batteries hold up.
    fn held_up(&self, settled: &Settled, volts: f64) -> Derivation {
        const SHARED: &str =
            "the car's volts, as far as the battery stands above or below its mark";
        let tables = self.tables;
        let first = tables.batteries.first().zip(settled.on.flow());
        let over = first.and_then(|(row, flow)| {
            let element = &tables.elements[row.element];
            let [plus, minus] = element.ends;
            let across = flow.across(tables, plus, minus);
            (across > 0.0).then_some((element.part, across))
        });
        let Some((battery, across)) = over else {
            let car = Input { symbol: "Uₙ", ..self.car_volts("Uₙ") };
            let of = Subject::Metal;
            return derive(of, (volts, "V"), "U = Uₙ", SHARED, [car]);
        };
        let placed = self.elements(battery);
        let marked = placed.iter().find_map(|placed| match placed.element {
            Element::Battery { volts, .. } => placed.figure("Uₘ", "V", volts),
            _ => None,
        });
        let of = Subject::Part(battery);
        let across = solved("Uᵦ", across, "V", of.clone());
        let inputs: Vec<Input> =
            [Some(across), marked, Some(self.car_volts("Uₙ"))].into_iter().flatten().collect();
        derive(of, (volts, "V"), "U = Uᵦ / Uₘ · Uₙ", SHARED, inputs)
    }
}
