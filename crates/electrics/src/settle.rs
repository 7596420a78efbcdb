//! Letting relays come to rest, and flashers start.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::flasher::{at_work, start_flashers};
use crate::network::{FlasherRow, RelayRow, Tables};
use crate::past::Unrests;
use crate::reading::Flow;
use crate::solve::{Ended, Phase, Solver};
use crate::{Network, Setting, Settled, Solution, State};

use drift::note_drift;
use keep::bare_flow;

pub(crate) use keep::flow;

mod drift;
mod keep;
mod notes;

/// A place found at rest, or found not to come to rest.
#[derive(Debug)]
pub(crate) struct Rest {
    pub relays: Vec<bool>,
    pub on: Arc<Flow>,
    pub off: Option<Arc<Flow>>,
    /// The phases of flashers that have drifted apart.
    pub apart: Vec<Arc<Flow>>,
    /// Relays that were not asked for rest.
    pub is_settled: bool,
    /// The relay memories gone through on the way, the first included.
    pub path: Vec<Vec<bool>>,
}

impl Rest {
    /// All that flows in turn; the lit phase first.
    pub(crate) fn phases(&self) -> Vec<Arc<Flow>> {
        std::iter::once(&self.on).chain(&self.off).chain(&self.apart).map(Arc::clone).collect()
    }
}

/// A rest, the memory known before that the way led to, or nothing: the caller did not want to go on.
#[derive(Debug)]
pub(crate) enum Settling {
    Found(Box<Rest>),
    Known(usize, Vec<Vec<bool>>),
    GivenUp,
}

/// More rounds than this are not waited for.
const MOST_ROUNDS: usize = 200;

impl Network {
    /// Solves the car at rest, all relays out; what turns by itself even then moves its own contacts.
    pub fn at_rest(&self) -> Settled {
        let state =
            State { setting: self.rest(), pulled_in: vec![false; self.tables.relays.len()] };
        let setting = state.setting.clone();
        self.follow(&setting, self.moved(&state, &setting), Vec::new())
    }

    /// Puts the controls from one state into a setting, and lets the relays settle. The engine stays where the
    /// setting has it; [`Network::move_control`] lets it follow.
    ///
    /// All relays move at once; if they then go round in a circle, one after the other, in the network's order; if
    /// they go round in a circle even so, they buzz.
    pub fn moved(&self, from: &State, setting: &Setting) -> Settled {
        let mut solver = Solver::new(&self.tables);
        let mut relays = from.pulled_in.clone();
        relays.resize(self.tables.relays.len(), false);
        let setting = self.fitted(setting);
        match settle(&mut solver, &setting.0, &relays, true, &mut |_| None, &mut || true) {
            Settling::Found(rest) => self.settled(setting, &rest),
            // Nothing is known before, so the way cannot lead there; and nobody gives up.
            Settling::Known(..) | Settling::GivenUp => {
                debug_assert!(false, "nothing was known, and nobody gave up");
                Settled {
                    state: State { setting, pulled_in: relays },
                    followed: Vec::new(),
                    is_settled: false,
                    on: Solution::default(),
                    off: None,
                    apart: Vec::new(),
                    passing: Vec::new(),
                }
            }
        }
    }

    /// A setting with as many controls as the car has, each in a position that it has.
    pub(crate) fn fitted(&self, setting: &Setting) -> Setting {
        let fit = |(idx, control): (usize, &loomwright_circuit::Control)| {
            let at = setting.0.get(idx).copied().unwrap_or(0);
            if usize::from(at) < control.positions.len() { at } else { 0 }
        };
        Setting(self.controls().iter().enumerate().map(fit).collect())
    }

    pub(crate) fn settled(&self, setting: Setting, rest: &Rest) -> Settled {
        let phases: Arc<[Arc<Flow>]> = rest.phases().into();
        let solution = |flow: &Arc<Flow>| Solution::of(&self.tables, flow, &phases);
        Settled {
            state: State { setting, pulled_in: rest.relays.clone() },
            followed: Vec::new(),
            is_settled: rest.is_settled,
            on: solution(&rest.on),
            off: rest.off.as_ref().map(solution),
            apart: rest.apart.iter().map(solution).collect(),
            passing: Vec::new(),
        }
    }
}

/// Lets relays settle from a memory. `known` may name a memory from which the end is known; `goes_on` is asked again
/// and again.
pub(crate) fn settle(
    solver: &mut Solver<'_>,
    setting: &[u8],
    relays: &[bool],
    is_cold: bool,
    known: &mut dyn FnMut(&[bool]) -> Option<usize>,
    goes_on: &mut dyn FnMut() -> bool,
) -> Settling {
    let mut way = Way {
        flashers: Vec::new(),
        was_closed: Vec::new(),
        relays: relays.to_vec(),
        solver,
        setting,
        is_cold,
        goes_on,
    };
    way.try_flashers();
    let mut path = vec![relays.to_vec()];
    let mut buzzing = vec![false; relays.len()];
    let ended = loop {
        match way.rest() {
            Ok(ended) => break Some(ended),
            Err(Unrest::GivenUp) => break None,
            Err(Unrest::Wants(wanted)) => {
                if let Some(start) = path.iter().position(|relays| *relays == wanted) {
                    way.take(first_of(&path[start..]));
                    break way.one_by_one(&mut buzzing);
                }
                if path.len() > MOST_ROUNDS {
                    break way.one_by_one(&mut buzzing);
                }
                way.take(wanted);
                if let Some(visit) = known(&way.relays) {
                    return Settling::Known(visit, path);
                }
                path.push(way.relays.clone());
            }
        }
    };
    let rest = ended.and_then(|ended| way.found(ended, &buzzing, path));
    rest.map_or(Settling::GivenUp, |rest| Settling::Found(Box::new(rest)))
}

/// Why there is no rest yet.
enum Unrest {
    /// Relays want to be so.
    Wants(Vec<bool>),
    /// The caller did not want to go on.
    GivenUp,
}

/// Relays and flashers on their way to rest in one setting.
struct Way<'s, 'a> {
    solver: &'s mut Solver<'a>,
    setting: &'s [u8],
    relays: Vec<bool>,
    /// Flashers whose contact is closed: all, but for those found to stay dark.
    flashers: Vec<bool>,
    /// Contacts for tell-tales that were closed since relays moved.
    was_closed: Vec<bool>,
    is_cold: bool,
    goes_on: &'s mut dyn FnMut() -> bool,
}

impl Way<'_, '_> {
    /// Solves with the relays as they are, and opens flashers that stay dark.
    fn rest(&mut self) -> Result<Ended, Unrest> {
        if let Some(wanted) = self.unrest_then() {
            return Err(Unrest::Wants(wanted));
        }
        let mut is_first = true;
        loop {
            let ended = self.solve(true).ok_or(Unrest::GivenUp)?;
            let wanted = wanted_relays(self.solver, &self.relays);
            if wanted != self.relays {
                if is_first {
                    self.keep_unrest(ended, &wanted);
                }
                return Err(Unrest::Wants(wanted));
            }
            if !start_flashers(self.solver, &mut self.flashers, &mut self.was_closed) {
                return Ok(ended);
            }
            is_first = false;
        }
    }

    /// Where relays wanted to be in an earlier version of the car, if nothing in this moment has changed.
    fn unrest_then(&mut self) -> Option<Vec<bool>> {
        let (flow, wanted) = self.solver.past?.unrest(self.setting, &self.relays)?;
        if let Some(unrests) = &mut self.solver.unrests {
            unrests.keep(flow, &wanted);
        }
        Some(wanted)
    }

    fn keep_unrest(&mut self, ended: Ended, wanted: &[bool]) {
        if self.solver.unrests.as_ref().is_some_and(Unrests::has_room) {
            let flow = bare_flow(self.solver, self.phase(), ended);
            if let Some(unrests) = &mut self.solver.unrests {
                unrests.keep(Arc::new(flow), wanted);
            }
        }
    }

    /// Solves; roughly if that shows that a relay moves. Nothing if the caller did not want to go on.
    fn solve(&mut self, is_rough: bool) -> Option<Ended> {
        let phase = Phase { setting: self.setting, relays: &self.relays, flashers: &self.flashers };
        let (tables, relays) = (self.solver.tables, &self.relays);
        let is_enough = |volts: &[f64]| is_rough && is_decided(tables, volts, relays);
        let is_cold = std::mem::replace(&mut self.is_cold, false);
        self.solver.solve(phase, is_cold, &is_enough, self.goes_on)
    }

    /// Closes all flashers, to see which stay so. Contacts for tell-tales follow what they go with, so that any guess
    /// of them is as good: as in the rest found last.
    fn try_flashers(&mut self) {
        let rows = &self.solver.tables.flashers;
        let guess = |(idx, row): (usize, &FlasherRow)| {
            !row.is_pilot() || self.solver.lit.get(idx).copied().unwrap_or(true)
        };
        self.flashers = rows.iter().enumerate().map(guess).collect();
        self.was_closed = self.flashers.clone();
    }

    /// Moves relays; flashers try again.
    fn take(&mut self, relays: Vec<bool>) {
        self.relays = relays;
        self.try_flashers();
    }

    /// Moves the first relay that wants to; says which.
    fn take_first(&mut self, wanted: &[bool]) -> Option<usize> {
        let first = self.relays.iter().zip(wanted).position(|(is, wanted)| is != wanted)?;
        self.relays[first] = wanted[first];
        self.try_flashers();
        Some(first)
    }

    /// Lets relays move one after the other; those that go round in a circle even so are marked. Of the circle, the
    /// same memory is kept wherever it was entered. Nothing if the caller did not want to go on.
    fn one_by_one(&mut self, buzzing: &mut [bool]) -> Option<Ended> {
        let mut seen: BTreeSet<Vec<bool>> = BTreeSet::new();
        while seen.insert(self.relays.clone()) && seen.len() <= MOST_ROUNDS {
            match self.rest() {
                Ok(ended) => return Some(ended),
                Err(Unrest::Wants(wanted)) => self.take_first(&wanted),
                Err(Unrest::GivenUp) => return None,
            };
        }
        // Once more round the circle, to see who moves in it.
        let start = self.relays.clone();
        let mut circle = vec![start.clone()];
        for _ in 0..MOST_ROUNDS {
            let moved = match self.rest() {
                Ok(ended) => {
                    buzzing.fill(false);
                    return Some(ended);
                }
                Err(Unrest::Wants(wanted)) => self.take_first(&wanted),
                Err(Unrest::GivenUp) => return None,
            };
            if let Some(idx) = moved {
                buzzing[idx] = true;
            }
            if self.relays == start {
                break;
            }
            circle.push(self.relays.clone());
        }
        self.take(first_of(&circle));
        self.solve(false)
    }

    /// Keeps all phases of what was found. Nothing if the caller did not want to go on.
    fn found(mut self, ended: Ended, buzzing: &[bool], path: Vec<Vec<bool>>) -> Option<Rest> {
        let at_work = at_work(self.solver, &self.flashers);
        let (relays, lit) = (self.relays.clone(), self.flashers.clone());
        self.solver.lit.clone_from(&lit);
        let mut on = self.flow(ended, buzzing);
        let (mut off, mut apart) = (None, Vec::new());
        if at_work.contains(&true) {
            let ended = self.dark_phase(&at_work)?;
            let mut dark = self.flow(ended, buzzing);
            let drifting = self.drifting(&at_work, &lit);
            apart = self.drift(&drifting, &lit, &relays, buzzing)?;
            note_drift(self.solver.tables, &drifting, [&mut on, &mut dark], &apart);
            for flow in [&mut on, &mut dark].into_iter().chain(&mut apart) {
                flow.drifting = drifting.as_slice().into();
            }
            off = Some(dark);
        }
        Some(Rest {
            relays,
            on: Arc::new(on),
            off: off.map(Arc::new),
            apart: apart.into_iter().map(Arc::new).collect(),
            is_settled: !buzzing.contains(&true),
            path,
        })
    }

    /// Opens the flashers at work; relays that they feed follow. Nothing if the caller did not want to go on.
    fn dark_phase(&mut self, at_work: &[bool]) -> Option<Ended> {
        for (closed, works) in self.flashers.iter_mut().zip(at_work) {
            *closed &= !works;
        }
        self.follow()
    }

    /// Solves, and lets relays follow. Nothing if the caller did not want to go on.
    fn follow(&mut self) -> Option<Ended> {
        for _ in 0..=self.relays.len() {
            let ended = self.solve(false)?;
            let wanted = wanted_relays(self.solver, &self.relays);
            if wanted == self.relays {
                return Some(ended);
            }
            self.relays = wanted;
        }
        self.solve(false)
    }

    fn flow(&self, ended: Ended, buzzing: &[bool]) -> Flow {
        flow(self.solver, self.phase(), ended, buzzing)
    }

    fn phase(&self) -> Phase<'_> {
        Phase { setting: self.setting, relays: &self.relays, flashers: &self.flashers }
    }
}

/// The memory that stands for a circle of them, wherever the circle was entered.
fn first_of(circle: &[Vec<bool>]) -> Vec<bool> {
    circle.iter().min().cloned().unwrap_or_default()
}

/// Volts by which a coil must be away from its threshold for a rough answer to decide.
const CLEAR_VOLTS: f64 = 0.5;

/// Whether it is clear that some relay moves, and which.
fn is_decided(tables: &Tables, volts: &[f64], relays: &[bool]) -> bool {
    let mut moves = false;
    for (row, is_in) in tables.relays.iter().zip(relays) {
        let across = row.pull(tables, volts);
        let threshold = if *is_in { row.drop_out_volts } else { row.pull_in_volts };
        if (across - threshold).abs() < CLEAR_VOLTS {
            return false;
        }
        moves |= *is_in != (across >= threshold);
    }
    moves
}

/// Where each relay wants to be, given the volts on its coil.
pub(crate) fn wanted_relays(solver: &Solver<'_>, relays: &[bool]) -> Vec<bool> {
    let wanted = |(row, is_in): (&RelayRow, &bool)| {
        let coil = &solver.tables.fixed[row.branch];
        let volts = row.pull(solver.tables, &solver.volts);
        let threshold = if *is_in { row.drop_out_volts } else { row.pull_in_volts };
        coil.siemens > 0.0 && volts >= threshold
    };
    solver.tables.relays.iter().zip(relays).map(wanted).collect()
}
