//! Whether the fixes that are offered cure what they are offered for.

use loomwright_circuit::{Car, Standing, Version, Wire, WireId};
use loomwright_electrics::{Bound, Network, look_around};
use loomwright_rules::{Finding, Fix, Report, check_all};

use super::Sketch;

/// All rules over the usual losses.
fn judged(car: &Car) -> Report {
    let network = Network::of(car, Version::After);
    let exploration = look_around(&network, Bound::default(), &mut |_visited| true);
    check_all(car, &network, &exploration)
}

/// How many findings there are of a level, and how many of them have a fix.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Cured {
    /// Findings.
    pub findings: usize,
    /// Those with a fix.
    pub with_fix: usize,
}

/// What is said of a sketch before any fix.
pub fn findings(sketch: &Sketch) -> Vec<Finding> {
    judged(&sketch.car).findings
}

/// What is wrong with the fixes that are offered for the findings of a sketch, in words; and how many were tried.
pub fn failures(sketch: &Sketch) -> (usize, Vec<String>) {
    let before = judged(&sketch.car).findings;
    let (mut n_tried, mut wrong) = (0, Vec::new());
    for finding in &before {
        for fix in &finding.fixes {
            n_tried += 1;
            wrong.extend(failure(&sketch.car, &before, finding, fix).map(|why| {
                format!(
                    "{}: '{}' for {} '{}': {why}",
                    sketch.name, fix.title, finding.code, finding.says
                )
            }));
        }
    }
    (n_tried, wrong)
}

/// Rules whose fixes enter what is so, and change nothing in the car.
const TELL: [&str; 2] = ["CA07", "PR03"];

/// The wire in whose place a new one comes.
fn first_of(car: &Car, fixed: &Car, wire: WireId) -> WireId {
    let Some(row) = fixed.wire(wire).filter(|_| car.wire(wire).is_none()) else { return wire };
    let ends = |row: &Wire| row.ends().map(|end| end.at.clone());
    let mut old = car.wires().iter().filter(|(id, old)| {
        let comes_off = fixed.wire(**id).is_none_or(|now| now.standing == Standing::ToRemove);
        comes_off && ends(old).iter().any(|end| ends(row).contains(end))
    });
    old.next().map_or(wire, |(id, _)| *id)
}

fn failure(car: &Car, before: &[Finding], finding: &Finding, fix: &Fix) -> Option<String> {
    let mut fixed = car.clone();
    match fixed.plan(fix.edit.clone()) {
        Ok(patch) => fixed.apply(&patch),
        Err(error) => return Some(error.to_string()),
    }
    if fixed == *car {
        return Some("it changes nothing".to_owned());
    }
    let mut after = judged(&fixed).findings;
    for now in &mut after {
        now.wires = now.wires.iter().map(|wire| first_of(car, &fixed, *wire)).collect();
    }
    let others: Vec<&Finding> = before.iter().filter(|known| *known != finding).collect();
    let stays = after.iter().find(|now| {
        now.level <= finding.level
            && is_of_same_place(now, finding)
            && !others.iter().any(|known| is_of_same_place(now, known))
    });
    if let Some(now) = stays {
        return Some(format!("it stays: {}", now.says));
    }
    let is_known = |now: &Finding| {
        before.iter().any(|known| known.level <= now.level && is_of_same_place(now, known))
    };
    // What a fix says of the car may show what nobody could know before.
    let tells = TELL.contains(&finding.code);
    let new = after.iter().find(|now| now.level <= finding.level && !is_known(now) && !tells);
    new.map(|now| format!("it brings {} {} {}", now.level.word(), now.code, now.says))
}

/// One rule about a common part or wire, or both about none.
fn is_of_same_place(a: &Finding, b: &Finding) -> bool {
    let bare = |finding: &Finding| finding.parts.is_empty() && finding.wires.is_empty();
    a.code == b.code
        && (a.parts.iter().any(|part| b.parts.contains(part))
            || a.wires.iter().any(|wire| b.wires.contains(wire))
            || bare(a) && bare(b))
}
