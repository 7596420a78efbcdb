//! The help page on the notation: its examples are read, and its list of part types is kept fresh.

use std::collections::BTreeSet;

use loomwright_circuit::seen::Question;
use loomwright_circuit::{EndSeen, Library, PartSeen, Seen, WireSeen, part_type::Group};
use loomwright_sketch::{electrically_equal, parse, print};

const HELP: &str = include_str!("../../../../assets/help/sketch.md");
const HELP_FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/help/sketch.md");

/// The contents of the page's blocks of one kind.
fn blocks(kind: &str) -> Vec<&'static str> {
    let open = format!("```{kind}\n");
    HELP.split(&open).skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

#[test]
fn every_example_reads_and_prints() {
    let sketches = blocks("sketch");
    assert_eq!(sketches.len(), 3);
    for sketch in sketches {
        let car = parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let n_rows = sketch.lines().filter(|line| !line.trim().is_empty()).count();
        let n_read =
            1 + car.parts().len() + car.wires().len() + car.promises().len() + car.accepted().len();
        assert_eq!(n_read, n_rows);
        let back = parse(&print(&car)).expect("what was printed");
        assert!(electrically_equal(&car, &back));
    }
}

#[test]
fn every_keyword_of_the_grammar_is_one_that_the_reader_knows() {
    let grammar = blocks("ebnf")[0];
    let words: BTreeSet<&str> = grammar.split('"').skip(1).step_by(2).collect();
    for word in [
        "car", "wire", "promise", "accepted", "own-type", "part", "switch", "fuse", "earth",
        "relay", "lamp",
    ] {
        assert!(words.contains(word), "{word}");
    }
    // One line for each alternative word that stands behind a keyword.
    for word in words.iter().filter(|word| ["changeover", "diode"].contains(word)) {
        assert!(parse(&format!("relay K1 {word}")).is_ok(), "{word}");
    }
    for word in ["pvc", "thin-wall", "cotton"] {
        assert!(words.contains(word), "{word}");
        assert!(parse(&format!("wire W1 loose loose {word}")).is_ok(), "{word}");
    }
}

/// A line for each question: key, answers, and what it asks.
fn questions<S: Seen>(of: &str) -> Vec<String> {
    let line = |question: &Question| {
        let answers: Vec<&str> = question.choices.iter().map(|(word, _)| *word).collect();
        let answers = if answers.is_empty() { "mm".to_owned() } else { answers.join(" | ") };
        format!("{:<84} # {of}: {}", format!("{} = {answers}", question.key), question.title)
    };
    S::QUESTIONS.iter().map(line).collect()
}

/// The page with one of its generated blocks written anew.
#[expect(
    clippy::disallowed_methods,
    reason = "writes the generated part of the page when asked to"
)]
fn bless(kind: &str, fresh: &str) -> bool {
    if std::env::var("BLESS").is_err() {
        return false;
    }
    // Two blocks are written by two tests, perhaps at once.
    static ONE_AT_A_TIME: std::sync::Mutex<()> = std::sync::Mutex::new(());
    let _held = ONE_AT_A_TIME.lock();
    let page = std::fs::read_to_string(HELP_FILE).expect("the page");
    let open = format!("```{kind}\n");
    let (before, rest) = page.split_once(&open).expect("the block");
    let (_, after) = rest.split_once("```").expect("its end");
    std::fs::write(HELP_FILE, format!("{before}{open}{fresh}\n```{after}")).expect("written");
    true
}

#[test]
fn each_question_has_its_line_on_the_page() {
    let lines =
        [questions::<WireSeen>("wire"), questions::<EndSeen>("end"), questions::<PartSeen>("part")];
    let fresh = lines.concat().join("\n");
    if bless("seen", &fresh) {
        return;
    }
    let page = blocks("seen")[0].trim_end();
    assert_eq!(page, fresh, "run BLESS=1 cargo test -p loomwright-sketch to write the list anew");
}

#[test]
fn each_part_type_has_its_line_on_the_page() {
    let lines: Vec<String> = Group::ALL
        .into_iter()
        .flat_map(|group| Library::standard().iter().filter(move |row| row.group == group))
        .map(|row| format!("{:<58} # {}", row.sketch, row.title))
        .collect();
    let fresh = lines.join("\n");
    for line in fresh.lines() {
        assert!(parse(line).is_ok(), "{line}");
    }
    if bless("parts", &fresh) {
        return;
    }
    let page = blocks("parts")[0].trim_end();
    assert_eq!(page, fresh, "run BLESS=1 cargo test -p loomwright-sketch to write the list anew");
}
