//! The law of a motor with permanent magnets: current and speed against volts.
//!
//! Turning, a motor makes an EMF in proportion to its speed; what the EMF leaves of the volts drives the current
//! through the armature: V = e + R · i. Its torque goes with the current, and balances that of what it turns:
//!
//! - steady: i = i₀ + b · e. Most of the torque is the same at every speed; the rest is lost in bearings and iron.
//! - fan: i = i₀ + c · e². A little friction, and the rest with the square of the speed (the affinity laws of fans).
//!
//! While R · i₀ is more than the volts it stands, and is its armature alone. Old wipers with a field winding and
//! starters with one in series are taken as the same, by their figures at marked volts and stalled.
//!
//! # Source
//! V = e + R · i and torque in proportion to current: any textbook on direct-current machines. Friction shares:
//! practice. A test compares stall currents with the trade's.

use loomwright_circuit::part_type::Drives;

/// Share of the running current that turns a fan's bearings and brushes alone (practice: a tenth to a fifth).
pub(crate) const FAN_FRICTION: f64 = 0.15;

/// Share of the running current that a steady load takes at any speed (practice: the rest is lost in bearings, iron
/// and grease, and grows with the speed).
pub(crate) const STEADY_FRICTION: f64 = 0.85;

/// The bend between standing and turning is rounded over this share of the volts at which it starts to turn.
pub(crate) const ROUNDED: f64 = 0.2;

/// Speed under which a motor is said to stand, as a share of that at marked volts.
pub(crate) const STANDS: f64 = 0.1;

/// Stall current over running current, where none is given.
///
/// # Source
/// Trade's figures for wipers, blowers, fans and pumps: 3 to 6.
pub(crate) const STALL: f64 = 5.0;

/// Who says so.
pub(crate) const STALL_SOURCE: &str = "trade's figures for wipers, blowers, fans and pumps: 3 to 6";

/// Who says how a motor behaves.
pub(crate) const SOURCE: &str = "V = e + R · i, torque in proportion to current (textbooks on d.c. machines); friction: practice";

/// Share of its marked volts at which a starter is held when its locked current is measured.
///
/// # Source
/// Practice: a car's battery has 7 to 8 V left at such a current.
pub(crate) const LOCKED_VOLTS: f64 = 0.6;

/// Who says so.
pub(crate) const LOCKED_SOURCE: &str =
    "practice: a car's battery has 7 to 8 V left while a starter is held";

/// The least stall current over running current: any motor takes more when it is held.
pub(crate) const LEAST_STALL: f64 = 1.1;

/// A motor, by what its law needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Motor {
    /// Armature, brushes and field in series.
    pub(crate) ohms: f64,
    /// Volts at which it starts to turn.
    pub(crate) starts: f64,
    /// v − e = starts + (linear − 1) · e + square · e², of what stands above `starts`.
    linear: f64,
    pub(crate) square: f64,
    /// Marked volts, and the EMF there.
    volts: f64,
    pub(crate) marked_emf: f64,
    /// Whether something keeps it from turning.
    pub(crate) is_jammed: bool,
}

impl Motor {
    /// A motor that takes `amps` at `volts`, and `stall` times as much there when it cannot turn.
    pub(crate) fn of(volts: f64, amps: f64, stall: f64, drives: Drives) -> Self {
        let ohms = volts / (amps * stall.max(LEAST_STALL));
        let marked_emf = volts - ohms * amps;
        let friction = if drives == Drives::Fan { FAN_FRICTION } else { STEADY_FRICTION };
        let starts = friction * ohms * amps;
        let (above, _) = above(volts, starts);
        let (linear, square) = match drives {
            Drives::Steady => (above / marked_emf, 0.0),
            Drives::Fan => (1.0, (above - marked_emf) / (marked_emf * marked_emf)),
        };
        Self { ohms, starts, linear, square, volts, marked_emf, is_jammed: false }
    }

    /// The same, kept from turning.
    pub(crate) fn jammed(self) -> Self {
        Self { is_jammed: true, ..self }
    }

    /// EMF at these volts and its slope, between 0 and 1.
    fn emf(self, v: f64) -> (f64, f64) {
        if self.is_jammed {
            return (0.0, 0.0);
        }
        let (above, rises) = above(v, self.starts);
        let root = (self.linear * self.linear + 4.0 * self.square * above.abs()).sqrt();
        (2.0 * above / (self.linear + root), rises / root)
    }

    /// Current and its slope (A, S).
    pub(crate) fn at(self, v: f64) -> (f64, f64) {
        let (emf, rises) = self.emf(v);
        ((v - emf) / self.ohms, (1.0 - rises) / self.ohms)
    }

    /// EMF at these volts, V; below zero when it turns the other way.
    pub(crate) fn emf_at(self, v: f64) -> f64 {
        self.emf(v).0
    }

    /// Conductance of the armature, S.
    pub(crate) fn standing_siemens(self) -> f64 {
        1.0 / self.ohms
    }

    /// Conductance at marked volts, S.
    pub(crate) fn marked_siemens(self) -> f64 {
        self.at(self.volts).0 / self.volts
    }

    /// Speed at these volts, as a share of that at marked volts; below zero when it turns the other way.
    pub(crate) fn speed(self, v: f64) -> f64 {
        self.emf(v).0 / self.marked_emf
    }
}

/// What of `v` lies above `starts` either way, rounded, and its slope; odd and smooth.
pub(crate) fn above(v: f64, starts: f64) -> (f64, f64) {
    let width = ROUNDED * starts;
    let rounded = |x: f64| (x * x + width * width).sqrt();
    let (down, up) = (rounded(v - starts), rounded(v + starts));
    let rises = 1.0 + 0.5 * ((v - starts) / down - (v + starts) / up);
    (v + 0.5 * (down - up), rises)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fans, wipers and starters of 6, 12 and 24 V cars: marked volts, amps, stall share.
    fn each(check: impl Fn(Motor, f64, f64, f64)) {
        for volts in [6.0, 12.0, 24.0] {
            for amps in [1.3, 3.0, 16.0, 180.0] {
                for stall in [2.0, 5.0, 8.0] {
                    for drives in [Drives::Steady, Drives::Fan] {
                        check(Motor::of(volts, amps, stall, drives), volts, amps, stall);
                    }
                }
            }
        }
    }

    #[test]
    fn the_marked_point_and_the_stall_are_met_either_way_round() {
        each(|motor, volts, amps, stall| {
            assert!((motor.at(volts).0 / amps - 1.0).abs() < 1e-12);
            assert!((motor.at(-volts).0 / amps + 1.0).abs() < 1e-12);
            assert!((motor.jammed().at(volts).0 / (stall * amps) - 1.0).abs() < 1e-12);
            assert!((motor.speed(volts) - 1.0).abs() < 1e-12 && motor.jammed().speed(volts) == 0.0);
            assert_eq!(motor.at(0.0).0, 0.0);
        });
    }

    #[test]
    fn current_and_speed_rise_with_volts_and_the_slope_is_the_derivative() {
        each(|motor, volts, _, _| {
            for step in -2_000_i32..2_000 {
                let v = f64::from(step) * volts * 1e-3;
                let by = 1e-6 * volts;
                let (amps, slope) = motor.at(v);
                assert!(motor.at(v + by).0 > amps && motor.speed(v + by) > motor.speed(v));
                let (less, more) = (motor.at(v - by).0, motor.at(v + by).0);
                let found = (more - less) / (2.0 * by);
                assert!((found - slope).abs() < 1e-5 * (slope + 1.0 / motor.ohms), "{motor:?} {v}");
            }
        });
    }

    #[test]
    fn it_stands_until_its_friction_is_overcome() {
        each(|motor, volts, _, _| {
            let half = 0.5 * motor.starts;
            assert!(motor.speed(half) < STANDS && motor.speed(0.95 * volts) > 0.8);
            assert!((motor.at(half).0 * motor.ohms / half - 1.0).abs() < 0.05);
        });
    }

    #[test]
    fn a_fan_follows_the_affinity_laws_and_a_wiper_takes_the_same_at_half_speed() {
        // Torque with the square of the speed: at half speed a quarter, above the friction.
        let (fan, wiper) =
            (Motor::of(12.0, 8.0, 4.0, Drives::Fan), Motor::of(12.0, 3.0, 5.0, Drives::Steady));
        let at_half_speed = |motor: Motor| {
            let (mut low, mut high) = (0.0, 12.0);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if motor.speed(middle) < 0.5 { low = middle } else { high = middle }
            }
            motor.at(low).0
        };
        let friction = FAN_FRICTION * 8.0;
        let share = (at_half_speed(fan) - friction) / (8.0 - friction);
        assert!((share - 0.25).abs() < 0.01, "{share}");
        assert!((at_half_speed(wiper) / 3.0 - 0.925).abs() < 0.01, "{}", at_half_speed(wiper));
    }
}
