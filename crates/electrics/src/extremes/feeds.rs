//! Which consumers are fed: joined to both posts of a supply without another consumer between.

use crate::network::{BranchRef, ElementRow, Kind, Tables, small};
use crate::reading::Flow;
use crate::solve::{find, join};

/// Places joined without a consumer between them: copper, contacts, resistors and diodes.
pub(super) struct Feeds {
    /// Group of each step by what is joined in every state.
    of: Vec<u32>,
    count: u32,
    parent: Vec<u32>,
    /// Steps of the two posts of every supply.
    posts: Vec<[u32; 2]>,
    /// Groups that a consumer lies between if it is fed, in the phase closed last: the posts of each supply, and those at
    /// the two ends of supplies in a row, plus to minus.
    pairs: Vec<[u32; 2]>,
}

impl Feeds {
    pub(super) fn of(tables: &Tables) -> Self {
        let n = tables.symbolic.n;
        let mut parent: Vec<u32> = (0..=small(n)).collect();
        for wire in &tables.wires {
            let branch = &tables.fixed[wire.branch];
            join(&mut parent, branch.a, branch.b);
        }
        let mut posts = Vec::new();
        for row in &tables.elements {
            if tables.taken_out.contains(&row.part) {
                continue;
            }
            match row.kind {
                Kind::Battery | Kind::Generator => posts.push(row.ends),
                Kind::Joined
                | Kind::Earth
                | Kind::Fuse { .. }
                | Kind::Resistor
                | Kind::Diode
                | Kind::Meter => {
                    for branch in &row.branches {
                        let (a, b) = match *branch {
                            BranchRef::Fixed(idx) => (tables.fixed[idx].a, tables.fixed[idx].b),
                            BranchRef::Law(idx) => (tables.laws[idx].a, tables.laws[idx].b),
                            BranchRef::Switch(_) => continue,
                        };
                        join(&mut parent, a, b);
                    }
                }
                _ => {}
            }
        }
        let of: Vec<u32> = (0..=small(n)).map(|step| find(&mut parent, step)).collect();
        let count = small(n) + 1;
        Self { of, count, parent: Vec::new(), posts, pairs: Vec::new() }
    }

    /// Joins what the contacts closed in a phase join.
    pub(super) fn close(&mut self, tables: &Tables, flow: &Flow) {
        self.parent.clear();
        self.parent.extend(0..self.count);
        for switch in &tables.switches {
            // The charge lamp's way through a generator is no feed.
            let is_exciter = tables.elements[switch.element].kind == Kind::Generator;
            if !is_exciter && switch.closed.is_closed(flow.phase()) {
                let (a, b) = (self.of[switch.a as usize], self.of[switch.b as usize]);
                join(&mut self.parent, a, b);
            }
        }
        self.pair();
    }

    /// Whether one end of an element is joined to one post of a supply and the other end to the other, or to the last
    /// post of a row of supplies.
    pub(super) fn is_fed(&mut self, row: &ElementRow) -> bool {
        let [a, b] = row.ends.map(|step| find(&mut self.parent, self.of[step as usize]));
        a != b && (self.pairs.contains(&[a, b]) || self.pairs.contains(&[b, a]))
    }

    fn pair(&mut self) {
        let Self { of, parent, posts, pairs, .. } = self;
        let groups = posts.iter().map(|ends| ends.map(|step| find(parent, of[step as usize])));
        let groups: Vec<[u32; 2]> = groups.collect();
        pairs.clear();
        for &[plus, mut minus] in &groups {
            // A row has each supply once.
            for _ in 0..groups.len() {
                pairs.push([plus, minus]);
                let next = groups.iter().find(|next| next[0] == minus);
                let Some(next) = next else { break };
                minus = next[1];
            }
        }
    }
}
