//! Whether a change of a sound car does harm: a load that should work does not, one that should not does, a wire carries
//! more than it may, a fuse opens, a short outlasts its wire, a relay buzzes.

use std::collections::{BTreeMap, BTreeSet};

use loomwright_circuit::WireId;

use super::plan::{Branch, Kind, Lead, LoadId, Plan};
use super::solved::{Solved, settings, solve};

/// A load works from this share of its marked volts (or current) on, and surely does not below the other.
const WORKS: f64 = 0.85;
const SURELY_NOT: f64 = 0.45;
/// A load is off up to this share, and surely on from the other.
const OFF: f64 = 0.12;
const SURELY_ON: f64 = 0.4;
/// A wire surely carries too much from this over its rating on.
const SURELY_OVER: f64 = 1.15;
/// A wire that touches the metal is surely ruined: so much over its rating (1.8 times what brings PVC from 30 to 70 °C
/// brings it to 160 °C, as the rise goes with the square), and for so many times what it stands.
const TOUCH_OVER: f64 = 2.0;
const TOUCH_TIME: f64 = 2.0;
/// Contacts with the metal, ohm: hard and rusty.
const TOUCHES: [f64; 3] = [0.001, 0.15, 0.3];
/// k of copper under PVC, A·√s/mm² (IEC 60364-5-54).
const SHORT_TIME_K: f64 = 115.0;

/// What is so in one setting.
#[derive(Debug, Clone)]
struct Facts {
    /// Share of what is marked, by load.
    loads: BTreeMap<LoadId, f64>,
    /// Current over rating, by lead.
    leads: BTreeMap<WireId, f64>,
    /// Current over the first multiple at which it opens, by fuse in the plan's order.
    fuses: Vec<f64>,
    buzzes: bool,
}

/// What a car does in all settings.
#[derive(Debug, Clone)]
pub(crate) struct Conduct {
    settings: Vec<Option<Facts>>,
    /// Leads that a touch ruins before anything opens.
    ruined: BTreeSet<WireId>,
    leads: BTreeSet<WireId>,
}

/// A harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Harm {
    /// A load that should work does not.
    Idle(LoadId),
    /// A load works that should not.
    Works(LoadId),
    /// A wire carries more than it may.
    Overloaded(WireId),
    /// A fuse opens that should not.
    Opens,
    /// A wire that touches the metal is ruined before anything opens.
    Ruined(WireId),
    /// A relay goes in and out without end.
    Buzzes,
}

impl Conduct {
    pub(crate) fn of(plan: &Plan) -> Self {
        let mut ruined = BTreeSet::new();
        let settings = settings(plan)
            .iter()
            .map(|setting| {
                let solved = solve(plan, setting, true)?;
                for lead in &plan.leads {
                    if !ruined.contains(&lead.id) && is_ruined(plan, setting, &solved, lead) {
                        ruined.insert(lead.id);
                    }
                }
                Some(facts(plan, &solved))
            })
            .collect();
        let leads = plan.leads.iter().map(|lead| lead.id).collect();
        Self { settings, ruined, leads }
    }

    /// The first harm that this car has and the sound one has not; nothing where there is none.
    pub(crate) fn harm_beside(&self, sound: &Self) -> Option<Harm> {
        let pairs = self.settings.iter().zip(&sound.settings);
        let mut pairs = pairs.filter_map(|(bad, good)| Some((bad.as_ref()?, good.as_ref()?)));
        let at_once = pairs.find_map(|(bad, good)| harm(bad, good));
        // A wire that the slip brings is as good or bad as those that it joins.
        let is_old = |id: &&WireId| sound.leads.contains(*id);
        let mut ruined = self.ruined.difference(&sound.ruined).filter(is_old);
        at_once.or_else(|| ruined.next().map(|id| Harm::Ruined(*id)))
    }

    /// In how many settings nothing can be said.
    pub(crate) fn unknown(&self) -> usize {
        self.settings.iter().filter(|facts| facts.is_none()).count()
    }

    /// Whether a load works, in each setting; nothing where it half works.
    pub(crate) fn works(&self, load: LoadId) -> Vec<Option<bool>> {
        let works = |facts: &Option<Facts>| match facts.as_ref()?.loads.get(&load)? {
            share if *share >= WORKS => Some(true),
            share if *share <= OFF => Some(false),
            _ => None,
        };
        self.settings.iter().map(works).collect()
    }
}

fn harm(bad: &Facts, good: &Facts) -> Option<Harm> {
    if bad.buzzes && !good.buzzes {
        return Some(Harm::Buzzes);
    }
    for (id, share) in &bad.loads {
        let before = good.loads.get(id)?;
        if *before >= WORKS && *share <= SURELY_NOT {
            return Some(Harm::Idle(*id));
        }
        if *before <= OFF && *share >= SURELY_ON {
            return Some(Harm::Works(*id));
        }
    }
    let over = |(id, share): (&WireId, &f64)| {
        let before = good.leads.get(id).copied().unwrap_or(0.0);
        (*share >= SURELY_OVER && before <= 1.0).then_some(Harm::Overloaded(*id))
    };
    let opens =
        |(share, before): (&f64, &f64)| (*share >= 1.0 && *before < 1.0).then_some(Harm::Opens);
    let fuse = || bad.fuses.iter().zip(&good.fuses).find_map(opens);
    bad.leads.iter().find_map(over).or_else(fuse)
}

fn facts(plan: &Plan, solved: &Solved) -> Facts {
    let loads = plan.loads.iter().map(|load| {
        let over = solved.over(plan, load.branch);
        let share = match plan.branches[load.branch].kind {
            // At its marked volts a diode lamp has its marked current: half the volts are over its resistor.
            Kind::OneWay(threshold, siemens) => {
                solved.amps(plan, load.branch) / (siemens * threshold)
            }
            _ if load.has_a_right_way => over.max(0.0) / load.volts,
            _ => over.abs() / load.volts,
        };
        (load.id, share)
    });
    let leads =
        plan.leads.iter().map(|lead| (lead.id, solved.amps(plan, lead.branch).abs() / lead.rated));
    let fuses = plan
        .fuses
        .iter()
        .map(|fuse| solved.amps(plan, fuse.branch).abs() / (fuse.carries * fuse.gates[0].0));
    Facts {
        loads: loads.collect(),
        leads: leads.collect(),
        fuses: fuses.collect(),
        buzzes: solved.buzzes,
    }
}

/// Whether a lead that touches the metal at an end is ruined before a fuse opens.
fn is_ruined(plan: &Plan, setting: &[usize], solved: &Solved, lead: &Lead) -> bool {
    let row = &plan.branches[lead.branch];
    [row.from, row.to].into_iter().any(|place| {
        let volts = solved.volts[place] - solved.volts[plan.body];
        if volts.abs() < 2.0 {
            return false;
        }
        let reply = solved.reply(plan, place, plan.body);
        let inner = reply[place] - reply[plan.body];
        TOUCHES.iter().any(|ohms| {
            let amps = volts / (inner + ohms);
            let change = |branch: usize| {
                let row = &plan.branches[branch];
                -(reply[row.from] - reply[row.to]) * amps * solved.siemens[branch]
            };
            // With the laws as they were before the touch; if that looks bad, with the laws put in anew.
            outlasts(plan, lead, amps, |branch| (solved.amps(plan, branch), change(branch)))
                && is_ruined_anew(plan, setting, solved, lead, (place, *ohms))
        })
    })
}

/// The same with the touch as a branch of its own.
fn is_ruined_anew(
    plan: &Plan,
    setting: &[usize],
    before: &Solved,
    lead: &Lead,
    (place, ohms): (usize, f64),
) -> bool {
    let mut touched = plan.clone();
    touched.branches.push(Branch { from: place, to: plan.body, kind: Kind::Fixed(1.0 / ohms) });
    let Some(after) = solve(&touched, setting, true) else { return false };
    let touch = after.amps(&touched, touched.branches.len() - 1);
    outlasts(plan, lead, touch, |branch| {
        let was = before.amps(plan, branch);
        (was, after.amps(&touched, branch) - was)
    })
}

/// Whether a lead is ruined before a fuse opens, by what each branch carried before the touch and how that changes.
fn outlasts(plan: &Plan, lead: &Lead, touch: f64, amps: impl Fn(usize) -> (f64, f64)) -> bool {
    let with = |branch: usize| {
        let (was, change) = amps(branch);
        (was + change).abs()
    };
    let in_lead = with(lead.branch);
    if in_lead < TOUCH_OVER * lead.rated {
        return false;
    }
    let stands = (SHORT_TIME_K * lead.square_mm / in_lead).powi(2);
    // Only what nearly all of it goes through ends it.
    let in_row = plan.fuses.iter().filter(|fuse| amps(fuse.branch).1.abs() >= 0.8 * touch.abs());
    let opens = in_row.map(|fuse| opens_within(fuse.gates, with(fuse.branch) / fuse.carries));
    opens.fold(f64::INFINITY, f64::min) > TOUCH_TIME * stands
}

/// The longest that a fuse takes at this multiple of what it carries; beyond the last gate I² · t stays.
fn opens_within(gates: &[(f64, f64)], multiple: f64) -> f64 {
    let Some((least, seconds)) = gates.iter().rev().find(|gate| gate.0 <= multiple) else {
        return f64::INFINITY;
    };
    let is_last = gates.last().is_some_and(|last| last.0 == *least);
    if is_last { seconds * (least / multiple).powi(2) } else { *seconds }
}
