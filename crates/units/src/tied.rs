//! Figures tied to their units, so that no line of a text ends between them.

use std::borrow::Cow;

/// What stands behind a figure as its unit.
const UNITS: [&str; 36] = [
    "%", "A", "mA", "Ah", "A²s", "V", "mV", "kV", "Ω", "mΩ", "kΩ", "MΩ", "Ω/m", "mΩ/m", "S", "W",
    "mW", "kW", "m", "mm", "cm", "km", "mm²", "mm2", "mm/m", "s", "ms", "min", "h", "°C", "K",
    "Hz", "J", "ft", "AWG", "Nm",
];

/// What a reader sees as a blank, and no line ends at.
const NO_BREAK: char = '\u{a0}';

/// A text for people to read with each figure tied to its unit by a no-break space: "13.8 A" stands in one line.
///
/// It is for text that is set in lines, on a screen or on paper; what is saved, compared or parsed keeps its blanks,
/// though what is typed is understood with either.
///
/// # Example
/// ```
/// assert_eq!(loomwright_units::tied("a 30 A fuse"), "a 30\u{a0}A fuse");
/// ```
pub fn tied(text: &str) -> Cow<'_, str> {
    let mut said = String::new();
    let mut kept = 0;
    for (at, _) in text.match_indices(' ') {
        let is_figure = text[..at].ends_with(|letter: char| letter.is_ascii_digit());
        if is_figure && begins_with_unit(&text[at + 1..]) {
            said.push_str(&text[kept..at]);
            said.push(NO_BREAK);
            kept = at + 1;
        }
    }
    if kept == 0 {
        return Cow::Borrowed(text);
    }
    said.push_str(&text[kept..]);
    Cow::Owned(said)
}

/// Whether a unit stands there, and not a word that begins like one.
fn begins_with_unit(text: &str) -> bool {
    let is_of_word = |letter: char| letter.is_alphanumeric() || matches!(letter, '/' | '%' | '°');
    let end = text.find(|letter| !is_of_word(letter)).unwrap_or(text.len());
    UNITS.contains(&&text[..end])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        AmpHours, Amps, Celsius, Kelvin, Metres, Mm, Ohms, OhmsPerMetre, Seconds, Siemens,
        SquareMm, Volts, Watts, WireArea, read_length, read_volts,
    };

    #[test]
    fn every_quantity_is_tied_as_it_is_printed() {
        let area = WireArea::new(1.5).expect("an area");
        let said = [
            AmpHours(1.5).to_string(),
            Amps(1.5).to_string(),
            Celsius(1.5).to_string(),
            Kelvin(1.5).to_string(),
            Metres(1.5).to_string(),
            Mm(1.5).to_string(),
            Ohms(1.5).to_string(),
            OhmsPerMetre(1.5).to_string(),
            Seconds(1.5).to_string(),
            Siemens(1.5).to_string(),
            SquareMm(1.5).to_string(),
            Volts(1.5).to_string(),
            Watts(1.5).to_string(),
            area.to_string(),
        ];
        for text in said {
            assert!(!tied(&text).contains(' '), "{text}");
        }
    }

    #[test]
    fn figures_are_tied_to_units_and_to_nothing_else() {
        let told = [
            ("13,8 A, of 55/60 W; 20 mA.", "13,8\u{a0}A, of 55/60\u{a0}W; 20\u{a0}mA."),
            ("(15 %) 2 m – 3 min", "(15\u{a0}%) 2\u{a0}m – 3\u{a0}min"),
            ("1 Amp, 3 mice, fuse 2 and 4", "1 Amp, 3 mice, fuse 2 and 4"),
            ("no V, A 3", "no V, A 3"),
        ];
        for (text, tied_text) in told {
            assert_eq!(tied(text), tied_text);
            // What is tied already stays as it is.
            assert_eq!(tied(tied_text), tied_text);
        }
        assert!(matches!(tied("nothing here"), Cow::Borrowed(_)));
    }

    #[test]
    fn what_is_tied_is_understood_where_it_is_typed() {
        assert_eq!(read_length(&tied("850 mm")), Ok(Metres(0.85)));
        assert_eq!(read_length(&tied("2 ft 6")), Ok(Metres(0.762)));
        assert_eq!(read_volts(&tied("12 V")), Ok(Volts(12.0)));
        assert_eq!(WireArea::read(&tied("1.5 mm2")), WireArea::new(1.5));
    }
}
