//! The rate of a flasher: fixed by its timer, or by how its wire warms and cools.

use loomwright_circuit::part_type::Element;

use super::{Derivation, Input, Placed, WhyFlow, assumed, computed, derive, solved};
use crate::flasher::{
    ELECTRONIC_A_MINUTE, ELECTRONIC_SOURCE, Flashes, Found, THERMAL_SOURCE, WIRE, flashes,
};
use crate::reading::flasher_found;

impl WhyFlow<'_> {
    /// Flashes a minute; nothing of one that is not at work.
    pub(super) fn flashing(&self, placed: &Placed<'_>, flasher: usize) -> Option<Derivation> {
        let tables = self.why.tables;
        let row = &tables.flashers[flasher];
        let found = flasher_found(tables, self.flow, self.turns, flasher)?;
        let Flashes::At(flashing) = flashes(row, found, tables.system_volts) else { return None };
        if row.is_thermal {
            return self.warming(placed, found, flashing.per_minute);
        }
        let Element::Flasher { lamp_out_watts, .. } = placed.element else { return None };
        let rate = (flashing.per_minute, "1/min");
        let timed = assumed("r", ELECTRONIC_A_MINUTE, "1/min", ELECTRONIC_SOURCE);
        let least = lamp_out_watts.as_ref().and_then(|watts| placed.figure("Pₗ", "W", watts));
        let Some(least) = least else {
            return Some(derive(placed.itself(), rate, "f = r", ELECTRONIC_SOURCE, [timed]));
        };
        let watts = found.amps * tables.system_volts;
        let power = [contact_amps(placed, found), self.why.car_volts("U")];
        let power = derive(placed.itself(), (watts, "W"), "P = I · U", ELECTRONIC_SOURCE, power);
        let formula = if watts < least.quantity.value {
            "f = 2 · r where P < Pₗ"
        } else {
            "f = r where P ≥ Pₗ"
        };
        let inputs = [timed, computed("P", power), least];
        Some(derive(placed.itself(), rate, formula, ELECTRONIC_SOURCE, inputs))
    }

    fn warming(&self, placed: &Placed<'_>, found: Found, rate: f64) -> Option<Derivation> {
        let Element::Flasher { watts, feed, .. } = placed.element else { return None };
        let source = THERMAL_SOURCE;
        let of = || placed.itself();
        let volts = self.why.tables.system_volts;
        let marked = placed.figure("P", "W", watts)?;
        let heat = found.amps * volts / marked.quantity.value * found.feed_volts / volts;
        let fed = super::Subject::Terminal(placed.id, feed.clone());
        let heat = derive(
            of(),
            (heat, ""),
            "p = I · V / P",
            source,
            [contact_amps(placed, found), solved("V", found.feed_volts, "V", fed), marked],
        );
        let heat = computed("p", heat);
        let constant = |symbol, value, unit| assumed(symbol, value, unit, source);
        let seconds = constant("τ", WIRE.seconds, "s");
        let closes = constant("h₁", WIRE.closes, "");
        let opens = constant("h₂", WIRE.opens, "");
        let p = heat.quantity.value;
        let dark = WIRE.seconds * libm::log((p - WIRE.opens) / (p - WIRE.closes));
        let lit = WIRE.seconds * libm::log(WIRE.closes / WIRE.opens);
        let dark = derive(
            of(),
            (dark, "s"),
            "t₁ = τ · ln((p − h₂) / (p − h₁))",
            source,
            [seconds.clone(), heat, opens.clone(), closes.clone()],
        );
        let inputs = [seconds, closes, opens];
        let lit = derive(of(), (lit, "s"), "t₂ = τ · ln(h₁ / h₂)", source, inputs);
        let inputs = [computed("t₁", dark), computed("t₂", lit)];
        Some(derive(of(), (rate, "1/min"), "f = 60 / (t₁ + t₂)", source, inputs))
    }
}

fn contact_amps(placed: &Placed<'_>, found: Found) -> Input {
    solved("I", found.amps, "A", placed.itself())
}
