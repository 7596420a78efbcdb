//! Visiting every reachable state, breadth first from rest, one control move at a time.

use std::collections::{BTreeSet, HashMap};

use loomwright_circuit::PartId;

use crate::settle::{Rest, Settling, settle};
use crate::solve::Solver;
use crate::{Move, Network, Note, NoteKind, Setting, Settled, State, Work};

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
    /// In the order of visiting; the first is rest.
    pub visits: Vec<Visit>,
    /// Number of possible settings of the car. States in which the engine runs on with the key off
    /// ([`Exploration::run_ons`]) are visited beside these.
    pub settings: u128,
    /// Whether every reachable state was visited.
    pub is_complete: bool,
    /// Work done.
    pub work: Work,
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
    /// What single visits had to say of themselves, each once: relays that buzz, supplies that are shorted (each
    /// supply as it was met first), figures that did not come to rest.
    pub fn notes(&self) -> Vec<&Note> {
        let mut met: BTreeSet<&Note> = BTreeSet::new();
        let mut shorted: BTreeSet<Option<&PartId>> = BTreeSet::new();
        let solutions = self
            .visits
            .iter()
            .flat_map(|visit| [Some(&visit.settled.on), visit.settled.off.as_ref()]);
        for note in solutions.flatten().flat_map(|solution| &solution.notes) {
            let is_new = match note.kind {
                NoteKind::Buzzes | NoteKind::NotConverged => true,
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

/// Visits reachable states until all are known, the bound is met, or `goes_on` (asked after each state with the
/// number visited) says no.
pub fn explore(
    network: &Network,
    bound: Bound,
    goes_on: &mut dyn FnMut(usize) -> bool,
) -> Exploration {
    let mut explorer = Explorer::new(network);
    let is_complete = explorer.visit_all(bound, goes_on);
    Exploration {
        visits: explorer.visits,
        settings: network.possible_settings(),
        is_complete,
        work: explorer.solver.work,
    }
}

/// States known so far, and those still to leave from.
struct Explorer<'a> {
    network: &'a Network,
    solver: Solver<'a>,
    visits: Vec<Visit>,
    /// The visit that each setting with each relay memory leads to.
    leads_to: HashMap<Vec<u8>, usize>,
}

impl<'a> Explorer<'a> {
    fn new(network: &'a Network) -> Self {
        Self {
            network,
            solver: Solver::new(&network.tables),
            visits: Vec::new(),
            leads_to: HashMap::new(),
        }
    }

    /// Says whether every reachable state was visited.
    fn visit_all(&mut self, bound: Bound, goes_on: &mut dyn FnMut(usize) -> bool) -> bool {
        let rest = self.network.rest();
        let relays = vec![false; self.network.tables.relays.len()];
        self.arrive(&rest, &relays, None);
        if !goes_on(self.visits.len()) {
            return false;
        }
        // Networks keep at most 255 positions of a control.
        let size = |positions: usize| u8::try_from(positions).unwrap_or(u8::MAX);
        let sizes: Vec<u8> =
            self.network.controls().iter().map(|control| size(control.positions.len())).collect();
        let mut from = 0;
        while from < self.visits.len() {
            let State { mut setting, pulled_in } = self.visits[from].settled.state.clone();
            for (control, size) in sizes.iter().enumerate() {
                let stood = setting.0[control];
                for position in (0..*size).filter(|position| *position != stood) {
                    setting.0[control] = position;
                    let before = &self.visits[from].settled.state.setting;
                    let Some(start) = self.network.start_of(before, &setting, control) else {
                        continue;
                    };
                    if self.leads_to.contains_key(&key(&start, &pulled_in)) {
                        continue;
                    }
                    if self.visits.len() >= bound.states {
                        return false;
                    }
                    let known = self.visits.len();
                    let step = (from, self.step(control, position));
                    self.arrive(&start, &pulled_in, Some(step));
                    if let Some(visit) = self.visits.get_mut(known) {
                        let stands = &visit.settled.state.setting;
                        visit.settled.followed = self.network.followed(&setting, stands);
                    }
                    if self.visits.len() > known && !goes_on(self.visits.len()) {
                        return false;
                    }
                }
                setting.0[control] = stood;
            }
            from += 1;
        }
        true
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
    fn arrive(&mut self, setting: &Setting, relays: &[bool], reached: Option<(usize, Move)>) {
        let start = reached.as_ref().and_then(|(from, _)| self.visits[*from].settled.on.flow());
        if let Some(flow) = &start {
            self.solver.volts.copy_from_slice(&flow.volts);
        }
        let (mut setting, mut relays) = (setting.clone(), relays.to_vec());
        let mut is_cold = start.is_none();
        let mut ways: Vec<Vec<u8>> = Vec::new();
        let visit = loop {
            let leads_to = &self.leads_to;
            let mut known = |relays: &[bool]| leads_to.get(&key(&setting, relays)).copied();
            if let Some(visit) = known(&relays) {
                break visit;
            }
            match settle(&mut self.solver, &setting.0, &relays, is_cold, &mut known) {
                Settling::Known(visit, path) => {
                    ways.extend(path.iter().map(|relays| key(&setting, relays)));
                    break visit;
                }
                Settling::Found(rest) => {
                    ways.extend(rest.path.iter().map(|relays| key(&setting, relays)));
                    if let Some(stopped) = self.network.stalled(&setting, &rest.on) {
                        ways.push(key(&setting, &rest.relays));
                        (setting, relays, is_cold) = (stopped, rest.relays, false);
                        continue;
                    }
                    break self.found(&setting, &rest, reached);
                }
            }
        };
        for way in ways {
            self.leads_to.entry(way).or_insert(visit);
        }
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
