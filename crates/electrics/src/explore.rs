//! Visiting every reachable state, breadth first from rest, one control move at a time.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use loomwright_circuit::PartId;

use crate::engine::MOST_FOLLOWS;
use crate::past::{Past, Unrests};
use crate::settle::{Rest, Settling, settle};
use crate::solve::Solver;
use crate::survey::Plan;
use crate::{Doubt, Move, Network, Note, NoteKind, Setting, Settled, Work};

/// How far to go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// The most states to visit.
    pub states: usize,
}

impl Default for Bound {
    fn default() -> Self {
        Self { states: 20_000 }
    }
}

/// The states visited, and how each was reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Exploration {
    /// In the order of visiting; the first is rest. None if the caller ended it before.
    pub visits: Vec<Visit>,
    /// Number of possible settings of the car. States in which the engine runs on with the key off
    /// ([`Exploration::run_ons`]) are visited beside these.
    pub settings: u128,
    /// Whether every reachable state was visited.
    pub is_complete: bool,
    /// Why the greatest and least figures over the visits may not be those over all reachable states; with none, they
    /// are.
    pub doubts: Vec<Doubt>,
    /// Number of reachable states: those visited, or with [`survey`](crate::survey) those that they stand for.
    pub states: u128,
    /// Work done.
    pub work: Work,
    /// What flowed for a moment, until relays moved.
    pub(crate) unrests: Unrests,
    /// How a survey went about it.
    pub(crate) plan: Option<Arc<Plan>>,
}

/// One visited state.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The state and what flows in it.
    pub settled: Settled,
    /// The visit it was reached from, and the move; nothing for rest.
    pub reached: Option<(usize, Move)>,
}

impl Exploration {
    /// Whether the greatest and least figures over the visits are those over all reachable states.
    pub fn is_exact(&self) -> bool {
        self.doubts.is_empty()
    }

    /// What single visits had to say of themselves, each once: relays that buzz, generators
    /// that are not excited, flashers that drift, supplies that are
    /// shorted (each supply as it was met first), figures that did not come to rest.
    pub fn notes(&self) -> Vec<&Note> {
        let mut met: BTreeSet<&Note> = BTreeSet::new();
        let mut shorted: BTreeSet<Option<&PartId>> = BTreeSet::new();
        let solutions = self.visits.iter().flat_map(|visit| visit.settled.all());
        for note in solutions.flat_map(|solution| &solution.notes) {
            let is_new = match note.kind {
                NoteKind::Buzzes
                | NoteKind::NotExcited
                | NoteKind::FlashersDrift
                | NoteKind::NotConverged => true,
                NoteKind::Shorted => shorted.insert(note.parts.first()),
                // The network says these of itself.
                _ => false,
            };
            if is_new {
                met.insert(note);
            }
        }
        met.into_iter().collect()
    }

    /// The moves from rest that lead to a visit: the shortest there is.
    pub fn moves_to(&self, visit_idx: usize) -> Vec<Move> {
        let mut moves = Vec::new();
        let mut at = visit_idx;
        while let Some((before, step)) =
            self.visits.get(at).and_then(|visit| visit.reached.as_ref())
        {
            moves.push(step.clone());
            at = *before;
        }
        moves.reverse();
        moves
    }
}

/// Whether to go on, asked with the number of states visited.
pub(crate) type GoesOn<'g> = &'g mut dyn FnMut(usize) -> bool;

/// `goes_on` said no.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GivenUp;

/// Visits reachable states until all are known, the bound is met, or `goes_on` says no.
///
/// It is asked with the number of states visited: after each of them, and before each iteration on the way to the next.
pub fn explore(
    network: &Network,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    explore_from(network, None, bound, goes_on)
}

/// The same, starting from what flowed in an earlier version of the car.
pub(crate) fn explore_from(
    network: &Network,
    past: Option<&Past<'_>>,
    bound: Bound,
    goes_on: GoesOn<'_>,
) -> Exploration {
    let mut explorer = Explorer::new(network, past);
    let controls: Vec<usize> = (0..network.controls().len()).collect();
    let met = explorer
        .rest(goes_on)
        .and_then(|rest| explorer.visit_from(rest, &controls, bound, goes_on));
    explorer.into_exploration(network, met.is_some())
}

/// States known so far, and those still to leave from.
pub(crate) struct Explorer<'a> {
    network: &'a Network,
    past: Option<&'a Past<'a>>,
    pub solver: Solver<'a>,
    pub visits: Vec<Visit>,
    /// The visit that each setting with each relay memory leads to.
    leads_to: HashMap<Vec<u8>, usize>,
    /// Moments that were worked out: a setting between two positions, with a relay memory.
    passed: HashSet<Vec<u8>>,
}

impl<'a> Explorer<'a> {
    pub(crate) fn new(network: &'a Network, past: Option<&'a Past<'a>>) -> Self {
        let mut solver = Solver::new(&network.tables);
        solver.past = past;
        solver.unrests = Some(Unrests::default());
        Self {
            network,
            past,
            solver,
            visits: Vec::new(),
            leads_to: HashMap::new(),
            passed: HashSet::new(),
        }
    }

    pub(crate) fn into_exploration(self, network: &Network, is_complete: bool) -> Exploration {
        Exploration {
            settings: network.possible_settings(),
            is_complete,
            doubts: if is_complete { Vec::new() } else { vec![Doubt::Unfinished] },
            states: self.visits.len() as u128,
            visits: self.visits,
            work: self.solver.work,
            unrests: self.solver.unrests.unwrap_or_default(),
            plan: None,
        }
    }

    /// Visits the state at rest; its index, or nothing if `goes_on` said no.
    pub(crate) fn rest(&mut self, goes_on: GoesOn<'_>) -> Option<usize> {
        let relays = vec![false; self.network.tables.relays.len()];
        let rest = self.arrive(&self.network.rest(), &relays, None, goes_on).ok()?;
        goes_on(self.visits.len()).then_some(rest)
    }

    /// Visits all that moves of some controls lead to from a visit, one at a time, those nearest first; says which
    /// visits that are, or nothing if the bound was met or `goes_on` said no.
    pub(crate) fn visit_from(
        &mut self,
        start: usize,
        controls: &[usize],
        bound: Bound,
        goes_on: GoesOn<'_>,
    ) -> Option<Vec<usize>> {
        let mut met = vec![start];
        let mut is_met: BTreeSet<usize> = BTreeSet::from([start]);
        let mut from = 0;
        while let Some(at) = met.get(from).copied() {
            for control in controls.iter().copied() {
                let stood = self.visits[at].settled.state.setting.0[control];
                for position in (0..self.positions(control)).filter(|position| *position != stood) {
                    let known = self.visits.len();
                    if known >= bound.states && self.is_new(at, control, position) {
                        return None;
                    }
                    let made = self.make(at, control, position, goes_on).ok()?;
                    let Some(visit) = made else { continue };
                    if is_met.insert(visit) {
                        met.push(visit);
                    }
                    if self.visits.len() > known && !goes_on(self.visits.len()) {
                        return None;
                    }
                }
            }
            from += 1;
            // Many moves in a row may lead to what is known.
            if !goes_on(self.visits.len()) {
                return None;
            }
        }
        Some(met)
    }

    /// Networks keep at most 255 positions of a control.
    pub(crate) fn positions(&self, control: usize) -> u8 {
        u8::try_from(self.network.controls()[control].positions.len()).unwrap_or(u8::MAX)
    }

    /// Makes one move from a visit; the visit it leads to, or nothing if it is refused.
    pub(crate) fn make(
        &mut self,
        from: usize,
        control: usize,
        position: u8,
        goes_on: GoesOn<'_>,
    ) -> Result<Option<usize>, GivenUp> {
        let Some((asked, start)) = self.start_of(from, control, position) else { return Ok(None) };
        let pulled_in = &self.visits[from].settled.state.pulled_in;
        let visit = if let Some(visit) = self.leads_to.get(&key(&start, pulled_in)) {
            *visit
        } else {
            let (known, pulled_in) = (self.visits.len(), pulled_in.clone());
            let step = (from, self.step(control, position));
            let visit = self.arrive(&start, &pulled_in, Some(step), goes_on)?;
            if let Some(fresh) = self.visits.get_mut(known) {
                let stands = &fresh.settled.state.setting;
                fresh.settled.followed = self.network.followed(&asked, stands);
            }
            visit
        };
        self.pass(from, control, position, visit);
        Ok(Some(visit))
    }

    /// Works out the moments that a move goes through, and keeps them with the visit that it leads to.
    fn pass(&mut self, from: usize, control: usize, position: u8, visit: usize) {
        let state = &self.visits[from].settled.state;
        let moments = self.network.moments(&state.setting, control, position);
        let relays = state.pulled_in.clone();
        for moment in moments {
            if self.passed.insert(key(&moment, &relays)) {
                if let Some(flow) = self.visits[from].settled.on.flow() {
                    self.solver.volts.copy_from_slice(&flow.volts);
                }
                let solution = self.network.in_moment(&mut self.solver, &moment, &relays, false);
                self.visits[visit].settled.passing.push(solution);
            }
        }
    }

    /// Whether it is not known where a move leads.
    fn is_new(&self, from: usize, control: usize, position: u8) -> bool {
        self.start_of(from, control, position).is_some_and(|(_, start)| {
            let pulled_in = &self.visits[from].settled.state.pulled_in;
            !self.leads_to.contains_key(&key(&start, pulled_in))
        })
    }

    /// The setting that a move asks for, and the one in which relays first settle.
    fn start_of(&self, from: usize, control: usize, position: u8) -> Option<(Setting, Setting)> {
        let before = &self.visits[from].settled.state.setting;
        if !self.network.lets_go(&self.visits[from].settled, control, position) {
            return None;
        }
        let mut asked = before.clone();
        asked.0[control] = position;
        let start = self.network.start_of(before, &asked, control)?;
        Some((asked, start))
    }

    fn step(&self, control: usize, position: u8) -> Move {
        let control = &self.network.controls()[control];
        Move {
            control: control.name.clone(),
            position: control.positions[usize::from(position)].name.clone(),
        }
    }

    /// Lets the relays settle from a memory in a setting, and the engine stop if its ignition is not fed; a state
    /// not yet known becomes a visit.
    fn arrive(
        &mut self,
        setting: &Setting,
        relays: &[bool],
        reached: Option<(usize, Move)>,
        goes_on: GoesOn<'_>,
    ) -> Result<usize, GivenUp> {
        let visited = self.visits.len();
        let mut goes_on = || goes_on(visited);
        let start = reached.as_ref().and_then(|(from, _)| self.visits[*from].settled.on.flow());
        if let Some(flow) = &start {
            self.solver.volts.copy_from_slice(&flow.volts);
        }
        let (mut setting, mut relays) = (setting.clone(), relays.to_vec());
        let mut is_cold = start.is_none();
        let mut ways: Vec<Vec<u8>> = Vec::new();
        let mut passing = Vec::new();
        let mut n_followed = 0;
        let visit = loop {
            let leads_to = &self.leads_to;
            let mut known = |relays: &[bool]| leads_to.get(&key(&setting, relays)).copied();
            if let Some(visit) = known(&relays) {
                break visit;
            }
            let solver = &mut self.solver;
            let unchanged = self.past.and_then(|past| past.rest(&setting.0, &relays));
            let settling = match unchanged {
                Some(rest) => Settling::Found(Box::new(rest)),
                None => settle(solver, &setting.0, &relays, is_cold, &mut known, &mut goes_on),
            };
            match settling {
                Settling::GivenUp => return Err(GivenUp),
                Settling::Known(visit, path) => {
                    ways.extend(path.iter().map(|relays| key(&setting, relays)));
                    break visit;
                }
                Settling::Found(rest) => {
                    ways.extend(rest.path.iter().map(|relays| key(&setting, relays)));
                    let (solver, at) = (&mut self.solver, (&*rest.on, rest.relays.as_slice()));
                    let follows = self.network.by_itself(solver, &setting, at, &mut goes_on);
                    let follows = follows.ok_or(GivenUp)?;
                    passing.extend(follows.passed);
                    n_followed += 1;
                    let Some((next, from)) = follows.next.filter(|_| n_followed <= MOST_FOLLOWS)
                    else {
                        break self.found(&setting, &rest, reached);
                    };
                    if follows.is_passing {
                        let settled = self.network.settled(setting.clone(), &rest);
                        passing.extend(settled.phases().cloned());
                    }
                    ways.push(key(&setting, &rest.relays));
                    (setting, relays, is_cold) = (next, from, false);
                }
            }
        };
        for way in ways {
            self.leads_to.entry(way).or_insert(visit);
        }
        self.visits[visit].settled.passing.extend(passing);
        Ok(visit)
    }

    /// The visit of a rest. Relays moving one by one may end where another way ended.
    fn found(&mut self, setting: &Setting, rest: &Rest, reached: Option<(usize, Move)>) -> usize {
        let visits = &mut self.visits;
        *self.leads_to.entry(key(setting, &rest.relays)).or_insert_with(|| {
            visits.push(Visit { settled: self.network.settled(setting.clone(), rest), reached });
            visits.len() - 1
        })
    }
}

/// A setting with a relay memory as bytes.
fn key(setting: &Setting, relays: &[bool]) -> Vec<u8> {
    let mut key = Vec::with_capacity(setting.0.len() + relays.len());
    key.extend_from_slice(&setting.0);
    key.extend(relays.iter().map(|is_in| u8::from(*is_in)));
    key
}
