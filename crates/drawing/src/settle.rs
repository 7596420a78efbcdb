//! Lettering of parts, of terminals and of wires that go on elsewhere, settled so that none covers another.

use loomwright_circuit::Box2;

use crate::block::Placed;
use crate::clutter::{Clutter, Kind};
use crate::ends::{self, Continuation};
use crate::labels;
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
    Designation { part_idx: usize, pin_idx: usize },
    Mark { wire_idx: usize },
}

/// Words in their place, and in the clutter.
struct Entry {
    owner: Owner,
    placed: Placed,
    clutter_idx: usize,
}

/// Finds places for all words. Names that the wires left alone stay where they are; then comes what has the fewest
/// places to choose from; and what still covers something looks again, now that it sees all the rest.
pub(crate) fn settle(scene: &Scene<'_>, ways: &Ways, clutter: &mut Clutter) -> Settled {
    let names = labels::place_names(scene, &mut labels::obstacles(scene));
    let mut entries = Vec::new();
    let mut open = Vec::new();
    for (part_idx, name) in names.into_iter().enumerate() {
        let owner = Owner::Name { part_idx };
        match name.filter(|name| labels::is_clear(name, clutter)) {
            Some(name) => entries.push(Entry::of(owner, name, clutter)),
            None => open.push(owner),
        }
    }
    for (part_idx, part) in scene.parts.iter().enumerate().filter(|(_, part)| part.pins.len() > 1) {
        for pin_idx in 0..part.pins.len() {
            place(scene, ways, Owner::Designation { part_idx, pin_idx }, clutter, &mut entries);
        }
    }
    for wire_idx in 0..scene.wires.len() {
        place(scene, ways, Owner::Mark { wire_idx }, clutter, &mut entries);
    }
    for owner in open {
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

    /// The places, by whose words they are.
    pub(crate) fn words(self, scene: &Scene<'_>, ways: &Ways) -> Words {
        let mut names = vec![None; scene.parts.len()];
        let mut designations = vec![Vec::new(); scene.parts.len()];
        let mut marks = Vec::new();
        for Entry { owner, placed, .. } in self.entries {
            match owner {
                Owner::Name { part_idx } => names[part_idx] = Some(placed),
                Owner::Designation { part_idx, .. } => designations[part_idx].push(placed),
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
            Self::Name { part_idx } => labels::name(scene, &scene.parts[part_idx], clutter),
            Self::Designation { part_idx, pin_idx } => {
                let part = &scene.parts[part_idx];
                labels::designation(scene, part, &part.pins[pin_idx], clutter)
            }
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
            (Self::Designation { .. }, Kind::Body) => true,
            (Self::Mark { wire_idx }, Kind::Tip(other)) => wire_idx == other,
            _ => false,
        };
        if is_own { 0.0 } else { 1.0 }
    }
}

impl Entry {
    fn of(owner: Owner, placed: Placed, clutter: &mut Clutter) -> Self {
        let clutter_idx = clutter.add(placed.rect(), Kind::Lettering);
        Self { owner, placed, clutter_idx }
    }

    /// Moves to a better place if it covers something here. Whether it moved.
    fn look_again(&mut self, scene: &Scene<'_>, ways: &Ways, clutter: &mut Clutter) -> bool {
        let cost = |rect: Box2, clutter: &Clutter, idx| {
            let near = |kind| if kind == Kind::Lettering { 1.0 } else { 0.0 };
            clutter.cost_beside(rect, idx, |kind| self.owner.weight(kind))
                + clutter.cost_beside(rect.grown(APART), idx, near)
        };
        let here = cost(self.placed.rect(), clutter, self.clutter_idx);
        if here == 0.0 {
            return false;
        }
        clutter.remove(self.clutter_idx);
        let better = self.owner.best(scene, ways, clutter);
        let better = better.filter(|other| cost(other.rect(), clutter, usize::MAX) < here);
        let moves = better.is_some();
        if let Some(better) = better {
            self.placed = better;
        }
        self.clutter_idx = clutter.add(self.placed.rect(), Kind::Lettering);
        moves
    }
}
