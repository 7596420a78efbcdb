//! Numbers for labels that nobody gave: "Lamp 3", "W12".

use crate::Car;

/// Greater numbers than this in a label are names, not counts.
const COUNT_MOST: u64 = 999_999;

impl Car {
    /// The next label for a part whose label begins with this word: "Lamp 3".
    pub fn next_part_label(&self, stem: &str) -> String {
        let prefix = format!("{stem} ");
        next(&prefix, || self.parts.values().map(|part| part.label.as_str()))
    }

    /// The next number for a wire: "W12".
    pub fn next_wire_label(&self) -> String {
        next("W", || self.wires.values().map(|wire| wire.label.as_str()))
    }

    /// A label like this one that is free: itself, else with the next number behind it.
    pub(super) fn free_part_label(&self, label: &str) -> String {
        if self.part_labelled(label).is_none() {
            return label.to_owned();
        }
        let stem = label.trim_end_matches(|letter: char| letter.is_ascii_digit()).trim_end();
        self.next_part_label(if stem.is_empty() { label } else { stem })
    }
}

/// A text without blanks around it.
pub(super) fn trimmed(text: &str) -> String {
    text.trim().to_owned()
}

/// One above the greatest number in use, so that a number on paper never comes to mean another row. The first one
/// that stands without a number ("Horn") counts as 1.
fn next<'a, I: Iterator<Item = &'a str>>(prefix: &str, labels: impl Fn() -> I) -> String {
    let number = |label: &str| match label.strip_prefix(prefix) {
        Some(digits) => digits.parse::<u64>().ok().filter(|number| *number <= COUNT_MOST),
        None => (label == prefix.trim_end()).then_some(1),
    };
    let mut candidate = labels().filter_map(number).max().unwrap_or(0) + 1;
    // Past the greatest count, or beside a label such as "Lamp 07", the first free one.
    if candidate > COUNT_MOST {
        candidate = 1;
    }
    loop {
        let label = format!("{prefix}{candidate}");
        if labels().all(|taken| taken != label) {
            return label;
        }
        candidate += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::next;

    fn check(prefix: &str, taken: &[&str], expected: &str) {
        assert_eq!(next(prefix, || taken.iter().copied()), expected);
    }

    #[test]
    fn numbers_count_on_from_the_greatest() {
        check("Lamp ", &[], "Lamp 1");
        check("Lamp ", &["Lamp 1", "Lamp 3", "Left lamp"], "Lamp 4");
        check("Lamp ", &["Lamp"], "Lamp 2");
        check("W", &["W9", "W10", "12"], "W11");
    }

    #[test]
    fn names_that_look_like_numbers_do_not_count() {
        check("W", &["W4000000000", "W2x"], "W1");
        check("W", &["W999999", "W1"], "W2");
        check("W", &["W99999999999999999999999"], "W1");
    }
}
