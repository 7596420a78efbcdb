//! The wiring as a graph: terminals are its spots; wires, copper, fuses and contacts its links; consumers stand apart.
//!
//! This is the drawing's own shape, before anything flows. Rules ask it what a lead can be joined to, and how.

use std::collections::{BTreeMap, VecDeque};

use loomwright_circuit::part_type::LoadFamily;
use loomwright_circuit::{Car, PartId, Version, WireId};

mod build;

/// A spot of the graph: a terminal, a loose end of a wire, the body or the engine.
pub(crate) type Spot = usize;

/// The body's own spot.
pub(crate) const BODY: Spot = 0;
/// The engine's own spot.
pub(crate) const ENGINE: Spot = 1;

/// Positions of a control as bits, the first position lowest.
pub(crate) type Mask = u64;

#[derive(Debug)]
pub(crate) struct Wiring<'a> {
    pub(crate) car: &'a Car,
    pub(crate) version: Version,
    spots: Vec<Option<(PartId, &'a str)>>,
    lookup: BTreeMap<(PartId, &'a str), Spot>,
    pub(crate) links: Vec<Link>,
    /// For each spot, its links with the spot at their other end.
    pub(crate) around: Vec<Vec<(usize, Spot)>>,
    /// For each spot, the number of what wires and copper alone join it to.
    copper: Vec<usize>,
    pub(crate) loads: Vec<Load>,
    pub(crate) supplies: Vec<Supply>,
    pub(crate) generators: Vec<Generator>,
    /// Outputs of flasher units for a tell-tale, which feed it by themselves.
    pub(crate) pilots: Vec<Spot>,
    /// Relays, as controls that nobody works: numbered after the car's controls. Each by its part and element.
    pub(crate) relays: Vec<(PartId, usize)>,
    pub(crate) n_controls: usize,
}

/// Something that current passes without doing work.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Link {
    pub(crate) ends: [Spot; 2],
    pub(crate) kind: LinkKind,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LinkKind {
    Wire(WireId),
    /// Copper inside a part, or the bolt of an earth point.
    Copper(PartId),
    Fuse {
        part: PartId,
        element: usize,
    },
    /// A contact of a switch, or of a relay (whose control is numbered after the car's).
    Contact {
        part: PartId,
        element: usize,
        control: usize,
        positions: Mask,
    },
    /// From its feed to its lamps.
    Flasher(PartId),
    /// From its anode to its cathode.
    Diode(PartId),
    Ammeter(PartId),
    Resistor(PartId),
}

impl LinkKind {
    pub(crate) fn part(self) -> Option<PartId> {
        match self {
            Self::Wire(_) => None,
            Self::Copper(part)
            | Self::Fuse { part, .. }
            | Self::Contact { part, .. }
            | Self::Flasher(part)
            | Self::Diode(part)
            | Self::Ammeter(part)
            | Self::Resistor(part) => Some(part),
        }
    }
}

/// A consumer: what current does work in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Load {
    pub(crate) part: PartId,
    pub(crate) element: usize,
    pub(crate) ends: [Spot; 2],
    pub(crate) kind: LoadKind,
    pub(crate) watts: f64,
    /// Marked volts; the car's own where the part says none.
    pub(crate) volts: f64,
    /// Whether its first end must be towards plus.
    pub(crate) is_polarised: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LoadKind {
    Filament,
    Led,
    Coil,
    Consumer(LoadFamily),
    Voltmeter,
}

impl LoadKind {
    pub(crate) fn is_light(self) -> bool {
        matches!(self, Self::Filament | Self::Led)
    }
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Supply {
    pub(crate) part: PartId,
    pub(crate) live: Spot,
    pub(crate) earthed: Spot,
    /// Whether the plus post is the live one.
    pub(crate) is_plus_live: bool,
}

impl Supply {
    pub(crate) fn plus(&self) -> Spot {
        if self.is_plus_live { self.live } else { self.earthed }
    }

    pub(crate) fn minus(&self) -> Spot {
        if self.is_plus_live { self.earthed } else { self.live }
    }
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Generator {
    pub(crate) plus: Spot,
    pub(crate) minus: Spot,
    pub(crate) warning: Option<Spot>,
}

impl<'a> Wiring<'a> {
    /// The relay that a number after those of the car's controls stands for.
    pub(crate) fn relay_of(&self, control: usize) -> Option<PartId> {
        let relay = control.checked_sub(self.n_controls)?;
        self.relays.get(relay).map(|(part, _)| *part)
    }

    /// Whether wires and copper alone join two spots.
    pub(crate) fn are_hard_joined(&self, a: Spot, b: Spot) -> bool {
        self.copper[a] == self.copper[b]
    }

    /// Spots joined to any of these by wires and copper alone.
    pub(crate) fn hard_joined(&self, from: &[Spot]) -> Vec<bool> {
        let mut is_meant = vec![false; self.spots.len()];
        for spot in from {
            is_meant[self.copper[*spot]] = true;
        }
        self.copper.iter().map(|number| is_meant[*number]).collect()
    }

    /// The wires of the shortest way that wires and copper alone make from a spot to any of these; empty where there is none.
    pub(crate) fn shortest_copper(&self, from: Spot, to: &[Spot]) -> Vec<WireId> {
        let mut came: Vec<Option<(usize, Spot)>> = vec![None; self.spots.len()];
        let mut queue = VecDeque::from([from]);
        while let Some(spot) = queue.pop_front() {
            if to.contains(&spot) {
                let steps = std::iter::successors(came[spot], |&(_, before)| came[before]);
                let wires = steps.filter_map(|(link, _)| match self.links[link].kind {
                    LinkKind::Wire(wire) => Some(wire),
                    _ => None,
                });
                return wires.collect();
            }
            for &(link, next) in &self.around[spot] {
                let is_copper =
                    matches!(self.links[link].kind, LinkKind::Wire(_) | LinkKind::Copper(_));
                if is_copper && next != from && came[next].is_none() {
                    came[next] = Some((link, spot));
                    queue.push_back(next);
                }
            }
        }
        Vec::new()
    }

    /// Whether a battery stands on another one, in a row: its earthed post is the other's live one.
    pub(crate) fn is_on_another(&self, supply: &Supply) -> bool {
        self.supplies.len() > 1 && self.supplies.iter().any(|below| self.stands_on(supply, below))
    }

    /// Whether another battery stands on this one, which then gives a part of the volts.
    pub(crate) fn carries_another(&self, supply: &Supply) -> bool {
        self.supplies.iter().any(|upper| self.stands_on(upper, supply))
    }

    fn stands_on(&self, upper: &Supply, below: &Supply) -> bool {
        upper.part != below.part
            && self.are_hard_joined(upper.earthed, below.live)
            && !self.are_hard_joined(upper.earthed, below.earthed)
    }

    /// The posts between which the whole voltage of the first battery, or of the row that stands on it, lies: live
    /// and earthed.
    pub(crate) fn whole_supply(&self) -> Option<(Spot, Spot)> {
        let mut supplies = self.supplies.iter();
        let first = supplies.find(|supply| !self.is_on_another(supply))?;
        let mut top = first;
        // A row has each battery once.
        for _ in &self.supplies {
            match self.supplies.iter().find(|upper| self.stands_on(upper, top)) {
                Some(upper) => top = upper,
                None => break,
            }
        }
        Some((top.live, first.earthed))
    }

    /// Spots that any setting joins to this one, without a consumer between.
    pub(crate) fn joined_anyhow(&self, from: Spot) -> Vec<bool> {
        let mut seen = vec![false; self.spots.len()];
        let mut queue = vec![from];
        while let Some(spot) = queue.pop() {
            if !std::mem::replace(&mut seen[spot], true) {
                queue.extend(self.around[spot].iter().map(|&(_, other)| other));
            }
        }
        seen
    }

    /// Spots that any setting joins to this one, over all consumers but one as well.
    pub(crate) fn joined_over_loads(&self, from: Spot, but: usize) -> Vec<bool> {
        let mut seen = vec![false; self.spots.len()];
        let mut queue = vec![from];
        while let Some(spot) = queue.pop() {
            if std::mem::replace(&mut seen[spot], true) {
                continue;
            }
            queue.extend(self.around[spot].iter().map(|&(_, other)| other));
            for (load_idx, load) in self.loads.iter().enumerate() {
                if load_idx != but && load.ends.contains(&spot) {
                    queue.extend(load.ends);
                }
            }
        }
        seen
    }

    pub(crate) fn spot(&self, part: PartId, terminal: &str) -> Option<Spot> {
        self.lookup.get(&(part, terminal)).copied()
    }

    pub(crate) fn n_spots(&self) -> usize {
        self.spots.len()
    }

    /// The terminal that a spot is; nothing for the body, the engine and loose ends.
    pub(crate) fn terminal(&self, spot: Spot) -> Option<(PartId, &'a str)> {
        self.spots.get(spot).copied().flatten()
    }

    /// Wires joined to a spot directly.
    pub(crate) fn wires_at(&self, spot: Spot) -> impl Iterator<Item = WireId> + '_ {
        self.around[spot].iter().filter_map(|&(link, _)| match self.links[link].kind {
            LinkKind::Wire(wire) => Some(wire),
            _ => None,
        })
    }

    /// Each wire of this version with its two spots.
    pub(crate) fn wire_ends(&self) -> impl Iterator<Item = (WireId, [Spot; 2])> + '_ {
        self.links.iter().filter_map(|link| match link.kind {
            LinkKind::Wire(wire) => Some((wire, link.ends)),
            _ => None,
        })
    }
}
