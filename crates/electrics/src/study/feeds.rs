//! In which ways each wire is fed: by which contacts and from which supplies.

use std::collections::BTreeMap;

use crate::network::{Kind, Tables, small};
use crate::reading::Flow;

/// Volts from the metal that a wire must have for a touch to matter, V.
const TOUCH_VOLTS: f64 = 0.5;

/// Visits of one way are looked at apart where the wire's volts differ by more than this share.
const APART_SHARE: f64 = 0.02;

/// A wire's load before the touch is looked at apart where it is greater by so many amps.
const APART_AMPS: f64 = 0.2;

/// One way of being fed: the visits in which the wire has most and least volts, and carries most.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    most: (usize, f64),
    least: (usize, f64),
    loaded: (usize, f64),
    /// What the wire carries in the visit with most volts.
    amps_at_most: f64,
}

impl Way {
    pub(super) fn visits(&self) -> impl Iterator<Item = usize> + use<> {
        let is_apart = self.most.1 - self.least.1 > APART_SHARE * self.most.1;
        let least = self.least.0;
        let is_loaded =
            self.loaded.1 > self.amps_at_most + APART_AMPS && !(is_apart && self.loaded.0 == least);
        let visits =
            [Some(self.most.0), is_apart.then_some(least), is_loaded.then_some(self.loaded.0)];
        visits.into_iter().flatten()
    }
}

/// The ways of all wires, gathered visit by visit.
///
/// In a visit, copper islands are joined by closed contacts, resistors and diodes. Ends of this net that no supply is
/// on are taken off one after the other; what is left is the core. The way to a wire is the core, the engine's
/// position, and the contacts from the core to the wire.
#[derive(Debug)]
pub(super) struct Feeds<'a> {
    tables: &'a Tables,
    /// Links that are always there: resistors and diodes.
    always: Vec<[u32; 2]>,
    /// Whether a live post of a supply is on an island.
    is_source: Vec<bool>,
    ways: Vec<BTreeMap<Vec<u32>, Way>>,
}

/// A link of the net in one visit: the islands it joins, and its number.
#[derive(Debug, Clone, Copy)]
struct Link {
    ends: [u32; 2],
    number: u32,
}

impl<'a> Feeds<'a> {
    pub(super) fn of(tables: &'a Tables) -> Self {
        let island = |step: u32| tables.copper.of[step as usize];
        let mut always = Vec::new();
        let mut is_source = vec![false; tables.copper.count];
        let live = usize::from(tables.is_plus_earthed);
        for row in tables.elements.iter().filter(|row| !tables.taken_out.contains(&row.part)) {
            match row.kind {
                Kind::Battery | Kind::Generator => {
                    is_source[island(row.ends[live]) as usize] = true;
                }
                Kind::Resistor | Kind::Diode => {
                    always.extend(row.branches.iter().map(|branch| {
                        let (a, b) = tables.ends(*branch);
                        [island(a), island(b)]
                    }));
                }
                _ => {}
            }
        }
        let ways = vec![BTreeMap::new(); tables.wires.len()];
        Self { tables, always, is_source, ways }
    }

    /// The ways in which a wire is fed.
    pub(super) fn of_wire(&self, row: usize) -> Vec<Way> {
        self.ways[row].values().copied().collect()
    }

    /// Takes a visit in.
    pub(super) fn add(&mut self, visit: usize, flow: &Flow) {
        let chains = self.chains(flow);
        let tables = self.tables;
        for (row, ways) in tables.wires.iter().zip(&mut self.ways) {
            let volts = row.ends.iter().map(|end| {
                let is_home = flow.is_home(tables, *end);
                if is_home { flow.across(tables, *end, tables.metal).abs() } else { 0.0 }
            });
            let volts = volts.fold(0.0, f64::max);
            if volts < TOUCH_VOLTS {
                continue;
            }
            let amps = flow.fixed_amps(tables, row.branch).abs();
            let key = &chains[tables.copper.of[row.ends[0] as usize] as usize];
            let way = ways.entry(key.clone()).or_insert(Way {
                most: (visit, volts),
                least: (visit, volts),
                loaded: (visit, amps),
                amps_at_most: amps,
            });
            if volts > way.most.1 {
                (way.most, way.amps_at_most) = ((visit, volts), amps);
            }
            if amps > way.loaded.1 {
                way.loaded = (visit, amps);
            }
            if volts < way.least.1 {
                way.least = (visit, volts);
            }
        }
    }

    /// For each island, what feeds it.
    fn chains(&self, flow: &Flow) -> Vec<Vec<u32>> {
        let tables = self.tables;
        let island = |step: u32| tables.copper.of[step as usize];
        let home = island(small(tables.symbolic.n));
        let switches = tables.switches.iter().enumerate().filter(|(_, switch)| {
            let is_exciter = tables.elements[switch.element].kind == Kind::Generator;
            !is_exciter && switch.closed.is_closed(flow.phase())
        });
        let closed = switches.map(|(idx, switch)| Link {
            ends: [island(switch.a), island(switch.b)],
            number: small(idx),
        });
        let always = self.always.iter().zip(small(tables.switches.len())..);
        let links: Vec<Link> = closed
            .chain(always.map(|(ends, number)| Link { ends: *ends, number }))
            .filter(|link| link.ends[0] != link.ends[1] && !link.ends.contains(&home))
            .collect();
        let mut near: Vec<Vec<usize>> = vec![Vec::new(); tables.copper.count];
        for (idx, link) in links.iter().enumerate() {
            near[link.ends[0] as usize].push(idx);
            near[link.ends[1] as usize].push(idx);
        }
        let mut is_gone = vec![false; links.len()];
        let mut degree: Vec<usize> = near.iter().map(Vec::len).collect();
        let mut ends: Vec<u32> =
            (0..small(near.len())).filter(|at| degree[*at as usize] == 1).collect();
        let mut taken_off = Vec::new();
        while let Some(at) = ends.pop() {
            if self.is_source[at as usize] || degree[at as usize] != 1 {
                continue;
            }
            let Some(link) = near[at as usize].iter().copied().find(|link| !is_gone[*link]) else {
                continue;
            };
            is_gone[link] = true;
            let [a, b] = links[link].ends;
            let next = if a == at { b } else { a };
            degree[at as usize] -= 1;
            degree[next as usize] -= 1;
            taken_off.push((at, next, links[link].number));
            ends.push(next);
        }
        let engine = tables.engine.and_then(|engine| flow.setting.get(engine.control)).copied();
        let mut core = vec![u32::from(engine.unwrap_or(0))];
        core.extend(
            links.iter().zip(&is_gone).filter(|(_, gone)| !**gone).map(|(link, _)| link.number),
        );
        let mut chains = vec![core; tables.copper.count];
        for (at, next, number) in taken_off.into_iter().rev() {
            let mut chain = chains[next as usize].clone();
            chain.push(number);
            chains[at as usize] = chain;
        }
        chains
    }
}
