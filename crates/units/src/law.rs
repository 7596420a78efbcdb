//! The newtypes and the products between them.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! unit {
    ($(#[$doc:meta])* $name:ident, $sign:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit's sign as printed.
            pub const SIGN: &'static str = $sign;
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// The size without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self {
                Self(self.0 / by)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, by: Self) -> f64 {
                self.0 / by.0
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(rows: I) -> Self {
                Self(rows.map(|row| row.0).sum())
            }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{} {}", crate::number::significant(self.0, 3, 6), $sign)
            }
        }
    };
}

macro_rules! law {
    ($a:ident * $b:ident = $c:ident) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / other.0)
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / other.0)
            }
        }
    };
}

unit!(
    /// Electrical tension, signed, counted from the battery's earthed post unless said otherwise.
    Volts, "V");
unit!(
    /// Current.
    Amps, "A");
unit!(
    /// Resistance.
    Ohms, "Ω");
unit!(
    /// Conductance.
    Siemens, "S");
unit!(
    /// Power.
    Watts, "W");
unit!(
    /// Length of wire.
    Metres, "m");
unit!(
    /// Length on paper.
    Mm, "mm");
unit!(
    /// Area of copper as computed; [`WireArea`](crate::WireArea) is one that a wire can have.
    SquareMm, "mm²");
unit!(
    /// Time.
    Seconds, "s");
unit!(
    /// Charge of a battery.
    AmpHours, "Ah");
unit!(
    /// Resistance of each metre of wire.
    OhmsPerMetre, "Ω/m");
unit!(
    /// A difference of temperature.
    Kelvin, "K");

law!(Ohms * Amps = Volts);
law!(Volts * Amps = Watts);
law!(OhmsPerMetre * Metres = Ohms);
law!(Siemens * Volts = Amps);

/// A point on the temperature scale; differences are [`Kelvin`].
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Celsius(pub f64);

impl Sub for Celsius {
    type Output = Kelvin;
    fn sub(self, other: Self) -> Kelvin {
        Kelvin(self.0 - other.0)
    }
}

impl Add<Kelvin> for Celsius {
    type Output = Self;
    fn add(self, by: Kelvin) -> Self {
        Self(self.0 + by.0)
    }
}

impl std::fmt::Display for Celsius {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} °C", crate::number::significant(self.0, 3, 6))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ohms_law_goes_all_four_ways() {
        assert_eq!(Ohms(2.0) * Amps(3.0), Volts(6.0));
        assert_eq!(Amps(3.0) * Ohms(2.0), Volts(6.0));
        assert_eq!(Volts(6.0) / Amps(3.0), Ohms(2.0));
        assert_eq!(Volts(6.0) / Ohms(2.0), Amps(3.0));
    }

    #[test]
    fn temperatures_subtract_to_a_difference() {
        assert_eq!(Celsius(70.0) - Celsius(20.0), Kelvin(50.0));
        assert_eq!(Celsius(20.0) + Kelvin(50.0), Celsius(70.0));
    }
}
