//! What flows in a setting, with little, usual and much lost on the way: a figure and the band it may lie in.

use std::cell::OnceCell;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{Car, Claim, Control, Expectation, Name, PartId, Promise, Version};
use loomwright_electrics::{Losses, Network, PartState, Setting, Settled, Solution};
use serde::Serialize;

/// A version of the car, solved at both ends of the band of losses and in its middle.
pub(crate) struct Solved {
    pub(crate) usual: Network,
    ends: [Network; 2],
    coils_off: OnceCell<Box<Self>>,
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
    /// The controls that are not at rest, and those at rest that are named all the same, in the order in which they
    /// are worked.
    pub(crate) moves: Vec<(String, String)>,
    /// What somebody has to hold: controls that a spring takes back.
    pub(crate) held: Vec<String>,
    pub(crate) usual: Settled,
    ends: [Settled; 2],
}

impl Solved {
    pub(crate) fn of(car: &Car, version: Version) -> Self {
        Self {
            usual: Network::of(car, version),
            ends: [Losses::LEAST, Losses::MOST]
                .map(|losses| Network::with_losses(car, version, losses)),
            coils_off: OnceCell::new(),
        }
    }

    /// The same with the leads off these ignition coils, which are always the same ones: it is worked out once.
    pub(crate) fn without_coils(&self, coils: &[PartId]) -> &Self {
        self.coils_off.get_or_init(|| {
            Box::new(Self {
                usual: self.usual.without(coils),
                ends: self.ends.each_ref().map(|end| end.without(coils)),
                coils_off: OnceCell::new(),
            })
        })
    }

    /// Solves a setting, moved to from rest.
    pub(crate) fn meet(&self, setting: &Setting) -> Met {
        self.meet_naming(setting, &[])
    }

    /// The same, with the positions of some controls said even where they are at rest.
    pub(crate) fn meet_naming(&self, setting: &Setting, named: &[String]) -> Met {
        let met = |network: &Network| network.moved(&network.at_rest().state, setting);
        let rest = self.usual.rest();
        let controls = self.usual.controls().iter().zip(setting.0.iter().zip(&rest.0));
        let moves =
            controls.filter(|(control, (at, rest))| at != rest || named.contains(&control.name));
        let moves = moves.filter_map(|(control, (at, _))| {
            let position = control.positions.get(usize::from(*at))?;
            Some((control.name.clone(), position.name.clone()))
        });
        let mut moves: Vec<_> = moves.collect();
        // The key is turned before anything else is worked.
        moves.sort_by_key(|(control, _)| (control != "ignition", control != "engine"));
        let controls = self.usual.controls().iter().zip(&setting.0);
        let held = controls.filter(|(control, at)| {
            let at = control.positions.get(usize::from(**at));
            at.is_some_and(|at| at.springs_to.is_some())
        });
        Met {
            setting: setting.clone(),
            held: held.map(|(control, _)| control.name.clone()).collect(),
            moves,
            usual: met(&self.usual),
            ends: [met(&self.ends[0]), met(&self.ends[1])],
        }
    }

    pub(crate) fn at_rest(&self) -> Met {
        self.meet(&self.usual.rest())
    }

    /// The settings that put a claim that something is dark to the test: each that the promise speaks of, with all else
    /// as it stands when that thing works. With all else at rest it would be dark whatever the promise is worth.
    ///
    /// With each, the controls that are named even at rest.
    pub(crate) fn provoked(
        &self,
        car: &Car,
        promise: &Promise,
        claim: &Claim,
    ) -> Vec<(Setting, Vec<String>)> {
        if is_on(claim) {
            return Vec::new();
        }
        let Some(works) = self.working_claimed(car, claim.part, claim.terminal.as_ref()) else {
            return Vec::new();
        };
        let mut named = self.named_at_rest(promise);
        named.extend(works.moves.iter().map(|(control, _)| control.clone()));
        let mut settings: Vec<(Setting, Vec<String>)> = Vec::new();
        for setting in self.usual.settings_for(promise, &works.setting) {
            if settings.iter().all(|(known, _)| *known != setting) {
                settings.push((setting, named.clone()));
            }
        }
        settings
    }

    /// Controls of a promise whose rest does not go without saying under "all else off".
    pub(crate) fn named_at_rest(&self, promise: &Promise) -> Vec<String> {
        let asked = promise.when.iter().filter_map(|moment| {
            self.usual.controls().iter().find(|control| control.name == moment.control)
        });
        asked.filter(|control| !rests_off(control)).map(|control| control.name.clone()).collect()
    }

    /// A setting in which a part does what it is for: one that a promise speaks of, else the first that is found by
    /// working one control, then two.
    pub(crate) fn working(&self, car: &Car, part: PartId) -> Option<Met> {
        self.working_claimed(car, part, None)
    }

    /// Settings in which a part does what it is for, each once: one for each of its consumers, as for the filaments of a tail
    /// lamp; none where it works in none.
    pub(crate) fn workings(&self, car: &Car, part: PartId) -> Vec<Met> {
        let mut mets: Vec<Met> = self.working(car, part).into_iter().collect();
        let elements = car.type_of(part).map_or(&[][..], |known| &known.elements);
        let consumers = elements.iter().enumerate().filter(|(_, element)| is_consumer(element));
        let consumers: Vec<usize> = consumers.map(|(idx, _)| idx).collect();
        if consumers.len() < 2 {
            return mets;
        }
        let at_work = |settled: &Settled, element: usize| {
            settled.phases().any(|phase| {
                let reading = phase.part(part);
                reading.is_some_and(|it| {
                    it.elements.get(element).is_some_and(|it| does_its_work(it.state))
                })
            })
        };
        for element in consumers {
            if mets.iter().all(|met| !at_work(&met.usual, element)) {
                mets.extend(self.searched(&|settled| at_work(settled, element)));
            }
        }
        mets
    }

    fn working_claimed(&self, car: &Car, part: PartId, terminal: Option<&Name>) -> Option<Met> {
        let asks = |promise: &&Promise| {
            promise.then.iter().any(|claim| {
                claim.part == part
                    && is_on(claim)
                    && (terminal.is_none() || claim.terminal.as_ref() == terminal)
            })
        };
        let promised = car.promises().values().filter(asks);
        let met = promised.filter_map(|promise| Some(self.meet(&self.usual.setting_for(promise)?)));
        let works = |settled: &Settled| settled.phases().any(|phase| works(phase, part));
        met.into_iter().find(|met| works(&met.usual)).or_else(|| self.searched(&works))
    }

    /// The first setting that is found by working one control, then two, then three, of which something is so.
    fn searched(&self, is_it: &dyn Fn(&Settled) -> bool) -> Option<Met> {
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
                        if is_it(&settled) {
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

/// Whether a control at rest is plainly off.
pub(crate) fn rests_off(control: &Control) -> bool {
    let rest = control.positions.first().map_or("", |position| position.name.as_str());
    matches!(rest, "off" | "released" | "stopped" | "shut" | "parked")
}

/// Settings tried for one part, or for one list, before it is given up; beyond, papers would keep people waiting.
pub(crate) const MOST_TRIED: usize = 600;

pub(crate) fn is_on(claim: &Claim) -> bool {
    match claim.must {
        Expectation::Lit | Expectation::Flashing | Expectation::Working | Expectation::In => true,
        Expectation::Dark | Expectation::Idle | Expectation::Out => false,
    }
}

/// Whether an element is what a circuit is there for: a lamp, a motor, another load, a relay.
pub(crate) fn is_consumer(element: &Element) -> bool {
    matches!(
        element,
        Element::Filament { .. }
            | Element::Led { .. }
            | Element::Load { .. }
            | Element::Motor { .. }
            | Element::Relay { .. }
    )
}

/// Whether a part does what it is for.
pub(crate) fn works(solution: &Solution, part: PartId) -> bool {
    solution.state(part).is_some_and(does_its_work)
}

/// Whether a state is that of a consumer at its work, however weakly.
pub(crate) fn does_its_work(state: PartState) -> bool {
    matches!(
        state,
        PartState::Lit
            | PartState::Dim
            | PartState::Flashing
            | PartState::Working
            | PartState::Weak
            | PartState::In
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
