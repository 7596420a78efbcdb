//! How much is lost in copper, joints, earths and the battery: what nobody knows of a particular car, as a band.

/// Resistances and charging voltage over their usual figures.
///
/// A figure that a part states itself (an earth point's measured resistance) is not varied.
///
/// # Example
/// ```
/// use loomwright_electrics::Losses;
/// assert!(Losses::LEAST.joints < Losses::USUAL.joints && Losses::USUAL.joints < Losses::MOST.joints);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Joints, contacts of switches and relays, fuse holders.
    pub joints: f64,
    /// Earth points.
    pub earths: f64,
    /// Cable.
    pub copper: f64,
    /// The battery's internal resistance.
    pub battery: f64,
    /// The voltage that dynamo or alternator is regulated to.
    pub charging: f64,
}

/// Who says how much is lost.
pub(crate) const SOURCE: &str = "usual losses: copper at 20 °C, clean joints, a battery in use; the band about it: IEC 60028, DIN \
     ISO 6722-3 and practice";

impl Default for Losses {
    fn default() -> Self {
        Self::USUAL
    }
}

impl Losses {
    /// Clean joints, copper at 20 °C, a battery in use: the figures of [`assumed`](crate::assumed).
    pub const USUAL: Self =
        Self { joints: 1.0, earths: 1.0, copper: 1.0, battery: 1.0, charging: 1.0 };

    /// The end of the band at which most current flows: joints half as resistive, copper at 0 °C, a new battery, the
    /// regulator at the top of its setting.
    ///
    /// # Source
    /// Copper: 1 − 0.00393 · 20 (IEC 60028). Battery: 4 of 7.5 milliohm (practice: 4 to 8 for 50 Ah, charged, 20 °C).
    /// Charging: RB340 setting 14.5 to 15.5 V, that is 15 V ± 3.3 %; ACR 13.6 to 14.4 V, 14 V ± 2.9 %. Joints: practice.
    pub const LEAST: Self =
        Self { joints: 0.5, earths: 0.5, copper: 0.921_4, battery: 4.0 / 7.5, charging: 1.033 };

    /// The end at which consumers have least: joints and earths of a car that has stood in the rain, yet none of them
    /// faulty; cable at the limit of its standard in a warm engine bay, a cold battery, the regulator at the bottom of
    /// its setting.
    ///
    /// # Source
    /// Joints: 0.05 V lost in a single connector at 10 A is the most for a clean one (practice). Earths: 0.1 V of a
    /// headlamp earth's way at 10 A, half of it at each end (practice). Copper: 7.6 mΩ/m for 2.5 mm² (DIN ISO 6722-3)
    /// is 1.102 times IEC 60028, and 50 °C another 1.118. Battery: "doubles when cold" (practice).
    pub const MOST: Self =
        Self { joints: 2.5, earths: 10.0, copper: 1.232, battery: 2.0, charging: 0.967 };

    /// Joints, earths and cable so far on the way from the usual to the most, as a share; all else as usual.
    pub fn aged(share: f64) -> Self {
        let on_the_way = |usual: f64, most: f64| usual + share * (most - usual);
        Self {
            joints: on_the_way(Self::USUAL.joints, Self::MOST.joints),
            earths: on_the_way(Self::USUAL.earths, Self::MOST.earths),
            copper: on_the_way(Self::USUAL.copper, Self::MOST.copper),
            ..Self::USUAL
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use loomwright_units::{Celsius, WireArea};

    use super::Losses;
    use crate::{assumed, cable};

    #[test]
    fn the_ends_of_the_band_are_what_their_sources_say() {
        let cold = cable::temperature_factor(Celsius(0.0));
        assert_relative_eq!(Losses::LEAST.copper, cold, max_relative = 1e-3);
        let size = WireArea::new(2.5).expect("a size");
        let listed = cable::iso_6722(size).expect("listed").0;
        let pure = cable::RESISTIVITY / 2.5;
        let warm = cable::temperature_factor(Celsius(50.0));
        assert_relative_eq!(Losses::MOST.copper, listed / pure * warm, max_relative = 1e-2);
        assert_relative_eq!(assumed::CRIMPED_END_OHMS * Losses::MOST.joints * 10.0, 0.05);
        assert_relative_eq!(assumed::EARTH_POINT_OHMS * Losses::MOST.earths * 10.0, 0.05);
        let battery = assumed::battery_ohms(12.0, 50.0);
        assert_relative_eq!(battery * Losses::LEAST.battery, 0.004);
        // RB340 (memory) and ACR (seen) settings.
        for (low, high) in [(14.5, 15.5), (13.6, 14.4)] {
            let middle = 0.5 * (low + high);
            assert_relative_eq!(middle * Losses::LEAST.charging, high, max_relative = 6e-3);
            assert_relative_eq!(middle * Losses::MOST.charging, low, max_relative = 6e-3);
        }
    }
}
