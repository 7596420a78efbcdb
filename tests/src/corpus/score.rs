//! Precision and recall.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use loomwright_rules::Level;

use super::{Expectation, Sketch, Told, UNREAD, Verdict};

/// Counts of what was told and missed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Sketches.
    pub sketches: usize,
    /// Expectations.
    pub wanted: usize,
    /// Expectations that something answers.
    pub met: usize,
    /// Findings that are right.
    pub right: usize,
    /// Findings that are not.
    pub untrue: usize,
}

impl Tally {
    /// Counts what came of one sketch at the levels asked for.
    fn add(&mut self, verdict: &Verdict, counts: &dyn Fn(Level) -> bool) {
        // What is asked for by its rule is looked for at any level.
        let of = |rows: &[Expectation]| {
            rows.iter().filter(|row| counts(row.level().unwrap_or(Level::Advice))).count()
        };
        let told = |rows: &[Told]| rows.iter().filter(|told| counts(told.level)).count();
        self.sketches += 1;
        self.met += of(&verdict.met);
        self.wanted += of(&verdict.met) + of(&verdict.missed);
        self.right += told(&verdict.right);
        self.untrue += told(&verdict.untrue);
    }

    /// The share of what was told that is right, per cent; nothing where nothing was told.
    pub fn precision(&self) -> Option<f64> {
        percent(self.right, self.right + self.untrue)
    }

    /// The share of what is wanted that was told, per cent; nothing where nothing is wanted.
    pub fn recall(&self) -> Option<f64> {
        percent(self.met, self.wanted)
    }
}

fn percent(part: usize, whole: usize) -> Option<f64> {
    (whole > 0).then(|| 100.0 * part as f64 / whole as f64)
}

/// Tallies by level and by group.
#[derive(Debug, Clone, Default)]
pub struct Score {
    /// By level: what is wanted at it, and what was told at it.
    pub levels: BTreeMap<Level, Tally>,
    /// By group.
    pub groups: BTreeMap<String, Tally>,
    /// The same by level, of sketches by people who have not seen the rules.
    pub unread: BTreeMap<Level, Tally>,
}

impl Score {
    /// Adds what came of a sketch.
    pub fn add(&mut self, sketch: &Sketch, verdict: &Verdict) {
        let levels = if sketch.group == UNREAD { &mut self.unread } else { &mut self.levels };
        for level in [Level::Danger, Level::Fault, Level::Advice] {
            levels.entry(level).or_default().add(verdict, &|of| of == level);
        }
        self.groups.entry(sketch.group.clone()).or_default().add(verdict, &|_level| true);
    }

    /// A table for people.
    pub fn table(&self) -> String {
        let mut text = String::new();
        let mut row = |name: &str, tally: &Tally, sketches: String| {
            let shown = |share: Option<f64>| {
                share.map_or_else(|| "-".to_owned(), |share| format!("{share:.1}"))
            };
            writeln!(
                text,
                "{name:<12} {sketches:>8} {:>7} {:>5} {:>8} {:>6} {:>6} {:>10}",
                tally.wanted,
                tally.met,
                shown(tally.recall()),
                tally.right,
                tally.untrue,
                shown(tally.precision()),
            )
            .expect("a String takes all");
        };
        for (level, tally) in &self.levels {
            row(level.word(), tally, String::new());
        }
        for (group, tally) in &self.groups {
            row(group, tally, tally.sketches.to_string());
        }
        for (level, tally) in &self.unread {
            row(&format!("unread {}", level.word()), tally, String::new());
        }
        let head = "             sketches  wanted   met recall % right  false precision %\n";
        format!("{head}{text}")
    }
}
