//! Decimal points in texts, and the names that may have one.

use loomwright_circuit::Car;

/// What stands before a number that is a name and no quantity: standards and manuals with their clauses.
const OF_NAMES: [&str; 9] =
    ["IEC", "ISO", "UN R48", "BS", "DIN", "SAE", "MOT", "table", "Loomwright"];

/// A text without the names of terminals, as "Joint 2.1": a part's label, a point and the terminal's own name.
pub(crate) fn without_terminals(car: &Car, text: &str) -> String {
    let mut text = text.to_owned();
    for (id, part) in car.parts() {
        if !part.label.ends_with(|last: char| last.is_ascii_digit()) || !text.contains(&part.label)
        {
            continue;
        }
        let Some(part_type) = car.type_of(*id) else { continue };
        for terminal in &part_type.terminals {
            text = text.replace(&format!("{}.{}", part.label, terminal.name), &part.label);
        }
    }
    text
}

/// The numbers with a decimal point in a text that are no names, each with the words around it.
pub(crate) fn points(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let is_digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let marks =
        (1..letters.len()).filter(|at| letters[*at] == '.' && is_digit(at - 1) && is_digit(at + 1));
    let mut found: Vec<String> = Vec::new();
    for at in marks {
        let start =
            letters[..at].iter().rposition(|letter| letter.is_whitespace()).map_or(0, |it| it + 1);
        let end = letters[at..].iter().position(|letter| letter.is_whitespace());
        let word: String = letters[start..end.map_or(letters.len(), |it| at + it)].iter().collect();
        let before: String = letters[start.saturating_sub(60)..start].iter().collect();
        if !is_name(&word, &before) {
            found.push(format!("{before}{word}"));
        }
    }
    found
}

/// A part's terminal ("F1.2") begins with a letter; a clause stands behind the name of its standard, in the same
/// sentence.
fn is_name(word: &str, before: &str) -> bool {
    let is_terminal = word.trim_start_matches(['(', '“', '\'']).starts_with(char::is_alphabetic);
    let clause = before.rsplit([';', ':']).next().unwrap_or(before);
    is_terminal || OF_NAMES.iter().any(|name| clause.contains(name))
}

#[test]
fn names_are_told_from_quantities() {
    for name in
        ["F1.2 to H1.1", "UN R48 6.11.7 (memory)", "IEC 60364-4-43, 433.1; 1 A", "W3, 12,5 V."]
    {
        assert!(points(name).is_empty(), "{name}");
    }
    for quantity in ["12.5 V", "of 2.5 mm²", "IEC 60364: 0.5 V", "(1.5 A)", "Fuse F1 carries 3.2 A"]
    {
        assert_eq!(points(quantity).len(), 1, "{quantity}");
    }
}
