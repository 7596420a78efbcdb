//! The table of what an old hand looks for names rules that there are, and leaves none out.

use std::collections::BTreeSet;

use loomwright_rules::RULES;

const PAGE: &str = include_str!("../../../../DEVELOPERS.md");

/// The section that holds the table.
fn section() -> &'static str {
    let rest =
        PAGE.split("## What an old hand looks for").nth(1).expect("the section stands there");
    rest.split("\n## ").next().expect("a first part")
}

/// Words of two capitals and two digits.
fn codes(text: &str) -> BTreeSet<&str> {
    let is_code = |word: &&str| {
        let (letters, digits) = word.split_at_checked(2).unwrap_or(("", ""));
        word.len() == 4
            && letters.bytes().all(|byte| byte.is_ascii_uppercase())
            && digits.bytes().all(|byte| byte.is_ascii_digit())
    };
    text.split(|c: char| !c.is_ascii_alphanumeric()).filter(is_code).collect()
}

fn rows() -> impl Iterator<Item = [&'static str; 3]> {
    section().lines().filter_map(|line| {
        let cells: Vec<&str> = line.strip_prefix('|')?.split('|').map(str::trim).collect();
        let [number, looks_for, said_by, ..] = cells.as_slice() else { return None };
        number.parse::<u32>().is_ok().then_some([*number, *looks_for, *said_by])
    })
}

#[test]
fn every_code_of_the_table_is_a_rule_and_every_rule_stands_in_it() {
    let rules: BTreeSet<&str> = RULES.iter().map(|rule| rule.code).collect();
    let named = codes(section());
    let unknown: Vec<_> = named.difference(&rules).collect();
    assert!(unknown.is_empty(), "no rules: {unknown:?}");
    let left_out: Vec<_> = rules.difference(&named).collect();
    assert!(left_out.is_empty(), "not in the table of DEVELOPERS.md: {left_out:?}");
}

#[test]
fn the_rows_are_numbered_and_none_is_empty() {
    let rows: Vec<_> = rows().collect();
    assert!(rows.len() >= 57, "only {} rows", rows.len());
    for (expected, [number, looks_for, said_by]) in (1..).zip(&rows) {
        assert_eq!(number.parse(), Ok(expected), "{looks_for}");
        assert!(!looks_for.is_empty() && !said_by.is_empty(), "row {number}");
    }
}

#[test]
fn a_row_without_a_rule_says_where_else_it_is_told_or_why_not() {
    for [number, _, said_by] in rows().filter(|row| codes(row[2]).is_empty()) {
        let is_told = ["check by eye", "survey --", "since", "nothing is wrong"];
        assert!(is_told.iter().any(|words| said_by.contains(words)), "row {number}: {said_by}");
    }
}
