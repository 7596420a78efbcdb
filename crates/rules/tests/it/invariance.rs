//! The order of rows and the names of wires and fuses change no finding.

use std::collections::BTreeMap;

use loomwright_rules::{Level, Report};

use crate::lab::{car, judged, said};
use crate::mutants::{MUTANTS, mutated};
use crate::sound::SOUND;

type Counts = BTreeMap<(Level, &'static str), usize>;

fn counts(report: &Report) -> Counts {
    let mut counts = Counts::new();
    for finding in &report.findings {
        *counts.entry((finding.level, finding.code)).or_insert(0) += 1;
    }
    counts
}

fn circuits() -> impl Iterator<Item = String> {
    let sound = SOUND.iter().map(|(_, sketch)| (*sketch).to_owned());
    sound.chain(MUTANTS.iter().map(mutated))
}

#[test]
fn the_order_of_rows_changes_nothing() {
    for sketch in circuits() {
        let mut lines: Vec<&str> = sketch.lines().collect();
        lines.reverse();
        // The car's own line may stand anywhere, but wires need their parts read: order is free.
        let reversed = lines.join("\n");
        let (one, other) = (judged(&car(&sketch)), judged(&car(&reversed)));
        assert_eq!(
            counts(&one),
            counts(&other),
            "{sketch}\n{}\nreversed:\n{}",
            said(&one),
            said(&other)
        );
    }
}

#[test]
fn the_names_of_wires_and_fuses_change_nothing() {
    for sketch in circuits() {
        let renamed: Vec<String> = sketch
            .lines()
            .map(|line| line.replace("wire W", "wire Z").replace(" F", " QF"))
            .collect();
        let (one, other) = (judged(&car(&sketch)), judged(&car(&renamed.join("\n"))));
        assert_eq!(
            counts(&one),
            counts(&other),
            "{sketch}\n{}\nrenamed:\n{}",
            said(&one),
            said(&other)
        );
    }
}

#[test]
fn the_same_car_gives_the_same_report() {
    for sketch in circuits() {
        assert_eq!(judged(&car(&sketch)), judged(&car(&sketch)));
    }
}
