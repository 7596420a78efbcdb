//! Current against volts of the parts that are no plain resistance, all rising with volts.

use crate::filament;
use crate::motor::Motor;

/// A law between the two ends of a branch; each with its figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// Marked volts and amps.
    Filament { volts: f64, amps: f64 },
    /// Nothing below the threshold, then a resistance; rounded over `width` volts; a leakage (S) beside it.
    Threshold { volts: f64, siemens: f64, width: f64, leak: f64, either_way: bool },
    /// Nothing below the threshold, rising to `amps` at `full` volts, and no more beyond; rounded over `width` volts; a
    /// leakage (S) beside it.
    Regulated { volts: f64, full: f64, amps: f64, width: f64, leak: f64, either_way: bool },
    /// A motor, running, standing or jammed.
    Motor(Motor),
    /// Constant power above the least volts.
    Power { watts: f64, least_volts: f64 },
    /// A source that holds `volts` with nothing to feed and `sag` less at `amps`, its greatest; a diode keeps current
    /// from flowing back.
    Source { volts: f64, amps: f64, sag: f64 },
    /// A battery: its EMF (V), and its conductance when it gives and when it takes (S).
    Battery { emf: f64, gives: f64, takes: f64 },
    /// A conductance (S): the leak of what gives nothing, or none at all for what was taken out.
    Leak(f64),
}

/// Leakage of a part that blocks: about a microampere at 12 V (practice; silicon diodes leak less when cold).
pub(crate) const LEAK: f64 = 1e-7;

/// Who says how parts leak that block.
pub(crate) const LEAK_SOURCE: &str = "practice: about a microampere at 12 V";

/// Threshold and rounding of a silicon diode, V (practice: 0.6 to 0.7 V).
pub(crate) const DIODE: (f64, f64) = (0.65, 0.02);

/// Resistance of a diode's bulk for each ampere that it is made for, V: 0.3 V more at its greatest current (practice).
pub(crate) const DIODE_BULK_VOLTS: f64 = 0.3;

/// Who says how silicon diodes conduct.
pub(crate) const DIODE_SOURCE: &str =
    "practice: silicon diodes, 0.6 to 0.7 V, and 0.3 V more at their greatest current";

/// Share of an LED lamp's marked volts under which it draws next to nothing: 6 to 9 V in a 12 V car (practice).
pub(crate) const LED_KNEE: f64 = 0.55;

/// Share of an LED lamp's marked volts from which a regulator holds its current: 9 to 10 V in a 12 V car (practice:
/// two or three volts above three diodes in series).
pub(crate) const LED_FULL: f64 = 0.8;

/// The bend of an LED lamp's law is rounded over this share of its marked volts, and it leaks this share of its
/// conductance (practice).
pub(crate) const LED_WIDTH: f64 = 0.02;
pub(crate) const LED_LEAK: f64 = 1e-3;

/// Who says how LED lamps conduct.
pub(crate) const LED_SOURCE: &str = "practice: a 12 V LED lamp draws next to nothing under 6 to 9 V; a regulator holds from 9 to 10 V";

/// Resistance of a regulated source: how far its volts sag from none to full output, V (practice: regulators of the
/// sixties hold within a few tenths of a volt).
pub(crate) const SAG_VOLTS: f64 = 0.2;

/// The bends of a regulated source are rounded over this share of its sag.
pub(crate) const SOURCE_WIDTH: f64 = 0.02;

/// Who says how regulated sources behave.
pub(crate) const SOURCE_SOURCE: &str =
    "a regulator holds volts until the greatest current; practice: within a few tenths of a volt";

/// Volts that a closed cut-out loses, and its conductance above that, S (practice).
pub(crate) const CUT_OUT_VOLTS: f64 = 0.1;
pub(crate) const CUT_OUT_SIEMENS: f64 = 100.0;

/// The bend of a cut-out is rounded over this share of the volts that it loses.
pub(crate) const CUT_OUT_WIDTH: f64 = 0.05;

/// Who says so.
pub(crate) const CUT_OUT_SOURCE: &str =
    "practice: a cut-out opens as current would flow back, and loses a tenth of a volt";

/// Electronics fall off below this share of their least volts (practice).
pub(crate) const POWER_FLOOR: f64 = 0.8;

impl Law {
    /// A source that stands still.
    pub(crate) const OPEN: Self = Self::Leak(LEAK);

    /// A part that was taken out.
    pub(crate) const GONE: Self = Self::Leak(0.0);

    /// A source whose regulator holds its volts.
    pub(crate) fn source(volts: f64, amps: f64) -> Self {
        Self::Source { volts, amps, sag: SAG_VOLTS }
    }

    /// The contacts of a cut-out: they open as soon as current would flow back, and lose a tenth of a volt (practice).
    pub(crate) fn cut_out() -> Self {
        let (volts, width) = (CUT_OUT_VOLTS, CUT_OUT_WIDTH * CUT_OUT_VOLTS);
        Self::Threshold { volts, siemens: CUT_OUT_SIEMENS, width, leak: LEAK, either_way: false }
    }

    pub(crate) fn diode(amps: f64) -> Self {
        Self::Threshold {
            volts: DIODE.0,
            siemens: amps / DIODE_BULK_VOLTS,
            width: DIODE.1,
            leak: LEAK,
            either_way: false,
        }
    }

    pub(crate) fn led(watts: f64, volts: f64, either_way: bool) -> Self {
        let amps = watts / volts;
        let siemens = amps / (volts * (1.0 - LED_KNEE));
        Self::Threshold {
            volts: volts * LED_KNEE,
            siemens,
            width: LED_WIDTH * volts,
            leak: LED_LEAK * siemens,
            either_way,
        }
    }

    pub(crate) fn regulated_led(watts: f64, volts: f64, either_way: bool) -> Self {
        let amps = watts / volts;
        Self::Regulated {
            volts: volts * LED_KNEE,
            full: volts * LED_FULL,
            amps,
            width: LED_WIDTH * volts,
            leak: LED_LEAK * amps / (volts * (1.0 - LED_KNEE)),
            either_way,
        }
    }

    /// The volts that it holds of its own accord; none for what only takes current.
    pub(crate) fn emf(self) -> f64 {
        match self {
            Self::Battery { emf, .. } => emf,
            Self::Source { volts, .. } => volts,
            _ => 0.0,
        }
    }

    /// Current and slope (A, S) at these volts. The slope given to the solver is never below zero.
    pub(crate) fn at(self, v: f64) -> (f64, f64) {
        match self {
            Self::Filament { volts, amps } => filament::current(v, volts, amps),
            Self::Threshold { volts, siemens, width, leak, either_way } => {
                let forward = if either_way { v.abs() } else { v };
                let (over, share) = hinge(forward - volts, width);
                let amps = siemens * over;
                let sign = if either_way && v < 0.0 { -1.0 } else { 1.0 };
                (sign * amps + leak * v, siemens * share + leak)
            }
            Self::Regulated { volts, full, amps, width, leak, either_way } => {
                let forward = if either_way { v.abs() } else { v };
                let siemens = amps / (full - volts);
                let (over, rises) = hinge(forward - volts, width);
                let (beyond, capped) = hinge(forward - full, width);
                let sign = if either_way && v < 0.0 { -1.0 } else { 1.0 };
                (sign * siemens * (over - beyond) + leak * v, siemens * (rises - capped) + leak)
            }
            Self::Motor(motor) => motor.at(v),
            Self::Power { watts, least_volts } => power(v, watts, least_volts),
            Self::Battery { emf, gives, takes } => {
                let siemens = if v > emf { takes } else { gives };
                (siemens * (v - emf), siemens)
            }
            Self::Leak(siemens) => (siemens * v, siemens),
            Self::Source { volts, amps, sag } => {
                let siemens = amps / sag;
                let width = SOURCE_WIDTH * sag;
                let (under, falls) = hinge(volts - v, width);
                let (beyond, capped) = hinge(volts - v - sag, width);
                (LEAK * v - siemens * (under - beyond), siemens * (falls - capped) + LEAK)
            }
        }
    }

    /// The slope to take first from volts of another state: that of the line through zero. A filament follows its
    /// tangent badly when it goes out, since its law is bent most near zero; one that is dark is taken as hot, which
    /// is where it is if it is about to light.
    pub(crate) fn first_slope(self, v: f64, amps: f64, slope: f64) -> f64 {
        match self {
            Self::Filament { volts, amps: marked } if v.abs() < 0.3 * volts => marked / volts,
            Self::Filament { .. } => amps / v,
            _ => slope,
        }
    }

    /// A straight line through zero to begin with, S, and a source of current beside it, A.
    pub(crate) fn guess(self) -> (f64, f64) {
        match self {
            Self::Filament { volts, amps } => (amps / volts, 0.0),
            Self::Threshold { siemens, either_way, .. } => {
                (if either_way { 0.1 * siemens } else { LEAK }, 0.0)
            }
            Self::Regulated { volts, full, amps, either_way, .. } => {
                (if either_way { 0.1 * amps / (full - volts) } else { LEAK }, 0.0)
            }
            Self::Motor(motor) => (motor.marked_siemens(), 0.0),
            Self::Power { watts, least_volts } => (watts / (2.0 * least_volts * least_volts), 0.0),
            Self::Source { volts, amps, sag } => (amps / sag, amps / sag * volts),
            Self::Battery { emf, gives, .. } => (gives, gives * emf),
            Self::Leak(siemens) => (siemens, 0.0),
        }
    }
}

/// `max(0, x)` rounded over `width`, and its slope.
pub(crate) fn hinge(x: f64, width: f64) -> (f64, f64) {
    let z = x / width;
    if z > 36.0 {
        (x, 1.0)
    } else if z < -30.0 {
        (0.0, 0.0)
    } else {
        let grown = libm::exp(z);
        (width * libm::log1p(grown), grown / (1.0 + grown))
    }
}

/// Constant power: P / V above the least volts, falling to nothing over the fifth below; nothing when reversed.
fn power(v: f64, watts: f64, least_volts: f64) -> (f64, f64) {
    let floor = POWER_FLOOR * least_volts;
    if v <= floor {
        return (LEAK * v, LEAK);
    }
    let x = ((v - floor) / (least_volts - floor)).min(1.0);
    let ramp = x * x * (3.0 - 2.0 * x);
    let ramp_slope = if x < 1.0 { 6.0 * x * (1.0 - x) / (least_volts - floor) } else { 0.0 };
    let amps = watts / v * ramp;
    let slope = watts / v * ramp_slope - amps / v;
    (amps + LEAK * v, slope.max(0.0) + LEAK)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn laws_pass_through_their_marked_point() {
        let led = Law::led(2.0, 12.0, false);
        assert!((led.at(12.0).0 - 2.0 / 12.0).abs() < 1e-3);
        assert!(led.at(5.0).0 < 1e-3 && led.at(-12.0).0.abs() < 1e-3);
        assert!((Law::diode(1.0).at(0.65 + 0.3).0 - 1.0).abs() < 1e-2);
        let radio = Law::Power { watts: 24.0, least_volts: 9.0 };
        assert!((radio.at(12.0).0 - 2.0).abs() < 1e-5 && radio.at(-12.0).0.abs() < 1e-5);
        let source = Law::source(14.2, 30.0);
        assert!((source.at(12.0).0 + 30.0).abs() < 1e-3);
        assert!((source.at(14.1).0 + 15.0).abs() < 1e-3);
        assert!(source.at(15.0).0.abs() < 1e-3);
    }

    #[test]
    fn slopes_are_derivatives_and_never_below_zero() {
        let laws = [
            Law::led(2.0, 12.0, true),
            Law::regulated_led(5.0, 12.0, true),
            Law::regulated_led(5.0, 24.0, false),
            Law::diode(3.0),
            Law::source(14.2, 22.0),
            Law::Filament { volts: 12.0, amps: 1.75 },
        ];
        for law in laws {
            for step in -2_000..2_000 {
                let v = f64::from(step) * 0.01 + 0.003;
                let (amps, slope) = law.at(v);
                let (more, _) = law.at(v + 1e-7);
                assert!(slope >= 0.0 && amps.is_finite());
                assert!(
                    ((more - amps) / 1e-7 - slope).abs() < 2e-3 * slope + 2e-3,
                    "{law:?} at {v}: {} against {slope}",
                    (more - amps) / 1e-7
                );
            }
        }
    }
}
