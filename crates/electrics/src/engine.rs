//! What follows a move by itself: the engine runs on while its ignition is fed, and stops when it is not.

use loomwright_circuit::Control;

use crate::drive::Onward;
use crate::network::Tables;
use crate::reading::Flow;
use crate::solve::Solver;
use crate::{Exploration, Move, Network, Setting, SettingError, Settled, Solution, State};

/// The controls called `engine` and `ignition`, and the positions of the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EngineRow {
    pub control: usize,
    pub stopped: u8,
    pub cranking: Option<u8>,
    pub idling: Option<u8>,
    pub running: Option<u8>,
    pub key: Option<usize>,
}

/// The primary of an ignition coil: its branch, an index in [`Tables::fixed`], and its marked volts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CoilRow {
    pub branch: usize,
    pub volts: f64,
}

/// Share of its marked current with which an ignition coil still makes sparks that keep a warm engine turning
/// (practice: they start it at 6 to 7 V in a 12 V car; a little less keeps it going).
pub const IGNITION_SHARE: f64 = 0.4;

/// What comes about by itself.
#[derive(Debug)]
pub(crate) struct ByItself {
    /// The setting that follows, and the relays from which it settles; nothing where all stays as it is.
    pub next: Option<(Setting, Vec<bool>)>,
    /// What flowed in positions gone through without staying.
    pub passed: Vec<Solution>,
    /// Whether what was settled before counts as gone through.
    pub is_passing: bool,
}

/// More than this does not follow from one move: each wiper of a car leaves its park, or goes there, once.
pub(crate) const MOST_FOLLOWS: usize = 32;

impl EngineRow {
    /// Nothing where no control is called `engine`, or it cannot be stopped.
    pub(crate) fn of(controls: &[Control]) -> Option<Self> {
        let named = |name: &str| controls.iter().position(|control| control.name == name);
        let control = named("engine")?;
        let at = |name: &str| {
            let positions = &controls[control].positions;
            let at = positions.iter().position(|position| position.name == name)?;
            u8::try_from(at).ok()
        };
        Some(Self {
            control,
            stopped: at("stopped")?,
            cranking: at("cranking"),
            idling: at("idling"),
            running: at("running"),
            key: named("ignition"),
        })
    }

    /// Whether the engine turns under its own power.
    fn turns(self, setting: &Setting) -> bool {
        let at = setting.0.get(self.control).copied();
        at.is_some() && (at == self.idling || at == self.running)
    }

    /// The same setting with the engine elsewhere.
    fn put(self, setting: &Setting, position: u8) -> Setting {
        let mut setting = setting.clone();
        setting.0[self.control] = position;
        setting
    }
}

impl Network {
    /// Moves one control by name, and lets relays settle and the engine follow: what a person at the car does.
    ///
    /// What follows by itself stands in [`Settled::followed`]:
    /// - An idling or running engine stops when no ignition coil of the car has [`IGNITION_SHARE`] of its marked
    ///   current any more. With the key off it turns on for as long as a coil has it: a run-on, see
    ///   [`Network::runs_on`]. In a car without an ignition coil the key itself stops it.
    /// - An engine being cranked goes on to idling when the key leaves start for on; stopped, when it goes off.
    /// - A wiper whose motor turns leaves its park; switched off, it runs on until its park contact stops it. What
    ///   flowed meanwhile stands in [`Settled::passing`].
    /// - The key springs back when the engine is put to idling or running while it is held at start, and holding it
    ///   at start with the engine running cranks it.
    ///
    /// # Errors
    /// Names that this car does not have, or a setting that it rules out and that no consequence makes possible.
    pub fn move_control(
        &self,
        from: &State,
        control: &str,
        position: &str,
    ) -> Result<Settled, SettingError> {
        let before = self.fitted(&from.setting);
        let mut asked = before.clone();
        self.put(&mut asked, control, position)?;
        let moved = self.controls().iter().position(|known| known.name == control).unwrap_or(0);
        if self.tables.is_breaker(moved) {
            let settled = self.moved(from, &before);
            if !self.lets_go(&settled, moved, asked.0[moved]) {
                return Err(SettingError::Holds { control: control.to_owned() });
            }
        }
        let Some(start) = self.start_of(&before, &asked, moved) else {
            let together = self.ruled_out(&asked).unwrap_or_default();
            return Err(SettingError::Impossible { together });
        };
        let passing = self.passing(from, &before, moved, asked.0[moved]);
        Ok(self.follow(&asked, self.moved(from, &start), passing))
    }

    /// Lets a car stand where it stood after something else about it has changed, such as a fuse that opened: relays,
    /// engine, and what motors move follow.
    pub fn stand_again(&self, from: &State) -> Settled {
        let setting = self.fitted(&from.setting);
        self.follow(&setting, self.moved(from, &setting), Vec::new())
    }

    /// Lets the engine and what motors move follow, from where relays have settled.
    pub(crate) fn follow(
        &self,
        asked: &Setting,
        mut settled: Settled,
        mut passing: Vec<Solution>,
    ) -> Settled {
        let mut solver = Solver::new(&self.tables);
        for _ in 0..MOST_FOLLOWS {
            let Some(flow) = settled.on.flow() else { break };
            let rest = (&*flow, settled.state.pulled_in.as_slice());
            let follows = self.by_itself(&mut solver, &settled.state.setting, rest, &mut || true);
            let Some(follows) = follows else { break };
            passing.extend(follows.passed);
            let Some((next, pulled_in)) = follows.next else { break };
            if follows.is_passing {
                passing.extend(settled.phases().cloned());
            }
            let from = State { setting: settled.state.setting.clone(), pulled_in };
            settled = self.moved(&from, &next);
        }
        settled.followed = self.followed(asked, &settled.state.setting);
        settled.passing = passing;
        settled
    }

    /// What flows while a control that makes before it breaks is moved.
    fn passing(&self, from: &State, before: &Setting, control: usize, to: u8) -> Vec<Solution> {
        let moments = self.moments(before, control, to);
        if moments.is_empty() {
            return Vec::new();
        }
        let mut relays = from.pulled_in.clone();
        relays.resize(self.tables.relays.len(), false);
        let mut solver = Solver::new(&self.tables);
        moments.iter().map(|moment| self.in_moment(&mut solver, moment, &relays, true)).collect()
    }

    /// What happens by itself once relays have settled: the engine stops, or motors move their own contacts. Nothing if
    /// the caller gave up.
    pub(crate) fn by_itself(
        &self,
        solver: &mut Solver<'_>,
        setting: &Setting,
        rest: (&Flow, &[bool]),
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<ByItself> {
        if let Some(stopped) = self.stalled(setting, rest.0) {
            let next = Some((stopped, rest.1.to_vec()));
            return Some(ByItself { next, passed: Vec::new(), is_passing: false });
        }
        if self.tables.driven.is_empty() {
            return Some(ByItself { next: None, passed: Vec::new(), is_passing: false });
        }
        solver.volts.copy_from_slice(&rest.0.volts);
        let Onward { next, passed } = self.driven_on(solver, setting, rest, goes_on)?;
        Some(ByItself { next, passed, is_passing: true })
    }

    /// Whether the engine turns in a setting that the car declares impossible: with the key off, its ignition fed by
    /// another way. Such settings are not among the possible ones ([`Network::possible_settings`]); exploring meets
    /// them where the circuit allows them.
    pub fn runs_on(&self, setting: &Setting) -> bool {
        self.tables.engine.is_some_and(|engine| engine.turns(setting) && !self.is_possible(setting))
    }

    /// The setting in which relays first settle when one control has been moved; nothing if the move is refused.
    pub(crate) fn start_of(
        &self,
        before: &Setting,
        asked: &Setting,
        moved: usize,
    ) -> Option<Setting> {
        if self.is_possible(asked) {
            return Some(asked.clone());
        }
        let engine = self.tables.engine?;
        let with = |position: Option<u8>| {
            let setting = engine.put(asked, position?);
            self.is_possible(&setting).then_some(setting)
        };
        // Only what the declarations say of the engine is made good.
        let stopped = with(Some(engine.stopped))?;
        let turns_on = !self.tables.coils.is_empty() && engine.turns(before);
        if moved == engine.control {
            if !engine.turns(asked) {
                return None;
            }
            let runs_on = turns_on && self.runs_on(before);
            let sprung_back = || self.with_key_sprung_back(engine, asked);
            return if runs_on { Some(asked.clone()) } else { sprung_back() };
        }
        if engine.turns(asked) {
            let cranked = with(engine.cranking);
            return cranked.or_else(|| Some(if turns_on { asked.clone() } else { stopped }));
        }
        with(engine.idling).or(Some(stopped))
    }

    fn with_key_sprung_back(&self, engine: EngineRow, asked: &Setting) -> Option<Setting> {
        let key = engine.key?;
        let positions = &self.controls()[key].positions;
        let back = positions.get(usize::from(asked.0[key]))?.springs_to.as_ref()?;
        let at = positions.iter().position(|position| position.name == *back)?;
        let mut setting = asked.clone();
        setting.0[key] = u8::try_from(at).ok()?;
        self.is_possible(&setting).then_some(setting)
    }

    /// The same setting with the engine stopped, if it turns and no ignition coil is fed.
    pub(crate) fn stalled(&self, setting: &Setting, flow: &Flow) -> Option<Setting> {
        let engine = self.tables.engine?;
        if !loses_ignition(&self.tables, setting, flow) {
            return None;
        }
        let stopped = engine.put(setting, engine.stopped);
        self.is_possible(&stopped).then_some(stopped)
    }

    /// The controls that stand elsewhere than asked.
    pub(crate) fn followed(&self, asked: &Setting, stands: &Setting) -> Vec<Move> {
        let places = asked.0.iter().zip(&stands.0).zip(self.controls());
        let elsewhere = places.filter(|((asked, stands), _)| asked != stands);
        elsewhere
            .filter_map(|((_, stands), control)| {
                let position = control.positions.get(usize::from(*stands))?;
                Some(Move { control: control.name.clone(), position: position.name.clone() })
            })
            .collect()
    }
}

/// Whether the engine turns in a setting, and no ignition coil is fed any more.
pub(crate) fn loses_ignition(tables: &Tables, setting: &Setting, flow: &Flow) -> bool {
    let turns = tables.engine.is_some_and(|engine| engine.turns(setting));
    let coils = &tables.coils;
    turns && !coils.is_empty() && !coils.iter().any(|coil| is_fed(tables, *coil, flow))
}

/// Whether a coil has enough current for sparks. One that was taken out has none.
fn is_fed(tables: &Tables, coil: CoilRow, flow: &Flow) -> bool {
    let branch = &tables.fixed[coil.branch];
    let across = flow.volts[branch.a as usize] - flow.volts[branch.b as usize];
    branch.siemens > 0.0 && across.abs() >= IGNITION_SHARE * coil.volts
}

impl Exploration {
    /// The visits in which the engine runs on with the key off, its ignition fed by another way.
    pub fn run_ons(&self, network: &Network) -> Vec<usize> {
        let runs_on = |idx: &usize| network.runs_on(&self.visits[*idx].settled.state.setting);
        (0..self.visits.len()).filter(runs_on).collect()
    }
}
