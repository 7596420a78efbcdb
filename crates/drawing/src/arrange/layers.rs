//! Which column each part stands in: one further than everything that feeds it.

use std::collections::VecDeque;

use loomwright_circuit::Direction;

use super::{Link, Node};

/// The column of each node. Earth points stand with their host.
///
/// Wires point forward from the supply: from an output, drawn at the right of a symbol, to an input at the left;
/// where the symbols do not tell, from what is nearer to the supply. A wire that would close a ring is left out.
pub(super) fn layers(nodes: &mut [Node<'_>], links: &[Link]) -> Vec<usize> {
    let order = visits(nodes, links);
    let mut rank = vec![usize::MAX; nodes.len()];
    for (visit, node_idx) in order.iter().enumerate() {
        rank[*node_idx] = visit;
    }
    let mut forward = vec![Vec::new(); nodes.len()];
    for link in links {
        if let Some((from, to)) = oriented(link, nodes, &rank) {
            forward[from].push(to);
        }
    }
    let mut layers = longest(&order, &forward);
    let last = layers.iter().copied().max().unwrap_or(0);
    for node_idx in 0..nodes.len() {
        if nodes[node_idx].is_earth {
            layers[node_idx] = nodes[node_idx].host.map_or(last + 1, |host| layers[host]);
        }
    }
    // The far end of a strap stands with the earth point that it joins, not across the whole sheet.
    for node_idx in 0..nodes.len() {
        let mut served = links.iter().filter_map(|link| link.other(node_idx));
        if let (true, Some(other), None) = (nodes[node_idx].is_earth, served.next(), served.next())
            && nodes[other].is_earth
        {
            layers[node_idx] = layers[other];
        }
    }
    layers
}

/// The two nodes of a link in the direction away from the supply.
fn oriented(link: &Link, nodes: &[Node<'_>], rank: &[usize]) -> Option<(usize, usize)> {
    let [(a, _, a_leaves), (b, _, b_leaves)] = link.ends;
    if nodes[a].is_earth || nodes[b].is_earth {
        return None;
    }
    let by_rank = if rank[a] <= rank[b] { (a, b) } else { (b, a) };
    match (nodes[a].is_source, nodes[b].is_source) {
        // What hangs on an earthed post is not fed from there.
        (true, false) => return (!link.is_earthed).then_some((a, b)),
        (false, true) => return (!link.is_earthed).then_some((b, a)),
        (true, true) => return None,
        (false, false) => {}
    }
    let side = |node_idx: usize, leaves| {
        let side = match leaves {
            Direction::Right => 1,
            Direction::Left => -1,
            Direction::Up | Direction::Down => 0,
        };
        if nodes[node_idx].place.mirror { -side } else { side }
    };
    Some(match side(a, a_leaves) - side(b, b_leaves) {
        1.. => (a, b),
        0 => by_rank,
        ..0 => (b, a),
    })
}

/// Length of the longest way to each node, not counting wires that close a ring.
fn longest(order: &[usize], forward: &[Vec<usize>]) -> Vec<usize> {
    let mut state = vec![0_u8; forward.len()];
    let mut kept = vec![Vec::new(); forward.len()];
    let mut finished = Vec::with_capacity(forward.len());
    for root in order {
        let mut stack = vec![(*root, 0)];
        while let Some((node_idx, next)) = stack.pop() {
            if next == 0 {
                if state[node_idx] != 0 {
                    continue;
                }
                state[node_idx] = 1;
            }
            if let Some(to) = forward[node_idx].get(next) {
                stack.push((node_idx, next + 1));
                if state[*to] != 1 {
                    kept[node_idx].push(*to);
                }
                if state[*to] == 0 {
                    stack.push((*to, 0));
                }
            } else {
                state[node_idx] = 2;
                finished.push(node_idx);
            }
        }
    }
    let mut layers = vec![0; forward.len()];
    for node_idx in finished.into_iter().rev() {
        for to in &kept[node_idx] {
            layers[*to] = layers[*to].max(layers[node_idx] + 1);
        }
    }
    layers
}

/// The nodes in the order in which a walk from the supplies reaches them, not passing through earth points and not
/// starting from earthed posts; what no walk reaches comes after, each piece from its first part. Relays wait until
/// nothing else is left, for a walk in at the contact must not come out at the coil. A part with two ends that is
/// reached at its right one is mirrored.
fn visits(nodes: &mut [Node<'_>], links: &[Link]) -> Vec<usize> {
    let mut order = Vec::with_capacity(nodes.len());
    let mut is_seen = vec![false; nodes.len()];
    let mut queue: VecDeque<usize> = VecDeque::new();
    let mut relays: VecDeque<usize> = VecDeque::new();
    for start in (0..nodes.len()).filter(|idx| nodes[*idx].is_source) {
        is_seen[start] = true;
        queue.push_back(start);
    }
    let others: Vec<usize> = (0..nodes.len()).filter(|idx| !nodes[*idx].is_earth).collect();
    for start in std::iter::once(None).chain(others.into_iter().map(Some)) {
        if let Some(start) = start
            && !is_seen[start]
        {
            is_seen[start] = true;
            queue.push_back(start);
        }
        while let Some(node_idx) = queue.pop_front().or_else(|| relays.pop_front()) {
            order.push(node_idx);
            for link in links.iter().filter(|link| !link.is_earthed) {
                let Some((other, _, leaves)) = link.far(node_idx) else { continue };
                if !is_seen[other] && !nodes[other].is_earth {
                    is_seen[other] = true;
                    if nodes[other].is_relay { &mut relays } else { &mut queue }.push_back(other);
                    let is_two_ended = nodes[other].part_type.terminals.len() == 2;
                    nodes[other].place.mirror = is_two_ended && leaves == Direction::Right;
                }
            }
        }
    }
    order
}
