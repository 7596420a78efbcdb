//! The day on which a vehicle was first used, as far as it is known: law on lamps goes by it.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

/// A year, a month of a year, or a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct FirstUse {
    year: u16,
    month: Option<u8>,
    day: Option<u8>,
}

/// A text that is no date of first use.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is no year from 1885 to 2100, month or day, such as 1968, 1968-04 or 1968-04-30")]
pub struct FirstUseError(String);

/// Days of each month, the longest.
const DAYS: [u8; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

impl FirstUse {
    /// Reads "1968", "1968-04" or "1968-04-30".
    ///
    /// # Errors
    /// Any other text.
    ///
    /// # Example
    /// ```
    /// use loomwright_circuit::FirstUse;
    /// let used = FirstUse::read("1968-04").unwrap();
    /// assert_eq!(used.is_before((1971, 1, 1)), Some(true));
    /// assert_eq!(used.is_before((1968, 4, 15)), None);
    /// assert!(FirstUse::read("April 68").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, FirstUseError> {
        let refused = || FirstUseError(text.chars().take(40).collect());
        let mut pieces = text.trim().split('-');
        let number = |piece: &str, width: usize| {
            let is_plain = piece.len() == width && piece.chars().all(|c| c.is_ascii_digit());
            piece.parse::<u16>().ok().filter(|_| is_plain)
        };
        let year = pieces.next().and_then(|piece| number(piece, 4));
        let year = year.filter(|year| (1885..=2100).contains(year)).ok_or_else(refused)?;
        let mut within = |most: &dyn Fn() -> u8| match pieces.next() {
            None => Ok(None),
            Some(piece) => number(piece, 2)
                .and_then(|found| u8::try_from(found).ok())
                .filter(|found| (1..=most()).contains(found))
                .map(Some)
                .ok_or_else(refused),
        };
        let month = within(&|| 12)?;
        let longest = month.map_or(0, |month: u8| DAYS[usize::from(month) - 1]);
        let day = within(&|| longest)?;
        if pieces.next().is_some() {
            return Err(refused());
        }
        Ok(Self { year, month, day })
    }

    /// Whether the vehicle was first used before a day (year, month, day); nothing where that is not told by what is
    /// known.
    pub fn is_before(self, day: (u16, u8, u8)) -> Option<bool> {
        let earliest = (self.year, self.month.unwrap_or(1), self.day.unwrap_or(1));
        let latest = (self.year, self.month.unwrap_or(12), self.day.unwrap_or(31));
        match (earliest < day, latest < day) {
            (_, true) => Some(true),
            (false, _) => Some(false),
            (true, false) => None,
        }
    }
}

impl fmt::Display for FirstUse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}", self.year)?;
        self.month.map_or(Ok(()), |month| write!(f, "-{month:02}"))?;
        self.day.map_or(Ok(()), |day| write!(f, "-{day:02}"))
    }
}

impl TryFrom<String> for FirstUse {
    type Error = FirstUseError;

    fn try_from(text: String) -> Result<Self, FirstUseError> {
        Self::read(&text)
    }
}

impl From<FirstUse> for String {
    fn from(used: FirstUse) -> Self {
        used.to_string()
    }
}

impl JsonSchema for FirstUse {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "FirstUse".into()
    }

    fn json_schema(_generator: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A year, a month of a year, or a day: 1968, 1968-04 or 1968-04-30.",
            "type": "string",
            "pattern": "^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::FirstUse;

    #[test]
    fn what_is_known_of_a_date_is_all_that_is_said() {
        let year = FirstUse::read("1965").expect("a year");
        assert_eq!(year.is_before((1965, 9, 1)), None);
        assert_eq!(year.is_before((1966, 1, 1)), Some(true));
        assert_eq!(year.is_before((1965, 1, 1)), Some(false));
        let day = FirstUse::read("1965-08-31").expect("a day");
        assert_eq!(
            (day.is_before((1965, 9, 1)), day.to_string()),
            (Some(true), "1965-08-31".into())
        );
    }

    #[test]
    fn no_other_text_is_a_date() {
        for text in ["", "68", "1884", "1968-13", "1968-4", "1968-02-30", "1968-04-30-1", "+968"] {
            assert!(FirstUse::read(text).is_err(), "{text}");
        }
    }
}
