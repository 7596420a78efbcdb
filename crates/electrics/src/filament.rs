//! The law of a tungsten filament: current and light against volts.
//!
//! # Source
//! Lamp rerating (exponents of current and light against volts): 0.55 and 3.4 to 3.5, filament lamps in general;
//! IES Lighting Handbook gives 0.541 and 3.384 for gas-filled lamps. Hot over cold resistance of 12 V lamps: 10 to 16
//! from the resistivity of tungsten (memory); the middle of the trade's figures is taken.

/// Who says so.
pub const SOURCE: &str = "lamp rerating: exponents of current and light against volts, 0.55 and 3.4; hot over cold \
     resistance 10 to 16, the middle of the trade's figures";

/// Exponent of current against volts near marked volts.
pub const CURRENT_EXPONENT: f64 = 0.55;

/// Exponent of light against volts near marked volts.
pub const LIGHT_EXPONENT: f64 = 3.4;

/// Resistance at marked volts over resistance cold.
pub const HOT_OVER_COLD: f64 = 12.0;

/// (V₀ / Vₖ)², where V₀ are marked volts and Vₖ those where the cold resistance meets the hot law; so that the
/// current at marked volts is the marked one: `HOT_OVER_COLD`^(2 / 0.45) − 1.
pub(crate) const KNEE: f64 = 62_568.270_789_750_6;

/// Current and its slope (A, S) at `volts`, for a filament that draws `marked_amps` at `marked_volts`.
///
/// i(x) = 12 x / (1 + k x²)^0.225 with x = V / V₀: the cold resistance near zero, V^0.55 from a few hundredths of
/// marked volts up, rising everywhere.
///
/// # Units
/// Volts, amps, siemens.
pub fn current(volts: f64, marked_volts: f64, marked_amps: f64) -> (f64, f64) {
    let x = volts / marked_volts;
    let u = KNEE * x * x;
    let half = (1.0 - CURRENT_EXPONENT) / 2.0;
    // Most lamps are dark most of the time, with a few millivolts between their earths.
    let share = if u < 1e-3 { near_one(u, half) } else { libm::exp(-half * libm::log1p(u)) };
    let secant = HOT_OVER_COLD * share;
    let slope = secant * (1.0 - 2.0 * half * u / (1.0 + u));
    let marked_siemens = marked_amps / marked_volts;
    (secant * marked_siemens * volts, slope * marked_siemens)
}

/// (1 + u)^−half for small u, by the binomial series: the next term is under 10⁻¹⁸.
fn near_one(u: f64, half: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in [1.0, 2.0, 3.0, 4.0, 5.0] {
        term *= -u * (half + k - 1.0) / k;
        sum += term;
    }
    sum
}

/// Light as a share of that at marked volts: (V / V₀)^3.4.
///
/// # Units
/// Both in volts; the answer is a share.
pub fn light(volts: f64, marked_volts: f64) -> f64 {
    libm::pow((volts / marked_volts).abs(), LIGHT_EXPONENT)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marked_volts_give_the_marked_current() {
        assert!((current(12.0, 12.0, 1.75).0 - 1.75).abs() < 1e-9);
        assert!((current(-12.0, 12.0, 1.75).0 + 1.75).abs() < 1e-9);
    }

    #[test]
    fn a_tenth_less_volts_follows_the_published_powers() {
        // Lamp rerating: current 0.944, light 0.692 to 0.699 at 90 % volts.
        assert!((current(10.8, 12.0, 1.0).0 - 0.944).abs() < 1e-3);
        assert!((0.692..0.70).contains(&light(10.8, 12.0)));
    }

    #[test]
    fn the_series_meets_the_law() {
        // 1.5 mV on a 12 V lamp, on either side of where the series ends.
        let [below, above] = [0.9999, 1.0001].map(|share| {
            let volts = share * 12.0 * (1e-3 / KNEE).sqrt();
            current(volts, 12.0, 1.0).0 / volts
        });
        assert!((below / above - 1.0).abs() < 1e-6, "{below} against {above}");
        let (u, half) = (1e-3, 0.225);
        assert!((near_one(u, half) - libm::pow(1.0 + u, -half)).abs() < 1e-15);
    }

    #[test]
    fn a_cold_filament_is_a_twelfth() {
        let (_, slope) = current(0.0, 12.0, 1.0);
        assert!((slope - 1.0).abs() < 1e-12);
    }

    #[test]
    fn current_rises_with_volts_and_the_slope_is_its_derivative() {
        for step in 0..2_000 {
            let volts = f64::from(step) * 0.01;
            let (amps, slope) = current(volts, 12.0, 2.0);
            let (more, _) = current(volts + 1e-6, 12.0, 2.0);
            assert!(more > amps);
            assert!(((more - amps) / 1e-6 - slope).abs() < 1e-3 * slope + 1e-4, "{volts}");
        }
    }
}
