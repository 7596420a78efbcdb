//! Words and numbers that reading and printing share.

use loomwright_circuit::part_type::{Element, Fact};
use loomwright_circuit::{Fitting, Insulation, PartType, Standing};

/// Keywords that are no part types.
pub(crate) const STATEMENTS: [&str; 6] = ["car", "wire", "promise", "accepted", "own-type", "part"];

/// Words inside an `accepted` statement; a row of such a name is quoted there.
pub(crate) const ACCEPTED: [&str; 8] =
    ["parts", "wires", "figures", "says", "because", "by", "on", "loose"];
/// The word before the fuses that a promise must hold without.
pub(crate) const WITHOUT: &str = "without";
/// Keywords of parts that look for more than one part type.
pub(crate) const FORMS: [&str; 5] = ["fuse", "earth", "relay", "lamp", "switch"];

/// Marked voltages of relay coils, V.
pub(crate) const COILS: [f64; 3] = [6.0, 12.0, 24.0];

/// Units and the fact that a plain figure with this unit sets.
pub(crate) const UNITS: [(&str, &str); 5] =
    [("V", "volts"), ("A", "amps"), ("W", "watts"), ("ohm", "ohms"), ("Ah", "amp_hours")];

/// The word of an insulation.
pub(crate) fn insulation_word(insulation: Insulation) -> &'static str {
    match insulation {
        Insulation::Pvc => "pvc",
        Insulation::ThinWall => "thin-wall",
        Insulation::Cotton => "cotton",
    }
}

pub(crate) fn insulation(word: &str) -> Option<Insulation> {
    [Insulation::Pvc, Insulation::ThinWall, Insulation::Cotton]
        .into_iter()
        .find(|insulation| insulation_word(*insulation) == word)
}

/// The word of an end fitting, which is also the car file's.
pub(crate) fn fitting_word(fitting: Fitting) -> &'static str {
    match fitting {
        Fitting::Blade28 => "blade-2.8",
        Fitting::Blade48 => "blade-4.8",
        Fitting::Blade63 => "blade-6.3",
        Fitting::Blade95 => "blade-9.5",
        Fitting::Bullet47 => "bullet-4.7",
        Fitting::RingM4 => "ring-m4",
        Fitting::RingM5 => "ring-m5",
        Fitting::RingM6 => "ring-m6",
        Fitting::RingM8 => "ring-m8",
        Fitting::RingM10 => "ring-m10",
        Fitting::BatteryClamp => "battery-clamp",
        Fitting::Bare => "bare",
        Fitting::Soldered => "soldered",
        Fitting::Splice => "splice",
        Fitting::Pin => "pin",
    }
}

pub(crate) fn fitting(word: &str) -> Option<Fitting> {
    Fitting::ALL.into_iter().find(|fitting| fitting_word(*fitting) == word)
}

/// The words behind a row that is not as found.
pub(crate) fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::AsFound => "",
        Standing::ToFit | Standing::ToRemove => standing.words(),
    }
}

/// A number in plain digits; nothing else is one here, not even `inf`.
pub(crate) fn number(text: &str) -> Option<f64> {
    let is_plain = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
    let number: f64 = text.parse().ok().filter(|_| text.chars().all(is_plain))?;
    number.is_finite().then_some(number)
}

/// Splits "12V" into 12 and "V"; nothing if no number stands first.
pub(crate) fn split_number(text: &str) -> Option<(f64, &str)> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(text.len());
    Some((number(&text[..end])?, &text[end..]))
}

/// The fact that a plain figure of this unit sets: the one named after the unit, else the only one of the unit.
pub(crate) fn plain_fact<'a>(part_type: &'a PartType, unit: &str) -> Option<&'a Fact> {
    let (unit, name) = *UNITS.iter().find(|(known, _)| *known == unit)?;
    if let Some(fact) = part_type.fact(name).filter(|fact| fact.unit == unit) {
        return Some(fact);
    }
    let mut of_unit = part_type.facts.iter().filter(|fact| fact.unit == unit);
    of_unit.next().filter(|_| of_unit.next().is_none())
}

/// Whether a plain voltage on this type says which coil it has.
pub(crate) fn has_coil_by_volts(part_type: &PartType) -> bool {
    part_type.name.starts_with("relay-")
        && part_type.fact("ohms").is_some()
        && part_type.elements.iter().any(|element| matches!(element, Element::Relay { .. }))
}

/// A name as a sketch writes it: bare where that is read back as the same, else in quotes.
pub(crate) fn name(text: &str) -> String {
    let is_bare = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '+' | '/' | '(' | ')');
    if !text.is_empty() && text != "loose" && text.chars().all(is_bare) {
        return text.to_owned();
    }
    quoted(text)
}

/// A name in quotes.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}

/// The word that was most likely meant by a misspelt one: of those within a letter or two, the nearest.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let slips = |other: &str| slips_between(&word.to_lowercase(), other);
    // One slip in a short word, two in a longer one, else the guess is no help (practice).
    let most = if word.chars().count() < 6 { 1 } else { 2 };
    let near = known.map(|other| (slips(other), other)).filter(|(n, _)| *n <= most);
    near.min_by_key(|(n, _)| *n).map(|(_, other)| other)
}

/// Slips between two words: a letter too many, missing or wrong, or two neighbours changed over.
fn slips_between(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    // Words so far apart in length are not near, however long a stranger's word is.
    if a.len().abs_diff(b.len()) > 2 {
        return usize::MAX;
    }
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let is_wrong = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (rows[i - 1][j] + 1).min(row[j - 1] + 1).min(rows[i - 1][j - 1] + is_wrong);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(rows[i - 2][j - 2] + 1);
            }
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}
