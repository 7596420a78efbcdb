//! Places for a car that has none yet: the feed at the left, what it feeds to the right, earths by what they serve.

mod bands;
mod columns;
mod layers;

use std::collections::BTreeMap;

use loomwright_circuit::part_type::Element;
use loomwright_circuit::{
    Anchor, Car, Direction, EarthPolarity, Edit, PartId, PartType, Placement, Point, SheetId, Turn,
};

use self::columns::place_columns;
use self::layers::layers;

/// Room that a lead needs for its flag, mm.
const LEAD: f64 = 22.5;

/// A part to be placed, with how it is to lie.
struct Node<'a> {
    id: PartId,
    part_type: &'a PartType,
    place: Placement,
    is_earth: bool,
    is_source: bool,
    is_relay: bool,
    /// The part that this earth point hangs on.
    host: Option<usize>,
}

/// A wire between two nodes, with the terminals it joins.
struct Link {
    ends: [(usize, Point, Direction); 2],
    /// Whether it starts at the earthed post of a battery.
    is_earthed: bool,
}

/// An edit that gives every part of the car a place, for a car that has none yet, such as one read from a sketch.
///
/// Parts stand in columns by distance from the supply, mirrored where that lets leads run forward, without overlaps, on
/// a lattice of 2.5 mm. Hand-drawn corners are dropped, and loose ends are drawn near what they hang on.
pub fn arrange(car: &Car) -> Edit {
    let mut edits = Vec::new();
    for sheet in car.sheets().keys() {
        let (mut nodes, links) = graph(car, *sheet);
        let layers = layers(&mut nodes, &links);
        turn(&mut nodes, &links, &layers);
        place_columns(&mut nodes, &links, &layers);
        for node in &nodes {
            if let Some(part) = car.part(node.id) {
                let mut part = part.clone();
                part.place = node.place;
                edits.push(Edit::SetPart(node.id, part));
            }
        }
        edits.extend(wires(car, *sheet, &nodes));
    }
    Edit::All(edits)
}

fn graph(car: &Car, sheet: SheetId) -> (Vec<Node<'_>>, Vec<Link>) {
    let mut nodes = Vec::new();
    for (id, part) in car.parts().iter().filter(|(_, part)| part.sheet == sheet) {
        let Some(part_type) = car.type_named(&part.type_name) else { continue };
        let is = |wanted: fn(&Element) -> bool| part_type.elements.iter().any(wanted);
        let is_battery = is(|element| matches!(element, Element::Battery { .. }));
        let is_generator = is(|element| matches!(element, Element::Generator { .. }));
        // A door switch has an earth too, but is no earth point.
        let is_earth = part_type.terminals.len() == 1
            && is(|element| matches!(element, Element::Earth { .. }));
        let is_upside_down = is_battery && car.vehicle().earth == EarthPolarity::Positive;
        let turn = if is_upside_down { Turn::Half } else { Turn::None };
        nodes.push(Node {
            id: *id,
            part_type,
            place: Placement { turn, ..Placement::default() },
            is_earth,
            is_source: is_battery || is_generator,
            is_relay: is(|element| matches!(element, Element::Relay { .. })),
            host: None,
        });
    }
    let index: BTreeMap<PartId, usize> =
        nodes.iter().enumerate().map(|(node_idx, node)| (node.id, node_idx)).collect();
    let links = links(car, &nodes, &index);
    find_hosts(&mut nodes, &links);
    (nodes, links)
}

fn links(car: &Car, nodes: &[Node<'_>], index: &BTreeMap<PartId, usize>) -> Vec<Link> {
    let find = |anchor: &Anchor| {
        let Anchor::Terminal { part, terminal } = anchor else { return None };
        let node_idx = *index.get(part)?;
        let terminal = nodes[node_idx].part_type.terminal(terminal)?;
        Some((node_idx, terminal.at, terminal.leaves, &terminal.name))
    };
    let earthed_post = |node_idx: usize, terminal: &str| {
        nodes[node_idx].part_type.elements.iter().any(|element| {
            let Element::Battery { plus, minus, .. } = element else { return false };
            match car.vehicle().earth {
                EarthPolarity::Negative => minus == terminal,
                EarthPolarity::Positive => plus == terminal,
            }
        })
    };
    car.wires()
        .values()
        .filter_map(|wire| {
            let (a, b) = (find(&wire.from.at)?, find(&wire.to.at)?);
            let is_earthed = earthed_post(a.0, a.3) || earthed_post(b.0, b.3);
            (a.0 != b.0).then_some(Link { ends: [(a.0, a.1, a.2), (b.0, b.1, b.2)], is_earthed })
        })
        .collect()
}

/// An earth point that serves one or two parts stands by the last of them; one that serves many has a place of its
/// own.
fn find_hosts(nodes: &mut [Node<'_>], links: &[Link]) {
    for node_idx in 0..nodes.len() {
        if !nodes[node_idx].is_earth {
            continue;
        }
        let served: Vec<usize> = links.iter().filter_map(|link| link.other(node_idx)).collect();
        if let (1..=2, Some(last)) = (served.len(), served.iter().max())
            && !nodes[*last].is_earth
        {
            nodes[node_idx].host = Some(*last);
        }
    }
}

impl Link {
    /// The other end; nothing where the link is not this node's.
    fn far(&self, node_idx: usize) -> Option<(usize, Point, Direction)> {
        match (self.ends[0].0 == node_idx, self.ends[1].0 == node_idx) {
            (true, _) => Some(self.ends[1]),
            (_, true) => Some(self.ends[0]),
            _ => None,
        }
    }

    /// The node at the other end.
    fn other(&self, node_idx: usize) -> Option<usize> {
        self.far(node_idx).map(|end| end.0)
    }
}

/// Mirrors parts with many terminals whose leads would otherwise have to run back.
fn turn(nodes: &mut [Node<'_>], links: &[Link], layers: &[usize]) {
    for node_idx in 0..nodes.len() {
        let node = &nodes[node_idx];
        if node.is_earth || node.is_source || node.part_type.terminals.len() < 3 {
            continue;
        }
        let mut forward = 0_i32;
        for link in links {
            for (mine, other) in [(link.ends[0], link.ends[1]), (link.ends[1], link.ends[0])] {
                if mine.0 != node_idx || nodes[other.0].is_earth {
                    continue;
                }
                let wants = layers[other.0].cmp(&layers[node_idx]) as i32;
                let leaves = match mine.2 {
                    Direction::Right => 1,
                    Direction::Left => -1,
                    Direction::Up | Direction::Down => 0,
                };
                forward += wants * leaves;
            }
        }
        if forward < 0 {
            nodes[node_idx].place.mirror = true;
        }
    }
}

/// Wires without corners drawn by hand, and with their loose ends near the part they hang on.
fn wires(car: &Car, sheet: SheetId, nodes: &[Node<'_>]) -> Vec<Edit> {
    let places: BTreeMap<PartId, &Node<'_>> = nodes.iter().map(|node| (node.id, node)).collect();
    let pin = |anchor: &Anchor| {
        let Anchor::Terminal { part, terminal } = anchor else { return None };
        let node = places.get(part)?;
        let terminal = node.part_type.terminal(terminal)?;
        let at = node.place.sheet_from_symbol(terminal.at);
        Some(at + node.place.direction(terminal.leaves).step() * (LEAD + 2.5))
    };
    let mut edits = Vec::new();
    for (id, wire) in car.wires() {
        let mut new = wire.clone();
        new.route.clear();
        let (from, to) = (pin(&wire.from.at), pin(&wire.to.at));
        for (end, near) in [(&mut new.from, to), (&mut new.to, from)] {
            if let (Anchor::Loose { sheet: here, at }, Some(near)) = (&mut end.at, near)
                && *here == sheet
            {
                *at = near;
            }
        }
        if new != *wire {
            edits.push(Edit::SetWire(*id, new));
        }
    }
    edits
}
