//! Lettering of parts, of terminals and of wires that go on elsewhere, settled so that none covers another.

use loomwright_circuit::{Box2, Point};

use crate::block::Placed;
use crate::clutter::{Clutter, Kind};
use crate::designations::{self, Which};
use crate::ends::{self, Continuation};
use crate::labels;
use crate::number::count;
use crate::scene::Scene;
use crate::ways::Ways;

/// So often words that cover something look for a better place.
const ROUNDS: usize = 4;
/// Words nearer to others, mm, are read as one with them.
const APART: f64 = 0.4;

/// All words in their places, which may still change.
pub(crate) struct Settled {
    entries: Vec<Entry>,
}

/// What stands where.
pub(crate) struct Words {
    /// The name of each part.
    pub(crate) names: Vec<Option<Placed>>,
    /// The designations of each part's terminals.
    pub(crate) designations: Vec<Vec<Placed>>,
    /// Marks of wires that go on elsewhere.
    pub(crate) marks: Vec<Continuation>,
}

/// Whose words.
#[derive(Debug, Clone, Copy)]
enum Owner {
    Name { part_idx: usize },
    Designation(Which),
    Mark { wire_idx: usize },
}

/// Words in their place, and in the clutter.
struct Entry {
    owner: Owner,
    placed: Placed,
    clutter_idx: usize,
    /// Pieces of its leader there.
    leader_idxs: Vec<usize>,
}

/// Finds places for all words. Names that the wires left alone stay where they are; then comes what has the fewest
/// places to choose from; and what still covers something looks again, now that it sees all the rest.
pub(crate) fn settle(scene: &Scene<'_>, ways: &Ways, clutter: &mut Clutter) -> Settled {
    let names = labels::place_names(scene, &mut labels::obstacles(scene).0);
    let mut entries = Vec::new();
    let mut open = Vec::new();
    for (part_idx, name) in names.into_iter().enumerate() {
        let owner = Owner::Name { part_idx };
        match name.filter(|name| labels::is_clear(name, clutter)) {
            Some(name) => entries.push(Entry::of(owner, name, clutter)),
            None => open.push((labels::room(scene, part_idx), owner)),
        }
    }
    let rows = designations::rows(scene, clutter);
    for (part_idx, _) in scene.parts.iter().enumerate().filter(|(_, part)| part.pins.len() > 1) {
        for (pin_idx, row) in rows[part_idx].iter().enumerate() {
            let which = Which { part_idx, pin_idx, row: *row };
            place(scene, ways, Owner::Designation(which), clutter, &mut entries);
        }
    }
    for wire_idx in 0..scene.wires.len() {
        place(scene, ways, Owner::Mark { wire_idx }, clutter, &mut entries);
    }
    // What needs the most room looks for it first.
    open.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, owner) in open {
        place(scene, ways, owner, clutter, &mut entries);
    }
    let mut settled = Settled { entries };
    settled.look_again(scene, ways, clutter);
    settled
}

impl Settled {
    /// Moves what covers something, now that more is there.
    pub(crate) fn look_again(&mut self, scene: &Scene<'_>, ways: &Ways, clutter: &mut Clutter) {
        for _ in 0..ROUNDS {
            let mut has_moved = false;
            for entry in &mut self.entries {
                has_moved |= entry.look_again(scene, ways, clutter);
            }
            if !has_moved {
                break;
            }
        }
    }

    /// Leaves designations out that would be read as another's and that nobody needs.
    pub(crate) fn leave_out(&mut self, scene: &Scene<'_>, clutter: &mut Clutter) {
        self.entries.retain(|entry| {
            let Owner::Designation(which) = entry.owner else { return true };
            let misleads = designations::misleads(scene, which, entry.placed.rect(), clutter);
            if misleads {
                clutter.remove(entry.clutter_idx);
            }
            !misleads
        });
    }

    /// Gives designations that still stand on a line a ground of paper, so that they are read over it.
    pub(crate) fn give_grounds(&mut self, scene: &Scene<'_>, clutter: &Clutter) {
        let weight = |kind| match kind {
            Kind::Wire(_) | Kind::OverInk(_) => 1.0,
            _ => 0.0,
        };
        for entry in &mut self.entries {
            let Owner::Designation(Which { part_idx, .. }) = entry.owner else { continue };
            let rect = entry.placed.rect();
            entry.placed.has_ground =
                clutter.cost(rect, weight) > 0.0 || designations::is_on_ink(scene, part_idx, rect);
        }
    }

    /// The places, by whose words they are.
    pub(crate) fn words(self, scene: &Scene<'_>, ways: &Ways) -> Words {
        let mut names = vec![None; scene.parts.len()];
        let mut designations = vec![Vec::new(); scene.parts.len()];
        let mut marks = Vec::new();
        for Entry { owner, placed, .. } in self.entries {
            match owner {
                Owner::Name { part_idx } => names[part_idx] = Some(placed),
                Owner::Designation(which) => designations[which.part_idx].push(placed),
                Owner::Mark { wire_idx } => {
                    if let Some(stub) = ways.marks.get(&scene.wires[wire_idx].id) {
                        marks.push(Continuation { wire_idx, text: placed, ..stub.clone() });
                    }
                }
            }
        }
        Words { names, designations, marks }
    }
}

fn place(
    scene: &Scene<'_>,
    ways: &Ways,
    owner: Owner,
    clutter: &mut Clutter,
    entries: &mut Vec<Entry>,
) {
    if let Some(placed) = owner.best(scene, ways, clutter) {
        entries.push(Entry::of(owner, placed, clutter));
    }
}

impl Owner {
    fn best(self, scene: &Scene<'_>, ways: &Ways, clutter: &Clutter) -> Option<Placed> {
        match self {
            Self::Name { part_idx } => labels::name(scene, part_idx, clutter),
            Self::Designation(which) => designations::designation(scene, which, clutter),
            Self::Mark { wire_idx } => {
                let stub = ways.marks.get(&scene.wires[wire_idx].id)?;
                ends::words(scene, wire_idx, stub, clutter)
            }
        }
    }

    /// What matters of that which words could cover: a designation stands beside its lead and so within the room
    /// that its symbol takes, and words may stand at the tip of their own arrow.
    fn weight(self, kind: Kind) -> f64 {
        let is_own = match (self, kind) {
            (Self::Designation(which), Kind::Body(own)) => which.part_idx == own,
            (Self::Mark { wire_idx }, Kind::Tip(other)) => wire_idx == other,
            _ => false,
        };
        if is_own { 0.0 } else { 1.0 }
    }
}

impl Entry {
    fn of(owner: Owner, placed: Placed, clutter: &mut Clutter) -> Self {
        let (clutter_idx, leader_idxs) = add(&placed, clutter);
        Self { owner, placed, clutter_idx, leader_idxs }
    }

    /// Moves to a better place if it covers something here. Whether it moved.
    fn look_again(&mut self, scene: &Scene<'_>, ways: &Ways, clutter: &mut Clutter) -> bool {
        let cost = |rect: Box2, clutter: &Clutter, idx| {
            let near = |kind| if kind == Kind::Lettering { 1.0 } else { 0.0 };
            clutter.cost_beside(rect, idx, |kind| self.owner.weight(kind))
                + clutter.cost_beside(rect.grown(APART), idx, near)
        };
        let here = cost(self.placed.rect(), clutter, self.clutter_idx);
        if here == 0.0 && self.placed.leader.is_none() {
            return false;
        }
        clutter.remove(self.clutter_idx);
        self.leader_idxs.drain(..).for_each(|idx| clutter.remove(idx));
        let tied = |placed: &Placed| {
            let leader = placed.leader.map_or(0.0, |leader| on_leader(leader, clutter));
            cost(placed.rect(), clutter, usize::MAX) + leader
        };
        let here = tied(&self.placed);
        let better = (here > 0.0).then(|| self.owner.best(scene, ways, clutter)).flatten();
        let better = better.filter(|other| tied(other) < here);
        let moves = better.is_some();
        if let Some(better) = better {
            self.placed = better;
        }
        (self.clutter_idx, self.leader_idxs) = add(&self.placed, clutter);
        moves
    }
}

/// Puts words into the clutter, with the line that ties them to what they name.
fn add(placed: &Placed, clutter: &mut Clutter) -> (usize, Vec<usize>) {
    let idx = clutter.add(placed.rect(), Kind::Lettering);
    let pieces = placed.leader.into_iter().flat_map(pieces);
    (idx, pieces.map(|piece| clutter.add(piece, Kind::Lettering)).collect())
}

/// A line in small pieces.
fn pieces([from, to]: [Point; 2]) -> impl Iterator<Item = Box2> {
    let n_steps = count(from.distance(to) / 1.2).clamp(1, 60);
    let at = move |n: usize| from + (to - from) * (n as f64 / n_steps as f64);
    (0..n_steps).filter_map(move |n| Box2::around([at(n), at(n + 1)])).map(|it| it.grown(0.15))
}

/// What of letters and arrowheads a leader covers.
fn on_leader(leader: [Point; 2], clutter: &Clutter) -> f64 {
    let weight = |kind| if matches!(kind, Kind::Lettering | Kind::Tip(_)) { 1.0 } else { 0.0 };
    pieces(leader).map(|piece| clutter.cost(piece, weight)).sum()
}
