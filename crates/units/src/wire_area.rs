//! The copper area of a wire: always positive, read from metric, strand or gauge notation.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::number::{exact, with_decimals};
use crate::{SquareMm, read::split};

/// Area of the copper of a wire, in mm²; finite and above zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "f64", into = "f64")]
#[schemars(with = "f64")]
pub struct WireArea(f64);

/// A text or number that is no wire size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireAreaError {
    found: String,
}

impl std::fmt::Display for WireAreaError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (area, mm, inches) =
            (with_decimals(1.5, 1), with_decimals(0.3, 2), with_decimals(0.012, 3));
        let inches = inches.trim_start_matches('0');
        write!(
            f,
            "'{}' is no wire size; write {area} mm2, 16 AWG, 28/{mm} or 14/{inches}",
            self.found
        )
    }
}

impl std::error::Error for WireAreaError {}

impl WireArea {
    /// An area in mm².
    ///
    /// # Errors
    /// Zero, below zero, or not finite.
    pub fn new(square_mm: f64) -> Result<Self, WireAreaError> {
        if square_mm.is_finite() && square_mm > 0.0 {
            Ok(Self(square_mm))
        } else {
            Err(WireAreaError { found: exact(square_mm) })
        }
    }

    /// The area in mm².
    pub fn square_mm(self) -> f64 {
        self.0
    }

    /// The area as a quantity.
    pub fn area(self) -> SquareMm {
        SquareMm(self.0)
    }

    /// Area of an AWG size: d = 0.127 mm · 92^((36 − n) / 39), a = π d² / 4.
    ///
    /// # Source
    /// ASTM B258.
    ///
    /// # Errors
    /// A gauge outside 0000 (n = −3) to 40.
    pub fn awg(n: i32) -> Result<Self, WireAreaError> {
        if !(-3..=40).contains(&n) {
            return Err(WireAreaError { found: format!("{n} AWG") });
        }
        // 92^(1/39) multiplied out, so that no platform's power function enters.
        const STEP: f64 = 1.122_932_196_532_281_4;
        let mut diameter_mm = 0.127;
        for _ in n..36 {
            diameter_mm *= STEP;
        }
        for _ in 36..n {
            diameter_mm /= STEP;
        }
        Ok(Self(std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm))
    }

    /// Area of a strand make-up: count · π d² / 4.
    ///
    /// # Errors
    /// No strands, or a diameter that is not above zero.
    pub fn strands(count: u32, diameter_mm: f64) -> Result<Self, WireAreaError> {
        Self::new(f64::from(count) * std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm)
    }

    /// Reads "1.5 mm2", "1.5 mm²", "1.5", "16 AWG", "AWG 16", "28/0.30" (mm) or "14/.012" (inches).
    ///
    /// # Errors
    /// Text that is none of these.
    ///
    /// # Example
    /// ```
    /// use loomwright_units::WireArea;
    /// assert_eq!(WireArea::read("1.5 mm2").unwrap().square_mm(), 1.5);
    /// assert!((WireArea::read("16 AWG").unwrap().square_mm() - 1.309).abs() < 1e-3);
    /// assert!(WireArea::read("0 mm2").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, WireAreaError> {
        let refuse = || WireAreaError { found: text.trim().to_owned() };
        let lower = text.trim().to_ascii_lowercase().replace('²', "2");
        if let Some(gauge) = lower.strip_prefix("awg").or_else(|| lower.strip_suffix("awg")) {
            let gauge = gauge.trim();
            let n = match gauge {
                "00" | "2/0" => -1,
                "000" | "3/0" => -2,
                "0000" | "4/0" => -3,
                _ => gauge.parse().map_err(|_parse| refuse())?,
            };
            return Self::awg(n);
        }
        if let Some((count, diameter)) = lower.split_once('/') {
            let count: u32 = count.trim().parse().map_err(|_parse| refuse())?;
            let (diameter, unit) = split(diameter).ok_or_else(refuse)?;
            // Imperial strands are written in thousandths of an inch, all finer than any metric strand.
            let inches = unit == "in" || (unit.is_empty() && diameter < 0.05);
            return Self::strands(count, if inches { diameter * 25.4 } else { diameter })
                .map_err(|_size| refuse());
        }
        match split(&lower) {
            Some((area, "" | "mm2" | "mm^2" | "sq mm" | "sqmm")) => {
                Self::new(area).map_err(|_size| refuse())
            }
            _ => Err(refuse()),
        }
    }
}

impl TryFrom<f64> for WireArea {
    type Error = WireAreaError;
    fn try_from(square_mm: f64) -> Result<Self, WireAreaError> {
        Self::new(square_mm)
    }
}

impl From<WireArea> for f64 {
    fn from(area: WireArea) -> Self {
        area.0
    }
}

impl std::fmt::Display for WireArea {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} mm²", crate::number::significant(self.0, 3, 6))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauge_follows_the_published_formula() {
        // ASTM B258: AWG 16 is 1.2908 mm, 1.3087 mm²; AWG 10 is 5.261 mm².
        assert!((WireArea::awg(16).expect("gauge").square_mm() - 1.3087).abs() < 1e-4);
        assert!((WireArea::awg(10).expect("gauge").square_mm() - 5.261).abs() < 1e-3);
    }

    #[test]
    fn strands_in_millimetres_and_inches() {
        assert!((WireArea::read("28/0.30").expect("metric").square_mm() - 1.979).abs() < 1e-3);
        assert!((WireArea::read("14/.012").expect("inches").square_mm() - 1.022).abs() < 1e-3);
    }

    #[test]
    fn a_size_of_nothing_is_refused() {
        for text in ["0", "-1 mm2", "", "mm2", "99 AWG", "0/0.3", "inf"] {
            assert!(WireArea::read(text).is_err(), "{text}");
        }
    }
}
