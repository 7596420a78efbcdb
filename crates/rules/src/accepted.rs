//! Findings that the owner has accepted: which they are, and when they come back.

use std::collections::BTreeMap;

use loomwright_circuit::{Accepted, AcceptedId, Car};
use loomwright_units::trimmed;

use crate::Finding;
use crate::messages::Acceptances;
use crate::prose::for_files;
use crate::words::list;

/// An accepted finding comes back once one of its figures differs by more than this share of what it was.
///
/// # Source
/// Practice: the figures of a drawing are estimates, and a change of less is within what joints and cable differ by.
pub const REOPENS_AT: f64 = 0.10;

/// What the car file keeps of a finding that was accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acceptance {
    /// Its row in the car.
    pub id: AcceptedId,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepted it; may be empty.
    pub by: String,
    /// The day; may be empty.
    pub on: String,
    /// Why it is back all the same, in words; nothing while it stays accepted.
    pub back: Option<String>,
}

impl Acceptance {
    /// "accepted by B. Owner on 2026-11-25: As the maker built it".
    pub fn says(&self) -> String {
        let by = if self.by.is_empty() { String::new() } else { Acceptances::by(&self.by) };
        let on = if self.on.is_empty() { String::new() } else { Acceptances::on(&self.on) };
        Acceptances::accepted(&by, &on, &self.reason)
    }
}

impl Finding {
    /// Whether it is accepted, and has not come back since.
    pub fn is_accepted(&self) -> bool {
        self.accepted.as_ref().is_some_and(|accepted| accepted.back.is_none())
    }

    /// Why it is back though it was accepted, as a sentence.
    pub fn back(&self) -> Option<String> {
        let accepted = self.accepted.as_ref()?;
        let back = accepted.back.as_ref()?;
        Some(Acceptances::back(back, accepted.says()))
    }

    /// The row that accepts it as it stands in this car.
    pub fn accept(&self, car: &Car, reason: &str, by: &str, on: &str) -> Accepted {
        Accepted {
            code: self.code.to_owned(),
            level: self.level,
            says: for_files(car, &self.says),
            parts: self.parts.clone(),
            wires: self.wires.clone(),
            figures: self
                .figures
                .iter()
                .map(|(name, value)| ((*name).to_owned(), *value))
                .collect(),
            reason: reason.to_owned(),
            by: by.to_owned(),
            on: on.to_owned(),
        }
    }
}

/// Tells of each finding whether it is accepted, and puts those that are behind the others, which keep their order.
pub fn settle(car: &Car, findings: &mut [Finding]) {
    for finding in findings.iter_mut() {
        finding.accepted = None;
    }
    let mut open: BTreeMap<AcceptedId, &Accepted> =
        car.accepted().iter().map(|(id, row)| (*id, row)).collect();
    // One that says the same is the same; of the others, those about the same rows.
    for must_say_the_same in [true, false] {
        for finding in findings.iter_mut().filter(|finding| finding.accepted.is_none()) {
            let mut known = open.iter().filter(|(_, row)| is_about(row, finding));
            let Some((id, row)) = known
                .find(|(_, row)| !must_say_the_same || says_the_same(&row.says, &finding.says))
            else {
                continue;
            };
            let id = *id;
            finding.accepted = Some(Acceptance {
                id,
                reason: row.reason.clone(),
                by: row.by.clone(),
                on: row.on.clone(),
                back: why_back(car, row, finding),
            });
            open.remove(&id);
        }
    }
    findings.sort_by_key(Finding::is_accepted);
}

/// What was accepted and is found no longer.
pub fn no_longer_found(car: &Car, findings: &[Finding]) -> Vec<AcceptedId> {
    let is_found = |id: AcceptedId| {
        findings.iter().any(|finding| finding.accepted.as_ref().is_some_and(|it| it.id == id))
    };
    car.accepted().keys().copied().filter(|id| !is_found(*id)).collect()
}

/// Whether two sentences are the same but for the decimal mark: the car file keeps points.
fn says_the_same(a: &str, b: &str) -> bool {
    let marked = |byte: u8| if byte == b',' { b'.' } else { byte };
    a.bytes().map(marked).eq(b.bytes().map(marked))
}

/// The same rule about the same part to look at first, and about a common wire where it speaks of wires: which of them
/// comes first is a matter of their figures.
fn is_about(row: &Accepted, finding: &Finding) -> bool {
    row.code == finding.code
        && row.parts.first() == finding.parts.first()
        && (row.wires.is_empty() && finding.wires.is_empty()
            || row.wires.iter().any(|wire| finding.wires.contains(wire)))
}

fn why_back(car: &Car, row: &Accepted, finding: &Finding) -> Option<String> {
    let mut reasons = Vec::new();
    if row.level != finding.level {
        reasons.push(Acceptances::was_then(row.level.word(), finding.level.word()));
    }
    for (name, now) in &finding.figures {
        let Some(then) = row.figures.get(*name) else { continue };
        if (now - then).abs() > REOPENS_AT * then.abs() {
            let (then, now) = (figure_words(name, *then), figure_words(name, *now));
            reasons.push(Acceptances::was_then(&then, &now));
        }
    }
    let parts = finding.parts.iter().filter(|id| !row.parts.contains(id));
    let wires = finding.wires.iter().filter(|id| !row.wires.contains(id));
    let parts = parts.filter_map(|id| Some(car.part(*id)?.label.clone()));
    let new: Vec<String> =
        parts.chain(wires.filter_map(|id| Some(car.wire(*id)?.label.clone()))).collect();
    if !new.is_empty() {
        reasons.push(Acceptances::concerns_more(list(&new)));
    }
    (!reasons.is_empty()).then(|| reasons.join(Acceptances::and()))
}

/// The unit of a figure, by the last word of its name that is one.
const UNITS: [(&str, &str); 9] = [
    ("amps", "A"),
    ("volts", "V"),
    ("watts", "W"),
    ("ohms", "ohm"),
    ("metres", "m"),
    ("seconds", "s"),
    ("hours", "h"),
    ("mm2", "mm²"),
    ("celsius", "°C"),
];

/// A figure as people read it: `limit_amps` of 8.75 is "limit 8.8 A", `volts_lost` of 0.62 is "0.62 V lost".
pub fn figure_words(name: &str, value: f64) -> String {
    let number = short(value);
    let words: Vec<&str> = name.split('_').collect();
    let unit_at = words.iter().rposition(|word| UNITS.iter().any(|(known, _)| known == word));
    match unit_at {
        None => format!("{} {number}", words.join(" ")),
        Some(at) => {
            let unit = UNITS.iter().find(|(known, _)| *known == words[at]).map_or("", |row| row.1);
            let around = |words: &[&str]| words.join(" ");
            [around(&words[..at]), format!("{number} {unit}"), around(&words[at + 1..])]
                .into_iter()
                .filter(|piece| !piece.is_empty())
                .collect::<Vec<_>>()
                .join(" ")
        }
    }
}

/// A figure with its unit alone: 10.7 A; nothing for one that only counts.
pub(crate) fn with_unit(name: &str, value: f64) -> Option<String> {
    let unit = name.split('_').rev().find(|word| UNITS.iter().any(|(known, _)| known == word))?;
    Some(figure_words(unit, value))
}

/// Two figures that count, or the whole number.
fn short(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 99.5 => 0,
        size if size >= 0.995 => 1,
        size if size >= 0.0995 => 2,
        _ => 3,
    };
    trimmed(value, decimals)
}

#[cfg(test)]
mod tests {
    use super::figure_words;

    #[test]
    fn figures_read_as_people_say_them() {
        assert_eq!(figure_words("amps", 8.75), "8.8 A");
        assert_eq!(figure_words("limit_amps", 30.0), "limit 30 A");
        assert_eq!(figure_words("volts_lost", 0.62), "0.62 V lost");
        assert_eq!(figure_words("opens_within_seconds", 0.05), "opens within 0.05 s");
        assert_eq!(figure_words("settings_promised", 1536.0), "settings promised 1536");
        assert_eq!(figure_words("light_lost", 0.25), "light lost 0.25");
    }
}
