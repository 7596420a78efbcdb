//! Reading quantities as people write them.
//!
//! A point and a comma are both read as the decimal mark. Before three figures the other one than
//! [`decimal_mark`] could part thousands as well, and is asked about.

use crate::number::{DecimalMark, decimal_mark, trimmed, with_decimals};
use crate::{Amps, Metres, Ohms, Volts, Watts};

/// Why a written quantity was not understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    /// What stood there.
    pub found: String,
    /// What would have been accepted.
    pub accepted: String,
    is_ambiguous: bool,
}

impl std::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "'{}' is not understood; write {}", self.found, self.accepted)
    }
}

impl std::error::Error for QuantityError {}

impl QuantityError {
    /// Whether the number could be read in two ways.
    pub fn is_ambiguous(&self) -> bool {
        self.is_ambiguous
    }

    fn ambiguous(found: &str) -> Self {
        let other = match decimal_mark() {
            DecimalMark::Point => "comma",
            DecimalMark::Comma => "point",
        };
        let accepted = format!(
            "it without a {other}, such as {} or 1250: a {other} before three figures could mean either",
            with_decimals(1.25, 2)
        );
        Self { found: found.trim().to_owned(), accepted, is_ambiguous: true }
    }

    fn new(found: &str, accepted: String) -> Self {
        Self { found: found.trim().to_owned(), accepted, is_ambiguous: false }
    }
}

/// Whether the other mark in a number may be meant as a decimal mark as well as to part thousands: beside a point
/// "1,250", but not "0,125".
fn could_be_thousands(number: &str) -> bool {
    let other = match decimal_mark() {
        DecimalMark::Point => ',',
        DecimalMark::Comma => '.',
    };
    let number = number.trim_start_matches(['-', '+']);
    number.split_once(other).is_some_and(|(whole, rest)| {
        let is_group = rest.len() == 3 && rest.bytes().all(|byte| byte.is_ascii_digit());
        is_group && !whole.trim_start_matches('0').is_empty()
    })
}

/// The number that a text begins with, and what stands behind it.
fn number_of(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(text.len());
    text.split_at(end)
}

/// Splits "12.5 mm2" into the number and the unit behind it; a comma is read as a decimal mark, where it can be nothing
/// else.
pub(crate) fn split(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = number_of(text);
    if could_be_thousands(number) {
        return None;
    }
    let number: f64 = number.replace(',', ".").parse().ok()?;
    number.is_finite().then(|| (number, unit.trim()))
}

/// A number with nothing behind it.
fn plain(text: &str) -> Option<f64> {
    split(text).filter(|(_, unit)| unit.is_empty()).map(|(number, _)| number)
}

fn read_with(
    text: &str,
    accepted: impl Fn() -> String,
    factors: &[(&str, f64)],
) -> Result<f64, QuantityError> {
    if could_be_thousands(number_of(text).0) {
        return Err(QuantityError::ambiguous(text));
    }
    let refuse = || QuantityError::new(text, accepted());
    let (number, unit) = split(text).ok_or_else(refuse)?;
    let (_, factor) =
        factors.iter().find(|(name, _)| name.eq_ignore_ascii_case(unit)).ok_or_else(refuse)?;
    Ok(number * factor)
}

/// Reads a number without a unit, with a point or a comma as its decimal mark.
///
/// # Errors
/// Text that is no number, or one that could be read in two ways.
///
/// # Example
/// ```
/// use loomwright_units::read_number;
/// assert_eq!(read_number("12,5"), Ok(12.5));
/// assert_eq!(read_number("0,125"), Ok(0.125));
/// assert!(read_number("1,250").unwrap_err().is_ambiguous());
/// ```
pub fn read_number(text: &str) -> Result<f64, QuantityError> {
    read_with(text, || format!("a number such as {}", with_decimals(12.5, 1)), &[("", 1.0)])
}

/// Reads a length of wire: "1.2 m", "850 mm", "2 ft 6", "2 ft 6 in", "18 in"; a bare number is metres.
///
/// # Errors
/// Text that is no length, or a length below zero.
///
/// # Example
/// ```
/// use loomwright_units::{Metres, read_length};
/// assert_eq!(read_length("2 ft 6"), Ok(Metres(0.762)));
/// assert_eq!(read_length("850 mm"), Ok(Metres(0.85)));
/// assert!(read_length("long").is_err());
/// ```
pub fn read_length(text: &str) -> Result<Metres, QuantityError> {
    const FOOT: f64 = 0.3048;
    let accepted = || format!("a length such as {} m, 850 mm, 18 in or 2 ft 6", trimmed(1.2, 1));
    let refuse = || QuantityError::new(text, accepted());
    let lower = text.trim().to_ascii_lowercase().replace('″', "\"").replace('′', "'");
    let metres =
        if let Some((feet, inches)) = lower.split_once("ft").or_else(|| lower.split_once('\'')) {
            let feet = plain(feet).ok_or_else(refuse)?;
            let inches = inches.trim().trim_end_matches("in").trim_end_matches('"').trim();
            let inches = if inches.is_empty() { 0.0 } else { plain(inches).ok_or_else(refuse)? };
            (feet * 12.0 + inches) * FOOT / 12.0
        } else {
            let factors = [
                ("", 1.0),
                ("m", 1.0),
                ("cm", 0.01),
                ("mm", 0.001),
                ("in", FOOT / 12.0),
                ("\"", FOOT / 12.0),
            ];
            read_with(&lower, accepted, &factors)?
        };
    // A tenth of a millimetre is finer than any tape.
    let metres = (metres * 1e6).round() / 1e6;
    if metres.is_finite() && metres >= 0.0 { Ok(Metres(metres)) } else { Err(refuse()) }
}

/// Reads "12 V" or "12".
///
/// # Errors
/// Text that is no voltage.
pub fn read_volts(text: &str) -> Result<Volts, QuantityError> {
    read_with(
        text,
        || "a voltage such as 12 V".to_owned(),
        &[("", 1.0), ("V", 1.0), ("mV", 0.001), ("volts", 1.0)],
    )
    .map(Volts)
}

/// Reads "15 A" or "15".
///
/// # Errors
/// Text that is no current.
pub fn read_amps(text: &str) -> Result<Amps, QuantityError> {
    read_with(
        text,
        || "a current such as 15 A".to_owned(),
        &[("", 1.0), ("A", 1.0), ("mA", 0.001), ("amps", 1.0)],
    )
    .map(Amps)
}

/// Reads "21 W" or "21".
///
/// # Errors
/// Text that is no power.
pub fn read_watts(text: &str) -> Result<Watts, QuantityError> {
    read_with(
        text,
        || "a power such as 21 W".to_owned(),
        &[("", 1.0), ("W", 1.0), ("kW", 1000.0), ("watts", 1.0)],
    )
    .map(Watts)
}

/// Reads "85 ohm", "0.5" or "4.7 kohm".
///
/// # Errors
/// Text that is no resistance.
pub fn read_ohms(text: &str) -> Result<Ohms, QuantityError> {
    let factors = [
        ("", 1.0),
        ("ohm", 1.0),
        ("ohms", 1.0),
        ("Ω", 1.0),
        ("mohm", 0.001),
        ("mΩ", 0.001),
        ("kohm", 1000.0),
        ("kΩ", 1000.0),
    ];
    read_with(text, || "a resistance such as 85 ohm".to_owned(), &factors).map(Ohms)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_in_feet_and_inches() {
        assert_eq!(read_length("2 ft 6 in"), Ok(Metres(0.762)));
        assert_eq!(read_length("2'6\""), Ok(Metres(0.762)));
        assert_eq!(read_length("18 in"), Ok(Metres(0.4572)));
        assert_eq!(read_length("1,5 m"), Ok(Metres(1.5)));
    }

    #[test]
    fn both_decimal_marks_are_read_and_what_could_be_thousands_is_refused() {
        assert_eq!(read_length("1,2 m"), Ok(Metres(1.2)));
        assert_eq!(read_length("1.250 m"), Ok(Metres(1.25)));
        for text in ["1,250 m", "12,500 mm", "1,250"] {
            assert!(read_length(text).expect_err(text).is_ambiguous(), "{text}");
        }
        for text in ["1.250,5 m", "1,250.5 m", "1,2,3 m"] {
            assert!(read_length(text).is_err(), "{text}");
        }
    }

    #[test]
    fn nonsense_is_refused_with_what_is_accepted() {
        let error = read_length("three").expect_err("no length");
        assert!(error.to_string().contains("2 ft 6"));
        assert!(read_volts("NaN").is_err());
        assert!(read_volts("1e999").is_err());
        assert!(read_length("-1 m").is_err());
    }
}
