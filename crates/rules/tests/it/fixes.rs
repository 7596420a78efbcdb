//! After a fix its finding is gone, and no new one as bad has come.

use std::collections::BTreeMap;

use loomwright_circuit::{Anchor, Car, End};
use loomwright_rules::{Finding, Level, RULES, Report};

use crate::lab::{car, judged, said};
use crate::mutants::{MUTANTS, mutated};

/// How many findings of each rule are at least this bad.
fn counts(report: &Report, level: Level) -> BTreeMap<&'static str, usize> {
    let mut counts = BTreeMap::new();
    for finding in report.findings.iter().filter(|finding| finding.level <= level) {
        *counts.entry(finding.code).or_insert(0) += 1;
    }
    counts
}

/// A lead that a fix runs can be made as it stands: its size and cover are told, and each end that comes to another
/// terminal has what that terminal takes.
fn is_ready_to_make(name: &str, before: &Car, after: &Car) {
    let old_ends: Vec<_> =
        before.wires().values().flat_map(|wire| wire.ends().map(End::clone)).collect();
    for (_, wire) in after.wires().iter().filter(|(id, _)| before.wire(**id).is_none()) {
        let new_ends = wire.ends().into_iter().filter(|end| !old_ends.contains(end));
        let mut n_new = 0;
        for end in new_ends {
            n_new += 1;
            let Anchor::Terminal { part, terminal } = &end.at else { continue };
            let kind = after.type_of(*part).expect("a known type");
            let takes = kind.terminal(terminal).and_then(|terminal| terminal.fitting);
            assert_eq!(end.fitting, takes, "{name}: {} at {terminal}", wire.label);
        }
        if n_new == 2 {
            let is_told = wire.size.is_some() && wire.insulation.is_some();
            assert!(is_told, "{name}: {wire:?}");
        }
    }
}

fn check(name: &str, car: &Car, report: &Report, finding: &Finding) -> usize {
    let before = counts(report, finding.level);
    for fix in &finding.fixes {
        let mut fixed = car.clone();
        let patch = fixed.plan(fix.edit.clone()).unwrap_or_else(|error| {
            panic!("{name}: '{}' for '{}': {error}", fix.title, finding.says)
        });
        fixed.apply(&patch);
        is_ready_to_make(&format!("{name}: '{}'", fix.title), car, &fixed);
        let after = judged(&fixed);
        let now = counts(&after, finding.level);
        let gone = now.get(finding.code).unwrap_or(&0) < &before[finding.code];
        assert!(
            gone,
            "{name}: '{}' does not cure '{}':\n{}",
            fix.title,
            finding.says,
            said(&after)
        );
        for (code, count) in &now {
            let known = before.get(code).copied().unwrap_or(0);
            assert!(
                *count <= known,
                "{name}: '{}' for '{}' brings {code}:\n{}",
                fix.title,
                finding.says,
                said(&after)
            );
        }
    }
    finding.fixes.len()
}

#[test]
fn a_fix_cures_and_brings_nothing_as_bad() {
    let pages = RULES.iter().flat_map(|rule| {
        rule.help.split("```sketch\n").skip(1).filter_map(move |rest| {
            Some((rule.code.to_owned(), rest.split("```").next()?.to_owned()))
        })
    });
    let mutants =
        MUTANTS.iter().map(|mutant| (format!("{} in {}", mutant.code, mutant.of), mutated(mutant)));
    let mut by_rule: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, sketch) in pages.chain(mutants) {
        let car = car(&sketch);
        let report = judged(&car);
        for finding in &report.findings {
            *by_rule.entry(finding.code).or_insert(0) += check(&name, &car, &report, finding);
        }
    }
    // These rules offer fixes, and each was tried.
    for code in ["CA01", "EA01", "PO01", "PR01", "PR02", "PR03", "VD01"] {
        assert!(
            by_rule.get(code).is_some_and(|n| *n > 0),
            "no fix of {code} was tried: {by_rule:?}"
        );
    }
}
