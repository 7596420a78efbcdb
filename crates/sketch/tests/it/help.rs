//! The help page on the notation: its examples are read, and its list of part types is kept fresh.

use std::collections::BTreeSet;

use loomwright_circuit::{Library, part_type::Group};
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
    assert_eq!(sketches.len(), 2);
    for sketch in sketches {
        let car = parse(sketch).unwrap_or_else(|errors| panic!("{errors}"));
        let n_rows = sketch.lines().filter(|line| !line.trim().is_empty()).count();
        let n_read = 1 + car.parts().len() + car.wires().len() + car.promises().len();
        assert_eq!(n_read, n_rows);
        let back = parse(&print(&car)).expect("what was printed");
        assert!(electrically_equal(&car, &back));
    }
}

#[test]
fn every_keyword_of_the_grammar_is_one_that_the_reader_knows() {
    let grammar = blocks("ebnf")[0];
    let words: BTreeSet<&str> = grammar.split('"').skip(1).step_by(2).collect();
    for word in
        ["car", "wire", "promise", "own-type", "part", "switch", "fuse", "earth", "relay", "lamp"]
    {
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

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "writes the generated part of the page when asked to"
)]
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
    if std::env::var("BLESS").is_ok() {
        let (before, _) = HELP.split_once("```parts\n").expect("the list");
        std::fs::write(HELP_FILE, format!("{before}```parts\n{fresh}\n```\n")).expect("written");
        return;
    }
    let page = blocks("parts")[0].trim_end();
    assert_eq!(page, fresh, "run BLESS=1 cargo test -p loomwright-sketch to write the list anew");
}
