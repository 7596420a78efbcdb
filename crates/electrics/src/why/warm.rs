//! How warm a wire gets that touches the metal, and what its cover stands.

use loomwright_circuit::WireId;
use loomwright_units::Amps;

use super::{Derivation, Input, Subject, Why, assumed, computed, constant, derive, solved};
use crate::cable;
use crate::heat::{
    ALL_DAY_SOURCE, AMBIENT, AMBIENT_SOURCE, COPPER_HEAT, Conductor, HEAT_SOURCE, SHORT_TIME_LIMIT,
    SINGLE_IN_AIR_SOURCE, all_day_limit, rated_at_30, rows_beside,
};
use crate::network::Kind;
use crate::study::{Outcome, Warming};

impl Why<'_> {
    /// What its cover stands all day, and what it stands for seconds. Nothing without a size.
    pub fn limits_of_wire(&self, wire: WireId) -> Option<[Derivation; 2]> {
        let known = self.car.wire(wire)?;
        known.copper()?;
        let limit = |celsius: f64, source| {
            let listed = constant("Tₗ", celsius, "°C", source);
            derive(Subject::Wire(wire), (celsius, "°C"), "T = Tₗ", source, [listed])
        };
        Some([
            limit(all_day_limit(known.insulation).0, ALL_DAY_SOURCE),
            limit(SHORT_TIME_LIMIT.0, cable::SHORT_TIME_SOURCE),
        ])
    }

    /// How warm a wire gets that touches the metal: at the end of each current that flows, the first first. A current
    /// with which it runs away ends the list.
    pub fn warming(&self, wire: WireId, outcome: &Outcome) -> Vec<Derivation> {
        let Some(mut from) =
            outcome.course.first().and_then(|first| self.start(wire, outcome.before, first.from.0))
        else {
            return Vec::new();
        };
        let mut found = Vec::new();
        for (step, warming) in outcome.course.iter().enumerate() {
            let lasts = self.lasts("t", outcome, step);
            let Some(next) = self.warmed(wire, warming, from.clone(), lasts) else { break };
            found.push(next.clone());
            from = Input { symbol: "T₀", ..computed("T", next) };
        }
        found
    }

    /// How long until a wire that touches the metal is as warm as its cover stands for seconds; nothing where it does
    /// not get there, or is so from the first.
    pub fn burns_after(&self, wire: WireId, outcome: &Outcome) -> Option<Derivation> {
        let conductor = Conductor::new(self.car.wire(wire)?.copper()?, AMBIENT);
        let gets_there = |warming: &Warming| {
            let lasts = warming.lasts.map_or(f64::INFINITY, |lasts| lasts.0);
            let until = conductor.until(warming.from, warming.amps, SHORT_TIME_LIMIT);
            until.is_some_and(|until| until.0 <= lasts)
        };
        let step = outcome.course.iter().position(gets_there)?;
        let warming = outcome.course[step];
        if warming.from.0 >= SHORT_TIME_LIMIT.0 {
            return None;
        }
        let from = match step.checked_sub(1) {
            Some(last) => computed("T", self.warming(wire, outcome).into_iter().nth(last)?),
            None => self.start(wire, outcome.before, warming.from.0)?,
        };
        let [rate, push] = self.rates(wire, conductor, warming.amps)?;
        let earlier = (0..step).filter_map(|earlier| self.lasts("t₀", outcome, earlier));
        let mut inputs: Vec<Input> = earlier.collect();
        let limit = constant("Tₗ", SHORT_TIME_LIMIT.0, "°C", cable::SHORT_TIME_SOURCE);
        inputs.extend([rate, limit, Input { symbol: "T₀", ..from }, push]);
        Some(derive(
            Subject::Touch(wire),
            (outcome.burns_after?.0, "s"),
            "t = Σ t₀ + ln(1 + r · (Tₗ − T₀) / (p + r · T₀)) / r",
            HEAT_SOURCE,
            inputs,
        ))
    }

    /// How long the device that ends a current takes, by its list; nothing of a current that nothing ends.
    fn lasts(&self, symbol: &'static str, outcome: &Outcome, step: usize) -> Option<Input> {
        let lasts = outcome.course.get(step)?.lasts?;
        let device = outcome.devices.get(step)?;
        let elements = self.elements(device.part);
        let placed = elements.iter().find(|placed| placed.row.names == device.between)?;
        let Kind::Fuse { rating: Some(rating) } = placed.row.kind else { return None };
        Some(constant(symbol, lasts.0, "s", rating.gates_source()))
    }

    /// How warm the current before the touch keeps it, but for what is too warm without any fault.
    fn start(&self, wire: WireId, before: Amps, celsius: f64) -> Option<Input> {
        let conductor = Conductor::new(self.car.wire(wire)?.copper()?, AMBIENT);
        let all_day = all_day_limit(self.car.wire(wire)?.insulation).0;
        let limit = constant("Tₗ", all_day, "°C", ALL_DAY_SOURCE);
        let air = assumed("Tₐ", AMBIENT.0, "°C", AMBIENT_SOURCE);
        let of = Subject::Wire(wire);
        let start = (celsius, "°C");
        let start = if conductor.in_the_end(before).is_some() {
            let [rate, push] = self.rates(wire, conductor, before)?;
            let formula = "T₀ = min(−p / r, max(Tₗ, Tₐ))";
            derive(of, start, formula, HEAT_SOURCE, [push, rate, limit, air])
        } else {
            derive(of, start, "T₀ = max(Tₗ, Tₐ)", HEAT_SOURCE, [limit, air])
        };
        Some(computed("T₀", start))
    }

    fn warmed(
        &self,
        wire: WireId,
        warming: &Warming,
        from: Input,
        lasts: Option<Input>,
    ) -> Option<Derivation> {
        let conductor = Conductor::new(self.car.wire(wire)?.copper()?, AMBIENT);
        let [rate, push] = self.rates(wire, conductor, warming.amps)?;
        let (of, to) = (Subject::Touch(wire), (warming.to?.0, "°C"));
        if warming.lasts.is_none() {
            return Some(derive(of, to, "T = −p / r", HEAT_SOURCE, [push, rate]));
        }
        let formula = "T = T₀ + (p + r · T₀) · (exp(r · t) − 1) / r";
        Some(derive(of, to, formula, HEAT_SOURCE, [from, push, rate, lasts?]))
    }

    /// The rate at which its temperature runs to the one in the long run, and its heating at 0 °C.
    fn rates(&self, wire: WireId, conductor: Conductor, amps: Amps) -> Option<[Input; 2]> {
        let of = || Subject::Touch(wire);
        let area = self.area(wire)?;
        let square_mm = area.quantity.value;
        let rho = || constant("ρ", cable::RESISTIVITY, "Ω·mm²/m", cable::RESISTIVITY_SOURCE);
        let alpha =
            || constant("α", cable::TEMPERATURE_COEFFICIENT, "1/K", cable::TEMPERATURE_SOURCE);
        let watts = amps.0 * amps.0 * cable::RESISTIVITY / square_mm;
        let inputs = [solved("I", amps.0, "A", of()), rho(), area.clone()];
        let watts = derive(of(), (watts, "W/m"), "P = I² · ρ / a", "Joule's law", inputs);
        let watts = computed("P", watts);
        let stored = constant("Q", COPPER_HEAT, "J/(K·mm²·m)", HEAT_SOURCE);
        let inputs = [stored, area.clone()];
        let stored = (COPPER_HEAT * square_mm, "J/(K·m)");
        let stored = computed("C", derive(of(), stored, "C = Q · a", HEAT_SOURCE, inputs));
        let listed = computed("Iₗ", listed_amps(wire, area.clone()));
        let lost = listed.quantity.value * listed.quantity.value * cable::RESISTIVITY / square_mm
            * (1.0 + cable::TEMPERATURE_COEFFICIENT * 50.0)
            / 40.0;
        let lost = derive(
            of(),
            (lost, "W/(K·m)"),
            "h = Iₗ² · ρ / a · (1 + α · 50) / 40",
            SINGLE_IN_AIR_SOURCE,
            [listed, rho(), area, alpha()],
        );
        let lost = computed("h", lost);
        let (rate, push) = conductor.rates(amps.0);
        let air = assumed("Tₐ", AMBIENT.0, "°C", AMBIENT_SOURCE);
        let rate = derive(
            of(),
            (rate, "1/s"),
            "r = (P · α − h) / C",
            HEAT_SOURCE,
            [watts.clone(), alpha(), lost.clone(), stored.clone()],
        );
        let push = derive(
            of(),
            (push, "K/s"),
            "p = (P · (1 − 20 · α) + h · Tₐ) / C",
            HEAT_SOURCE,
            [watts, alpha(), lost, air, stored],
        );
        Some([computed("r", rate), computed("p", push)])
    }
}

/// The current that brings a single cable from 30 °C to 70 °C.
fn listed_amps(wire: WireId, area: Input) -> Derivation {
    let square_mm = area.quantity.value;
    let [low, high] = rows_beside(square_mm);
    let listed = |symbol, value, unit| constant(symbol, value, unit, SINGLE_IN_AIR_SOURCE);
    derive(
        Subject::Wire(wire),
        (rated_at_30(square_mm), "A"),
        "Iₗ = I₁ · (a / a₁)^(ln(I₂ / I₁) / ln(a₂ / a₁))",
        SINGLE_IN_AIR_SOURCE,
        [
            listed("I₁", low.1, "A"),
            area,
            listed("a₁", low.0, "mm²"),
            listed("I₂", high.1, "A"),
            listed("a₂", high.0, "mm²"),
        ],
    )
}
