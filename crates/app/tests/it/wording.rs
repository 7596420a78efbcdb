//! All that the window says stands in the table of texts, and in no view.

use std::path::{Path, PathBuf};

use loomwright_app::texts::rows;
use loomwright_texts::literals;

/// What is no text of the window: the table itself; the command line, which has its own; errors of the disk, which
/// both share; words of files that are read and written; letters of languages and regions.
const OTHERS: [&str; 8] =
    ["texts", "texts.rs", "cli", "cli.rs", "files.rs", "store", "command/key_map.rs", "decimal.rs"];

/// What takes a name for the program's own use, and not a text.
const NAMES: [&str; 12] = [
    "id_salt(",
    "Id::unique(",
    "Id::unique((",
    ".with(",
    ".with((",
    "push_id(",
    "debug_struct(",
    "expect(",
    ".join(",
    "trim_start_matches(",
    "split(",
    "request_discard(",
];

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

#[expect(clippy::disallowed_methods, reason = "the test reads the sources of its own crate")]
fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        let inner = path.strip_prefix(source()).expect("it lies in there");
        if OTHERS.iter().any(|other| inner == Path::new(other)) || path.ends_with("tests.rs") {
            continue;
        }
        if path.is_dir() {
            sources(&path, found);
        } else {
            found.push(path);
        }
    }
}

/// Whether a literal is shown to people: two words, or one that begins with a capital and goes on in small letters.
fn is_for_people(before: &str, literal: &str) -> bool {
    if NAMES.iter().any(|name| before.ends_with(name)) {
        return false;
    }
    let outside = literal.split('{').enumerate().map(|(idx, piece)| {
        if idx == 0 { piece } else { piece.split_once('}').map_or("", |(_, after)| after) }
    });
    let outside: Vec<&str> = outside.collect();
    let outside = outside.join(" ");
    let is_word = |word: &&str| word.chars().filter(|letter| letter.is_alphabetic()).count() > 1;
    let words: Vec<&str> = outside.split_whitespace().filter(is_word).collect();
    let is_title = |word: &&str| {
        let mut letters = word.chars().skip_while(|letter| !letter.is_alphabetic());
        letters.next().is_some_and(char::is_uppercase)
            && letters.next().is_some_and(char::is_lowercase)
    };
    words.len() > 1 || words.iter().any(is_title)
}

#[test]
fn no_view_holds_text_of_its_own() {
    let mut files = Vec::new();
    sources(&source(), &mut files);
    assert!(files.len() > 120, "only {} files were read", files.len());
    let (mut n_seen, mut found) = (0, Vec::new());
    for path in files {
        for (before, literal) in literals(&read(&path)) {
            n_seen += 1;
            if is_for_people(before, &literal) {
                let inner = path.strip_prefix(source()).expect("it lies in there");
                found.push(format!("{}: \"{literal}\"", inner.display()));
            }
        }
    }
    assert!(n_seen > 200, "only {n_seen} literals were seen");
    assert!(found.is_empty(), "give these a row in src/texts:\n{}", found.join("\n"));
}

/// Text for people is set by one function, which ties figures to their units.
#[test]
fn no_view_sets_text_past_the_one_door() {
    let mut files = Vec::new();
    sources(&source(), &mut files);
    let past = files.iter().filter(|path| !path.ends_with("src/rich.rs"));
    let past: Vec<_> = past.filter(|path| read(path).contains("RichText::new")).collect();
    assert!(past.is_empty(), "set these with `rich`: {past:?}");
}

#[test]
fn text_is_told_from_names() {
    let text = "#[expect(a, reason = \"no text at all\")]\nlet a = \"fuse\"; // \"nor is this\"\n\
        ui.label(\"Findings\"); ui.button(format!(\"{a} to fit\")); x.id_salt(\"the part left\"); \
        let b = [\"of all\"]; format!(\"{a}: {b}\"); '\"'; hint(\"take it\")";
    let found: Vec<(bool, String)> = literals(text)
        .into_iter()
        .map(|(before, literal)| (is_for_people(before, &literal), literal))
        .collect();
    let told: Vec<(bool, &str)> = found.iter().map(|(is, literal)| (*is, &**literal)).collect();
    assert_eq!(
        told,
        [
            (false, "fuse"),
            (true, "Findings"),
            (true, "{a} to fit"),
            (false, "the part left"),
            (true, "of all"),
            (false, "{a}: {b}"),
            (true, "take it"),
        ]
    );
}

#[test]
fn rows_are_written_alike_and_have_their_own_keys() {
    let mut keys = std::collections::BTreeSet::new();
    for text in rows() {
        assert!(keys.insert((text.of, text.key)), "{}.{} stands twice", text.of, text.key);
        let name = format!("{}.{}: {}", text.of, text.key, text.english);
        assert!(!text.english.contains(['\n', '\t']), "{name} is of several lines");
        assert!(
            !text.english.contains("  ") || text.key.ends_with("_all"),
            "{name} has two spaces"
        );
    }
    assert!(keys.len() > 900, "only {} rows", keys.len());
}
