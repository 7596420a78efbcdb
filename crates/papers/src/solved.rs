//! What flows in a setting, with little, usual and much lost on the way: a figure and the band it may lie in.

use loomwright_circuit::{Car, Claim, Expectation, PartId, Promise, Version};
use loomwright_electrics::{Losses, Network, PartState, Setting, Settled, Solution};
use serde::Serialize;

/// A version of the car, solved at both ends of the band of losses and in its middle.
pub(crate) struct Solved {
    pub(crate) usual: Network,
    ends: [Network; 2],
}

/// A figure with the band that it may lie in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Figure {
    pub(crate) usual: f64,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
}

impl Figure {
    /// Wider by so much on both sides, for what a meter adds.
    pub(crate) fn wider(self, by: f64) -> Self {
        Self { usual: self.usual, least: self.least - by, greatest: self.greatest + by }
    }
}

/// A setting of the controls, named and solved.
#[derive(Debug, Clone)]
pub(crate) struct Met {
    pub(crate) setting: Setting,
    /// The controls that are not at rest, in the order in which they are worked.
    pub(crate) moves: Vec<(String, String)>,
    pub(crate) usual: Settled,
    ends: [Settled; 2],
}

impl Solved {
    pub(crate) fn of(car: &Car, version: Version) -> Self {
        Self {
            usual: Network::of(car, version),
            ends: [Losses::LEAST, Losses::MOST]
                .map(|losses| Network::with_losses(car, version, losses)),
        }
    }

    /// Solves a setting, moved to from rest.
    pub(crate) fn meet(&self, setting: &Setting) -> Met {
        let met = |network: &Network| network.moved(&network.at_rest().state, setting);
        let rest = self.usual.rest();
        let controls = self.usual.controls().iter().zip(setting.0.iter().zip(&rest.0));
        let moves =
            controls.filter(|(_, (at, rest))| at != rest).filter_map(|(control, (at, _))| {
                let position = control.positions.get(usize::from(*at))?;
                Some((control.name.clone(), position.name.clone()))
            });
        let mut moves: Vec<_> = moves.collect();
        // The key is turned before anything else is worked.
        moves.sort_by_key(|(control, _)| (control != "ignition", control != "engine"));
        Met {
            setting: setting.clone(),
            moves,
            usual: met(&self.usual),
            ends: [met(&self.ends[0]), met(&self.ends[1])],
        }
    }

    pub(crate) fn at_rest(&self) -> Met {
        self.meet(&self.usual.rest())
    }

    /// A setting in which a part does what it is for: one that a promise speaks of, else the first that is found by
    /// working one control, then two.
    pub(crate) fn working(&self, car: &Car, part: PartId) -> Option<Met> {
        let asks = |promise: &&Promise| {
            promise.then.iter().any(|claim| claim.part == part && is_on(claim))
        };
        let promised = car.promises().values().filter(asks);
        let met = promised.filter_map(|promise| Some(self.meet(&self.usual.setting_for(promise)?)));
        let works = |met: &Met| met.usual.phases().any(|phase| works(phase, part));
        met.into_iter().find(works).or_else(|| self.searched(part))
    }

    fn searched(&self, part: PartId) -> Option<Met> {
        let controls = self.usual.controls();
        let rest = self.usual.at_rest();
        let mut left = vec![self.usual.rest()];
        let mut tried = 0;
        for _ in 0..3 {
            let mut next = Vec::new();
            for setting in &left {
                let last = (0..controls.len()).filter(|idx| setting.0[*idx] != 0).max();
                let first = last.map_or(0, |last| last + 1);
                for (control, known) in controls.iter().enumerate().skip(first) {
                    for position in 1..known.positions.len() {
                        let mut setting = setting.clone();
                        setting.0[control] = u8::try_from(position).unwrap_or(u8::MAX);
                        tried += 1;
                        if tried > MOST_TRIED {
                            return None;
                        }
                        if !self.usual.is_possible(&setting) {
                            continue;
                        }
                        let settled = self.usual.moved(&rest.state, &setting);
                        if settled.phases().any(|phase| works(phase, part)) {
                            return Some(self.meet(&setting));
                        }
                        next.push(setting);
                    }
                }
            }
            left = next;
        }
        None
    }
}

/// Settings tried for one part before it is given up; beyond, papers would keep people waiting.
const MOST_TRIED: usize = 600;

fn is_on(claim: &Claim) -> bool {
    match claim.must {
        Expectation::Lit | Expectation::Flashing | Expectation::Working | Expectation::In => true,
        Expectation::Dark | Expectation::Idle | Expectation::Out => false,
    }
}

/// Whether a part does what it is for.
pub(crate) fn works(solution: &Solution, part: PartId) -> bool {
    let state = solution.state(part);
    matches!(
        state,
        Some(
            PartState::Lit
                | PartState::Dim
                | PartState::Flashing
                | PartState::Working
                | PartState::Weak
                | PartState::In
        )
    )
}

impl Met {
    /// A figure read at both ends of the band and in its middle; nothing where it cannot be read in the middle.
    pub(crate) fn figure(&self, read: impl Fn(&Settled) -> Option<f64>) -> Option<Figure> {
        let usual = read(&self.usual)?;
        let [a, b] = [&self.ends[0], &self.ends[1]].map(|end| read(end).unwrap_or(usual));
        Some(Figure { usual, least: usual.min(a).min(b), greatest: usual.max(a).max(b) })
    }

    /// Volts of one place over another, with whatever flashes lit.
    pub(crate) fn volts(&self, red: (PartId, &str), black: (PartId, &str)) -> Option<Figure> {
        self.figure(|settled| {
            let volts = |(part, terminal): (PartId, &str)| settled.on.volts(part, terminal);
            Some(volts(red)?.0 - volts(black)?.0)
        })
    }
}
