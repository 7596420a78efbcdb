//! Text broken into lines of eighty columns.

use std::io::Write;

/// Columns of a terminal.
pub(crate) const WIDE: usize = 80;

/// Writes text behind a mark, broken between words; what follows stands under its beginning.
pub(crate) fn write_wrapped(out: &mut dyn Write, mark: &str, text: &str) -> std::io::Result<()> {
    let indent = mark.chars().count();
    let mut line = mark.to_owned();
    let mut wide = indent;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if wide > indent && wide + 1 + long > WIDE {
            writeln!(out, "{}", line.trim_end())?;
            line = " ".repeat(indent);
            wide = indent;
        }
        if wide > indent {
            line.push(' ');
            wide += 1;
        }
        line.push_str(word);
        wide += long;
    }
    writeln!(out, "{}", line.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_stand_under_each_other() {
        let mut out = Vec::new();
        let text = "word ".repeat(20);
        write_wrapped(&mut out, "  mark: ", &text).expect("written");
        let text = String::from_utf8(out).expect("text");
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0], format!("  mark: {}", "word ".repeat(14).trim_end()));
        assert_eq!(lines[1], format!("        {}", "word ".repeat(6).trim_end()));
    }
}
