//! Prints how many dangers and faults of the corpus have a fix, by rule, and which fixes do not cure.
#![expect(clippy::print_stdout, reason = "printing is what this program is for")]

use std::collections::BTreeMap;

use loomwright_rules::Level;
use loomwright_tests::corpus::{Cured, failures, findings, sketches};

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let mut by_code: BTreeMap<(Level, &str), Cured> = BTreeMap::new();
    let mut n_tried = 0;
    for sketch in sketches() {
        if !wanted.is_empty() && !wanted.iter().any(|part| sketch.name.contains(part.as_str())) {
            continue;
        }
        for finding in findings(&sketch) {
            let row = by_code.entry((finding.level, finding.code)).or_default();
            row.findings += 1;
            row.with_fix += usize::from(!finding.fixes.is_empty());
        }
        let (tried, wrong) = failures(&sketch);
        n_tried += tried;
        for line in wrong {
            println!("{line}");
        }
    }
    println!("\n{n_tried} fixes tried");
    for level in [Level::Danger, Level::Fault, Level::Advice] {
        let of_level = by_code.iter().filter(|((of, _), _)| *of == level);
        let (mut all, mut cured) = (0, 0);
        for ((_, code), row) in of_level {
            all += row.findings;
            cured += row.with_fix;
            println!("{:<7} {code} {:>3} of {:>3}", level.word(), row.with_fix, row.findings);
        }
        println!("{:<7} all  {cured} of {all} have a fix\n", level.word());
    }
}
