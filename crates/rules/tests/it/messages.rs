//! The table of texts holds all that rules say to people, and its rows are ready for a translator.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use loomwright_rules::{RULES, texts};
use loomwright_texts::literals;

/// What several rules or helpers share has a name instead of a code.
const SHARED: [&str; 18] = [
    "Acceptances",
    "Checking",
    "Common",
    "Doubts",
    "FuseFixes",
    "Jobs",
    "Joined",
    "Limits",
    "Losses",
    "Names",
    "NewLeads",
    "RelayFixes",
    "Origins",
    "OverBand",
    "Promised",
    "Sources",
    "Stands",
    "Traces",
];

/// Pages and lessons are set as pages, and a page of Markdown is translated as a whole.
const PAGES: [&str; 1] = ["page.rs"];

/// American words and spellings of what the rules speak of (memory).
const AMERICAN: [&str; 16] = [
    "aluminum",
    "center",
    "color",
    "fender",
    "gage",
    "gasoline",
    "gray",
    "ground",
    "grounded",
    "hood",
    "license",
    "mold",
    "muffler",
    "tire",
    "trunk",
    "windshield",
];

/// The most words of a literal that is a name, a unit or a form of a verb.
const WORDS_MOST: usize = 2;

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

#[expect(clippy::disallowed_methods, reason = "the test reads the sources of its own crate")]
fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The sources of the crate, without the table and what is no text of findings.
fn cleared() -> Vec<PathBuf> {
    let files = |folder: PathBuf| -> Vec<PathBuf> {
        let entries = std::fs::read_dir(&folder).expect("a folder of sources");
        let paths = entries.map(|entry| entry.expect("an entry").path());
        paths.filter(|path| path.extension().is_some_and(|ending| ending == "rs")).collect()
    };
    let rules = files(source().join("rules"));
    assert_eq!(rules.len(), RULES.len());
    let mut all = [files(source()), files(source().join("wiring")), rules].concat();
    all.retain(|path| !PAGES.iter().any(|page| path.ends_with(page)));
    all
}

/// What a rule says of itself, the words of JSON and tests aside.
fn without_names_and_tests(text: &str) -> String {
    let without = |text: &str, from: &str, to: &str| match text.split_once(from) {
        Some((before, rest)) => {
            let (_, after) = rest.split_once(to).expect("a whole item");
            format!("{before}{after}")
        }
        None => text.to_owned(),
    };
    let text = without(text, "const RULE: Rule = Rule {", "\n};");
    without(&text, "/// The word in JSON.", "\n    }\n")
}

/// The words of a text, with what stands in braces left out.
fn words(text: &str) -> Vec<String> {
    let outside: String =
        text.split('{')
            .enumerate()
            .map(|(idx, piece)| {
                if idx == 0 { piece } else { piece.split_once('}').map_or("", |(_, after)| after) }
            })
            .collect::<Vec<_>>()
            .join(" ");
    let is_word = |word: &&str| word.chars().any(char::is_alphabetic);
    outside.split_whitespace().filter(is_word).map(str::to_owned).collect()
}

/// Whether a literal is for people: a sentence, or whatever goes where sentences go.
fn is_for_people(before: &str, literal: &str) -> bool {
    let goes = [".advise(", ".fix(", ".source(", ".says(", "not_checked(&RULE,"];
    let n_words = words(literal).len();
    n_words > WORDS_MOST
        || n_words > 0
            && (before.ends_with("format!(") || goes.iter().any(|to| before.ends_with(to)))
}

#[test]
fn no_rule_holds_text_of_its_own() {
    let mut n_seen = 0;
    let mut found = Vec::new();
    for path in cleared() {
        let text = without_names_and_tests(&read(&path));
        for (before, literal) in literals(&text) {
            n_seen += 1;
            if is_for_people(before, &literal) {
                found.push(format!("{}: \"{literal}\"", path.display()));
            }
        }
    }
    assert!(n_seen > 100, "only {n_seen} literals were seen");
    assert!(found.is_empty(), "give these a row in src/messages:\n{}", found.join("\n"));
}

#[test]
fn text_is_told_from_names() {
    let text = "// \"no text at all\"\nlet a = \"fuse\"; says(format!(\"{b} blows\")); // '\n\
        let c = \"it blows \\\n    at once\"; x.fix(\"Mend\"); '\"'; format!(\"{a}: {b}\")";
    let found: Vec<(bool, String)> = literals(text)
        .into_iter()
        .map(|(before, literal)| (is_for_people(before, &literal), literal))
        .collect();
    let told: Vec<(bool, &str)> = found.iter().map(|(is, literal)| (*is, literal.trim())).collect();
    let sentence = "it blows      at once";
    assert_eq!(
        told,
        [
            (false, "fuse"),
            (true, "{b} blows"),
            (true, sentence),
            (true, "Mend"),
            (false, "{a}: {b}")
        ]
    );
}

#[test]
fn every_row_is_of_a_rule_or_shared_and_has_its_own_key() {
    let mut keys = BTreeSet::new();
    for text in texts() {
        let is_known = RULES.iter().any(|rule| rule.code == text.of) || SHARED.contains(&text.of);
        assert!(is_known, "{}.{}", text.of, text.key);
        assert!(keys.insert((text.of, text.key)), "{}.{} stands twice", text.of, text.key);
    }
    for rule in RULES {
        let has = keys.iter().any(|(of, _)| *of == rule.code);
        assert!(has, "{} has no text in the table", rule.code);
    }
}

#[test]
fn rows_are_written_alike() {
    for text in texts() {
        let (name, english) = (format!("{}.{}", text.of, text.key), text.english);
        assert!(!english.ends_with(['.', '!']), "{name} ends in a stop: {english}");
        assert!(!english.contains(['\n', '\t']), "{name} is of several lines: {english}");
        assert!(!english.contains("  "), "{name} has two spaces in a row: {english}");
        let starts = english.chars().next().unwrap_or_default();
        let is_whole = ["advice", "fix"].iter().any(|kind| text.key.starts_with(kind));
        assert!(!is_whole || starts.is_uppercase() || starts == '{', "{name}: {english}");
        for word in words(english) {
            let word = word.trim_matches(|letter: char| !letter.is_alphabetic()).to_lowercase();
            let is_american =
                AMERICAN.contains(&word.as_str()) || word.ends_with("ize") && word != "size";
            assert!(!is_american, "{name}: '{word}' is not British: {english}");
        }
    }
}

/// Two rows that say the same are one for a translator, unless they are of different rules.
#[test]
fn no_rule_says_one_thing_in_two_rows() {
    let mut said = BTreeSet::new();
    for text in texts() {
        assert!(said.insert((text.of, text.english)), "{}: {}", text.of, text.english);
    }
}

/// A finding that joins two others reads both behind the same word.
#[test]
fn what_is_read_from_a_sentence_stands_in_its_row() {
    let row = |of: &str, key: &str| {
        texts().find(|text| text.of == of && text.key == key).expect("a row").english
    };
    let carries = row("Joined", "carries");
    let reads = |of: &'static str| {
        texts().filter(move |text| text.of == of && text.key.starts_with("says"))
    };
    assert!(row("PR01", "says").starts_with(&format!("{{fuse}}{carries}")));
    let n_read =
        reads("PR04").filter(|text| text.english.starts_with(&format!("{{fuse}}{carries}")));
    let others = "all but those of a motor's start and of a generator's full output";
    assert!(n_read.count() + 2 == reads("PR04").count(), "{others}");
    let should_be = row("Joined", "should_be");
    assert!(row("PM01", "says").contains(should_be));
    assert!(row("PM01", "says_without").contains(should_be));
}
