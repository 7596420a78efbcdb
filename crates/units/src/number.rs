//! Numbers as people write them: how many figures, and the decimal mark.
//!
//! All that is shown to people goes through here. Files that machines read go through nothing: Rust writes a point, and
//! they keep it. Text that is both, such as a table that is printed and also written as CSV, is made for the file within
//! [`as_in_files`].

use std::cell::Cell;
use std::sync::atomic::{AtomicBool, Ordering};

/// What stands between the whole part of a number and its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalMark {
    /// 1.5
    #[default]
    Point,
    /// 1,5
    Comma,
}

/// Whether people write a comma. One for the process, as the locale of the platform is: quantities are printed
/// everywhere, and the reader is one.
static COMMA: AtomicBool = AtomicBool::new(false);

thread_local! {
    /// Whether this thread writes for a file just now.
    static IN_FILES: Cell<bool> = const { Cell::new(false) };
}

/// Sets the mark with which numbers are written for people from now on.
///
/// It is set once when the program starts, and when the setting changes. What was written before stays as it is, so
/// whoever keeps text makes it anew.
pub fn set_decimal_mark(mark: DecimalMark) {
    COMMA.store(mark == DecimalMark::Comma, Ordering::Relaxed);
}

/// The mark with which numbers are written here and now.
pub fn decimal_mark() -> DecimalMark {
    if COMMA.load(Ordering::Relaxed) && !IN_FILES.get() {
        DecimalMark::Comma
    } else {
        DecimalMark::Point
    }
}

/// Does something in which every number is written as in files, with a point; on this thread only.
///
/// # Example
/// ```
/// use loomwright_units::{DecimalMark, Volts, as_in_files, set_decimal_mark};
/// set_decimal_mark(DecimalMark::Comma);
/// assert_eq!(Volts(12.6).to_string(), "12,6 V");
/// assert_eq!(as_in_files(|| Volts(12.6).to_string()), "12.6 V");
/// ```
pub fn as_in_files<T>(write: impl FnOnce() -> T) -> T {
    /// Gives back what was, also where the inner work panics.
    struct Before(bool);
    impl Drop for Before {
        fn drop(&mut self) {
            IN_FILES.set(self.0);
        }
    }
    let _before = Before(IN_FILES.replace(true));
    write()
}

/// A number as Rust writes it with the mark of the reader, and without a sign where what is left of it is nought.
fn marked(mut number: String) -> String {
    let is_nought =
        number.split('e').next().is_some_and(|it| it.chars().all(|c| "-0.".contains(c)));
    if is_nought && number.starts_with('-') {
        number.remove(0);
    }
    match decimal_mark() {
        DecimalMark::Point => number,
        DecimalMark::Comma => number.replace('.', ","),
    }
}

/// Takes the noughts off the end of the decimals.
fn without_noughts(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

/// A number with so many decimals: 1.50.
pub fn with_decimals(value: f64, decimals: usize) -> String {
    marked(format!("{value:.decimals$}"))
}

/// A number with at most so many decimals, without idle noughts: 1.5.
///
/// # Example
/// ```
/// assert_eq!(loomwright_units::trimmed(2.0, 2), "2");
/// assert_eq!(loomwright_units::trimmed(0.35, 2), "0.35");
/// ```
pub fn trimmed(value: f64, at_most: usize) -> String {
    marked(without_noughts(&format!("{value:.at_most$}")).to_owned())
}

/// A number with all of its figures, as few as give the same number when it is read: what was typed.
pub fn exact(value: f64) -> String {
    marked(value.to_string())
}

/// A number with so many figures that count, and at most so many decimals, without idle noughts.
pub fn significant(value: f64, figures: usize, at_most: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let (mut decimals, mut scaled) = (0, value.abs());
    let mut enough = 1.0;
    for _ in 1..figures {
        enough *= 10.0;
    }
    while scaled < enough && decimals < at_most {
        scaled *= 10.0;
        decimals += 1;
    }
    trimmed(value, decimals)
}

/// A number with so many figures that count and a power of ten: 1.5e-6.
pub fn scientific(value: f64, figures: usize) -> String {
    let decimals = figures.saturating_sub(1);
    let text = format!("{value:.decimals$e}");
    let (number, power) = text.split_once('e').unwrap_or((&text, "0"));
    marked(format!("{}e{power}", without_noughts(number)))
}

/// A large count in groups of three.
///
/// The groups stand apart by commas beside a decimal point, and by blanks beside a comma, which never means two things.
///
/// # Source
/// ISO 80000-1:2009, 7.3.1: groups stand apart by a small space, and never by a point or a comma; English papers keep their
/// comma.
pub fn thousands(n: u128) -> String {
    let digits = n.to_string();
    let gap = match decimal_mark() {
        DecimalMark::Point => ',',
        DecimalMark::Comma => '\u{a0}',
    };
    let mut text = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if idx > 0 && (digits.len() - idx).is_multiple_of(3) {
            text.push(gap);
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn idle_noughts_go_and_others_stay() {
        assert_eq!(
            [with_decimals(2.0, 2), with_decimals(0.125, 1), with_decimals(-1.25, 1)],
            ["2.00", "0.1", "-1.2"]
        );
        let told = [(2.0, 2), (0.35, 2), (12.999, 2), (100.0, 0), (-0.001, 2)];
        let told = told.map(|(value, at_most)| trimmed(value, at_most));
        assert_eq!(told, ["2", "0.35", "13", "100", "0"]);
    }

    /// A meter shows no minus before nought, and nor does anything else.
    #[test]
    fn what_rounds_to_nought_has_no_sign() {
        for decimals in 0..4 {
            let told = [-0.0, -1e-9, -0.000_49].map(|value| with_decimals(value, decimals));
            assert!(told.iter().all(|it| *it == with_decimals(0.0, decimals)), "{told:?}");
            let told = [-0.0, -1e-9].map(|value| trimmed(value, decimals));
            assert_eq!(told, ["0", "0"]);
        }
        let told = [exact(-0.0), significant(-1e-9, 3, 6), scientific(-0.0, 3)];
        assert_eq!(told, ["0", "0", "0e0"]);
        // What is left of them is something.
        let told = [with_decimals(-0.006, 2), exact(-1e-9), scientific(-0.01, 2)];
        assert_eq!(told, ["-0.01", "-0.000000001", "-1e-2"]);
    }

    #[test]
    fn figures_that_count_are_counted_from_the_first() {
        let told = [8.7, 0.0945, 119.4, 12.0, 0.0].map(|value| significant(value, 3, 6));
        assert_eq!(told, ["8.7", "0.0945", "119", "12", "0"]);
        assert_eq!(significant(1234.56, 5, 8), "1234.6");
        assert_eq!([scientific(0.000_012_5, 4), scientific(2e8, 4)], ["1.25e-5", "2e8"]);
    }

    #[test]
    fn large_counts_are_in_groups() {
        let told = [0, 999, 1_536, 1_000_000].map(thousands);
        assert_eq!(told, ["0", "999", "1,536", "1,000,000"]);
    }
}
