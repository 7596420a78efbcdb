//! The current through lamps, diodes, motors, electronics and supplies, each by its law.

use loomwright_circuit::part_type::{Element, Figure};

use super::motor::motor_amps;
use super::{Derivation, Input, Placed, Subject, WhyFlow, assumed, computed, constant, derive};
use crate::law::{
    CUT_OUT_SIEMENS, CUT_OUT_SOURCE, CUT_OUT_VOLTS, CUT_OUT_WIDTH, DIODE, DIODE_BULK_VOLTS,
    DIODE_SOURCE, LEAK, LEAK_SOURCE, LED_FULL, LED_KNEE, LED_LEAK, LED_SOURCE, LED_WIDTH, Law,
    POWER_FLOOR, hinge,
};
use crate::{assumed as usual, filament};

impl WhyFlow<'_> {
    /// Current by a law, `of` what, from the volts across.
    pub(super) fn law(
        &self,
        placed: &Placed<'_>,
        law: Law,
        of: (Subject, f64),
        across: Input,
    ) -> Option<Derivation> {
        match law {
            Law::Filament { .. } => filament_amps(placed, of, across),
            Law::Threshold { either_way, .. } => {
                let parts = threshold(placed, law)?;
                Some(threshold_amps(of, across, either_way, parts))
            }
            Law::Regulated { either_way, .. } => {
                let parts = threshold(placed, law)?;
                regulated_amps(placed, of, across, either_way, parts)
            }
            Law::Motor(motor) => motor_amps(placed, motor, of, across),
            Law::Power { .. } => power_amps(placed, of, across),
            Law::Battery { emf, gives, takes } => {
                let takes_now = across.quantity.value > emf;
                let siemens = if takes_now { takes } else { gives };
                self.linear_amps(placed, (emf, 1.0 / siemens), takes_now, of, across)
            }
            Law::Source { .. } => self.source_amps(placed, law, of, across),
            Law::Leak(siemens) => {
                let leak = assumed("g", siemens, "S", LEAK_SOURCE);
                Some(derive(of.0, (of.1, "A"), "I = g · U", LEAK_SOURCE, [leak, across]))
            }
        }
    }
}

/// Current at marked volts.
pub(super) fn marked_amps(placed: &Placed<'_>, watts: &Figure, volts: &Figure) -> Option<Input> {
    let (watts, volts) = (placed.figure("P", "W", watts)?, placed.figure("U", "V", volts)?);
    let amps = watts.quantity.value / volts.quantity.value;
    let marked = "power is volts times amps";
    let marked = derive(placed.itself(), (amps, "A"), "I = P / U", marked, [watts, volts]);
    Some(Input { symbol: "Iₙ", ..computed("I", marked) })
}

/// Threshold, conductance, rounding and leak of what conducts from a threshold on.
fn threshold(placed: &Placed<'_>, law: Law) -> Option<[Input; 4]> {
    let of = placed.itself();
    match placed.element {
        Element::Led { watts, volts, .. } => {
            let marked = placed.figure("U", "V", volts)?;
            let amps = marked_amps(placed, watts, volts)?;
            Some(led_parts(&of, law, &marked, &amps))
        }
        Element::Diode { amps, .. } => {
            let usual_amps = (usual::DIODE_AMPS, usual::DIODE_AMPS_SOURCE);
            let given = amps.as_ref().and_then(|amps| placed.figure("Iₙ", "A", amps));
            let given = given.filter(|given| given.quantity.value > 0.0);
            let given = given.unwrap_or_else(|| assumed("Iₙ", usual_amps.0, "A", usual_amps.1));
            let siemens = given.quantity.value / DIODE_BULK_VOLTS;
            let bulk = assumed("b", DIODE_BULK_VOLTS, "V", DIODE_SOURCE);
            let inputs = [given, bulk];
            let siemens = derive(of, (siemens, "S"), "G = Iₙ / b", DIODE_SOURCE, inputs);
            Some([
                assumed("U₀", DIODE.0, "V", DIODE_SOURCE),
                computed("G", siemens),
                assumed("w", DIODE.1, "V", DIODE_SOURCE),
                assumed("g", LEAK, "S", LEAK_SOURCE),
            ])
        }
        Element::ControlBox { .. } => Some([
            assumed("U₀", CUT_OUT_VOLTS, "V", CUT_OUT_SOURCE),
            assumed("G", CUT_OUT_SIEMENS, "S", CUT_OUT_SOURCE),
            assumed("w", CUT_OUT_WIDTH * CUT_OUT_VOLTS, "V", CUT_OUT_SOURCE),
            assumed("g", LEAK, "S", LEAK_SOURCE),
        ]),
        _ => None,
    }
}

fn filament_amps(
    placed: &Placed<'_>,
    (of, amps): (Subject, f64),
    across: Input,
) -> Option<Derivation> {
    let Element::Filament { watts, volts, .. } = placed.element else { return None };
    Some(derive(
        of,
        (amps, "A"),
        "I = k · Iₙ · U / Uₙ / (1 + c · (U / Uₙ)²)^((1 − n) / 2)",
        filament::SOURCE,
        [
            constant("k", filament::HOT_OVER_COLD, "", filament::SOURCE),
            marked_amps(placed, watts, volts)?,
            across,
            placed.figure("Uₙ", "V", volts)?,
            constant("c", filament::KNEE, "", filament::SOURCE),
            constant("n", filament::CURRENT_EXPONENT, "", filament::SOURCE),
        ],
    ))
}

/// A share of the marked volts.
fn share_of_marked(
    of: &Subject,
    formula: &'static str,
    share: Input,
    marked: &Input,
) -> Derivation {
    let volts = share.quantity.value * marked.quantity.value;
    derive(of.clone(), (volts, "V"), formula, LED_SOURCE, [share, marked.clone()])
}

fn led_parts(of: &Subject, law: Law, marked: &Input, amps: &Input) -> [Input; 4] {
    let knee = || assumed("s", LED_KNEE, "", LED_SOURCE);
    let rest = marked.quantity.value * (1.0 - LED_KNEE);
    let plain = amps.quantity.value / rest;
    let siemens = || {
        derive(
            of.clone(),
            (plain, "S"),
            "G = Iₙ / (U · (1 − s))",
            LED_SOURCE,
            [amps.clone(), marked.clone(), knee()],
        )
    };
    let conducts = match law {
        Law::Regulated { volts, full, amps: limit, .. } => derive(
            of.clone(),
            (limit / (full - volts), "S"),
            "G = Iₙ / (f · U − s · U)",
            LED_SOURCE,
            [amps.clone(), assumed("f", LED_FULL, "", LED_SOURCE), marked.clone(), knee()],
        ),
        _ => siemens(),
    };
    let leaks = assumed("l", LED_LEAK, "", LED_SOURCE);
    let leak = derive(
        of.clone(),
        (LED_LEAK * plain, "S"),
        "g = l · G",
        LED_SOURCE,
        [leaks, computed("G", siemens())],
    );
    let width = assumed("b", LED_WIDTH, "", LED_SOURCE);
    [
        computed("U₀", share_of_marked(of, "U₀ = s · U", knee(), marked)),
        computed("G", conducts),
        computed("w", share_of_marked(of, "w = b · U", width, marked)),
        computed("g", leak),
    ]
}

/// What lies above a threshold, rounded: `formula` says how far above it, in `x`.
pub(super) fn above(
    of: &Subject,
    symbol: [&'static str; 3],
    inputs: impl Into<Vec<Input>>,
    (over, width): (f64, &Input),
) -> Derivation {
    let source = "what lies above a threshold, rounded over w";
    let [over_formula, plain, bent] = symbol;
    let over_input = computed("x", derive(of.clone(), (over, "V"), over_formula, source, inputs));
    let (value, _) = hinge(over, width.quantity.value);
    let z = over / width.quantity.value;
    let value = (value, "V");
    if z > 36.0 {
        derive(of.clone(), value, plain, source, [over_input])
    } else {
        derive(of.clone(), value, bent, source, [width.clone(), over_input])
    }
}

/// The formulas of [`above`] for a symbol, with how `x` comes about.
const fn first(over: &'static str) -> [&'static str; 3] {
    [over, "h = x", "h = w · ln(1 + exp(x / w))"]
}

fn forward(across: &Input, either_way: bool) -> f64 {
    let volts = across.quantity.value;
    if either_way { volts.abs() } else { volts }
}

fn threshold_amps(
    (of, amps): (Subject, f64),
    across: Input,
    either_way: bool,
    [threshold, siemens, width, leak]: [Input; 4],
) -> Derivation {
    let over = forward(&across, either_way) - threshold.quantity.value;
    let formula = if either_way { "x = |U| − U₀" } else { "x = U − U₀" };
    let above = above(&of, first(formula), [across.clone(), threshold], (over, &width));
    let formula = if either_way && across.quantity.value < 0.0 {
        "I = g · U − G · h"
    } else {
        "I = g · U + G · h"
    };
    let inputs = [leak, across, siemens, computed("h", above)];
    derive(of, (amps, "A"), formula, "nothing below a threshold, then a resistance", inputs)
}

fn regulated_amps(
    placed: &Placed<'_>,
    (of, amps): (Subject, f64),
    across: Input,
    either_way: bool,
    [threshold, siemens, width, leak]: [Input; 4],
) -> Option<Derivation> {
    let Element::Led { volts, .. } = placed.element else { return None };
    let marked = placed.figure("U", "V", volts)?;
    let full = assumed("f", LED_FULL, "", LED_SOURCE);
    let full = computed("U₁", share_of_marked(&of, "U₁ = f · U", full, &marked));
    let rises = forward(&across, either_way) - threshold.quantity.value;
    let capped = forward(&across, either_way) - full.quantity.value;
    let formulas = if either_way {
        ["x = |U| − U₀", "x = |U| − U₁"]
    } else {
        ["x = U − U₀", "x = U − U₁"]
    };
    let low = above(&of, first(formulas[0]), [across.clone(), threshold], (rises, &width));
    let high = above(&of, first(formulas[1]), [across.clone(), full], (capped, &width));
    let formula = if either_way && across.quantity.value < 0.0 {
        "I = g · U − G · (h₀ − h₁)"
    } else {
        "I = g · U + G · (h₀ − h₁)"
    };
    let inputs = [leak, across, siemens, computed("h₀", low), computed("h₁", high)];
    let held = "nothing below a threshold, then a resistance, and no more once it is held";
    Some(derive(of, (amps, "A"), formula, held, inputs))
}

/// Electronics: constant power above the least volts.
fn power_amps(
    placed: &Placed<'_>,
    (of, amps): (Subject, f64),
    across: Input,
) -> Option<Derivation> {
    let Element::Load { watts, volts, .. } = placed.element else { return None };
    let source = usual::ELECTRONICS_LEAST_SOURCE;
    let amps = (amps, "A");
    let marked = placed.figure("U", "V", volts)?;
    let share = assumed("s", usual::ELECTRONICS_LEAST_SHARE, "", source);
    let least = usual::ELECTRONICS_LEAST_SHARE * marked.quantity.value;
    let least = derive(of.clone(), (least, "V"), "Uₘ = s · U", source, [share, marked]);
    let (u, least_volts) = (across.quantity.value, least.figure.value);
    let leak = assumed("g", LEAK, "S", LEAK_SOURCE);
    let floor = POWER_FLOOR * least_volts;
    if u <= floor {
        return Some(derive(of, amps, "I = g · U", LEAK_SOURCE, [leak, across]));
    }
    let power = placed.figure("P", "W", watts)?;
    if u >= least_volts {
        let inputs = [power, across, leak];
        return Some(derive(of, amps, "I = P / U + g · U", source, inputs));
    }
    let share = (u - floor) / (least_volts - floor);
    let reached = derive(
        of.clone(),
        (share, ""),
        "x = (U − b · Uₘ) / (Uₘ − b · Uₘ)",
        source,
        [across.clone(), assumed("b", POWER_FLOOR, "", source), computed("Uₘ", least)],
    );
    let inputs = [power, across, computed("x", reached), leak];
    Some(derive(of, amps, "I = P / U · x² · (3 − 2 · x) + g · U", source, inputs))
}
