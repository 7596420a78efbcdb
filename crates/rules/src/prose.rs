//! Prose with numbers in it: what a car file keeps of a finding, and the pages of rules, with the reader's decimal mark.

use loomwright_circuit::Car;
use loomwright_units::{DecimalMark, decimal_mark};

use crate::check::help;
use crate::messages::Sources;

/// A sentence as it is told, with points as in files: a car file, and a table for other programs, is the same whoever reads
/// it.
pub fn for_files(car: &Car, told: &str) -> String {
    match decimal_mark() {
        DecimalMark::Point => told.to_owned(),
        DecimalMark::Comma => remarked(car, told, (',', '.')),
    }
}

/// A sentence that a car file keeps, with the reader's decimal mark.
pub fn for_reader(car: &Car, kept: &str) -> String {
    match decimal_mark() {
        DecimalMark::Point => kept.to_owned(),
        DecimalMark::Comma => remarked(car, kept, ('.', ',')),
    }
}

/// A source as an owner should read it: how far it was checked, in words and not in the notes of whoever wrote it down.
///
/// # Example
/// ```
/// use loomwright_rules::source_for_reader;
/// assert_eq!(source_for_reader("practice"), "common practice");
/// ```
pub fn source_for_reader(source: &str) -> String {
    let (quoted, seen) = (Sources::quoted(), Sources::published());
    let text = source.replace("(memory)", &format!("({quoted})")).replace("from memory", quoted);
    let text = text.replace("(seen)", &format!("({seen})"));
    // Whose practice it is was said already where it is "common" or "trade" practice.
    let mut told = String::new();
    for piece in text.split_inclusive("practice") {
        let before = piece.strip_suffix("practice");
        match before {
            Some(before) if !before.ends_with("common ") && !before.ends_with("trade ") => {
                told.push_str(before);
                told.push_str(Sources::practice());
            }
            _ => told.push_str(piece),
        }
    }
    told
}

/// Puts another mark between digits, but where it belongs to a name: in a label, or before a terminal ("Joint 2.1").
fn remarked(car: &Car, text: &str, (old, new): (char, char)) -> String {
    let labels = car.parts().values().map(|part| &part.label);
    let labels = labels.chain(car.wires().values().map(|wire| &wire.label));
    // A label of nothing but digits is told from no quantity.
    let labels = labels.filter(|label| label.contains(char::is_alphabetic));
    let names: Vec<_> = labels
        .flat_map(|label| text.match_indices(&**label).map(|(at, _)| at..=at + label.len()))
        .collect();
    let is_digit = |at: Option<usize>| {
        at.and_then(|at| text.as_bytes().get(at)).is_some_and(u8::is_ascii_digit)
    };
    text.char_indices()
        .map(|(at, letter)| {
            let is_mark = letter == old && is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
            let is_of_name = || names.iter().any(|name| name.contains(&at));
            if is_mark && !is_of_name() { new } else { letter }
        })
        .collect()
}

/// The help page of the rule of this code with the reader's decimal mark.
///
/// Its sketches are as they are typed, its sources as they are printed, and names such as `F1.2` are no numbers.
pub fn help_for_reader(code: &str) -> Option<String> {
    let page = help(code)?;
    Some(match decimal_mark() {
        DecimalMark::Point => page.to_owned(),
        DecimalMark::Comma => page_with_comma(page),
    })
}

fn page_with_comma(page: &str) -> String {
    let (mut is_sketch, mut is_source) = (false, false);
    page.split_inclusive('\n')
        .map(|line| {
            if line.starts_with("```") {
                is_sketch = !is_sketch;
            } else if let Some(heading) = line.strip_prefix("## ") {
                is_source = heading.trim_end() == "Source";
            }
            if is_sketch || is_source {
                return line.to_owned();
            }
            let words = line.split_inclusive(char::is_whitespace);
            words.map(|word| if is_name(word) { word.to_owned() } else { comma_in(word) }).collect()
        })
        .collect()
}

/// Whether a word begins with a letter, whatever stands before it.
fn is_name(word: &str) -> bool {
    word.chars().find(|letter| letter.is_alphanumeric()).is_some_and(char::is_alphabetic)
}

fn comma_in(word: &str) -> String {
    let bytes = word.as_bytes();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    word.char_indices()
        .map(|(at, letter)| {
            let is_mark = letter == '.' && is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
            if is_mark { ',' } else { letter }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{page_with_comma, remarked, source_for_reader};

    #[test]
    fn a_source_tells_an_owner_how_far_it_was_checked() {
        let quoted = "as commonly quoted, not checked against the published text";
        let told = [
            ("ISO 8820-3 (memory)", format!("ISO 8820-3 ({quoted})")),
            (
                "UN R48 6.6 (memory): check what applies to your car",
                format!("UN R48 6.6 ({quoted}): check what applies to your car"),
            ),
            ("SAE J1888, from memory", format!("SAE J1888, {quoted}")),
            ("DIN VDE 0298-4 (seen)", "DIN VDE 0298-4 (as published)".to_owned()),
            ("practice: 0.1 V", "common practice: 0.1 V".to_owned()),
            ("heat; practice: a watt", "heat; common practice: a watt".to_owned()),
            ("common trade practice: 2 milliohm", "common trade practice: 2 milliohm".to_owned()),
        ];
        for (source, expected) in told {
            assert_eq!(source_for_reader(source), expected);
        }
        // Of all that the rules name, nothing is left that only whoever wrote it down understands.
        let notes = ["memory", "(seen)", "(practice)"];
        for text in crate::texts().filter(|text| text.key.starts_with("source")) {
            let told = source_for_reader(text.english);
            assert!(!notes.iter().any(|note| told.contains(note)), "{told}");
        }
    }

    #[test]
    fn a_page_has_commas_but_in_sketches_sources_and_names() {
        let page = "## Why\nA fuse (8.75 A) by F1.2, 0.5 to 1.5 mm².\n```sketch\nwire W1 B1.+ F1.1 1.5 mm2\n```\n\
            ## Source\nUN R48 6.11\n## Fix\nThe 3.4th power.\n";
        let told = "## Why\nA fuse (8,75 A) by F1.2, 0,5 to 1,5 mm².\n```sketch\nwire W1 B1.+ F1.1 1.5 mm2\n```\n\
            ## Source\nUN R48 6.11\n## Fix\nThe 3,4th power.\n";
        assert_eq!(page_with_comma(page), told);
    }

    #[test]
    fn quantities_get_the_other_mark_and_names_keep_theirs() {
        let text = "car 12 V negative earth\nlamp \"Lamp 2\" 21 W\nlamp \"Lamp 1,5 W\" 5 W\n";
        let car = loomwright_sketch::parse(text).expect("a sketch");
        let kept = "Lamp 2.1 of Lamp 1,5 W draws 12.5 A (1.75 A too much), as 1, 2 and F1.";
        let told = "Lamp 2.1 of Lamp 1,5 W draws 12,5 A (1,75 A too much), as 1, 2 and F1.";
        assert_eq!(remarked(&car, kept, ('.', ',')), told);
        assert_eq!(remarked(&car, told, (',', '.')), kept);
    }
}
