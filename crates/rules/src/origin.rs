//! Whose work a finding is about: the alteration's, or the car's as it was found.

use loomwright_circuit::{Car, Edit, Standing};

use crate::accepted::with_unit;
use crate::messages::Origins;
use crate::words::list;
use crate::{Finding, Report, rule};

/// Whose work a finding is about.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Origin {
    /// Not compared, or nothing is altered.
    #[default]
    NotAsked,
    /// The alteration brings it.
    Alteration,
    /// The car as found has it just so.
    AsFound,
    /// The car as found has it, and the alteration makes it worse: what it was, in words.
    Worse(String),
}

/// A figure that grows by more than this share is worse (practice: less is within what the figures are known to).
const WORSE_BY: f64 = 0.10;

/// Figures that are worse the less they are.
const LESS_IS_WORSE: [&str; 2] = ["volts", "hours"];

impl Origin {
    /// The word in JSON.
    pub fn word(&self) -> &'static str {
        match self {
            Self::NotAsked => "not asked",
            Self::Alteration => "alteration",
            Self::AsFound => "as found",
            Self::Worse(_) => "worse by alteration",
        }
    }

    /// A sentence for people; nothing where there is nothing to say.
    pub fn says(&self) -> Option<String> {
        match self {
            Self::NotAsked => None,
            Self::Alteration => Some(Origins::alteration().to_owned()),
            Self::AsFound => Some(Origins::as_found().to_owned()),
            Self::Worse(was) => Some(Origins::worse(was)),
        }
    }
}

/// The car as if nothing were altered; nothing where nothing is. Rows keep their ids.
pub fn as_found(car: &Car) -> Option<Car> {
    let parts = |standing| {
        let rows = car.parts().iter().filter(move |(_, row)| row.standing == standing);
        rows.map(|(id, _)| *id).collect::<Vec<_>>()
    };
    let wires = |standing| {
        let rows = car.wires().iter().filter(move |(_, row)| row.standing == standing);
        rows.map(|(id, _)| *id).collect::<Vec<_>>()
    };
    let (new_parts, new_wires) = (parts(Standing::ToFit), wires(Standing::ToFit));
    let (old_parts, old_wires) = (parts(Standing::ToRemove), wires(Standing::ToRemove));
    if [&new_parts, &old_parts].into_iter().all(Vec::is_empty)
        && [&new_wires, &old_wires].into_iter().all(Vec::is_empty)
    {
        return None;
    }
    let edits = vec![
        Edit::Mark { parts: old_parts, wires: old_wires, standing: Standing::AsFound },
        Edit::Erase { parts: new_parts, wires: new_wires },
    ];
    let mut before = car.clone();
    let patch = before.plan(Edit::All(edits)).ok()?;
    before.apply(&patch);
    Some(before)
}

/// Tells of each finding whose work it is about; `before` is what is said of the car [`as_found`].
pub fn compare(car: &Car, report: &mut Report, before: &Report) {
    for finding in &mut report.findings {
        // What the car as found was not looked at for stays open.
        let was_asked = rule(finding.code).is_some_and(|rule| rule.needs <= before.reaches);
        finding.origin = if was_asked { origin(car, finding, before) } else { Origin::NotAsked };
    }
}

fn origin(car: &Car, finding: &Finding, before: &Report) -> Origin {
    let is_new = |standing: Option<Standing>| standing == Some(Standing::ToFit);
    let has_old = finding.parts.iter().any(|id| !is_new(car.part(*id).map(|row| row.standing)))
        || finding.wires.iter().any(|id| !is_new(car.wire(*id).map(|row| row.standing)));
    let is_about_rows = !(finding.parts.is_empty() && finding.wires.is_empty());
    if is_about_rows && !has_old {
        return Origin::Alteration;
    }
    let earlier = before.findings.iter().filter(|known| is_same(finding, known));
    let Some(known) = earlier.min_by_key(|known| known.level) else { return Origin::Alteration };
    if known.level > finding.level {
        return Origin::Worse(Origins::was(known.level.word()));
    }
    let worse = finding.figures.iter().find_map(|(name, now)| {
        let then = *known.figures.get(name)?;
        is_worse(name, then, *now).then(|| with_unit(name, then)).flatten()
    });
    if let Some(was) = worse {
        return Origin::Worse(Origins::was(&was));
    }
    // The same trouble with more in it: a fuse over wires of the car's own and over new ones.
    let new = finding.wires.iter().filter_map(|id| car.wire(*id));
    let new: Vec<String> =
        new.filter(|row| row.standing == Standing::ToFit).map(|row| row.label.clone()).collect();
    if new.is_empty() {
        Origin::AsFound
    } else {
        Origin::Worse(Origins::new_in_it(list(&new), if new.len() == 1 { "is" } else { "are" }))
    }
}

fn is_worse(name: &str, then: f64, now: f64) -> bool {
    if name.contains("limit") || name.contains("system") || name.contains("marked") {
        return false;
    }
    let grows = if LESS_IS_WORSE.contains(&name) { then - now } else { now - then };
    grows > WORSE_BY * then.abs()
}

/// One rule about a common row, the part to look at first being the same where both have one; or about rows that are all
/// among those of the other, as where several parts were told of together.
fn is_same(a: &Finding, b: &Finding) -> bool {
    let is_bare = |finding: &Finding| finding.parts.is_empty() && finding.wires.is_empty();
    let shares_wire = a.wires.iter().any(|wire| b.wires.contains(wire));
    let first = (a.parts.first(), b.parts.first());
    let is_within = !is_bare(a)
        && a.parts.iter().all(|part| b.parts.contains(part))
        && a.wires.iter().all(|wire| b.wires.contains(wire));
    a.code == b.code
        && match first {
            _ if is_within => true,
            (Some(this), Some(that)) => this == that || shares_wire,
            _ => shares_wire || is_bare(a) && is_bare(b),
        }
}
