//! Whether a promise of the owner's holds: the one place where that is judged.

use std::sync::Arc;

use loomwright_circuit::{Claim, Expectation, Moment, Promise};

use crate::network::{ElementRow, Kind, Tables};
use crate::reading::{
    ElementFlow, Flow, LIT, VISIBLE, across_element, lights, rows, state_of_part,
};
use crate::{BrokenClaim, Exploration, Network, PartState, Setting, Settled, Solution};

/// What a part does that does not keep a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Instead {
    /// Nothing: it is not in this version of the car, or was taken out of the network.
    Missing,
    /// What it does, in a word; of a lamp, over all phases of flashers at work.
    Does(PartState),
}

/// How a promise is kept over the states that were visited, claim by claim.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Keeping {
    /// In how many of them it asks something.
    pub asked: usize,
    /// For each claim, what the part does instead in the first visit that breaks it; nothing where none does.
    pub broken: Vec<Option<BrokenClaim>>,
}

impl Exploration {
    /// How a promise is kept in the states visited, with all fuses in.
    ///
    /// # Complexity
    /// O(visits · claims).
    pub fn keeping(&self, network: &Network, promise: &Promise) -> Keeping {
        self.keepings(network, [promise]).pop().unwrap_or_default()
    }

    /// How each of some promises is kept in the states visited, with all fuses in.
    ///
    /// # Complexity
    /// O(visits · claims); the states are gone through once, whatever the number of promises.
    pub fn keepings<'p>(
        &self,
        network: &Network,
        promises: impl IntoIterator<Item = &'p Promise>,
    ) -> Vec<Keeping> {
        let mut watched: Vec<Watched<'_>> =
            promises.into_iter().map(|promise| Watched::of(network, promise)).collect();
        for (visit, row) in self.visits.iter().enumerate() {
            for watched in &mut watched {
                watched.see(network, visit, &row.settled);
            }
        }
        watched.into_iter().map(|watched| watched.keeping).collect()
    }
}

/// A promise while states go by, with all that it names looked up.
struct Watched<'a> {
    /// Where the controls that it names must stand, a bit for each position; nothing where one is not in the car.
    when: Option<Vec<(usize, u64)>>,
    claims: Vec<Asked<'a>>,
    keeping: Keeping,
}

impl<'a> Watched<'a> {
    fn of(network: &'a Network, promise: &'a Promise) -> Self {
        let stands = |moment: &Moment| {
            let mut controls = network.controls().iter();
            let control = controls.position(|known| known.name == moment.control)?;
            let positions = network.controls()[control].positions.iter().take(64).enumerate();
            let named = positions.filter(|(_, at)| moment.positions.contains(&at.name));
            Some((control, named.fold(0, |mask, (idx, _)| mask | 1 << idx)))
        };
        Self {
            when: promise.when.iter().map(stands).collect(),
            claims: promise.then.iter().map(|claim| Asked::of(&network.tables, claim)).collect(),
            keeping: Keeping { asked: 0, broken: vec![None; promise.then.len()] },
        }
    }

    fn see(&mut self, network: &Network, visit: usize, settled: &Settled) {
        let stands = |&(control, mask): &(usize, u64)| {
            settled.state.setting.0.get(control).is_some_and(|&at| mask >> at & 1 == 1)
        };
        if !self.when.as_ref().is_some_and(|when| when.iter().all(stands)) {
            return;
        }
        self.keeping.asked += 1;
        let claims = self.keeping.broken.iter_mut().zip(&self.claims).enumerate();
        for (claim, (known, asked)) in claims.filter(|(_, (known, _))| known.is_none()) {
            let instead = settled.on.breach(&network.tables, asked);
            *known = instead.map(|instead| BrokenClaim { claim, instead, visit });
        }
    }
}

impl Network {
    /// Whether a promise asks anything in a setting: every control that it names stands where it says. One that names
    /// a control that the car has not asks nothing.
    pub fn is_asked(&self, promise: &Promise, setting: &Setting) -> bool {
        promise.when.iter().all(|moment| {
            let mut controls = self.controls().iter().zip(&setting.0);
            let stands = controls.find(|(control, _)| control.name == moment.control);
            stands.is_some_and(|(control, at)| {
                let position = control.positions.get(usize::from(*at));
                position.is_some_and(|position| moment.positions.contains(&position.name))
            })
        })
    }

    /// A possible setting in which a promise asks something, with as much as may be at rest; of many combinations, the
    /// first few hundred are tried.
    pub fn setting_for(&self, promise: &Promise) -> Option<Setting> {
        self.settings_for(promise, &self.rest()).into_iter().next()
    }

    /// The possible settings in which a promise asks something, with the controls that it does not name as they stand
    /// in another setting; of many combinations, the first few hundred.
    pub fn settings_for(&self, promise: &Promise, others: &Setting) -> Vec<Setting> {
        let mut settings = vec![others.clone()];
        for moment in &promise.when {
            let each = moment.positions.iter().flat_map(|position| {
                settings.iter().filter_map(|known| {
                    let mut next = known.clone();
                    self.put(&mut next, &moment.control, position).ok().map(|()| next)
                })
            });
            settings = each.take(MOST_TRIED).collect();
        }
        settings.retain(|setting| self.is_possible(setting));
        settings
    }
}

/// Combinations of the positions that a promise names that are tried before it is given up.
const MOST_TRIED: usize = 600;

impl Settled {
    /// What a part does instead of what is claimed of it; nothing where it keeps the claim.
    ///
    /// - A lamp is lit with half of its light or more, and dark with so little that nobody sees it, in every phase of
    ///   the flashers at work; it flashes if it is lit in one of them and dark in another.
    /// - Of a part with several lamps and no terminal named, the brightest counts.
    /// - All else is judged by its word ([`PartState`]), which must be so in every phase.
    pub fn breach(&self, claim: &Claim) -> Option<Instead> {
        let Some((tables, _)) = self.on.tables_and_flow() else { return Some(Instead::Missing) };
        breach(tables, self.on.turns(), claim)
    }
}

/// As [`Settled::breach`], of what flows in turn, the lit phase first.
pub(crate) fn breach(tables: &Tables, phases: &[Arc<Flow>], claim: &Claim) -> Option<Instead> {
    Asked::of(tables, claim).breach(tables, phases)
}

impl Solution {
    /// What a part does instead of what was asked of it in a network with these tables.
    fn breach(&self, tables: &Arc<Tables>, asked: &Asked<'_>) -> Option<Instead> {
        match self.tables() {
            None => Some(Instead::Missing),
            Some(own) if Arc::ptr_eq(own, tables) => asked.breach(own, self.turns()),
            // A network whose tables were made anew numbers its elements anew.
            Some(own) => breach(own, self.turns(), asked.claim),
        }
    }
}

/// What a claim asks, looked up once to be judged in many states.
struct Asked<'a> {
    claim: &'a Claim,
    /// The elements of its part; nothing for one that is not there.
    rows: Option<&'a [ElementRow]>,
    /// The one of them that it names.
    named: Option<&'a ElementRow>,
}

impl<'a> Asked<'a> {
    fn of(tables: &'a Tables, claim: &'a Claim) -> Self {
        let rows = rows(tables, claim.part);
        let named = claim.terminal.as_deref().zip(rows);
        let named = named.and_then(|(terminal, rows)| fed_at(rows, terminal));
        Self { claim, rows, named }
    }

    fn breach(&self, tables: &Tables, phases: &[Arc<Flow>]) -> Option<Instead> {
        let Some(rows) = self.rows else { return Some(Instead::Missing) };
        let meant = self.named.map_or(rows, std::slice::from_ref);
        if let Some(asked) = asked_of_lamp(self.claim.must)
            && let Some(does) = lamp(brightest(tables, phases, meant))
        {
            return (does != asked).then_some(Instead::Does(does));
        }
        let state = |phase: &Arc<Flow>| match self.named {
            Some(row) => ElementFlow { tables, flow: phase, phases, row }.state(),
            None => {
                state_of_part(tables, phase, phases, self.claim.part).unwrap_or(PartState::Passive)
            }
        };
        let other = phases.iter().map(state).find(|state| !keeps(self.claim.must, *state));
        other.map(Instead::Does)
    }
}

/// The consumer that is fed at a terminal, else one that has it at all.
fn fed_at<'a>(rows: &'a [ElementRow], terminal: &str) -> Option<&'a ElementRow> {
    let consumers = || {
        rows.iter().filter(|row| {
            matches!(
                row.kind,
                Kind::Filament { .. } | Kind::Led { .. } | Kind::Load { .. } | Kind::Motor { .. }
            )
        })
    };
    let mut first = consumers().filter(|row| row.names[0] == terminal);
    first.next().or_else(|| consumers().find(|row| row.names[1] == terminal))
}

/// Light in each phase of the brightest of some elements; none where nothing of them gives light.
fn brightest<'a>(
    tables: &'a Tables,
    phases: &'a [Arc<Flow>],
    rows: &'a [ElementRow],
) -> impl Iterator<Item = f64> {
    phases.iter().filter_map(|phase| {
        let lights = rows.iter().filter_map(|row| {
            // Most lamps of a car have next to no volts or about their marked ones: no power to work out.
            if let Kind::Filament { volts: marked } = row.kind {
                let share = across_element(tables, phase, row).abs() / marked;
                if share < UNSEEN {
                    return Some(0.0);
                } else if share > WELL_LIT {
                    return Some(1.0);
                }
            }
            lights(tables, std::slice::from_ref(phase), row).next()
        });
        lights.reduce(f64::max)
    })
}

/// With less than this share of its marked volts a filament gives under a thousandth of its light, well under what is
/// [`VISIBLE`].
const UNSEEN: f64 = 0.1;

/// With more than this share it gives well over [`LIT`], by any exponent under six.
const WELL_LIT: f64 = 0.9;

/// What a lamp does, by its light in each phase; nothing for what is none.
fn lamp(lights: impl Iterator<Item = f64>) -> Option<PartState> {
    let [most, least] = lights
        .map(|light| [light; 2])
        .reduce(|[most, least], [light, _]| [most.max(light), least.min(light)])?;
    Some(if least >= LIT {
        PartState::Lit
    } else if most < VISIBLE {
        PartState::Dark
    } else if most >= LIT && least < VISIBLE {
        PartState::Flashing
    } else {
        PartState::Dim
    })
}

/// What a lamp must do for a claim that is about light; motors and relays are asked other things.
fn asked_of_lamp(must: Expectation) -> Option<PartState> {
    match must {
        Expectation::Lit => Some(PartState::Lit),
        Expectation::Dark => Some(PartState::Dark),
        Expectation::Flashing => Some(PartState::Flashing),
        Expectation::Working | Expectation::Idle | Expectation::In | Expectation::Out => None,
    }
}

fn keeps(must: Expectation, state: PartState) -> bool {
    match must {
        Expectation::Lit => state == PartState::Lit,
        Expectation::Dark => matches!(state, PartState::Dark | PartState::Blocks),
        Expectation::Flashing => state == PartState::Flashing,
        Expectation::Working => state == PartState::Working,
        Expectation::Idle => matches!(state, PartState::Idle | PartState::Blocks),
        Expectation::In => state == PartState::In,
        Expectation::Out => state == PartState::Out,
    }
}
