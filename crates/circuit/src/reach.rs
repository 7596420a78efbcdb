//! What belongs together: the wires and joints of one electrical connection, and the circuit that goes on through parts.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::part_type::Element;
use crate::{Anchor, Car, Name, PartId, WireId};

/// How far to go from what one starts with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Along wires and through joints and connectors: all that is one piece of copper.
    Connection,
    /// Through switches, fuses and consumers too, up to the supply and to earth. Beyond a fuse, and where many circuits
    /// share a feed, only the way to the supply counts.
    Circuit,
}

/// What was reached.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reached {
    /// Parts.
    pub parts: BTreeSet<PartId>,
    /// Wires.
    pub wires: BTreeSet<WireId>,
}

/// A place that wires and elements join.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Node {
    Terminal(PartId, Name),
    Loose(WireId, bool),
}

/// What joins two places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Via {
    Wire(WireId),
    Joined(PartId),
    Through(PartId),
    Fuse(PartId),
}

impl Via {
    fn is_copper(self) -> bool {
        matches!(self, Self::Wire(_) | Self::Joined(_))
    }
}

/// The car as places and what joins them.
struct Map {
    ways: BTreeMap<Node, Vec<(Node, Via)>>,
    supply: BTreeSet<Node>,
    earth: BTreeSet<Node>,
}

impl Car {
    /// What is reached from wires, and from all terminals of parts.
    pub fn reached_from(&self, parts: &[PartId], wires: &[WireId], reach: Reach) -> Reached {
        let map = Map::of(self);
        let mut starts: Vec<Node> = Vec::new();
        for id in wires {
            let ends = self.wire(*id).map(|wire| wire.ends().map(|end| end.at.clone()));
            starts.extend(
                ends.into_iter()
                    .flatten()
                    .zip([false, true])
                    .map(|(at, is_to)| node(*id, at, is_to)),
            );
        }
        let mut reached = Reached::default();
        for id in parts {
            let Some(part_type) = self.type_of(*id) else { continue };
            reached.parts.insert(*id);
            starts.extend(
                part_type
                    .terminals
                    .iter()
                    .map(|terminal| Node::Terminal(*id, terminal.name.clone())),
            );
        }
        match reach {
            Reach::Connection => {
                for start in starts {
                    map.take_connection(&map.connection(&start), &mut reached);
                }
            }
            Reach::Circuit => map.take_circuit(&starts, &mut reached),
        }
        reached
    }
}

fn node(wire: WireId, at: Anchor, is_to: bool) -> Node {
    match at {
        Anchor::Terminal { part, terminal } => Node::Terminal(part, terminal),
        Anchor::Loose { .. } => Node::Loose(wire, is_to),
    }
}

impl Map {
    fn of(car: &Car) -> Self {
        let mut map =
            Self { ways: BTreeMap::new(), supply: BTreeSet::new(), earth: BTreeSet::new() };
        for (id, wire) in car.wires() {
            let [from, to] = wire.ends().map(|end| end.at.clone());
            map.join(&node(*id, from, false), &node(*id, to, true), Via::Wire(*id));
        }
        for id in car.parts().keys() {
            let elements = car.type_of(*id).map_or(&[][..], |part_type| &part_type.elements);
            for element in elements {
                map.add(*id, element);
            }
        }
        map
    }

    fn add(&mut self, id: PartId, element: &Element) {
        let place = |name: &Name| Node::Terminal(id, name.clone());
        match element {
            Element::Battery { plus, minus, .. } | Element::Generator { plus, minus, .. } => {
                self.supply.insert(place(plus));
                self.earth.insert(place(minus));
            }
            Element::Dynamo { output, case, .. } => {
                self.supply.insert(place(output));
                self.earth.insert(place(case));
            }
            Element::Earth { terminal, .. } => drop(self.earth.insert(place(terminal))),
            Element::Contacts { joins, .. } => {
                self.join_groups(id, joins.values().flatten(), Via::Through(id));
            }
            Element::Relay { coil, pull_winding, at_rest, pulled_in, .. } => {
                let windings = pull_winding.iter().map(|winding| winding.between.to_vec());
                let windings: Vec<_> = windings.chain([coil.to_vec()]).collect();
                self.join_groups(id, &windings, Via::Through(id));
                self.join_groups(id, at_rest.iter().chain(pulled_in), Via::Through(id));
            }
            other => {
                let via = match other {
                    Element::Joined { .. } => Via::Joined(id),
                    Element::Fuse { .. } => Via::Fuse(id),
                    _ => Via::Through(id),
                };
                let names: Vec<Name> = other.terminals().into_iter().cloned().collect();
                self.join_groups(id, [&names], via);
            }
        }
    }

    fn join_groups<'g>(
        &mut self,
        id: PartId,
        groups: impl IntoIterator<Item = &'g Vec<Name>>,
        via: Via,
    ) {
        for group in groups {
            let Some((first, others)) = group.split_first() else { continue };
            // Even what joins nothing else is a place of its own.
            self.ways.entry(Node::Terminal(id, first.clone())).or_default();
            for other in others {
                let ends = [first, other].map(|name| Node::Terminal(id, name.clone()));
                self.join(&ends[0], &ends[1], via);
            }
        }
    }

    fn join(&mut self, a: &Node, b: &Node, via: Via) {
        self.ways.entry(a.clone()).or_default().push((b.clone(), via));
        self.ways.entry(b.clone()).or_default().push((a.clone(), via));
    }

    fn ways(&self, from: &Node) -> &[(Node, Via)] {
        self.ways.get(from).map_or(&[], Vec::as_slice)
    }

    /// All places that are one piece of copper with one.
    fn connection(&self, from: &Node) -> BTreeSet<Node> {
        let mut seen: BTreeSet<Node> = [from.clone()].into();
        let mut waiting = vec![from.clone()];
        while let Some(at) = waiting.pop() {
            for (next, via) in self.ways(&at) {
                if via.is_copper() && seen.insert(next.clone()) {
                    waiting.push(next.clone());
                }
            }
        }
        seen
    }

    fn take_connection(&self, places: &BTreeSet<Node>, reached: &mut Reached) {
        for place in places {
            for (_, via) in self.ways(place).iter().filter(|(_, via)| via.is_copper()) {
                take(*via, reached);
            }
            match place {
                // A joint of one terminal joins it to nothing but wires, and an earth point ends there.
                Node::Terminal(id, _) if self.earth.contains(place) || self.is_bare(place) => {
                    reached.parts.insert(*id);
                }
                _ => {}
            }
        }
    }

    /// Whether nothing goes on from a place but wires.
    fn is_bare(&self, place: &Node) -> bool {
        !self.supply.contains(place)
            && self.ways(place).iter().all(|(_, via)| matches!(via, Via::Wire(_)))
    }

    fn take_circuit(&self, starts: &[Node], reached: &mut Reached) {
        let is_post = |place: &Node| self.supply.contains(place) || self.earth.contains(place);
        let mut seen = BTreeSet::new();
        let mut waiting: VecDeque<Node> = starts.iter().cloned().collect();
        while let Some(start) = waiting.pop_front() {
            if seen.contains(&start) {
                continue;
            }
            let places = self.connection(&start);
            if places.iter().any(is_post) {
                // Many circuits meet here: of all that copper, only the way to its post belongs to this one.
                self.take_way(&start, is_post, Via::is_copper, reached);
                seen.insert(start);
                continue;
            }
            seen.extend(places.iter().cloned());
            self.take_connection(&places, reached);
            let on = places.iter().flat_map(|place| self.ways(place));
            for (next, via) in on.filter(|(_, via)| !via.is_copper()) {
                take(*via, reached);
                let is_fuse = matches!(via, Via::Fuse(_));
                let to_supply = |place: &Node| self.supply.contains(place);
                // Behind the fuse is this circuit; before it stand those of others.
                let avoids = |step: Via| step != *via;
                if !(is_fuse && self.take_way(next, to_supply, avoids, reached)) {
                    waiting.push_back(next.clone());
                }
            }
        }
    }

    /// Takes the shortest way to a place that is meant; says whether there is one.
    fn take_way(
        &self,
        from: &Node,
        is_meant: impl Fn(&Node) -> bool,
        may_take: impl Fn(Via) -> bool,
        reached: &mut Reached,
    ) -> bool {
        let mut came: BTreeMap<Node, Option<(Node, Via)>> = [(from.clone(), None)].into();
        let mut waiting: VecDeque<Node> = [from.clone()].into();
        while let Some(at) = waiting.pop_front() {
            if is_meant(&at) {
                if let Node::Terminal(id, _) = &at {
                    reached.parts.insert(*id);
                }
                let mut back = at;
                while let Some(Some((before, via))) = came.get(&back) {
                    take(*via, reached);
                    // A joint of one terminal is joined to by wires alone.
                    if let Node::Terminal(id, _) = &back
                        && self.is_bare(&back)
                    {
                        reached.parts.insert(*id);
                    }
                    back = before.clone();
                }
                return true;
            }
            for (next, via) in self.ways(&at).iter().filter(|(_, via)| may_take(*via)) {
                if !came.contains_key(next) {
                    came.insert(next.clone(), Some((at.clone(), *via)));
                    waiting.push_back(next.clone());
                }
            }
        }
        false
    }
}

fn take(via: Via, reached: &mut Reached) {
    match via {
        Via::Wire(id) => drop(reached.wires.insert(id)),
        Via::Joined(id) | Via::Through(id) | Via::Fuse(id) => drop(reached.parts.insert(id)),
    }
}
