//! Numbers turned into others, and into text.

/// The whole part of a count; nothing below nought, and no more than a `usize` holds.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates, which is what is wanted"
)]
pub(crate) fn count(value: f64) -> usize {
    value as usize
}

/// The whole number at or below a value.
#[expect(clippy::cast_possible_truncation, reason = "`as` saturates, which is what is wanted")]
pub(crate) fn floor(value: f64) -> i64 {
    value.floor() as i64
}

/// A coordinate as files have it: with at most three decimals, no trailing noughts, and a point whatever people write.
pub(crate) fn coordinate(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_lose_trailing_noughts() {
        assert_eq!([coordinate(21.0), coordinate(0.25), coordinate(-0.0001)], ["21", "0.25", "0"]);
    }

    #[test]
    fn counts_do_not_fall_below_nought() {
        assert_eq!((count(-1.0), count(2.9), floor(-0.5)), (0, 2, -1));
    }
}
