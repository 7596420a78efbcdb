//! A rule: what it is called, how bad its findings are, and the function that looks for them.

use std::collections::BTreeMap;

use loomwright_circuit::{Edit, PartId, WireId};
use loomwright_electrics::Fault;

use crate::ctx::Ctx;
use crate::messages::Checking;
use crate::reach::Shown;
use crate::{Finding, Fix, Level, NotChecked, Trust, Unknown};

/// One rule.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Two letters for the group, and a number.
    pub code: &'static str,
    /// What is wrong, in words joined by dashes.
    pub name: &'static str,
    /// A heading of two to four words.
    pub title: &'static str,
    /// How bad its worst findings are; one finding may be milder.
    pub level: Level,
    /// The version of the program that brought it.
    pub since: &'static str,
    /// Its page, in Markdown: What, Why, Example, Fix, Source.
    pub help: &'static str,
    /// What it looks at.
    pub needs: Needs,
    pub(crate) check: fn(&Ctx<'_>, &mut Out),
}

/// What a rule looks at, which decides how soon it can answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Needs {
    /// The drawing alone: answers within a frame of an edit.
    #[default]
    Drawing,
    /// The states that the car can reach.
    States,
    /// What becomes of wires that touch the metal in these states.
    Study,
    /// What single faults do in these states.
    Faults,
}

/// What a rule has said so far.
#[derive(Debug, Default)]
pub(crate) struct Out {
    pub(crate) findings: Vec<Finding>,
    pub(crate) not_checked: Vec<NotChecked>,
}

impl Out {
    pub(crate) fn push(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    pub(crate) fn not_checked(&mut self, rule: &Rule, missing: &str) {
        self.not_checked.push(NotChecked { code: rule.code, says: Checking::not_checked(missing) });
    }
}

impl Rule {
    /// The start of a finding of this rule.
    pub(crate) fn says(&self, says: impl Into<String>) -> Finding {
        Finding {
            code: self.code,
            rule: self.name,
            level: self.level,
            title: self.title,
            says: says.into(),
            advice: String::new(),
            parts: Vec::new(),
            wires: Vec::new(),
            moves: Vec::new(),
            setting: BTreeMap::new(),
            figures: BTreeMap::new(),
            source: "",
            fixes: Vec::new(),
            no_fix: None,
            unknown: Vec::new(),
            fault: None,
            band: crate::Band::NotAsked,
            origin: crate::Origin::NotAsked,
            accepted: None,
        }
    }
}

impl Finding {
    pub(crate) fn advise(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }

    pub(crate) fn level(mut self, level: Level) -> Self {
        self.level = level;
        self
    }

    pub(crate) fn parts(mut self, parts: impl IntoIterator<Item = PartId>) -> Self {
        for part in parts {
            if !self.parts.contains(&part) {
                self.parts.push(part);
            }
        }
        self
    }

    pub(crate) fn wires(mut self, wires: impl IntoIterator<Item = WireId>) -> Self {
        for wire in wires {
            if !self.wires.contains(&wire) {
                self.wires.push(wire);
            }
        }
        self
    }

    pub(crate) fn figure(mut self, name: &'static str, value: f64) -> Self {
        if value.is_finite() {
            self.figures.insert(name, value);
        }
        self
    }

    pub(crate) fn source(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }

    /// Names what has to fail before it shows.
    pub(crate) fn should(mut self, fault: Fault) -> Self {
        self.fault = Some(fault);
        self
    }

    pub(crate) fn shown(mut self, shown: Shown) -> Self {
        self.moves = shown.moves;
        self.setting = shown.setting;
        self
    }

    pub(crate) fn fix(mut self, title: impl Into<String>, trust: Trust, offer: impl Offer) -> Self {
        match offer.offered() {
            Ok(edit) => self.fixes.push(Fix { title: title.into(), edit, trust }),
            Err(why) => self.no_fix = why.or(self.no_fix),
        }
        if !self.fixes.is_empty() {
            self.no_fix = None;
        }
        self
    }
}

impl Finding {
    /// Names what it hangs on and nobody has told.
    pub(crate) fn unknown(mut self, unknown: impl IntoIterator<Item = Unknown>) -> Self {
        self.unknown.extend(unknown);
        self
    }

    /// Says why it has no fix.
    pub(crate) fn unfixed(mut self, why: impl Into<String>) -> Self {
        if self.fixes.is_empty() {
            self.no_fix = Some(why.into());
        }
        self
    }
}

/// An edit that cures a finding, or why there is none.
pub(crate) trait Offer {
    fn offered(self) -> Result<Edit, Option<String>>;
}

impl Offer for Option<Edit> {
    fn offered(self) -> Result<Edit, Option<String>> {
        self.ok_or(None)
    }
}

impl Offer for Result<Edit, String> {
    fn offered(self) -> Result<Edit, Option<String>> {
        self.map_err(Some)
    }
}
