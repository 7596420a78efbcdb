//! Where circuits hang on the trunk, what lies beyond each piece of trunk, and whether a circuit is built of series and
//! parallel steps.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuits::{Owner, Parting, Place};
use crate::law::Law;
use crate::network::{BranchRef, Kind, Tables, small};
use crate::reading::Flow;
use crate::survey::Doubt;

/// How the circuits of one setting of the shared controls hang on the trunk.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Ports {
    /// What keeps the extremes from being proved.
    pub doubts: Vec<Doubt>,
    /// What lies beyond each piece of trunk: two circuits at least, and not all of all.
    pub beyond: Vec<Beyond>,
    /// Pieces of trunk with another way round them.
    pub looped: Vec<BranchRef>,
    /// The circuits beyond each piece of trunk that leads away from the supplies.
    pub beyond_of: BTreeMap<BranchRef, Vec<usize>>,
    /// Circuits that join two live places: current goes through them to what hangs on either.
    pub bridging: BTreeSet<usize>,
    /// Trunk that serves one piece alone, with that piece.
    tails: Vec<Tail>,
    /// Live and earthed places of each piece.
    places: Vec<BTreeSet<u32>>,
}

/// Whether to go on is asked after so many places or branches.
const ASKED_EACH: usize = 64;

/// Circuits on one side of a piece of trunk.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Beyond {
    /// With all their pieces.
    pub wholly: Vec<usize>,
    /// With some of their pieces: which of them.
    pub partly: Vec<(usize, Vec<bool>)>,
}

/// What hangs on a place of the trunk.
#[derive(Debug, Clone, Default)]
struct Hung {
    pieces: BTreeSet<usize>,
    /// Pieces that no supply reaches.
    dead: BTreeSet<u32>,
    /// A supply's post, or the reference.
    is_supply: bool,
    /// One of these, or something that no control works.
    is_kept: bool,
}

/// A piece of trunk that serves one piece of a circuit alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tail {
    ends: (u32, u32),
    pub branch: BranchRef,
    pub piece: usize,
}

struct Trunk {
    edges: Vec<(u32, u32)>,
    /// The branch that each edge is.
    branches: Vec<BranchRef>,
    /// Edges from here on are no copper: a charge lamp between two places of the trunk.
    copper: usize,
    is_gone: Vec<bool>,
    hung: BTreeMap<u32, Hung>,
    near: BTreeMap<u32, Vec<usize>>,
}

impl Ports {
    /// Nothing if `goes_on`, asked at each stage and for each piece of trunk, says no.
    pub(crate) fn of(
        tables: &Tables,
        parting: &Parting,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Self> {
        let mut trunk = Trunk::of(tables, parting, goes_on)?;
        let tails = trunk.prune(goes_on)?;
        let places = vec![BTreeSet::new(); parting.pieces.len()];
        let mut ports = Self { tails, places, ..Self::default() };
        for (place, hung) in &trunk.hung {
            for piece in &hung.pieces {
                ports.places[*piece].insert(*place);
            }
        }
        for (piece, places) in ports.places.iter().enumerate() {
            let live = places.iter().filter(|place| parting.place_of(tables, **place).is_live());
            let live = live.count();
            if live > 1 || places.len() - live > 1 {
                ports.doubts.push(Doubt::SeveralPlaces);
            }
            if live > 1 {
                ports.bridging.insert(parting.pieces[piece]);
            }
        }
        let mut dead: BTreeSet<u32> = BTreeSet::new();
        for hung in trunk.hung.values() {
            if hung.dead.iter().any(|piece| !dead.insert(*piece)) {
                ports.doubts.push(Doubt::Strays);
            }
        }
        if !all_laws_rise(tables, parting) {
            ports.doubts.push(Doubt::LawFalls);
        }
        let all = parting.circuits.iter().filter(|circuit| circuit.is_live).count();
        let mut beyond: BTreeSet<Beyond> = BTreeSet::new();
        for edge in 0..trunk.copper {
            if !goes_on() {
                return None;
            }
            if !trunk.is_only_way(edge) {
                ports.doubts.push(Doubt::TrunkLoop);
                ports.looped.push(trunk.branches[edge]);
            }
            let Some(sides) = trunk.beyond(edge, parting) else { continue };
            if let [side] = &sides[..] {
                let partly = side.partly.iter().map(|(circuit, _)| circuit);
                let circuits = side.wholly.iter().chain(partly).copied().collect();
                ports.beyond_of.insert(trunk.branches[edge], circuits);
            }
            beyond.extend(sides.into_iter().filter(|side| {
                side.wholly.len() + side.partly.len() > 1 && side.wholly.len() < all
            }));
        }
        ports.beyond = beyond.into_iter().collect();
        Some(ports)
    }

    /// Trunk that serves one piece of a circuit alone.
    pub(crate) fn tails(&self) -> &[Tail] {
        &self.tails
    }

    /// Whether series and parallel steps reduce what conducts in a piece to a single branch between its two places.
    pub(crate) fn is_series_parallel(
        &self,
        tables: &Tables,
        parting: &Parting,
        piece: usize,
        flow: &Flow,
    ) -> bool {
        let mut edges: Vec<(u32, u32)> =
            self.tails.iter().filter(|tail| tail.piece == piece).map(|tail| tail.ends).collect();
        for (branch, owner) in &parting.branches {
            let conducts = match *branch {
                BranchRef::Switch(idx) => tables.switches[idx].closed.is_closed(flow.phase()),
                _ => true,
            };
            if *owner == Owner::Piece(piece) && conducts {
                edges.push(tables.ends(*branch));
            }
        }
        // Copper that hangs between those branches.
        for branch in tables.fixed.iter().filter(|branch| branch.siemens > 0.0) {
            let islands = [branch.a, branch.b].map(|step| tables.copper.of[step as usize]);
            let is_hung = parting.islands[islands[0] as usize] == Place::Hangs;
            if is_hung && islands[0] == islands[1] {
                edges.push((branch.a, branch.b));
            }
        }
        let ports: Vec<u32> = self.places[piece].iter().copied().collect();
        reduces(edges, &ports)
    }
}

/// Whether every law that carries current rises with volts.
fn all_laws_rise(tables: &Tables, parting: &Parting) -> bool {
    parting.branches.iter().all(|(branch, _)| match *branch {
        BranchRef::Law(idx) => !matches!(tables.laws[idx].law, Law::Power { .. }),
        _ => true,
    })
}

impl Beyond {
    fn of(pieces: &BTreeSet<usize>, parting: &Parting) -> Self {
        let mut beyond = Self::default();
        for circuit in 0..parting.circuits.len() {
            let own = parting.pieces_of(circuit);
            let is_in: Vec<bool> = own.iter().map(|piece| pieces.contains(piece)).collect();
            match (is_in.contains(&true), is_in.contains(&false)) {
                (true, false) => beyond.wholly.push(circuit),
                (true, true) => beyond.partly.push((circuit, is_in)),
                _ => {}
            }
        }
        beyond
    }
}

impl Trunk {
    /// Nothing if `goes_on`, asked again and again, says no.
    fn of(tables: &Tables, parting: &Parting, goes_on: &mut dyn FnMut() -> bool) -> Option<Self> {
        let mut trunk = Self {
            edges: Vec::new(),
            branches: Vec::new(),
            copper: 0,
            is_gone: Vec::new(),
            hung: BTreeMap::new(),
            near: BTreeMap::new(),
        };
        let is_trunk = |step: u32| parting.place_of(tables, step) != Place::Hangs;
        for (idx, branch) in tables.fixed.iter().enumerate() {
            if idx.is_multiple_of(ASKED_EACH) && !goes_on() {
                return None;
            }
            let same = tables.copper.of[branch.a as usize] == tables.copper.of[branch.b as usize];
            if branch.siemens > 0.0 && same && branch.a != branch.b && is_trunk(branch.a) {
                trunk.add(branch.a, branch.b, BranchRef::Fixed(idx));
            }
        }
        for idx in parting.joined.iter().copied() {
            let switch = &tables.switches[idx];
            if switch.a != switch.b && is_trunk(switch.a) {
                trunk.add(switch.a, switch.b, BranchRef::Switch(idx));
            }
        }
        trunk.keep(small(tables.symbolic.n), true);
        for row in &tables.elements {
            if matches!(row.kind, Kind::Battery | Kind::Generator) {
                trunk.keep(row.ends[0], true);
                trunk.keep(row.ends[1], true);
            }
        }
        for (idx, (branch, owner)) in parting.branches.iter().enumerate() {
            if idx.is_multiple_of(ASKED_EACH) && !goes_on() {
                return None;
            }
            let (a, b) = tables.ends(*branch);
            for step in [a, b].into_iter().filter(|step| is_trunk(*step)) {
                match owner {
                    Owner::Piece(piece) => {
                        trunk.hung.entry(step).or_default().pieces.insert(*piece);
                    }
                    Owner::Standing => trunk.keep(step, false),
                    Owner::Dead(piece) => {
                        trunk.hung.entry(step).or_default().dead.insert(*piece);
                    }
                }
            }
        }
        trunk.copper = trunk.edges.len();
        for branch in &parting.across_trunk {
            let (a, b) = tables.ends(*branch);
            trunk.add(a, b, *branch);
        }
        Some(trunk)
    }

    fn add(&mut self, a: u32, b: u32, branch: BranchRef) {
        let edge = self.edges.len();
        self.edges.push((a, b));
        self.branches.push(branch);
        self.is_gone.push(false);
        self.near.entry(a).or_default().push(edge);
        self.near.entry(b).or_default().push(edge);
    }

    fn keep(&mut self, step: u32, is_supply: bool) {
        let hung = self.hung.entry(step).or_default();
        hung.is_kept = true;
        hung.is_supply |= is_supply;
    }

    /// Edges still there at a place.
    fn there(&self, place: u32) -> Vec<usize> {
        let edges = self.near.get(&place).into_iter().flatten();
        edges.copied().filter(|edge| !self.is_gone[*edge]).collect()
    }

    fn other_end(&self, edge: usize, place: u32) -> u32 {
        let (a, b) = self.edges[edge];
        if a == place { b } else { a }
    }

    /// Takes off the ends of trunk that serve one circuit, or nothing; gives those that serve one.
    /// Nothing if `goes_on`, asked again and again, says no.
    fn prune(&mut self, goes_on: &mut dyn FnMut() -> bool) -> Option<Vec<Tail>> {
        let mut tails = Vec::new();
        let mut seen: usize = 0;
        let mut left: Vec<u32> = self.near.keys().copied().collect();
        while let Some(place) = left.pop() {
            seen += 1;
            if seen.is_multiple_of(ASKED_EACH) && !goes_on() {
                return None;
            }
            let there = self.there(place);
            let hung = self.hung.get(&place).cloned().unwrap_or_default();
            if there.len() != 1 || hung.is_kept || hung.pieces.len() + hung.dead.len() > 1 {
                continue;
            }
            let next = self.other_end(there[0], place);
            self.is_gone[there[0]] = true;
            self.hung.remove(&place);
            self.hung.entry(next).or_default().dead.extend(hung.dead);
            for piece in hung.pieces {
                let branch = self.branches[there[0]];
                tails.push(Tail { ends: (place, next), branch, piece });
                self.hung.entry(next).or_default().pieces.insert(piece);
            }
            left.push(next);
        }
        Some(tails)
    }

    /// The circuits on the side of a piece of trunk on which no supply is; on each side if there is a supply on both;
    /// nothing if there is another way round it in copper. Empty for pieces taken off.
    fn beyond(&self, edge: usize, parting: &Parting) -> Option<Vec<Beyond>> {
        if self.is_gone[edge] {
            return Some(Vec::new());
        }
        let (a, b) = self.edges[edge];
        let sides = [a, b].map(|end| self.reach(end, edge, self.copper));
        if sides[0].contains(&b) {
            return None;
        }
        let hung = |side: &BTreeSet<u32>| -> (bool, Beyond) {
            let hung: Vec<&Hung> = side.iter().filter_map(|place| self.hung.get(place)).collect();
            let pieces: BTreeSet<usize> =
                hung.iter().flat_map(|hung| hung.pieces.iter().copied()).collect();
            (hung.iter().any(|hung| hung.is_supply), Beyond::of(&pieces, parting))
        };
        let [one, other] = sides.each_ref().map(hung);
        Some(match (one.0, other.0) {
            (true, false) => vec![other.1],
            (false, true) => vec![one.1],
            _ => vec![one.1, other.1],
        })
    }

    fn is_only_way(&self, edge: usize) -> bool {
        let (a, b) = self.edges[edge];
        self.is_gone[edge] || !self.reach(a, edge, self.edges.len()).contains(&b)
    }

    /// Places reached without an edge, by the edges before `end`.
    fn reach(&self, from: u32, without: usize, end: usize) -> BTreeSet<u32> {
        let mut reached = BTreeSet::from([from]);
        let mut left = vec![from];
        while let Some(place) = left.pop() {
            for edge in self.there(place).into_iter().filter(|edge| *edge != without && *edge < end)
            {
                let next = self.other_end(edge, place);
                if reached.insert(next) {
                    left.push(next);
                }
            }
        }
        reached
    }
}

/// Reduces by taking off loose ends and loops, and by series and parallel steps; whether at most one branch is left.
fn reduces(edges: Vec<(u32, u32)>, ports: &[u32]) -> bool {
    let mut near: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
    for (a, b) in edges {
        // Parallel ones are one, loops nothing.
        if a != b {
            near.entry(a).or_default().insert(b);
            near.entry(b).or_default().insert(a);
        }
    }
    let mut left: Vec<u32> = near.keys().copied().collect();
    while let Some(place) = left.pop() {
        if ports.contains(&place) {
            continue;
        }
        let Some(others) = near.get(&place).cloned() else { continue };
        if others.len() > 2 {
            continue;
        }
        near.remove(&place);
        let others: Vec<u32> = others.into_iter().collect();
        for other in &others {
            if let Some(known) = near.get_mut(other) {
                known.remove(&place);
            }
        }
        if let [a, b] = others[..] {
            near.entry(a).or_default().insert(b);
            near.entry(b).or_default().insert(a);
        }
        left.extend(others);
    }
    near.iter().all(|(place, others)| ports.contains(place) || others.is_empty())
}
