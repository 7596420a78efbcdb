//! What generators give: the volts that a regulator holds, and the current up to which it does.

use loomwright_circuit::part_type::{Element, Figure};

use super::law::above;
use super::{
    Derivation, Input, Origin, Placed, Subject, Why, WhyFlow, assumed, computed, constant, derive,
    input,
};
use crate::law::{LEAK, LEAK_SOURCE, Law, SAG_VOLTS, SOURCE_SOURCE, SOURCE_WIDTH};
use crate::{assumed as usual, losses};

const REGULATED: &str = "regulated volts of a 12 V car, in proportion to those of the car";

impl WhyFlow<'_> {
    /// A supply that is its EMF and a resistance: a battery, or a dynamo that is not excited or turns slowly.
    pub(super) fn linear_amps(
        &self,
        placed: &Placed<'_>,
        (emf, ohms): (f64, f64),
        takes: bool,
        (of, amps): (Subject, f64),
        across: Input,
    ) -> Option<Derivation> {
        let (emf, ohms) = match placed.element {
            Element::Battery { .. } => {
                (self.why.battery_emf(placed)?, self.why.battery_ohms(placed, takes)?)
            }
            _ => self.why.slow_dynamo(&of, emf, ohms),
        };
        let inputs = [across, computed("E", emf), computed("R", ohms)];
        let source = "Ohm's law; current counts into the plus post";
        Some(derive(of, (amps, "A"), "I = (U − E) / R", source, inputs))
    }

    /// A source that holds its volts with nothing to feed, and a little less the more it gives, up to its limit.
    pub(super) fn source_amps(
        &self,
        placed: &Placed<'_>,
        law: Law,
        (of, amps): (Subject, f64),
        across: Input,
    ) -> Option<Derivation> {
        let Law::Source { volts, amps: limit, sag } = law else { return None };
        let [open, sags] = self.why.held(placed, volts, sag)?;
        let limit = limit_of(placed, limit)?;
        let siemens = derive(
            of.clone(),
            (limit.quantity.value / sag, "S"),
            "G = Iₘ / s",
            SOURCE_SOURCE,
            [limit, sags.clone()],
        );
        let share = assumed("b", SOURCE_WIDTH, "", SOURCE_SOURCE);
        let width = (SOURCE_WIDTH * sag, "V");
        let width = derive(of.clone(), width, "w = b · s", SOURCE_SOURCE, [share, sags.clone()]);
        let width = computed("w", width);
        let (u, bent) = (across.quantity.value, "h = w · ln(1 + exp(x / w))");
        let low = [open.clone(), across.clone()];
        let low = above(&of, ["x = U₀ − U", "h = x", bent], low, (volts - u, &width));
        let high = [open, across.clone(), sags];
        let high = above(&of, ["x = U₀ − U − s", "h = x", bent], high, (volts - u - sag, &width));
        let leak = assumed("g", LEAK, "S", LEAK_SOURCE);
        let (low, high) = (computed("h₀", low), computed("h₁", high));
        let inputs = [leak, across, computed("G", siemens), low, high];
        Some(derive(of, (amps, "A"), "I = g · U − G · (h₀ − h₁)", SOURCE_SOURCE, inputs))
    }
}

impl Why<'_> {
    /// EMF and resistance of a dynamo whose field is not excited, or that turns too slowly.
    fn slow_dynamo(&self, of: &Subject, emf: f64, ohms: f64) -> (Derivation, Derivation) {
        let source = usual::DYNAMO_SOURCE;
        let volts = self.tables.system_volts;
        let is_residual = emf < 0.5 * usual::DYNAMO_SLOW_SHARE * volts;
        let (formula, share) = if is_residual {
            ("E = e · U / 12", assumed("e", usual::RESIDUAL_VOLTS, "V", source))
        } else {
            ("E = e · U", assumed("e", usual::DYNAMO_SLOW_SHARE, "", source))
        };
        let emf = in_proportion(of, formula, (emf, source), [share, self.car_volts("U")]);
        let armature = assumed("r", usual::ARMATURE_OHMS, "Ω", source);
        let inputs = [armature, self.car_volts("U")];
        (emf, derive(of.clone(), (ohms, "Ω"), "R = r · (U / 12)²", source, inputs))
    }

    /// Volts with nothing to feed, and by how much they sag at the limit.
    fn held(&self, placed: &Placed<'_>, volts: f64, sag: f64) -> Option<[Input; 2]> {
        let of = placed.itself();
        match placed.element {
            Element::Generator { volts: given, .. } => {
                let inputs =
                    [placed.figure("v", "V", given)?, self.car_volts("U"), self.charging()];
                let formula = "U₀ = v · U / 12 · c";
                let open = in_proportion(&of, formula, (volts, REGULATED), inputs);
                Some([computed("U₀", open), assumed("s", SAG_VOLTS, "V", SOURCE_SOURCE)])
            }
            Element::Dynamo { .. } => {
                let [open, loaded] = self.box_of(volts).unwrap_or_else(|| self.unregulated(&of));
                let least = assumed("d", SAG_VOLTS, "V", SOURCE_SOURCE);
                let open = Input { symbol: "U₀", ..open };
                let inputs = [open.clone(), loaded, least, self.car_volts("U")];
                let formula = "s = max(U₀ − U₁, d · U / 12)";
                let sags = derive(of, (sag, "V"), formula, SOURCE_SOURCE, inputs);
                Some([open, computed("s", sags)])
            }
            _ => None,
        }
    }

    fn charging(&self) -> Input {
        assumed("c", self.tables.losses.charging, "", losses::SOURCE)
    }

    /// A dynamo without a control box.
    fn unregulated(&self, of: &Subject) -> [Input; 2] {
        let source = usual::DYNAMO_SOURCE;
        let car = self.tables.system_volts;
        let share = assumed("v", usual::UNREGULATED_SHARE, "", source);
        let volts = (usual::UNREGULATED_SHARE * car, source);
        let open = in_proportion(of, "U₀ = v · U", volts, [share, self.car_volts("U")]);
        [computed("U₀", open), input("U₁", car, "V", Origin::OfCar)]
    }

    /// The control box that holds these volts with nothing to feed: those, and those with the greatest load.
    fn box_of(&self, volts: f64) -> Option<[Input; 2]> {
        let parts = self.tables.parts.keys();
        let boxes = parts.flat_map(|part| self.elements(*part));
        let held = boxes.filter_map(|placed| self.box_volts(&placed));
        let is_meant = |[open, _]: &[Input; 2]| (open.quantity.value - volts).abs() < 1e-9 * volts;
        held.into_iter().find(is_meant)
    }

    fn box_volts(&self, placed: &Placed<'_>) -> Option<[Input; 2]> {
        let Element::ControlBox { volts, loaded_volts, celsius, .. } = placed.element else {
            return None;
        };
        let of = placed.itself();
        let car = self.tables.system_volts;
        let is_usual = matches!(volts, Figure::Fact(_)) && !placed.is_stated(volts);
        let six = if car == 6.0 && is_usual { usual::SIX_VOLT_BOX_SHARE } else { 1.0 };
        let in_proportion_to = car / 12.0 * self.tables.losses.charging;
        let (given, celsius) =
            (placed.figure("v", "V", volts)?, placed.figure("t", "°C", celsius)?);
        let open = usual::open_circuit_volts(six * given.quantity.value, celsius.quantity.value);
        let open = in_proportion(
            &of,
            "U₀ = (k · v − a · (t − 20)) · U / 12 · c",
            (open * in_proportion_to, usual::REGULATOR_VOLTS_SOURCE),
            [
                constant("k", six, "", usual::SIX_VOLT_BOX_SOURCE),
                given,
                constant(
                    "a",
                    usual::REGULATOR_VOLTS_A_KELVIN,
                    "V/K",
                    usual::REGULATOR_VOLTS_SOURCE,
                ),
                celsius,
                self.car_volts("U"),
                self.charging(),
            ],
        );
        let given = placed.figure("v", "V", loaded_volts)?;
        let loaded = given.quantity.value * in_proportion_to;
        let inputs = [given, self.car_volts("U"), self.charging()];
        let loaded = in_proportion(&of, "U₁ = v · U / 12 · c", (loaded, REGULATED), inputs);
        Some([computed("U₀", open), computed("U₁", loaded)])
    }
}

/// The greatest current: that at tick-over or that at speed, whichever the engine does.
fn limit_of(placed: &Placed<'_>, limit: f64) -> Option<Input> {
    let (Element::Generator { idle_amps, amps, .. } | Element::Dynamo { idle_amps, amps, .. }) =
        placed.element
    else {
        return None;
    };
    let figures = [amps, idle_amps].into_iter();
    let mut known = figures.filter_map(|figure| placed.figure("Iₘ", "A", figure));
    known.find(|known| known.quantity.value == limit)
}

fn in_proportion(
    of: &Subject,
    formula: &'static str,
    (volts, source): (f64, &'static str),
    inputs: impl Into<Vec<Input>>,
) -> Derivation {
    derive(of.clone(), (volts, "V"), formula, source, inputs)
}
