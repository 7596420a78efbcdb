//! Figures kept on one line with their units, and the numbers of labels with their words.

use loomwright_units::tied;

/// A blank that no line breaks at.
const BLANK: &str = "\u{a0}";

/// The same words, in which no line can end before a unit or the number of a label: "30.0 A", "Main-beam joint 2".
pub(crate) fn bound(words: &str) -> String {
    let words = tied(words);
    let (mut bound, mut done) = (String::with_capacity(words.len()), 0);
    for (at, _) in words.match_indices(' ') {
        if is_number_of_label(&words[..at], &words[at + 1..]) {
            bound.push_str(&words[done..at]);
            bound.push_str(BLANK);
            done = at + 1;
        }
    }
    bound.push_str(&words[done..]);
    bound
}

/// Of no more than two digits, and followed by no further ones, as "2" is in "joint 2" and not in "than 2.5".
fn is_number_of_label(before: &str, after: &str) -> bool {
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    let mut behind = after[digits..].chars();
    let ends = match behind.next() {
        None | Some(' ' | ',' | ';' | ':' | ')' | '"') => true,
        Some('.') => !behind.next().is_some_and(|c| c.is_ascii_digit()),
        Some(_) => false,
    };
    (1..=2).contains(&digits) && ends && before.ends_with(|c: char| c.is_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::bound;

    #[test]
    fn figures_stay_with_units_and_numbers_with_their_words() {
        let told = |words: &str| bound(words).replace('\u{a0}', "_");
        assert_eq!(told("with it, 30.0 A: 25.8 to 33.6 A"), "with it, 30.0_A: 25.8 to 33.6_A");
        assert_eq!(told("over Main-beam joint 2, no more"), "over Main-beam joint_2, no more");
        assert_eq!(told("no more than 2.5 mm² and 12 Volts"), "no more than 2.5_mm² and_12 Volts");
        assert_eq!(told("a lead of 1.5 m"), "a lead of 1.5_m");
        assert_eq!(told("terminal 56a"), "terminal 56a");
        assert_eq!(told("nothing here"), "nothing here");
    }
}
