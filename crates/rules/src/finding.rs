//! What a rule says.

use std::collections::BTreeMap;

use loomwright_circuit::{Edit, Level, PartId, WireId};
use loomwright_electrics::{Fault, Move, Outcome};
use loomwright_units::Amps;

use crate::{Acceptance, Band, Needs, Origin};

/// One thing that a rule says.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule's code: two letters and a number.
    pub code: &'static str,
    /// The rule's name.
    pub rule: &'static str,
    /// How bad it is.
    pub level: Level,
    /// A heading of two to four words.
    pub title: &'static str,
    /// What is wrong, in one line with value, limit and unit.
    pub says: String,
    /// What to do, in one line.
    pub advice: String,
    /// Parts concerned, the one to look at first.
    pub parts: Vec<PartId>,
    /// Wires concerned, the one to look at first.
    pub wires: Vec<WireId>,
    /// Moves from rest that show it; empty where it shows at rest or in no setting.
    pub moves: Vec<Move>,
    /// The setting that shows it, by control; empty where it stands in the drawing itself.
    pub setting: BTreeMap<String, String>,
    /// What has to fail besides before it shows.
    pub fault: Option<Fault>,
    /// The figures behind it, by name with unit: `amps`, `limit_amps`, `volts_lost`.
    pub figures: BTreeMap<&'static str, f64>,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Edits that would cure it.
    pub fixes: Vec<Fix>,
    /// Why there are none, where a rule has some for others of its findings: a sentence without its first capital.
    pub no_fix: Option<String>,
    /// What it hangs on and nobody has told, the first to ask for first.
    pub unknown: Vec<Unknown>,
    /// Over which part of the band of losses it holds.
    pub band: Band,
    /// Whose work it is about.
    pub origin: Origin,
    /// That and why the owner accepted it.
    pub accepted: Option<Acceptance>,
}

/// An edit that would cure a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Fix {
    /// What it does, as a button says it.
    pub title: String,
    /// The edit.
    pub edit: Edit,
    /// How far to trust it.
    pub trust: Trust,
}

/// A measure of a wire that nobody has told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unknown {
    /// How long it is.
    Length(WireId),
    /// How much copper it has.
    Size(WireId),
}

/// How far to trust a fix.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Trust {
    /// It can do no harm.
    Safe,
    /// A person should look first.
    Ask,
}

/// A rule that lacked facts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct NotChecked {
    /// The rule's code.
    pub code: &'static str,
    /// "not checked: …", with what is missing.
    pub says: String,
}

/// A promise of the owner's, and what came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PromiseRow {
    /// What is promised: "With hazard at on: Left front indicator flashing".
    pub promise: String,
    /// Whether it holds in every state that it speaks of; nothing where that could not be told.
    pub holds: Option<bool>,
    /// In how many states it was looked at, what breaks it, or why it could not be told.
    pub says: String,
    /// Whether that is so whatever is lost in joints, earths, cable and battery, as far as it was looked at.
    pub is_certain: bool,
}

/// What a wire meets over all visited states.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WireMet {
    /// The greatest current in it.
    pub amps: Option<Amps>,
    /// What becomes of it at the worst touch of the metal; nothing before that was looked at, or where it is not known.
    pub touch: Option<Outcome>,
}

/// All that the rules say of a car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// Every promise, in the car's order; none where no states were visited.
    pub promises: Vec<PromiseRow>,
    /// Sorted by level, code and rows; those that were accepted stand last.
    pub findings: Vec<Finding>,
    /// The number on the tag of each finding, where whoever shows them numbers them himself; else they are counted.
    pub numbers: Vec<usize>,
    /// Rules that lacked facts.
    pub not_checked: Vec<NotChecked>,
    /// Possible settings of the car.
    pub settings: u128,
    /// States visited.
    pub states: usize,
    /// Whether those are all.
    pub is_complete: bool,
    /// Whether the greatest and least figures over them are those of all states.
    pub is_exact: bool,
    /// What each wire of the car after the alteration meets, for those who list it.
    pub wires: BTreeMap<WireId, WireMet>,
    /// How deep it was looked: rules that need more have not run yet.
    pub reaches: Needs,
}

impl Report {
    /// The findings that nobody has accepted.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| !finding.is_accepted())
    }

    /// The number on the tag of the finding at a place, from 1.
    pub fn number(&self, place: usize) -> usize {
        self.numbers.get(place).copied().unwrap_or(place + 1)
    }

    /// How many of a level nobody has accepted.
    pub fn n_open(&self, level: Level) -> usize {
        self.open().filter(|finding| finding.level == level).count()
    }
}
