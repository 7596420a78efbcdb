//! Ways through a net of copper and contacts: the edges that are the only way somewhere, and the shortest ways.

use std::collections::BTreeSet;

use crate::network::BranchRef;

/// An edge of the net.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub branch: BranchRef,
    pub ends: [u32; 2],
}

/// The shortest ways from a set of places.
pub(super) fn nearest(near: &[Vec<(u32, f64)>], from: impl Iterator<Item = u32>) -> Vec<f64> {
    let mut volts = vec![f64::INFINITY; near.len()];
    // Ordered by the bits, which for numbers from zero up are in the order of the numbers.
    let mut left: BTreeSet<(u64, u32)> = BTreeSet::new();
    for step in from {
        volts[step as usize] = 0.0;
        left.insert((0, step));
    }
    while let Some((_, step)) = left.pop_first() {
        for (next, lost) in &near[step as usize] {
            let further = volts[step as usize] + lost;
            if further < volts[*next as usize] {
                left.remove(&(volts[*next as usize].to_bits(), *next));
                volts[*next as usize] = further;
                left.insert((further.to_bits(), *next));
            }
        }
    }
    volts
}

/// A walk through a net, tree by tree.
#[derive(Debug)]
pub(super) struct Walk<'a> {
    edges: &'a [Edge],
    places: Vec<Place>,
    nets: Vec<Part>,
}

/// A place as the walk found it.
#[derive(Debug, Clone, Copy, Default)]
struct Place {
    /// When it was reached, from one; nothing is zero.
    order: u32,
    /// The earliest place reached from here or beyond by an edge that the walk did not take.
    low: u32,
    /// The edge that it was reached by.
    by: Option<usize>,
    net: usize,
    beyond: Part,
}

/// What is in a part of a net: what loads take there, and how many posts of supplies.
#[derive(Debug, Clone, Copy, Default)]
struct Part {
    taken: f64,
    posts: usize,
    /// Whether both posts of a supply are in it.
    is_shortable: bool,
}

impl<'a> Walk<'a> {
    pub(super) fn through(n: usize, edges: &'a [Edge], taken: &[f64], posts: &[[u32; 2]]) -> Self {
        let mut near = vec![Vec::new(); n];
        for (idx, edge) in edges.iter().enumerate() {
            near[edge.ends[0] as usize].push(idx);
            near[edge.ends[1] as usize].push(idx);
        }
        let mut walk = Self { edges, places: vec![Place::default(); n], nets: Vec::new() };
        for (place, taken) in walk.places.iter_mut().zip(taken) {
            place.beyond.taken = *taken;
        }
        for post in posts.iter().flatten() {
            walk.places[*post as usize].beyond.posts += 1;
        }
        let mut count = 0;
        for root in 0..n {
            if walk.places[root].order == 0 {
                walk.tree(root, &near, &mut count);
            }
        }
        for [a, b] in posts {
            let net = walk.places[*a as usize].net;
            walk.nets[net].is_shortable |= net == walk.places[*b as usize].net;
        }
        walk
    }

    fn tree(&mut self, root: usize, near: &[Vec<usize>], count: &mut u32) {
        let net = self.nets.len();
        let mut open: Vec<(usize, usize)> = vec![(root, 0)];
        self.reach(root, None, net, count);
        while let Some((at, tried)) = open.last_mut() {
            let at = *at;
            let Some(edge) = near[at].get(*tried).copied() else {
                open.pop();
                self.close(at);
                continue;
            };
            *tried += 1;
            if self.places[at].by == Some(edge) {
                continue;
            }
            let [a, b] = self.edges[edge].ends.map(|step| step as usize);
            let next = if a == at { b } else { a };
            if self.places[next].order == 0 {
                self.reach(next, Some(edge), net, count);
                open.push((next, 0));
            } else {
                self.places[at].low = self.places[at].low.min(self.places[next].order);
            }
        }
        self.nets.push(self.places[root].beyond);
    }

    fn reach(&mut self, at: usize, by: Option<usize>, net: usize, count: &mut u32) {
        *count += 1;
        let place = &mut self.places[at];
        (place.order, place.low, place.by, place.net) = (*count, *count, by, net);
    }

    /// Adds what is beyond a place to the place before it.
    fn close(&mut self, at: usize) {
        let place = self.places[at];
        let Some(edge) = place.by else { return };
        let [a, b] = self.edges[edge].ends.map(|step| step as usize);
        let before = &mut self.places[if a == at { b } else { a }];
        before.low = before.low.min(place.low);
        before.beyond.taken += place.beyond.taken;
        before.beyond.posts += place.beyond.posts;
    }

    /// Whether contacts can join both posts of a supply.
    pub(super) fn is_shortable(&self) -> bool {
        self.nets.iter().any(|net| net.is_shortable)
    }

    /// The most that each edge carries, where generators give so much to batteries, and supplies that are shorted so much.
    pub(super) fn most(&self, given: f64, shorted: f64) -> Vec<f64> {
        let mut most: Vec<f64> = self
            .edges
            .iter()
            .map(|edge| {
                let net = &self.nets[self.places[edge.ends[0] as usize].net];
                if net.is_shortable { shorted } else { net.taken + given }
            })
            .collect();
        for place in &self.places {
            let Some(edge) = place.by else { continue };
            let [a, b] = self.edges[edge].ends.map(|step| self.places[step as usize].order);
            let before = if a == place.order { b } else { a };
            if place.low <= before {
                continue;
            }
            // The edge is the only way to what is beyond.
            let net = &self.nets[place.net];
            if place.beyond.posts == 0 {
                most[edge] = most[edge].min(place.beyond.taken);
            }
            if place.beyond.posts == net.posts {
                most[edge] = most[edge].min(net.taken - place.beyond.taken);
            }
        }
        most
    }
}
