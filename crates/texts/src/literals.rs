//! The string literals of a source file.

/// The string literals of some source, each with the code before it; comments, attributes and tests are none.
pub fn literals(text: &str) -> Vec<(&str, String)> {
    let text = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or_default();
    let mut found = Vec::new();
    let mut rest = text.char_indices().peekable();
    let mut depth_of_attribute = 0_u32;
    while let Some((at, letter)) = rest.next() {
        let next = rest.peek().map(|(_, next)| *next);
        match letter {
            '/' if next == Some('/') => while rest.next().is_some_and(|(_, on)| on != '\n') {},
            '#' if matches!(next, Some('[' | '!')) => depth_of_attribute = 1,
            '[' if depth_of_attribute > 0 => depth_of_attribute += 1,
            ']' if depth_of_attribute > 0 => {
                depth_of_attribute -= 1;
                // The mark of an attribute counts as one, its bracket as another.
                depth_of_attribute = if depth_of_attribute == 1 { 0 } else { depth_of_attribute };
            }
            // Lifetimes have no second mark; '"' has.
            '\'' if text[at..].starts_with("'\"'") => drop(rest.nth(1)),
            '"' => {
                let mut literal = String::new();
                while let Some((_, inner)) = rest.next() {
                    match inner {
                        '"' => break,
                        '\\' => match rest.next() {
                            Some((_, 'n')) => literal.push('\n'),
                            _ => literal.push(' '),
                        },
                        _ => literal.push(inner),
                    }
                }
                if depth_of_attribute == 0 {
                    found.push((text[..at].trim_end(), literal));
                }
            }
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_attributes_and_tests_are_no_text() {
        let text = "#[expect(a, reason = \"none\")]\nlet a = \"fuse\"; // \"nor this\"\n\
            ui.label(\"Find \\\n    it\"); '\"'; f(b, \"last\")\n#[cfg(test)]\nmod tests { \"nor this\" }";
        let found = literals(text);
        let told: Vec<(&str, &str)> =
            found.iter().map(|(before, literal)| (*before, literal.as_str())).collect();
        let literals: Vec<&str> = told.iter().map(|(_, literal)| *literal).collect();
        assert_eq!(literals, ["fuse", "Find      it", "last"]);
        assert!(told[0].0.ends_with("let a =") && told[1].0.ends_with("ui.label("));
    }
}
