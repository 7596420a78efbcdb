//! What no reachable state exceeds, for the figures of a survey that are not exact.
//!
//! The figures met are one end of a bracket: a state shows them. The other end is proved here, from what holds in every
//! state, visited or not.
//!
//! # Proof
//! 1. Everything but supplies takes current from the higher place to the lower. So no two places are farther apart than
//!    the supplies lift them: a load has at most the volts `span`, and takes at most what its law gives with these.
//! 2. Copper and contacts carry current from higher to lower places too, so what flows in them falls apart into ways
//!    from where it comes in to where a load or a battery on charge takes it out, none of which passes a branch twice.
//!    A branch therefore carries at most what all loads at its net of copper and contacts take together; and where
//!    the branch is the only way to a part of that net without a supply, at most what the loads at that part take,
//!    by Kirchhoff's law.
//! 3. Around the loop of a supply, a fed load and what lies between, volts add up to zero: the load has at least the
//!    supply's EMF, less what its own resistance and the way's lose with the currents of 2.
//!
//! A net that joins the two posts of a supply, if some contacts close, may carry all that the supplies give when
//! shorted. Loads that took nothing in any visit are left out of 2 only where every circuit was gone through in all its
//! states ([`Doubt::Unfinished`], [`Doubt::Memory`] and [`Doubt::Entangled`] forbid it) and none can be fed by what others
//! lift an earth by ([`Doubt::Strays`] forbids it), cranking and not apart.

use std::collections::BTreeMap;

use loomwright_circuit::WireId;
use loomwright_units::{Amps, Volts};

use crate::extremes::feeds::Feeds;
use crate::extremes::ways::{Edge, Walk, nearest};
use crate::extremes::{Extremes, is_cranking, marked, own_contacts};
use crate::finish::SHUNT_SIEMENS;
use crate::law::Law;
use crate::network::{BranchRef, Kind, Tables};
use crate::reading::Flow;
use crate::{Doubt, Exploration, Network};

/// What no reachable state exceeds. Where an exploration is exact, the figures met themselves.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Brackets {
    /// No wire carries more.
    pub wires: BTreeMap<WireId, Amps>,
    /// No contact carries more, in the order of [`Extremes::contacts`].
    pub contacts: Vec<Amps>,
    /// No fuse carries more, in the order of [`Extremes::fuses`].
    pub fuses: Vec<Amps>,
    /// In the order of [`Extremes::loads`].
    pub loads: Vec<LoadBracket>,
}

/// What a load's volts stay within.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadBracket {
    /// It has no more in any state.
    pub greatest: Volts,
    /// It has no less while fed, cranking apart; nothing where no visit shows it fed.
    pub least: Option<Volts>,
    /// It has no less while fed and cranking.
    pub least_cranking: Option<Volts>,
}

impl Brackets {
    /// The brackets of an exploration of this network, whose extremes are given.
    ///
    /// # Complexity
    /// O(visits · branches · log branches) where the exploration is not exact.
    pub fn of(network: &Network, exploration: &Exploration, extremes: &Extremes) -> Self {
        let mut brackets = Self::met(extremes);
        if exploration.is_exact() {
            return brackets;
        }
        let tables = &*network.tables;
        let nets = [false, true].map(|cranking| Net::of(tables, exploration, cranking));
        let most = |branch: BranchRef| Amps(nets[0].most(branch).max(nets[1].most(branch)));
        for row in &tables.wires {
            let bound = most(BranchRef::Fixed(row.branch));
            let met = brackets.wires.entry(row.id).or_insert(bound);
            *met = Amps(met.0.max(bound.0));
        }
        brackets.raise_parts(tables, &most);
        brackets.bound_loads(tables, exploration, &nets);
        brackets
    }

    fn met(extremes: &Extremes) -> Self {
        let amps = |met: Option<crate::Met<Amps>>| met.map_or(Amps(0.0), |met| met.value);
        let volts = |met: Option<crate::Met<Volts>>| met.map(|met| met.value);
        Self {
            wires: extremes.wires.iter().map(|(id, met)| (*id, met.value)).collect(),
            contacts: extremes.contacts.iter().map(|contact| amps(contact.greatest)).collect(),
            fuses: extremes.fuses.iter().map(|fuse| amps(fuse.greatest)).collect(),
            loads: extremes
                .loads
                .iter()
                .map(|load| LoadBracket {
                    greatest: volts(load.greatest).unwrap_or(Volts(0.0)),
                    least: volts(load.least),
                    least_cranking: volts(load.least_cranking),
                })
                .collect(),
        }
    }

    fn raise_parts(&mut self, tables: &Tables, most: &impl Fn(BranchRef) -> Amps) {
        let (mut contacts, mut fuses) = (self.contacts.iter_mut(), self.fuses.iter_mut());
        for row in tables.elements.iter().filter(|row| !tables.taken_out.contains(&row.part)) {
            for branch in own_contacts(row) {
                if let BranchRef::Switch(_) = branch
                    && let Some(contact) = contacts.next()
                {
                    *contact = Amps(contact.0.max(most(*branch).0));
                }
            }
            if let Kind::Fuse { .. } = row.kind
                && let (Some(fuse), Some(branch)) = (fuses.next(), row.branches.first())
            {
                *fuse = Amps(fuse.0.max(most(*branch).0));
            }
        }
    }

    fn bound_loads(&mut self, tables: &Tables, exploration: &Exploration, nets: &[Net; 2]) {
        let mut feeds = Feeds::of(tables);
        let rows: Vec<usize> = (0..tables.elements.len())
            .filter(|idx| {
                let row = &tables.elements[*idx];
                marked(row.kind).is_some() && !tables.taken_out.contains(&row.part)
            })
            .collect();
        for load in &mut self.loads {
            load.greatest = Volts(span(tables));
        }
        for visit in &exploration.visits {
            let Some(flow) = visit.settled.on.flow() else { continue };
            let is_cranking = is_cranking(tables, &flow);
            let net = &nets[usize::from(is_cranking)];
            feeds.close(tables, &flow);
            let losses = net.losses(tables, &flow);
            for (idx, load) in rows.iter().zip(&mut self.loads) {
                let row = &tables.elements[*idx];
                if !feeds.is_fed(row) {
                    continue;
                }
                let [a, b] = row.ends.map(|step| step as usize);
                let [live, earth] = &losses;
                let lost = (live[a] + earth[b]).min(live[b] + earth[a]);
                let volts = (net.least_emf - lost).max(0.0);
                let least = if is_cranking { &mut load.least_cranking } else { &mut load.least };
                if let Some(least) = least {
                    *least = Volts(least.0.min(volts));
                }
            }
        }
    }
}

/// The most that supplies lift one place over another, V.
fn span(tables: &Tables) -> f64 {
    let (mut batteries, mut generators): (Vec<f64>, f64) = (Vec::new(), 0.0);
    for branch in &tables.laws {
        if let Law::Battery { emf, .. } = branch.law {
            batteries.push(emf);
        } else {
            let laws = branch.all_laws();
            generators = laws.map(|law| law.emf()).fold(generators, f64::max);
        }
    }
    match batteries[..] {
        [one] => one.max(generators),
        _ => batteries.iter().sum::<f64>() + generators,
    }
}

/// The copper and contacts of a car, with what each branch carries at most.
struct Net {
    most_fixed: BTreeMap<usize, f64>,
    most_switch: BTreeMap<usize, f64>,
    most_law: BTreeMap<usize, f64>,
    /// The least volts that supplies' posts are apart, V.
    least_emf: f64,
}

impl Net {
    fn of(tables: &Tables, exploration: &Exploration, is_cranking: bool) -> Self {
        let span = span(tables);
        let edges = edges(tables);
        let taken = taken(tables, exploration, is_cranking, span);
        let mut given = 0.0;
        let mut shorted = 0.0;
        let mut posts = Vec::new();
        let (mut emf, mut own_ohms) = (f64::INFINITY, 0.0_f64);
        for row in tables.elements.iter().filter(|row| !tables.taken_out.contains(&row.part)) {
            for branch in &row.branches {
                let BranchRef::Law(idx) = *branch else { continue };
                let mut most = 0.0_f64;
                for law in tables.laws[idx].all_laws() {
                    match *law {
                        Law::Battery { emf: one, gives, .. } => {
                            shorted += one * gives;
                            (emf, own_ohms) = (emf.min(one), own_ohms.max(1.0 / gives));
                            posts.push(row.ends);
                        }
                        // It gives by one law at a time.
                        Law::Source { amps, .. } => most = most.max(amps),
                        _ => {}
                    }
                }
                if most > 0.0 {
                    given += most;
                    posts.push(row.ends);
                }
            }
        }
        let n = tables.symbolic.n + 1;
        let nets = Walk::through(n, &edges, &taken, &posts);
        let mut most = nets.most(given, shorted + given);
        let mut net = Self {
            most_fixed: BTreeMap::new(),
            most_switch: BTreeMap::new(),
            most_law: BTreeMap::new(),
            least_emf: 0.0,
        };
        let all: f64 = taken.iter().sum::<f64>() / 2.0 + given;
        let drawn = if nets.is_shortable() { shorted + given } else { all };
        net.least_emf = if emf.is_finite() { (emf - own_ohms * drawn).max(0.0) } else { 0.0 };
        for (edge, most) in edges.iter().zip(most.drain(..)) {
            match edge.branch {
                BranchRef::Fixed(idx) => net.most_fixed.insert(idx, most),
                BranchRef::Switch(idx) => net.most_switch.insert(idx, most),
                BranchRef::Law(idx) => net.most_law.insert(idx, most),
            };
        }
        net
    }

    fn most(&self, branch: BranchRef) -> f64 {
        let most = match branch {
            BranchRef::Fixed(idx) => self.most_fixed.get(&idx),
            BranchRef::Switch(idx) => self.most_switch.get(&idx),
            BranchRef::Law(idx) => self.most_law.get(&idx),
        };
        most.copied().unwrap_or(0.0)
    }

    /// For each place, the least volts that can be lost on a way that is closed in a flow: from the live post of a
    /// battery, and to its other post.
    fn losses(&self, tables: &Tables, flow: &Flow) -> [Vec<f64>; 2] {
        let n = tables.symbolic.n + 1;
        let mut near: Vec<Vec<(u32, f64)>> = vec![Vec::new(); n];
        for edge in edges(tables) {
            let volts = match edge.branch {
                BranchRef::Fixed(idx) => self.most(edge.branch) / tables.fixed[idx].siemens,
                BranchRef::Switch(idx) if tables.switches[idx].closed.is_closed(flow.phase()) => {
                    self.most(edge.branch) / tables.switches[idx].siemens
                }
                BranchRef::Switch(_) => continue,
                BranchRef::Law(idx) => most_lost(tables.laws[idx].law, self.most(edge.branch)),
            };
            let [a, b] = edge.ends;
            near[a as usize].push((b, volts));
            near[b as usize].push((a, volts));
        }
        let live = usize::from(tables.is_plus_earthed);
        let batteries = tables.elements.iter().filter(|row| row.kind == Kind::Battery);
        let posts: Vec<[u32; 2]> = batteries.map(|row| row.ends).collect();
        [live, 1 - live].map(|side| nearest(&near, posts.iter().map(|ends| ends[side])))
    }
}

/// Volts that a diode loses at most with a current, V.
fn most_lost(law: Law, amps: f64) -> f64 {
    match law {
        Law::Threshold { volts, siemens, width, .. } => volts + 2.0 * width + amps / siemens,
        _ => f64::INFINITY,
    }
}

/// Copper, resistors, diodes and contacts that can close.
fn edges(tables: &Tables) -> Vec<Edge> {
    let mut edges = Vec::new();
    let mut add = |branch: BranchRef| {
        let (a, b) = tables.ends(branch);
        if a != b {
            edges.push(Edge { branch, ends: [a, b] });
        }
    };
    for row in &tables.wires {
        if tables.fixed[row.branch].siemens > 0.0 {
            add(BranchRef::Fixed(row.branch));
        }
    }
    for row in tables.elements.iter().filter(|row| !tables.taken_out.contains(&row.part)) {
        for branch in &row.branches {
            if is_edge(tables, row.kind, *branch) {
                add(*branch);
            }
        }
    }
    edges
}

fn is_edge(tables: &Tables, kind: Kind, branch: BranchRef) -> bool {
    match (branch, kind) {
        (BranchRef::Switch(idx), _) => tables.switches[idx].closed.can_close(),
        (
            BranchRef::Fixed(idx),
            Kind::Joined | Kind::Earth | Kind::Fuse { .. } | Kind::Resistor,
        ) => tables.fixed[idx].siemens > 0.0,
        (BranchRef::Fixed(idx), Kind::Meter) => tables.fixed[idx].siemens > SHUNT_SIEMENS,
        (BranchRef::Law(_), Kind::Diode) => true,
        _ => false,
    }
}

/// The most that loads take at each step, A.
fn taken(tables: &Tables, exploration: &Exploration, is_cranking: bool, span: f64) -> Vec<f64> {
    let forbids = |doubt: &Doubt| {
        matches!(doubt, Doubt::Unfinished | Doubt::Memory | Doubt::Entangled | Doubt::Strays)
    };
    let knows_all = !exploration.doubts.iter().any(forbids);
    let met = knows_all.then(|| at_work(tables, exploration, is_cranking));
    let mut taken = vec![0.0; tables.symbolic.n + 1];
    for (idx, row) in tables.elements.iter().enumerate() {
        if tables.taken_out.contains(&row.part) || met.as_ref().is_some_and(|met| !met[idx]) {
            continue;
        }
        let is_supply = |branch: &BranchRef| {
            matches!(row.kind, Kind::Battery | Kind::Generator)
                && matches!(branch, BranchRef::Law(_))
        };
        for branch in &row.branches {
            if is_edge(tables, row.kind, *branch) || is_supply(branch) {
                continue;
            }
            let amps = match *branch {
                BranchRef::Fixed(idx) => tables.fixed[idx].siemens * span,
                BranchRef::Law(idx) => most_taken(tables.laws[idx].law, span),
                BranchRef::Switch(_) => 0.0,
            };
            let (a, b) = tables.ends(*branch);
            taken[a as usize] += amps;
            taken[b as usize] += amps;
        }
    }
    taken
}

/// The most current of a law with volts up to the span, A. All but constant power rise.
fn most_taken(law: Law, span: f64) -> f64 {
    match law {
        // Nothing below four fifths of the least volts.
        Law::Power { watts, least_volts } => watts / (0.8 * least_volts),
        law => law.at(span).0.abs().max(law.at(-span).0.abs()),
    }
}

/// Elements that carry current in some visit, cranking or not.
fn at_work(tables: &Tables, exploration: &Exploration, is_cranking_meant: bool) -> Vec<bool> {
    let mut met = vec![false; tables.elements.len()];
    for visit in &exploration.visits {
        for flow in visit.settled.phases().filter_map(crate::Solution::flow) {
            if is_cranking(tables, &flow) != is_cranking_meant {
                continue;
            }
            for (met, row) in met.iter_mut().zip(&tables.elements) {
                *met |= row
                    .branches
                    .iter()
                    .any(|branch| flow.branch_amps(tables, *branch).abs() > LEAST_AMPS);
            }
        }
    }
    met
}

/// Less than this is no current, A.
const LEAST_AMPS: f64 = 1e-7;
