//! Going through the circuits of a car one by one.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::circuits::{Circuit, Parting, Shape};
use crate::explore::{Explorer, GoesOn};
use crate::past::Past;
use crate::survey::heavy::Takings;
use crate::survey::inlets::{Inlets, Taken};
use crate::survey::plan::{Parted, Plan};
use crate::survey::port::{Beyond, Ports};
use crate::{Bound, Doubt, Network};

/// Ways to choose among the states of the circuits that could take most; more are not gone through.
const MOST_SURROUNDINGS: usize = 12;

/// Going through the circuits of a car.
pub(super) struct Tour<'a> {
    pub network: &'a Network,
    shape: Shape<'a>,
    pub explorer: Explorer<'a>,
    pub bound: Bound,
    pub plan: Plan,
    pub doubts: BTreeSet<Doubt>,
    /// Reachable states that the visits stand for.
    pub states: u128,
}

/// A circuit in one setting of the shared controls: its states with the others at rest, and those that could take
/// most.
struct Member {
    controls: Vec<usize>,
    relays: Vec<usize>,
    is_live: bool,
    visits: Vec<usize>,
    takings: Takings,
    /// The visits of those that could take most.
    heavy: Vec<usize>,
}

impl<'a> Tour<'a> {
    pub(super) fn new(
        network: &'a Network,
        past: Option<&'a Past<'a>>,
        shape: Shape<'a>,
        bound: Bound,
        plan: Plan,
    ) -> Self {
        let (explorer, doubts) = (Explorer::new(network, past), BTreeSet::new());
        Self { network, shape, explorer, bound, plan, doubts, states: 0 }
    }

    /// Nothing if the bound was met or the caller ended it.
    pub(super) fn go(&mut self, goes_on: GoesOn<'_>) -> Option<()> {
        let rest = self.explorer.rest(goes_on)?;
        let shared: Vec<usize> =
            (0..self.plan.is_shared.len()).filter(|idx| self.plan.is_shared[*idx]).collect();
        let bases = self.explorer.visit_from(rest, &shared, self.bound, goes_on)?;
        let mut seen: BTreeSet<Vec<u8>> = BTreeSet::new();
        let is_twice = bases.iter().any(|base| !seen.insert(self.setting(*base).to_vec()));
        self.expect(!is_twice, Doubt::Memory);
        let remembered = self.remembered(rest, &shared, &bases, goes_on)?;
        for base in bases {
            self.around(base, &remembered, goes_on)?;
        }
        self.with_breakers_open(&shared, &mut seen, &remembered, goes_on)
    }

    /// Visits all that moves of the shared controls and of one circuit with relays lead to: a relay may hold what it
    /// was given while the shared controls stood elsewhere.
    fn remembered(
        &mut self,
        rest: usize,
        shared: &[usize],
        bases: &[usize],
        goes_on: GoesOn<'_>,
    ) -> Option<Vec<usize>> {
        let mut families: BTreeSet<Vec<usize>> = BTreeSet::new();
        for base in bases {
            let parted = self.parted(*base, goes_on)?;
            let circuits = parted.parting.circuits.iter();
            let with_relays = circuits.filter(|circuit| !circuit.relays.is_empty());
            families.extend(with_relays.map(|circuit| circuit.controls.clone()));
        }
        let mut remembered = BTreeSet::new();
        for family in &families {
            let controls: Vec<usize> = shared.iter().chain(family).copied().collect();
            remembered.extend(self.explorer.visit_from(rest, &controls, self.bound, goes_on)?);
        }
        Some(remembered.into_iter().collect())
    }

    pub(super) fn expect(&mut self, is_so: bool, doubt: Doubt) {
        if !is_so {
            self.doubts.insert(doubt);
        }
    }

    fn ask(&self, goes_on: GoesOn<'_>) -> Option<()> {
        goes_on(self.explorer.visits.len()).then_some(())
    }

    pub(super) fn setting(&self, visit: usize) -> &[u8] {
        &self.explorer.visits[visit].settled.state.setting.0
    }

    /// How the car falls apart with the shared controls as in a visit; nothing if `goes_on` said no.
    fn parted(&mut self, base: usize, goes_on: GoesOn<'_>) -> Option<Arc<Parted>> {
        let visited = self.explorer.visits.len();
        let state = &self.explorer.visits[base].settled.state;
        self.plan.parted(&self.shape, state, &mut || goes_on(visited))
    }

    /// Whether the fields of all generators are as in another visit.
    fn has_fields_of(&self, visit: usize, base: usize) -> bool {
        let [one, other] =
            [visit, base].map(|visit| &self.explorer.visits[visit].settled.state.pulled_in);
        self.network.tables.fields().all(|field| one[field] == other[field])
    }

    /// All circuits while the shared controls stand as in a visit with everything else at rest.
    pub(super) fn around(
        &mut self,
        base: usize,
        remembered: &[usize],
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        let tables = &self.network.tables;
        let parted = self.parted(base, goes_on)?;
        let (parting, ports) = (&parted.parting, &parted.ports);
        self.doubts.extend(&ports.doubts);
        let mut members = Vec::new();
        let mut states: u128 = 1;
        for circuit in &parting.circuits {
            let mut visits =
                self.explorer.visit_from(base, &circuit.controls, self.bound, goes_on)?;
            for visit in remembered {
                if self.differs_only_in(base, *visit, circuit) && !visits.contains(visit) {
                    visits.push(*visit);
                }
            }
            let are_same = visits.iter().all(|visit| self.has_fields_of(*visit, base));
            self.expect(are_same, Doubt::Entangled);
            states = states.saturating_mul(visits.len() as u128);
            let (controls, relays) = (circuit.controls.clone(), circuit.relays.clone());
            let (is_live, takings, heavy) = (circuit.is_live, Takings::default(), Vec::new());
            members.push(Member { controls, relays, is_live, visits, takings, heavy });
        }
        self.states = self.states.saturating_add(states);
        let inlets = Inlets::of(tables, parting);
        self.choose_heavy(base, &inlets, &mut members, goes_on)?;
        self.visit_surroundings(base, &mut members, (ports, &inlets), goes_on)?;
        self.prove(parting, ports, &members, goes_on)
    }

    /// Whether a visit differs from another one by the controls and relays of one circuit alone.
    fn differs_only_in(&self, base: usize, visit: usize, circuit: &Circuit) -> bool {
        let [one, other] = [base, visit].map(|visit| &self.explorer.visits[visit].settled.state);
        let settings = one.setting.0.iter().zip(&other.setting.0).enumerate();
        let relays = one.pulled_in.iter().zip(&other.pulled_in).enumerate();
        settings.filter(|(_, (a, b))| a != b).all(|(idx, _)| circuit.controls.contains(&idx))
            && relays.filter(|(_, (a, b))| a != b).all(|(idx, _)| circuit.relays.contains(&idx))
    }

    /// Finds the states of each circuit that could take most.
    fn choose_heavy(
        &mut self,
        base: usize,
        inlets: &Inlets<'_>,
        members: &mut [Member],
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        let mut all_on = base;
        for (idx, member) in members.iter_mut().enumerate() {
            let most = member.visits.iter().map(|visit| self.taken(*visit, inlets, idx));
            member.takings = Takings::new(most.collect());
            self.expect(member.takings.is_first_lightest(), Doubt::RestNotLightest);
            if let Some(top) = member.takings.by_weight().first().filter(|_| member.is_live) {
                all_on = self.apply(all_on, member, member.visits[*top], goes_on)?;
            }
        }
        for (idx, member) in members.iter_mut().enumerate().filter(|(_, member)| member.is_live) {
            for state in member.takings.by_weight() {
                if member.takings.is_lighter(state) {
                    continue;
                }
                let visit = member.visits[state];
                let with_all_on = self.apply(all_on, member, visit, goes_on)?;
                let taken = self.taken(with_all_on, inlets, idx);
                member.takings.weighs(state, &taken);
                member.heavy.push(visit);
            }
        }
        Some(())
    }

    /// What each piece of a circuit takes from the live trunk in a visit: in the lit phase of flashers.
    fn taken(&self, visit: usize, inlets: &Inlets<'_>, circuit: usize) -> Vec<Taken> {
        let flow = self.explorer.visits[visit].settled.on.flow();
        inlets.taken(&self.network.tables, flow.as_deref(), circuit)
    }

    /// Visits each circuit's states with the others taking most, and what lies beyond each piece of trunk taking most
    /// with all else at rest.
    fn visit_surroundings(
        &mut self,
        base: usize,
        members: &mut [Member],
        (ports, inlets): (&Ports, &Inlets<'_>),
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        let everything = Beyond { wholly: (0..members.len()).collect(), partly: Vec::new() };
        let heaviest = self.heavy_of(base, members, &everything, goes_on)?;
        for surroundings in heaviest {
            for (idx, member) in members.iter_mut().enumerate() {
                for state in member.takings.weighing_on_themselves() {
                    let visit = member.visits[state];
                    let at = self.apply(surroundings, member, visit, goes_on)?;
                    if member.heavy.contains(&visit) {
                        member.takings.weighs(state, &self.taken(at, inlets, idx));
                    }
                }
            }
        }
        let still_holds = members.iter().all(|member| member.takings.still_holds());
        self.expect(still_holds, Doubt::ManySurroundings);
        let beyond: BTreeSet<Beyond> =
            ports.beyond.iter().cloned().chain(self.loaders(base, members, ports)).collect();
        for beyond in &beyond {
            let heavy = self.heavy_of(base, members, beyond, goes_on)?;
            self.bridge(&heavy, members, ports, goes_on)?;
        }
        for other in 0..members.len() {
            if !ports.bridging.is_empty() {
                let alone = Beyond { wholly: vec![other], partly: Vec::new() };
                let heavy = self.heavy_of(base, members, &alone, goes_on)?;
                self.bridge(&heavy, members, ports, goes_on)?;
            }
        }
        Some(())
    }

    /// Which circuits raise and which lower the current in pieces of trunk with another way round them, as each does
    /// alone.
    fn loaders(&self, base: usize, members: &[Member], ports: &Ports) -> Vec<Beyond> {
        let tables = &*self.network.tables;
        let flow = |visit: usize| self.explorer.visits[visit].settled.on.flow();
        let Some(at_rest) = flow(base) else { return Vec::new() };
        let most: Vec<_> = members
            .iter()
            .map(|member| member.heavy.first().and_then(|visit| flow(*visit)))
            .collect();
        let mut loaders = Vec::new();
        for branch in &ports.looped {
            let before = at_rest.branch_amps(tables, *branch);
            let [mut raise, mut lower] = [Beyond::default(), Beyond::default()];
            for (idx, flow) in most.iter().enumerate() {
                let Some(flow) = flow else { continue };
                let by = flow.branch_amps(tables, *branch) - before;
                let side = if by > 0.0 { &mut raise } else { &mut lower };
                side.wholly.push(idx);
            }
            loaders.extend([raise, lower]);
        }
        loaders
    }

    /// Visits the states of circuits through which current can go from one piece of trunk to another.
    fn bridge(
        &mut self,
        from: &[usize],
        members: &[Member],
        ports: &Ports,
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        for idx in &ports.bridging {
            for from in from {
                for visit in &members[*idx].visits {
                    self.apply(*from, &members[*idx], *visit, goes_on)?;
                }
            }
        }
        Some(())
    }

    /// Visits in which what lies beyond a piece of trunk takes most and all others are at rest: each way to choose among
    /// the states. Of a circuit that is partly beyond, the rest weighs on the other side.
    fn heavy_of(
        &mut self,
        base: usize,
        members: &[Member],
        beyond: &Beyond,
        goes_on: GoesOn<'_>,
    ) -> Option<Vec<usize>> {
        let wholly = beyond.wholly.iter().map(|idx| (&members[*idx], members[*idx].heavy.clone()));
        let partly = beyond.partly.iter().map(|(idx, is_beyond)| {
            let member = &members[*idx];
            let leaning = member.takings.leaning(is_beyond);
            (member, leaning.into_iter().map(|state| member.visits[state]).collect())
        });
        let mut visits = vec![base];
        for (member, states) in wholly.chain(partly).filter(|(_, states)| !states.is_empty()) {
            let ways = visits.len() * states.len();
            self.expect(ways <= MOST_SURROUNDINGS, Doubt::ManySurroundings);
            let mut further = Vec::new();
            for visit in &visits {
                for state in &states {
                    if further.len() < MOST_SURROUNDINGS {
                        further.push(self.apply(*visit, member, *state, goes_on)?);
                    }
                }
            }
            visits = further;
        }
        Some(visits)
    }

    /// Moves the controls of one circuit until they stand as in a visit; where that cannot be done or its relays come
    /// to rest otherwise, the answer is inexact.
    fn apply(
        &mut self,
        from: usize,
        member: &Member,
        target: usize,
        goes_on: GoesOn<'_>,
    ) -> Option<usize> {
        self.ask(goes_on)?;
        let wanted = self.explorer.visits[target].settled.state.clone();
        let mut at = from;
        loop {
            let setting = self.setting(at).to_vec();
            let off =
                member.controls.iter().filter(|idx| setting[**idx] != wanted.setting.0[**idx]);
            let off: Vec<usize> = off.copied().collect();
            if off.is_empty() {
                break;
            }
            let known = self.explorer.visits.len();
            if known >= self.bound.states {
                return None;
            }
            let mut made = None;
            for control in off {
                let position = wanted.setting.0[control];
                let visit = self.explorer.make(at, control, position, goes_on).ok()?;
                made = visit.filter(|visit| self.setting(*visit)[control] == position);
                if made.is_some() {
                    break;
                }
            }
            if self.explorer.visits.len() > known && !goes_on(self.explorer.visits.len()) {
                return None;
            }
            let Some(visit) = made else {
                self.doubts.insert(Doubt::Entangled);
                break;
            };
            at = visit;
        }
        let state = &self.explorer.visits[at].settled.state;
        let is_same = |relay: &usize| state.pulled_in[*relay] == wanted.pulled_in[*relay];
        let are_shared_same = (0..self.plan.is_shared.len())
            .all(|idx| !self.plan.is_shared[idx] || state.setting.0[idx] == wanted.setting.0[idx]);
        let is_as_wanted =
            member.relays.iter().all(is_same) && are_shared_same && self.has_fields_of(at, from);
        self.expect(is_as_wanted, Doubt::Entangled);
        Some(at)
    }

    /// Checks that the wires of every circuit carry more the more volts it has, in each of its states.
    fn prove(
        &mut self,
        parting: &Parting,
        ports: &Ports,
        members: &[Member],
        goes_on: GoesOn<'_>,
    ) -> Option<()> {
        let tables = &*self.network.tables;
        for (idx, member) in members.iter().enumerate() {
            if !parting.circuits[idx].is_live {
                continue;
            }
            let pieces = parting.pieces_of(idx);
            for visit in &member.visits {
                let settled = &self.explorer.visits[*visit].settled;
                for flow in settled.phases().filter_map(|solution| solution.flow()) {
                    for piece in &pieces {
                        self.ask(goes_on)?;
                        if !ports.is_series_parallel(tables, parting, *piece, &flow) {
                            self.doubts.insert(Doubt::Meshed);
                            return Some(());
                        }
                    }
                }
            }
        }
        Some(())
    }
}
