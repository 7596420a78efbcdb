//! How warm a cable gets, and how soon: a conductor that stores heat and loses it to the air.
//!
//! C · dT/dt = I² · R · (1 + α · (T − 20 °C)) − h · (T − ambient), per metre, with
//! - C = Qc · S, the heat that the copper takes up (the cover's own is left out, which is on the safe side);
//! - R = ρ / S at 20 °C;
//! - h fitted so that each size of the continental table, at its 30 °C current, just comes to 70 °C.
//!
//! While hardly any heat has left, this is the adiabatic law of IEC 60364-5-54, I² · t = k² · S²; in the long run it is
//! the published rating. It is linear in T, so temperatures and times come out in closed form.
//!
//! # Source
//! Qc: IEC 60364-5-54, annex A (memory). Ratings: DIN VDE 0298-4, PVC 70 °C, single cable in air at 30 °C, as printed at
//! t3-pedia.de. Cable in a bundle with others that are loaded gets warmer; that is not computed.

use loomwright_circuit::Insulation;
use loomwright_units::{Amps, Celsius, Seconds, WireArea};

use crate::cable::{RESISTIVITY, TEMPERATURE_COEFFICIENT};

/// Heat that copper takes up, J/(K·mm²·m).
pub(crate) const COPPER_HEAT: f64 = 3.45;

/// Who says so, and how a conductor warms.
pub(crate) const HEAT_SOURCE: &str = "IEC 60364-5-54, annex A (memory): heat that copper takes up, less what it loses to \
     the air";

/// Air that vehicle cable is judged in: a warm engine bay, 50 °C, the second column of the continental table.
pub const AMBIENT: Celsius = Celsius(50.0);

/// Who says so.
pub const AMBIENT_SOURCE: &str = "a warm engine bay, the second column of DIN VDE 0298-4";

/// What PVC stands for seconds only: 160 °C.
///
/// # Source
/// IEC 60364-5-54, as quoted on "The Adiabatic Equation and k Factor", mycableengineering.com.
pub const SHORT_TIME_LIMIT: Celsius = Celsius(160.0);

/// Size (mm²) and the current (A) that brings it from 30 °C to 70 °C.
///
/// # Source
/// [`SINGLE_IN_AIR_SOURCE`].
pub const SINGLE_IN_AIR_30: [(f64, f64); 13] = [
    (1.0, 19.0),
    (1.5, 24.0),
    (2.5, 32.0),
    (4.0, 42.0),
    (6.0, 54.0),
    (10.0, 73.0),
    (16.0, 98.0),
    (25.0, 129.0),
    (35.0, 158.0),
    (50.0, 198.0),
    (70.0, 245.0),
    (95.0, 292.0),
    (120.0, 344.0),
];

/// Who says so.
pub const SINGLE_IN_AIR_SOURCE: &str =
    "DIN VDE 0298-4, PVC 70 °C, single cable in air at 30 °C, as printed at t3-pedia.de";

/// Who says what covers stand all day.
pub const ALL_DAY_SOURCE: &str = "PVC 70 °C: DIN VDE 0298-4 (seen); thin wall 105 °C: FLRY and UK suppliers' data \
     (memory); rubber under cotton 60 °C: natural rubber cable (memory); unknown: as PVC";

/// What a cover stands all day.
///
/// # Source
/// [`ALL_DAY_SOURCE`].
pub fn all_day_limit(insulation: Option<Insulation>) -> Celsius {
    match insulation {
        Some(Insulation::ThinWall) => Celsius(105.0),
        Some(Insulation::Cotton) => Celsius(60.0),
        Some(Insulation::Pvc) | None => Celsius(70.0),
    }
}

/// A conductor in air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Copper, mm².
    square_mm: f64,
    /// Heat lost per kelvin above the air, W/(K·m).
    loss: f64,
    ambient: f64,
}

impl Conductor {
    /// A single cable of this copper in air of this temperature.
    pub fn new(size: WireArea, ambient: Celsius) -> Self {
        let square_mm = size.square_mm();
        let amps = rated_at_30(square_mm);
        let hot = 1.0 + TEMPERATURE_COEFFICIENT * 50.0;
        let loss = amps * amps * RESISTIVITY / square_mm * hot / 40.0;
        Self { square_mm, loss, ambient: ambient.0 }
    }

    /// The same, as if no heat left it.
    #[must_use]
    pub fn adiabatic(self) -> Self {
        Self { loss: 0.0, ..self }
    }

    /// The rate (1/s) at which its temperature runs from or to the one in the long run, and the heating at 0 °C (K/s).
    pub(crate) fn rates(self, amps: f64) -> (f64, f64) {
        let watts = amps * amps * RESISTIVITY / self.square_mm;
        let stored = COPPER_HEAT * self.square_mm;
        let rate = (watts * TEMPERATURE_COEFFICIENT - self.loss) / stored;
        let push = watts * (1.0 - 20.0 * TEMPERATURE_COEFFICIENT) + self.loss * self.ambient;
        (rate, push / stored)
    }

    /// Its temperature after a current has flowed for a time.
    pub fn after(self, start: Celsius, amps: Amps, time: Seconds) -> Celsius {
        let (rate, push) = self.rates(amps.0);
        let grown = rate * time.0;
        // (e^x − 1) / x, without loss near zero.
        let share = if grown.abs() < 1e-12 { 1.0 } else { libm::expm1(grown) / grown };
        Celsius(start.0 + (push + rate * start.0) * time.0 * share)
    }

    /// Its temperature in the long run; nothing where it runs away.
    pub fn in_the_end(self, amps: Amps) -> Option<Celsius> {
        let (rate, push) = self.rates(amps.0);
        (rate < 0.0).then(|| Celsius(-push / rate))
    }

    /// The current that brings it to a temperature in the long run.
    pub fn steady(self, limit: Celsius) -> Amps {
        let hot = 1.0 + TEMPERATURE_COEFFICIENT * (limit.0 - 20.0);
        let over = (limit.0 - self.ambient).max(0.0);
        Amps((self.loss * over * self.square_mm / (RESISTIVITY * hot)).sqrt())
    }

    /// How long until it reaches a temperature; nothing where it never does.
    ///
    /// # Example
    /// ```
    /// use loomwright_electrics::heat::{AMBIENT, Conductor};
    /// use loomwright_units::{Amps, Celsius, WireArea};
    /// // Worked example: 2.0 mm² PVC at 70 °C stands 400 A for 0.331 s (IEC 60364-5-54, k 115).
    /// let cable = Conductor::new(WireArea::new(2.0).unwrap(), AMBIENT);
    /// let time = cable.until(Celsius(70.0), Amps(400.0), Celsius(160.0)).unwrap();
    /// assert!((time.0 - 0.331).abs() < 0.003);
    /// ```
    pub fn until(self, start: Celsius, amps: Amps, limit: Celsius) -> Option<Seconds> {
        if start.0 >= limit.0 {
            return Some(Seconds(0.0));
        }
        let (rate, push) = self.rates(amps.0);
        let speed = push + rate * start.0;
        let there = push + rate * limit.0;
        // It gets there if it still warms up on arrival.
        if speed <= 0.0 || there <= 0.0 {
            return None;
        }
        let risen = limit.0 - start.0;
        let x = rate * risen / speed;
        let share = if x.abs() < 1e-12 { 1.0 } else { libm::log1p(x) / x };
        Some(Seconds(risen / speed * share))
    }
}

/// The current that brings a single cable from 30 °C to 70 °C: between listed sizes, and below the smallest, by the
/// power law through the two rows beside it.
pub(crate) fn rated_at_30(square_mm: f64) -> f64 {
    let [low, high] = rows_beside(square_mm);
    let power = libm::log(high.1 / low.1) / libm::log(high.0 / low.0);
    low.1 * libm::pow(square_mm / low.0, power)
}

/// The two rows beside a size.
pub(crate) fn rows_beside(square_mm: f64) -> [(f64, f64); 2] {
    let rows = &SINGLE_IN_AIR_30;
    let above = rows.iter().position(|row| square_mm < row.0).unwrap_or(rows.len());
    let above = above.clamp(1, rows.len() - 1);
    [rows[above - 1], rows[above]]
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::cable::SHORT_TIME_K;

    fn cable(square_mm: f64, ambient: f64) -> Conductor {
        Conductor::new(WireArea::new(square_mm).expect("a size"), Celsius(ambient))
    }

    #[test]
    fn the_other_column_of_the_table_is_met() {
        // DIN VDE 0298-4 at 50 °C (seen at t3-pedia.de): these currents come to 70 °C too.
        let rows =
            [(1.0, 13.5), (2.5, 22.7), (6.0, 38.3), (16.0, 69.6), (50.0, 140.0), (120.0, 244.0)];
        for (square_mm, amps) in rows {
            let end = cable(square_mm, 50.0).in_the_end(Amps(amps)).expect("an end").0;
            assert!((end - 70.0).abs() < 0.7, "{square_mm} mm² comes to {end} °C");
        }
    }

    #[test]
    fn without_loss_it_is_the_adiabatic_law() {
        // IEC 60364-5-54: k = √(Qc · (B + 20) / ρ · ln((B + Tf) / (B + Ti))) = 114.8, tabulated 115.
        for (square_mm, amps) in [(1.0, 500.0), (2.0, 400.0), (6.0, 900.0)] {
            let cold = cable(square_mm, 30.0).adiabatic();
            let time = cold.until(Celsius(70.0), Amps(amps), SHORT_TIME_LIMIT).expect("a time").0;
            let k = amps * time.sqrt() / square_mm;
            assert_relative_eq!(k, 114.8, max_relative = 2e-3);
            assert_relative_eq!(k, SHORT_TIME_K, max_relative = 4e-3);
        }
        // Worked example 17: 1.0 mm² at 500 A, 0.0529 s; losing heat, a hair longer.
        let time = cable(1.0, 30.0).until(Celsius(70.0), Amps(500.0), SHORT_TIME_LIMIT);
        assert_relative_eq!(time.expect("a time").0, 0.0529, max_relative = 5e-3);
    }

    #[test]
    fn time_and_temperature_are_each_others_inverse() {
        for amps in [5.0, 18.0, 30.0, 60.0, 200.0] {
            let cable = cable(1.5, 50.0);
            let Some(time) = cable.until(Celsius(50.0), Amps(amps), Celsius(66.0)) else {
                assert!(cable.in_the_end(Amps(amps)).expect("an end").0 <= 66.0, "{amps} A");
                continue;
            };
            assert_relative_eq!(
                cable.after(Celsius(50.0), Amps(amps), time).0,
                66.0,
                max_relative = 1e-9
            );
        }
    }

    #[test]
    fn more_current_is_never_cooler_and_a_large_one_runs_away() {
        let cable = cable(1.0, 50.0);
        let mut before = 0.0;
        for step in 0..100 {
            let amps = Amps(f64::from(step));
            let now = cable.after(AMBIENT, amps, Seconds(300.0)).0;
            assert!(now >= before);
            before = now;
        }
        assert_eq!(cable.in_the_end(Amps(200.0)), None);
        assert_relative_eq!(
            cable.in_the_end(Amps(0.0)).expect("an end").0,
            50.0,
            max_relative = 1e-9
        );
    }
}
