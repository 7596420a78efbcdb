//! The examples on the rules' pages fire where they are marked and nowhere else.

use loomwright_rules::{RULES, Rule, rules_page};

use crate::lab::{car, judged, labels, said};

/// A marked line: the label of its row, and words that the finding must hold.
struct Mark {
    label: String,
    words: String,
}

fn sketches(page: &str) -> Vec<&str> {
    page.split("```sketch\n").skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

fn marks(sketch: &str, code: &str) -> Vec<Mark> {
    let marked = sketch.lines().filter_map(|line| line.split_once('#'));
    let mut marks = Vec::new();
    for (row, comment) in marked {
        let Some(words) = comment.trim().strip_prefix(code) else { continue };
        let words = words.trim_start_matches(':').trim().trim_matches('"').to_owned();
        let name = row.split_once(' ').expect("a keyword and a name").1.trim_start();
        let label = match name.strip_prefix('"') {
            Some(quoted) => quoted.split('"').next(),
            None => name.split_whitespace().next(),
        };
        marks.push(Mark { label: label.expect("a name").to_owned(), words });
    }
    marks
}

fn check(rule: &Rule, sketch: &str) -> usize {
    let car = car(sketch);
    let report = judged(&car);
    let marks = marks(sketch, rule.code);
    let found: Vec<_> =
        report.findings.iter().filter(|finding| finding.code == rule.code).collect();
    for mark in &marks {
        let hit = found.iter().any(|finding| {
            finding.says.contains(&mark.words) && labels(&car, finding).contains(&mark.label)
        });
        assert!(
            hit,
            "{} should say '{}' of {}; all said:\n{}",
            rule.code,
            mark.words,
            mark.label,
            said(&report)
        );
    }
    for finding in &found {
        let is_marked = marks.iter().any(|mark| finding.says.contains(&mark.words));
        assert!(is_marked, "{} is not marked in:\n{sketch}\n{}", rule.code, finding.says);
        assert!(!finding.advice.is_empty() && !finding.source.is_empty(), "{}", finding.says);
        assert!(!finding.says.ends_with('.'), "{}", finding.says);
    }
    marks.len()
}

#[test]
fn examples_fire_where_marked_and_nowhere_else() {
    for rule in RULES {
        let counts: Vec<usize> =
            sketches(rule.help).into_iter().map(|sketch| check(rule, sketch)).collect();
        assert!(counts.iter().any(|count| *count > 0), "{} shows no firing example", rule.code);
        assert!(counts.contains(&0), "{} shows no silent example", rule.code);
    }
}

#[test]
fn messages_keep_to_the_trades_words() {
    for rule in RULES {
        for sketch in sketches(rule.help) {
            for finding in judged(&car(sketch)).findings {
                let words = format!("{} {}", finding.says, finding.advice).to_lowercase();
                for word in words.split(|c: char| !c.is_alphabetic()) {
                    assert!(
                        !["node", "net", "nodes", "impedance", "ground", "gnd"].contains(&word),
                        "{words}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_rules_page_in_the_help_is_fresh() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/help/rules.md");
    let fresh = rules_page();
    if std::env::var_os("BLESS").is_some() {
        write(path, &fresh);
    }
    assert!(
        read(path) == fresh,
        "run BLESS=1 cargo test -p loomwright-rules to rewrite assets/help/rules.md"
    );
}

#[expect(
    clippy::disallowed_methods,
    reason = "a generated file is compared with what generates it"
)]
fn read(path: &str) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

#[expect(clippy::disallowed_methods, reason = "a generated file is rewritten on request")]
fn write(path: &str, text: &str) {
    std::fs::write(path, text).expect("the help folder can be written to");
}
