//! What the JSON reader complains of, in words for people who write no JSON.

use super::LoadError;

/// Longest piece of a file that a message repeats, in characters.
const FOUND_MOST: usize = 300;

/// A reader's complaint as one sentence, with its place: the field where the writing is sound, else line and column.
/// `path` is known once the writing of the whole file has been found sound.
pub(super) fn complaint(error: &serde_json::Error, path: Option<&str>) -> LoadError {
    let text = error.to_string();
    let says = text.rsplit_once(" at line ").map_or(text.as_str(), |(says, _)| says);
    let says = says.replace('`', "'");
    let (line, column) = (error.line().max(1), error.column().max(1));
    if let Some(path) = path
        && let Some(says) = of_value(error, &says)
    {
        let path = if path == "." { "the top".to_owned() } else { one_line(path) };
        return LoadError::Shape { says: one_line(&says), path, line };
    }
    LoadError::Syntax { says: one_line(&of_writing(error, &says)), line, column }
}

/// What is wrong with how the file is written.
fn of_writing(error: &serde_json::Error, says: &str) -> String {
    if error.is_eof() {
        return "the file breaks off: expected more, down to the last '}'".to_owned();
    }
    let known = match says {
        "expected value" => "found no value, expected text in quotes, a number, '{' or '['",
        "expected ident" => "found an unknown word, expected true, false, null or text in quotes",
        "expected ':'" => "found something else, expected ':' behind a field's name",
        "expected ',' or '}'" => "found something else, expected ',' or '}' behind a field",
        "expected ',' or ']'" => "found something else, expected ',' or ']' behind a row",
        "key must be a string" => "found something else, expected a field's name in quotes",
        "trailing comma" => "found a comma with nothing behind it, expected another field or row",
        "trailing characters" => "found more, expected the end of the file",
        "number out of range" => "found a number that is too large",
        "invalid number" => "found a number that is not written as one, expected such as 1.5",
        "invalid escape" => "found an unknown sign behind a backslash in a text",
        "invalid unicode code point" => "found bytes that are no text, expected UTF-8",
        "recursion limit exceeded" => "found too many brackets inside brackets",
        _ if says.starts_with("control character") => {
            "found a line break or another control character in a text, expected its last quote"
        }
        _ => says,
    };
    known.to_owned()
}

/// What is wrong with a value that is soundly written; nothing where it is not.
fn of_value(error: &serde_json::Error, says: &str) -> Option<String> {
    if says == "expected value" {
        return Some("found something else, expected a known word in quotes".to_owned());
    }
    if !error.is_data() {
        return None;
    }
    let Some((found, expected)) = says.split_once(", expected ") else {
        return Some(says.to_owned());
    };
    let found = match found.split_once(": ") {
        Some(("invalid type" | "invalid value", value)) => format!("found {}", value_words(value)),
        _ => found.replacen("unknown variant ", "found ", 1).replacen(
            "invalid length ",
            "found a list of ",
            1,
        ),
    };
    Some(format!("{found}, expected {}", kind_words(expected)))
}

/// A value as the reader names it: `integer '5'` is 5.
fn value_words(value: &str) -> String {
    let bare = |quoted: &str| quoted.trim_matches('\'').to_owned();
    match value.split_once(' ') {
        Some(("integer" | "boolean", quoted)) => bare(quoted),
        Some(("floating", quoted)) => bare(quoted.trim_start_matches("point ")),
        Some(("string", quoted)) => format!("the text {quoted}"),
        _ => match value {
            "map" => "an object".to_owned(),
            "sequence" => "a list".to_owned(),
            "null" => "nothing".to_owned(),
            _ => value.to_owned(),
        },
    }
}

/// A kind of value as the reader names it: `u32` is a whole number.
fn kind_words(expected: &str) -> String {
    match expected {
        "f32" | "f64" => "a number".to_owned(),
        "i8" | "i16" | "i32" | "i64" | "u8" | "u16" | "u32" | "u64" | "usize" => {
            "a whole number from 0 on".to_owned()
        }
        "a string" | "string" => "text in quotes".to_owned(),
        "a boolean" => "true or false".to_owned(),
        "a map" => "an object".to_owned(),
        "a sequence" => "a list".to_owned(),
        _ if expected.starts_with("struct ") => "an object".to_owned(),
        _ => expected.replacen("a tuple of size ", "a list of ", 1).replacen(
            "an array of length ",
            "a list of ",
            1,
        ),
    }
}

/// Text from a file as it may stand in a message: one line, and not endless.
pub(super) fn one_line(text: &str) -> String {
    let mut line: String = text
        .chars()
        .take(FOUND_MOST)
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    if text.chars().count() > FOUND_MOST {
        line.push('…');
    }
    line
}
