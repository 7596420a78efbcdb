//! The current of a motor: what its EMF leaves of the volts, over its armature.

use loomwright_circuit::part_type::{Drives, Element, Figure};

use super::law::marked_amps;
use super::{Derivation, Input, Origin, Placed, Subject, assumed, computed, constant, derive};
use crate::coil::{STARTER_SOURCE, starter_amps};
use crate::motor::{
    self, FAN_FRICTION, LEAST_STALL, LOCKED_SOURCE, LOCKED_VOLTS, Motor, ROUNDED, SOURCE, STALL,
    STALL_SOURCE, STEADY_FRICTION,
};

/// Marked volts and amps of a motor, what it takes held over that, and what it turns.
struct Marked {
    volts: Input,
    amps: Input,
    stall: Input,
    drives: Drives,
}

/// Current of a motor, from the volts across it.
pub(super) fn motor_amps(
    placed: &Placed<'_>,
    motor: Motor,
    (of, amps): (Subject, f64),
    across: Input,
) -> Option<Derivation> {
    let marked = marked(placed)?;
    let ohms = armature(&of, motor, &marked);
    if motor.is_jammed {
        return Some(derive(of, (amps, "A"), "I = U / R", SOURCE, [across, ohms]));
    }
    let emf = emf(&of, motor, &marked, &across, &ohms);
    let inputs = [across, computed("e", emf), ohms];
    Some(derive(of, (amps, "A"), "I = (U − e) / R", SOURCE, inputs))
}

fn marked(placed: &Placed<'_>) -> Option<Marked> {
    match placed.element {
        Element::Load { watts, volts, stall, drives, .. } => {
            let given = stall.as_ref().and_then(|stall| placed.figure("k", "", stall));
            let given = given.filter(|given| given.quantity.value > 0.0);
            Some(Marked {
                volts: placed.figure("Uₙ", "V", volts)?,
                amps: marked_amps(placed, watts, volts)?,
                stall: given.unwrap_or_else(|| assumed("k", STALL, "", STALL_SOURCE)),
                drives: *drives,
            })
        }
        Element::Motor { volts, amps, stall_amps, .. } => {
            let volts = placed.figure("Uₙ", "V", volts)?;
            let [runs, held] =
                starter_amps(placed.part, placed.part_type, placed.element, volts.quantity.value)?;
            let formulas = ["Iₙ = i", "Iₙ = i · 12 / Uₙ"];
            let runs = starter(placed, amps, runs, &volts, formulas)?;
            let formulas = ["Iₕ = i", "Iₕ = i · 12 / Uₙ"];
            let held = starter(placed, stall_amps, held, &volts, formulas)?;
            let share = held.figure.value / LOCKED_VOLTS / runs.figure.value;
            let at = assumed("l", LOCKED_VOLTS, "", LOCKED_SOURCE);
            let runs = computed("Iₙ", runs);
            let inputs = [computed("Iₕ", held), at, runs.clone()];
            let of = placed.itself();
            let stall = derive(of, (share, ""), "k = Iₕ / l / Iₙ", LOCKED_SOURCE, inputs);
            Some(Marked { volts, amps: runs, stall: computed("k", stall), drives: Drives::Steady })
        }
        _ => None,
    }
}

/// A current of a starter: as it is stated, else that of a usual one for the car's volts.
fn starter(
    placed: &Placed<'_>,
    figure: &Figure,
    amps: f64,
    volts: &Input,
    [plain, scaled]: [&'static str; 2],
) -> Option<Derivation> {
    let given = placed.figure("i", "A", figure)?;
    let of = placed.itself();
    Some(if matches!(given.from, Origin::Stated(..)) {
        derive(of, (amps, "A"), plain, STARTER_SOURCE, [given])
    } else {
        derive(of, (amps, "A"), scaled, STARTER_SOURCE, [given, volts.clone()])
    })
}

fn armature(of: &Subject, motor: Motor, marked: &Marked) -> Input {
    let least = constant("kₘ", LEAST_STALL, "", SOURCE);
    let inputs = [marked.volts.clone(), marked.amps.clone(), marked.stall.clone(), least];
    let formula = "R = Uₙ / (Iₙ · max(k, kₘ))";
    computed("R", derive(of.clone(), (motor.ohms, "Ω"), formula, SOURCE, inputs))
}

/// EMF of the turning motor.
fn emf(of: &Subject, motor: Motor, marked: &Marked, across: &Input, ohms: &Input) -> Derivation {
    let of = || of.clone();
    let is_fan = marked.drives == Drives::Fan;
    let friction = if is_fan { FAN_FRICTION } else { STEADY_FRICTION };
    let friction = assumed("f", friction, "", SOURCE);
    let inputs = [friction, ohms.clone(), marked.amps.clone()];
    let starts =
        computed("Uₛ", derive(of(), (motor.starts, "V"), "Uₛ = f · R · Iₙ", SOURCE, inputs));
    let over = |symbol, formula, volts: &Input| {
        let (value, _) = motor::above(volts.quantity.value, motor.starts);
        let rounded = assumed("d", ROUNDED, "", SOURCE);
        let inputs = [volts.clone(), starts.clone(), rounded];
        computed(symbol, derive(of(), (value, "V"), formula, SOURCE, inputs))
    };
    let here =
        over("y", "y = U + (√((U − Uₛ)² + (d · Uₛ)²) − √((U + Uₛ)² + (d · Uₛ)²)) / 2", across);
    let there = over(
        "y₀",
        "y₀ = Uₙ + (√((Uₙ − Uₛ)² + (d · Uₛ)²) − √((Uₙ + Uₛ)² + (d · Uₛ)²)) / 2",
        &marked.volts,
    );
    let inputs = [marked.volts.clone(), ohms.clone(), marked.amps.clone()];
    let emf = derive(of(), (motor.marked_emf, "V"), "e₀ = Uₙ − R · Iₙ", SOURCE, inputs);
    let emf = computed("e₀", emf);
    let value = (motor.emf_at(across.quantity.value), "V");
    if is_fan {
        let square = [there, emf];
        let square = derive(of(), (motor.square, "1/V"), "c = (y₀ − e₀) / e₀²", SOURCE, square);
        let formula = "e = 2 · y / (1 + √(1 + 4 · c · |y|))";
        return derive(of(), value, formula, SOURCE, [here, computed("c", square)]);
    }
    derive(of(), value, "e = y · e₀ / y₀", SOURCE, [here, emf, there])
}
