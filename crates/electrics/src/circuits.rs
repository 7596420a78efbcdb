//! How a car falls apart into circuits that meet only at its supplies and its body.
//!
//! With a few shared controls standing still (key, engine), some of the copper is joined to a supply or to earth: the
//! trunk. What hangs on it falls into pieces that no branch joins; pieces that one control, relay or flasher works
//! together are one circuit.

use std::collections::BTreeMap;

use crate::law::Law;
use crate::network::{BranchRef, Closed, Kind, Tables, small};
use crate::solve::{Phase, find, join, law_in};

pub(crate) use parting::{Circuit, Owner, Parting, Place};

mod parting;

/// What the copper islands are joined by, whatever the setting.
#[derive(Debug)]
pub(crate) struct Shape<'a> {
    tables: &'a Tables,
    links: Vec<Link>,
    /// Islands of both posts of each supply, and its law's index.
    supplies: Vec<([u32; 2], Vec<usize>)>,
    home: u32,
}

/// A branch that is no copper, with the copper islands of its ends.
#[derive(Debug, Clone, Copy)]
struct Link {
    ends: [u32; 2],
    branch: BranchRef,
    /// The relay whose coil it is.
    coil: Option<usize>,
}

impl<'a> Shape<'a> {
    pub(crate) fn of(tables: &'a Tables) -> Self {
        let of = &tables.copper.of;
        let mut shape =
            Self { tables, links: Vec::new(), supplies: Vec::new(), home: of[tables.symbolic.n] };
        for (idx, row) in tables.elements.iter().enumerate() {
            if tables.taken_out.contains(&row.part) {
                continue;
            }
            if matches!(row.kind, Kind::Battery | Kind::Generator) {
                let laws = row.branches.iter().filter_map(|branch| match *branch {
                    BranchRef::Law(idx) => Some(idx),
                    _ => None,
                });
                let posts = row.ends.map(|step| of[step as usize]);
                shape.supplies.push((posts, laws.collect()));
            }
            let coil = match row.kind {
                Kind::Relay { relay, .. } => Some((relay, tables.relays[relay])),
                Kind::Generator => {
                    let mut fields = tables.fields().map(|field| (field, tables.relays[field]));
                    fields.find(|(_, field)| field.element == idx)
                }
                _ => None,
            };
            for branch in &row.branches {
                let is_supply_law = matches!(row.kind, Kind::Battery | Kind::Generator)
                    && matches!(branch, BranchRef::Law(_));
                let (a, b) = tables.ends(*branch);
                let ends = [of[a as usize], of[b as usize]];
                let is_copper = ends[0] == ends[1] && matches!(branch, BranchRef::Fixed(_));
                if a == b || is_copper || is_supply_law {
                    continue;
                }
                let coil = coil
                    .filter(|(_, row)| matches!(*branch, BranchRef::Fixed(fixed) if row.windings().any(|it| it == fixed)))
                    .map(|(relay, _)| relay);
                shape.links.push(Link { ends, branch: *branch, coil });
            }
        }
        shape
    }

    pub(crate) fn tables(&self) -> &'a Tables {
        self.tables
    }

    /// The car with the shared controls as in a setting, and the fields of generators as in a memory; the other controls
    /// and relays do not matter. Nothing if `goes_on`, asked at each stage, says no.
    pub(crate) fn part(
        &self,
        setting: &[u8],
        relays: &[bool],
        is_shared: &[bool],
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Option<Parting> {
        let tables = self.tables;
        let phase = Phase { setting, relays, flashers: &[] };
        // Copper and contacts of shared controls.
        let mut trunk: Vec<u32> = (0..small(tables.copper.count)).collect();
        let mut joined = Vec::new();
        for link in &self.links {
            if self.stands(link, phase, is_shared) == Stands::Joined {
                join(&mut trunk, link.ends[0], link.ends[1]);
                if let BranchRef::Switch(idx) = link.branch {
                    joined.push(idx);
                }
            }
        }
        joined.sort_unstable();
        let tops: Vec<u32> =
            (0..small(tables.copper.count)).map(|island| find(&mut trunk, island)).collect();
        let mut place_of_top = vec![Place::Hangs; tables.copper.count];
        for (posts, laws) in &self.supplies {
            let is_alive = laws.iter().any(|idx| law_in(tables, *idx, phase).emf() > 0.0);
            for post in posts.iter().filter(|_| is_alive) {
                place_of_top[tops[*post as usize] as usize] = Place::LiveTrunk;
            }
        }
        place_of_top[tops[self.home as usize] as usize] = Place::HomeTrunk;
        let islands: Vec<Place> = tops.iter().map(|top| place_of_top[*top as usize]).collect();
        let mut pieces = Pieces::new(tables, tops, &islands);
        let mut asked = |stage: &mut dyn FnMut()| {
            stage();
            goes_on().then_some(())
        };
        let mut open: Vec<&Link> = Vec::new();
        asked(&mut || {
            let is_open = |link: &&Link| self.stands(link, phase, is_shared) == Stands::Open;
            open = self.links.iter().filter(is_open).collect();
        })?;
        asked(&mut || pieces.join(&open))?;
        let mut piece_of = Vec::new();
        asked(&mut || piece_of = pieces.by_link(&open))?;
        asked(&mut || pieces.couple(&open, setting, is_shared))?;
        Some(Parting { joined, ..pieces.into_parting(&open, &piece_of, is_shared) })
    }

    /// What a link is while the shared controls stand.
    fn stands(&self, link: &Link, phase: Phase<'_>, is_shared: &[bool]) -> Stands {
        match link.branch {
            BranchRef::Fixed(idx) if self.tables.fixed[idx].siemens > 0.0 => Stands::Open,
            BranchRef::Law(idx) if law_in(self.tables, idx, phase) != Law::GONE => Stands::Open,
            BranchRef::Switch(idx) => match &self.tables.switches[idx].closed {
                closed @ (Closed::At { control, .. } | Closed::Excited { control, .. })
                    if is_shared.get(*control) == Some(&true) =>
                {
                    if closed.is_closed(phase) {
                        Stands::Joined
                    } else {
                        Stands::Absent
                    }
                }
                closed if closed.can_close() => Stands::Open,
                _ => Stands::Absent,
            },
            _ => Stands::Absent,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stands {
    /// A shared control's contact, closed.
    Joined,
    /// Nothing at all.
    Absent,
    /// Something that current can go through, now or in another state.
    Open,
}

/// Pieces between the trunk's islands, and what works them together. Items are islands, then controls, relays, and
/// one for all flashers.
struct Pieces<'a> {
    tables: &'a Tables,
    parent: Vec<u32>,
    tops: Vec<u32>,
    islands: &'a [Place],
    /// By item, once joined: whether a supply reaches its piece.
    is_live: Vec<bool>,
}

impl<'a> Pieces<'a> {
    fn new(tables: &'a Tables, tops: Vec<u32>, islands: &'a [Place]) -> Self {
        let items = tables.copper.count + tables.controls.len() + tables.relays.len() + 1;
        let mut parent: Vec<u32> = (0..small(items)).collect();
        for (island, top) in tops.iter().enumerate() {
            if islands[island] == Place::Hangs {
                join(&mut parent, small(island), *top);
            }
        }
        Self { tables, parent, tops, islands, is_live: vec![false; items] }
    }

    fn control(&self, control: usize) -> u32 {
        small(self.tables.copper.count + control)
    }

    fn relay(&self, relay: usize) -> u32 {
        small(self.tables.copper.count + self.tables.controls.len() + relay)
    }

    fn flashers(&self) -> u32 {
        self.relay(self.tables.relays.len())
    }

    fn hangs(&self, island: u32) -> bool {
        self.islands[island as usize] == Place::Hangs
    }

    fn join(&mut self, links: &[&Link]) {
        for link in links {
            if link.ends.iter().all(|island| self.hangs(*island)) {
                join(&mut self.parent, link.ends[0], link.ends[1]);
            }
        }
        for link in links {
            for (island, other) in [(link.ends[0], link.ends[1]), (link.ends[1], link.ends[0])] {
                if self.hangs(island) && self.islands[other as usize] == Place::LiveTrunk {
                    let top = find(&mut self.parent, island);
                    self.is_live[top as usize] = true;
                }
            }
        }
        for island in 0..small(self.tables.copper.count) {
            let top = find(&mut self.parent, island);
            self.is_live[island as usize] = self.is_live[top as usize];
        }
    }

    /// Whether current can ever flow through a link: it lies in a live piece, or between two ends of the trunk.
    fn matters(&self, link: &Link) -> bool {
        let [a, b] = link.ends;
        let hanging = link.ends.iter().find(|island| self.hangs(**island));
        match hanging {
            Some(island) => self.is_live[*island as usize],
            // A contact that bridges a trunk is one more way along it.
            None => {
                matches!(link.branch, BranchRef::Switch(_))
                    || self.tops[a as usize] != self.tops[b as usize]
            }
        }
    }

    /// The item that a link belongs to: its piece, or what works it.
    fn item(&self, link: &Link) -> Option<u32> {
        let hanging = link.ends.iter().find(|island| self.hangs(**island));
        hanging.copied().or_else(|| self.worked_by(link))
    }

    fn worked_by(&self, link: &Link) -> Option<u32> {
        let BranchRef::Switch(idx) = link.branch else { return None };
        Some(match self.tables.switches[idx].closed {
            Closed::At { control, .. } => self.control(control),
            Closed::Relay { relay, .. } => self.relay(relay),
            Closed::Flasher(_) => self.flashers(),
            Closed::Excited { field, .. } => self.relay(field),
        })
    }

    /// Joins what one control, relay or flasher works, and what a declaration or promise names together.
    fn couple(&mut self, links: &[&Link], setting: &[u8], is_shared: &[bool]) {
        for link in links.iter().filter(|link| self.matters(link)).collect::<Vec<_>>() {
            let Some(item) = self.item(link) else { continue };
            if let Some(worked_by) = self.worked_by(link) {
                join(&mut self.parent, item, worked_by);
            }
            if let Some(relay) = link.coil {
                let relay = self.relay(relay);
                join(&mut self.parent, item, relay);
            }
        }
        for combination in &self.tables.impossible {
            let can_hold = combination.iter().all(|(control, meant)| {
                !is_shared[*control] || setting.get(*control).is_some_and(|at| meant.contains(at))
            });
            let named = combination.iter().map(|(control, _)| *control);
            if can_hold {
                let others: Vec<usize> = named.filter(|control| !is_shared[*control]).collect();
                self.tie(&others);
            }
        }
        for (controls, parts) in &self.tables.asked {
            let mut items: Vec<u32> = controls
                .iter()
                .filter(|control| !is_shared[**control])
                .map(|control| self.control(*control))
                .collect();
            for part in parts {
                let Some(range) = self.tables.parts.get(part) else { continue };
                for row in &self.tables.elements[range.clone()] {
                    if let Kind::Relay { relay, .. } = row.kind {
                        items.push(self.relay(relay));
                    }
                    let islands = row.ends.map(|step| self.tables.copper.of[step as usize]);
                    items.extend(
                        islands
                            .into_iter()
                            .filter(|island| self.hangs(*island) && self.is_live[*island as usize]),
                    );
                }
            }
            for pair in items.windows(2) {
                join(&mut self.parent, pair[0], pair[1]);
            }
        }
    }

    /// What hangs together at each link: the top of its piece, or for a contact between two ends of the trunk itself.
    fn by_link(&mut self, links: &[&Link]) -> Vec<u32> {
        let islands = self.tables.copper.count;
        let piece = |(idx, link): (usize, &&Link)| {
            let hanging =
                link.ends.iter().find(|island| self.islands[**island as usize] == Place::Hangs);
            hanging.map_or_else(|| small(islands + idx), |island| find(&mut self.parent, *island))
        };
        links.iter().enumerate().map(piece).collect()
    }

    fn tie(&mut self, controls: &[usize]) {
        for pair in controls.windows(2) {
            let (a, b) = (self.control(pair[0]), self.control(pair[1]));
            join(&mut self.parent, a, b);
        }
    }

    fn into_parting(mut self, links: &[&Link], piece_of: &[u32], is_shared: &[bool]) -> Parting {
        let tables = self.tables;
        let mut circuits: Vec<Circuit> = Vec::new();
        let mut circuit_of = vec![usize::MAX; self.parent.len()];
        for control in (0..tables.controls.len()).filter(|control| !is_shared[*control]) {
            let item = self.control(control);
            let top = find(&mut self.parent, item) as usize;
            if circuit_of[top] == usize::MAX {
                circuit_of[top] = circuits.len();
                circuits.push(Circuit::default());
            }
            circuits[circuit_of[top]].controls.push(control);
        }
        for relay in 0..tables.relays.len() {
            let item = self.relay(relay);
            let top = find(&mut self.parent, item) as usize;
            if let Some(circuit) = circuits.get_mut(circuit_of[top]) {
                circuit.relays.push(relay);
            }
        }
        let mut branches = Vec::new();
        let mut pieces = Vec::new();
        let mut number: BTreeMap<u32, usize> = BTreeMap::new();
        for (link, piece) in links.iter().zip(piece_of) {
            if !self.matters(link) {
                if link.ends.iter().any(|island| self.hangs(*island)) {
                    branches.push((link.branch, Owner::Dead(*piece)));
                }
                continue;
            }
            let top = self.item(link).map(|item| find(&mut self.parent, item) as usize);
            let owner = match top.map(|top| circuit_of[top]) {
                Some(circuit) if circuit < circuits.len() => {
                    circuits[circuit].is_live = true;
                    Owner::Piece(*number.entry(*piece).or_insert_with(|| {
                        pieces.push(circuit);
                        pieces.len() - 1
                    }))
                }
                _ => Owner::Standing,
            };
            branches.push((link.branch, owner));
        }
        let is_across = |link: &&&Link| {
            let [a, b] = link.ends.map(|island| self.tops[island as usize]);
            !self.hangs(link.ends[0]) && a == b && !matches!(link.branch, BranchRef::Switch(_))
        };
        let across_trunk = links.iter().filter(is_across).map(|link| link.branch).collect();
        let islands = self.islands.to_vec();
        let joined = Vec::new();
        Parting { circuits, islands, branches, pieces, across_trunk, joined }
    }
}
