//! A lead-acid battery by its charge and temperature: volts at rest, internal resistance, what it holds and how long.

use crate::assumed;

/// Volts of six cells at rest, by the share of charge left.
///
/// # Source
/// [`REST_SOURCE`]; the hydrometer's rule, specific gravity and 0.84 V a cell, agrees within 0.03 V. Other lists stand up
/// to 0.15 V lower below half charge.
pub const REST_VOLTS: [(f64, f64); 5] =
    [(0.0, 11.89), (0.25, 12.15), (0.5, 12.30), (0.75, 12.45), (1.0, 12.66)];

/// Who says so.
pub const REST_SOURCE: &str = "25 to 100 %: \"Q & A: Checking & Maintaining Batteries\", motorhome.com, rested, flooded \
     (seen); empty: battery makers' table (memory)";

/// What is taken for a battery that does not state its charge or temperature.
pub const CHARGED_SOURCE: &str = "taken as charged and at 20 °C, since nothing else is stated";

/// What a battery loses in capacity for each kelvin under 20 °C, as a share.
///
/// # Source
/// [`CAPACITY_SOURCE`].
pub const CAPACITY_A_KELVIN: f64 = 0.008;

/// Who says so.
pub const CAPACITY_SOURCE: &str =
    "practice: 0.8 % a kelvin for flooded cells; makers give 0.6 to 1 %";

/// Kelvin under 20 °C at which the internal resistance has doubled: from 20 to −18 °C, the cold of starting tests.
///
/// # Source
/// [`DOUBLES_SOURCE`].
pub const DOUBLES_IN_KELVIN: f64 = 38.0;

/// Who says so.
pub const DOUBLES_SOURCE: &str = "practice: it doubles when cold, from 20 to −18 °C";

/// Share of its charge with which a battery still starts the car.
///
/// # Source
/// [`START_CHARGE_SOURCE`].
pub const START_CHARGE: f64 = 0.5;

/// Who says so.
pub const START_CHARGE_SOURCE: &str = "practice: half of the capacity is usable";

/// Peukert's exponent.
///
/// # Source
/// [`PEUKERT_SOURCE`].
pub const PEUKERT: f64 = 1.2;

/// Who says so.
pub const PEUKERT_SOURCE: &str =
    "Peukert's law; practice: 1.1 to 1.3 for flooded starter batteries";

/// What has to be put in over what was taken out.
///
/// # Source
/// Practice: 1.15 to 1.2 for flooded cells.
pub const PUT_BACK: f64 = 1.15;

/// A battery's figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Marked voltage, V.
    pub volts: f64,
    /// Marked capacity at 20 °C, Ah.
    pub amp_hours: f64,
    /// Share of its charge that is left.
    pub charge: f64,
    /// Temperature, °C.
    pub celsius: f64,
}

impl Battery {
    /// A charged one at 20 °C.
    pub fn new(volts: f64, amp_hours: f64) -> Self {
        Self { volts, amp_hours, charge: 1.0, celsius: 20.0 }
    }

    /// Volts at rest, in proportion to the cells; a line between the listed points. Temperature changes it by a fifth of
    /// a millivolt a cell and kelvin, which is left out.
    ///
    /// # Example
    /// ```
    /// use loomwright_electrics::Battery;
    /// let half = Battery { charge: 0.5, ..Battery::new(6.0, 60.0) };
    /// assert!((half.emf() - 6.15).abs() < 1e-9);
    /// ```
    pub fn emf(self) -> f64 {
        let charge = self.charge.clamp(0.0, 1.0);
        let [(low, from), (high, to)] = self.listed();
        let volts = from + (to - from) * (charge - low) / (high - low);
        volts * self.volts / 12.0
    }

    /// The listed points on either side of its charge.
    pub(crate) fn listed(self) -> [(f64, f64); 2] {
        let charge = self.charge.clamp(0.0, 1.0);
        let above = REST_VOLTS.iter().position(|(share, _)| *share >= charge).unwrap_or(1).max(1);
        [REST_VOLTS[above - 1], REST_VOLTS[above]]
    }

    /// Internal resistance while it gives, ohm: that of [`assumed::battery_ohms`] when charged and at 20 °C, twice that
    /// at −18 °C, and twice that when empty. Above 20 °C it is taken as at 20 °C.
    ///
    /// # Source
    /// Practice.
    pub fn ohms(self) -> f64 {
        assumed::battery_ohms(self.volts, self.amp_hours) * self.cold() * 2.0
            / (1.0 + self.charge.clamp(0.0, 1.0))
    }

    /// Resistance that it sets against charging, ohm: that of [`assumed::battery_charge_ohms`] at 20 °C, twice that at
    /// −18 °C. An empty one takes the more, having a lower EMF.
    pub fn charge_ohms(self) -> f64 {
        assumed::battery_charge_ohms(self.volts, self.amp_hours) * self.cold()
    }

    /// What it would hold when charged, at its temperature, Ah. Never less than a third of its mark.
    pub fn holds_amp_hours(self) -> f64 {
        let lost = CAPACITY_A_KELVIN * (20.0 - self.celsius).max(0.0);
        self.amp_hours * (1.0 - lost).max(1.0 / 3.0)
    }

    /// Hours at a current until it no longer starts the car: until [`START_CHARGE`] of what it holds is left.
    ///
    /// Up to the current that empties it in 20 hours, at which its capacity is marked, hours are capacity over current;
    /// above, they fall as (I₂₀ / I) to the power [`PEUKERT`]. A smaller current is not taken to get more out of it.
    ///
    /// # Units
    /// A in, h out; infinite without a current.
    ///
    /// # Example
    /// ```
    /// use loomwright_electrics::Battery;
    /// // 50 Ah, half of it usable, 30 W at 12 V: 10 h.
    /// assert!((Battery::new(12.0, 50.0).hours_to_no_start(30.0 / 12.0) - 10.0).abs() < 1e-9);
    /// ```
    pub fn hours_to_no_start(self, amps: f64) -> f64 {
        if amps <= 0.0 {
            return f64::INFINITY;
        }
        let holds = self.holds_amp_hours();
        let usable = (self.charge.clamp(0.0, 1.0) - START_CHARGE).max(0.0) * holds;
        let over = (amps / (holds / 20.0)).max(1.0);
        usable / amps / libm::pow(over, PEUKERT - 1.0)
    }

    fn cold(self) -> f64 {
        libm::exp2((20.0 - self.celsius).max(0.0) / DOUBLES_IN_KELVIN)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_charged_warm_battery_is_the_assumed_one() {
        for volts in [6.0, 12.0, 24.0] {
            let battery = Battery::new(volts, 50.0);
            assert!((battery.emf() - assumed::battery_emf(volts)).abs() < 1e-9);
            assert_eq!(battery.ohms(), assumed::battery_ohms(volts, 50.0));
            assert_eq!(battery.charge_ohms(), assumed::battery_charge_ohms(volts, 50.0));
            assert_eq!(battery.holds_amp_hours(), 50.0);
        }
    }

    #[test]
    fn it_falls_with_charge_and_cold() {
        let mut last = Battery { charge: 0.0, ..Battery::new(12.0, 50.0) };
        for percent in 1..=100 {
            let next = Battery { charge: f64::from(percent) / 100.0, ..last };
            assert!(next.emf() > last.emf() && next.ohms() < last.ohms());
            last = next;
        }
        let cold = Battery { celsius: -18.0, ..last };
        assert!((cold.ohms() / last.ohms() - 2.0).abs() < 1e-9);
        assert!(cold.holds_amp_hours() < 0.71 * last.holds_amp_hours());
        assert_eq!(Battery { celsius: 35.0, ..last }.ohms(), last.ohms());
    }
}
