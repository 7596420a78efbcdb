//! Seats for the letters of a sheet, found rank by rank.

use std::cell::Cell;
use std::sync::Arc;

use loomwright_circuit::{Box2, Point};
use rustc_hash::FxHashMap;

use super::ground::{APART, Covered, Ground, Own, WELL_OFF};
use super::rank::{Heights, N_RANKS, nearest};
use super::spots::{self, Spot};
use super::{Legible, Moved, Place, Rank, Sight, address};
use crate::labels::gap;
use crate::{Item, Prim, Sheet, Subject};

/// Letters grow no further than this.
const MOST: f64 = 2.2;
/// Of the way to the size that is easily read, what is tried step by step.
const SHARES: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// So often, for each block of a rank, may one make way for another.
const ROUNDS: usize = 3;
/// So many places are looked at for each block of the sheet before no more letters grow: it must not be felt in a frame in
/// which something is dragged.
const LOOKS: usize = 60;

/// A block of letters, and where it is by now.
struct Seat<'a> {
    item: &'a Item,
    block_idx: usize,
    rank: Rank,
    of: Of<'a>,
    /// Where it is drawn; without the figures below a name, as long as they are left out.
    drawn: Box2,
    covers: Covered,
    /// Where it is; nothing while it is left out.
    at: Option<Spot>,
    times: f64,
    /// Others that could come to be in its way, with the room between the two as drawn where that is little.
    near: Vec<(usize, Option<f64>)>,
}

/// What letters are of.
#[derive(Clone, Copy)]
enum Of<'a> {
    /// A symbol, by its place among them.
    Symbol { idx: usize, body: Box2, tie: Option<Point> },
    /// A wire, by its place among them.
    Wire { idx: usize, line: &'a [Point], is_upward: bool, tie: Option<Point> },
    /// A terminal, with the symbol that has it.
    Terminal(Point, Option<usize>),
    /// An arrowhead.
    Head(Point),
}

impl Of<'_> {
    /// What is no other's to letters that are tied there, or not.
    fn own(self, tie: Option<Point>) -> Own {
        match self {
            Self::Wire { idx, .. } => {
                Own { is_plate: true, wire: tie.is_none().then_some(idx), body: None }
            }
            Self::Terminal(_, body) => Own { body, ..Own::default() },
            Self::Symbol { .. } | Self::Head(_) => Own::default(),
        }
    }
}

/// All letters of a sheet.
pub(super) struct Seats<'a> {
    sight: Sight,
    ground: Ground<'a>,
    all: Vec<Seat<'a>>,
    /// Items with letters, and the same ones in the other phase of the flashers, where these are not the very same.
    twins: Vec<(&'a Item, &'a Item)>,
    has_figures: bool,
    /// Places that may still be looked at for letters to grow.
    looks_left: Cell<usize>,
}

impl<'a> Seats<'a> {
    pub(super) fn of(sheet: &'a Sheet, sight: Sight) -> Self {
        let ground = Ground::of(sheet, sight);
        let mut all = Vec::new();
        for item in &sheet.items {
            all.extend((0..item.letters.len()).filter_map(|idx| Seat::of(&ground, item, idx)));
        }
        let looks_left = Cell::new(LOOKS * all.len());
        let twins = twins(sheet);
        let mut seats = Self { sight, ground, all, twins, has_figures: false, looks_left };
        seats.look_around();
        seats
    }

    /// Notes what is near to each.
    fn look_around(&mut self) {
        let reaches: Vec<Box2> = self.all.iter().map(Seat::reach).collect();
        for idx in 0..self.all.len() {
            let drawn = self.all[idx].drawn;
            let near = self.all.iter().enumerate().filter(|(other_idx, _)| {
                *other_idx != idx && reaches[*other_idx].grown(APART).meets(reaches[idx])
            });
            let near = near.map(|(other_idx, other)| {
                let room = if drawn.meets(other.drawn) { -1.0 } else { gap(drawn, other.drawn) };
                (other_idx, (room < APART).then_some(room))
            });
            self.all[idx].near = near.collect();
        }
    }

    /// Seats all ranks that can be read, and lets them grow.
    pub(super) fn legible(mut self, heights: &Heights) -> Legible {
        let mut times = [None; N_RANKS];
        for rank in Rank::ALL {
            let Some(height) = heights.ranks[rank as usize] else { continue };
            let least = (self.sight.least / height).max(1.0);
            let is_shown = |rank: Rank| {
                heights.ranks[rank as usize].is_none() || times[rank as usize].is_some()
            };
            let is_needed = rank.needs().iter().all(|first| is_shown(*first));
            if is_needed && least <= MOST && self.seat(rank, least) {
                times[rank as usize] = Some(least);
            }
        }
        if let (Some(named), Some(height)) = (&mut times[Rank::Name as usize], heights.figures) {
            let least = (self.sight.least / height).max(*named);
            if least <= MOST && self.seat_with_figures(least) {
                *named = least;
            }
        }
        self.grow(heights, &mut times);
        Legible {
            times,
            has_figures: self.has_figures,
            least: self.sight.least,
            moved: self.moved(),
            ..Legible::default()
        }
    }

    /// Lets all ranks grow towards what is easily read, first as far as at the usual size of things: whoever has all shown
    /// larger has no letters smaller for it. What stopped on that way goes no further, and where names did, nor does what
    /// would look the more important beside them.
    fn grow(&mut self, heights: &Heights, times: &mut [Option<f64>; N_RANKS]) {
        let Sight { plain, easy, .. } = self.sight;
        self.grow_towards((plain, false), heights, times, |_| true);
        let came = *times;
        let has_come = |rank: Rank| match (came[rank as usize], heights.ranks[rank as usize]) {
            (Some(times), Some(height)) => times * height >= plain.min(MOST * height) - 1e-9,
            _ => true,
        };
        let leads = |rank: Rank| rank.may_lead_by(true).is_some();
        let goes_on = |rank: Rank| has_come(rank) && (has_come(Rank::Name) || !leads(rank));
        self.grow_towards((easy, true), heights, times, goes_on);
    }

    /// Lets ranks grow towards a height: at once where there is room for that, else step by step beside each other, so that
    /// none takes the room of the next before that has grown as well.
    fn grow_towards(
        &mut self,
        (wanted, is_beyond): (f64, bool),
        heights: &Heights,
        times: &mut [Option<f64>; N_RANKS],
        goes_on: impl Fn(Rank) -> bool,
    ) {
        let from = *times;
        let ways = Rank::ALL.into_iter().filter(|rank| goes_on(*rank)).filter_map(|rank| {
            let (at, height) = (from[rank as usize]?, heights.ranks[rank as usize]?);
            let easy = (wanted / height).clamp(at, MOST.max(at));
            (easy > at).then_some((rank, at, easy))
        });
        let ways: Vec<(Rank, f64, f64)> = ways.collect();
        let before: Vec<(Option<Spot>, f64)> =
            self.all.iter().map(|seat| (seat.at, seat.times)).collect();
        if ways.iter().all(|(rank, _, easy)| self.grows(*rank, *easy, times)) {
            return;
        }
        *times = from;
        for (seat, (at, size)) in self.all.iter_mut().zip(before) {
            (seat.at, seat.times) = (at, size);
        }
        let (mut growing, mut names_stopped) = (ways, None);
        for (step, share) in SHARES.into_iter().enumerate() {
            growing.retain(|(rank, at, easy)| {
                let most = names_stopped.zip(rank.may_lead_by(is_beyond));
                let is_ahead = most.is_some_and(|(came, most): (usize, usize)| step >= came + most);
                let grows = !is_ahead && self.grows(*rank, at + (easy - at) * share, times);
                if !grows && *rank == Rank::Name {
                    names_stopped = Some(step);
                }
                grows
            });
        }
    }

    /// Whether a rank finds room so many times as large as drawn.
    fn grows(&mut self, rank: Rank, wanted: f64, times: &mut [Option<f64>; N_RANKS]) -> bool {
        let has_room = self.looks_left.get() > 0 && self.seat(rank, wanted);
        if has_room {
            times[rank as usize] = Some(wanted);
        }
        has_room
    }

    fn seat_with_figures(&mut self, times: f64) -> bool {
        let before: Vec<(Box2, Covered)> =
            self.all.iter().map(|seat| (seat.drawn, seat.covers)).collect();
        for seat in self.all.iter_mut().filter(|seat| seat.rank == Rank::Name) {
            let block = &seat.item.letters[seat.block_idx];
            seat.drawn = block.rect(seat.item, true).unwrap_or(seat.drawn);
            seat.covers = self.ground.covered(seat.drawn, Own::default());
        }
        self.look_around();
        self.has_figures = self.seat(Rank::Name, times);
        if !self.has_figures {
            for (seat, (drawn, covers)) in self.all.iter_mut().zip(before) {
                (seat.drawn, seat.covers) = (drawn, covers);
            }
            self.look_around();
        }
        self.has_figures
    }

    /// Finds a place for each block of a rank, so many times as large as drawn; whether there is one for all.
    fn seat(&mut self, rank: Rank, times: f64) -> bool {
        let idxs: Vec<usize> =
            (0..self.all.len()).filter(|idx| self.all[*idx].rank == rank).collect();
        let found = Search::of(self, &idxs, times).found();
        let Some(found) = found else { return false };
        for (idx, spot) in idxs.into_iter().zip(found) {
            self.all[idx].at = Some(spot);
            self.all[idx].times = times;
        }
        true
    }

    /// The items whose letters are not as drawn.
    fn moved(&self) -> FxHashMap<usize, Moved> {
        let mut moved: FxHashMap<usize, Moved> = FxHashMap::default();
        for seat in &self.all {
            let Some(spot) = seat.at.filter(|spot| *spot != seat.as_drawn()) else { continue };
            let item = seat.item;
            let entry = moved.entry(address(item)).or_insert_with(|| {
                let still = |block: &super::LetterBlock| Place {
                    times: 1.0,
                    by: Point::default(),
                    tie: block.tie,
                };
                let places = item.letters.iter().map(still).collect();
                Moved { prims: Arc::clone(&item.prims), places }
            });
            let by = spot.rect.min - seat.drawn.min * seat.times;
            entry.places[seat.block_idx] = Place { times: seat.times, by, tie: spot.tie };
        }
        for (item, twin) in &self.twins {
            if let Some(Moved { places, .. }) = moved.get(&address(item)) {
                let (prims, places) = (Arc::clone(&twin.prims), places.clone());
                moved.insert(address(twin), Moved { prims, places });
            }
        }
        moved
    }
}

/// Letters come in the same order in all phases.
fn twins(sheet: &Sheet) -> Vec<(&Item, &Item)> {
    fn lettered(items: &[Arc<Item>]) -> impl Iterator<Item = &Item> {
        items.iter().map(AsRef::as_ref).filter(|item| !item.letters.is_empty())
    }
    let pairs = lettered(&sheet.items).zip(lettered(&sheet.elsewhen));
    pairs.filter(|(item, twin)| address(item) != address(twin)).collect()
}

impl<'a> Seat<'a> {
    fn of(ground: &Ground<'a>, item: &'a Item, block_idx: usize) -> Option<Self> {
        let block = &item.letters[block_idx];
        let drawn = block.rect(item, false)?;
        let of = match item.subject {
            Subject::Label(id) if matches!(block.rank, Rank::Terminal | Rank::Polarity) => {
                let pins = ground.terminals.get(&id).into_iter().flatten();
                let away = |pin: &Point| nearest(drawn, *pin).distance(*pin);
                let nearest = pins.min_by(|a, b| away(a).total_cmp(&away(b)));
                Of::Terminal(
                    nearest.copied().unwrap_or_else(|| drawn.centre()),
                    ground.parts.get(&id).map(|(idx, _)| *idx),
                )
            }
            Subject::Label(id) => {
                let (idx, body) = ground.parts.get(&id).copied().unwrap_or((usize::MAX, drawn));
                Of::Symbol { idx, body, tie: block.tie }
            }
            Subject::Flag(id) | Subject::Amps(id) => {
                let (idx, line) = ground.wires.get(&id).copied()?;
                let is_upward =
                    item.prims.iter().any(|prim| matches!(prim, Prim::Text { upward: true, .. }));
                Of::Wire { idx, line, is_upward, tie: block.tie }
            }
            _ => Of::Head(item.prims.first().and_then(Prim::bounds)?.centre()),
        };
        let covers = ground.covered(drawn, of.own(block.tie));
        let rank = block.rank;
        Some(Self { item, block_idx, rank, of, drawn, covers, at: None, times: 1.0, near: vec![] })
    }

    fn as_drawn(&self) -> Spot {
        let tie = self.item.letters[self.block_idx].tie;
        Spot { rect: self.drawn, tie, line: None, cost: 0.0 }
    }

    /// What any of its places is within.
    fn reach(&self) -> Box2 {
        let size = (self.drawn.max - self.drawn.min) * MOST;
        let around = match self.of {
            Of::Symbol { body, .. } => self.drawn.union(body),
            Of::Wire { .. } | Of::Terminal(..) | Of::Head(_) => self.drawn,
        };
        let around = around.grown(spots::FARTHEST);
        Box2 { min: around.min - size, max: around.max + size }
    }

    /// Places for it, the best first.
    fn spots(&self, times: f64) -> Vec<Spot> {
        let spots = match self.of {
            Of::Symbol { body, tie: None, .. } => spots::of_name(self.drawn, body, times),
            Of::Symbol { body, tie, .. } => {
                spots::around(self.drawn, tie.unwrap_or_else(|| body.centre()), times, tie)
            }
            Of::Wire { line, is_upward, tie, .. } => {
                spots::of_plate(self.drawn, line, times, (is_upward, tie))
            }
            Of::Terminal(at, _) | Of::Head(at) => spots::around(self.drawn, at, times, None),
        };
        let drawn = (times == 1.0).then(|| self.as_drawn());
        drawn.into_iter().chain(spots).collect()
    }

    /// Places beside its wire, where it finds none on it.
    fn spots_beside(&self, times: f64) -> Vec<Spot> {
        match self.of {
            Of::Wire { line, is_upward: false, .. } => spots::beside_wire(self.drawn, line, times),
            _ => Vec::new(),
        }
    }

    /// Whether it is drawn on free paper, to which a line leads past what is nearer.
    fn is_led(&self, idx: usize, ground: &Ground<'_>) -> bool {
        let tie = self.item.letters[self.block_idx].tie;
        tie.is_some_and(|to| {
            let off = nearest(self.drawn, to).distance(to);
            ground.is_nearer_to_another_wire(self.drawn, idx, off)
        })
    }

    /// Whether it covers no more at a place of what stands still than where it is drawn, and is not read as another's.
    fn use_of(&self, spot: &Spot, times: f64, ground: &Ground<'_>) -> Use {
        let Spot { rect, tie, .. } = *spot;
        if ground.is_under_tag(rect) {
            return Use::Closed;
        }
        if *spot == self.as_drawn() {
            return Use::Open;
        }
        if !(ground.all.contains(rect.min) && ground.all.contains(rect.max)) {
            return Use::Closed;
        }
        // What flows is read without doubt: however large its plate is, no more lies under it.
        let times = if self.rank == Rank::Amps { 1.0 } else { times };
        if !ground.covered(rect, self.of.own(tie)).is_no_worse(self.covers, times) {
            return Use::Closed;
        }
        // Where that is so as it is drawn, it is not looked for.
        let doubtful = |is_so: &dyn Fn(Box2) -> bool| is_so(rect) && !is_so(self.drawn);
        let is_closed = match (self.of, tie) {
            (Of::Symbol { idx, body, .. }, None) => {
                doubtful(&|rect| ground.is_nearer_to_another(rect, idx, gap(rect, body)))
            }
            (Of::Wire { idx, .. }, Some(to)) => {
                let from = nearest(rect, to);
                if !ground.is_tie_clear([from, to], idx) {
                    return Use::Closed;
                }
                let off = from.distance(to);
                return match self.rank {
                    _ if !ground.is_nearer_to_another_wire(rect, idx, off) => Use::Open,
                    // What flows must be read without doubt; of a number the line tells whose it is.
                    Rank::Amps if !self.is_led(idx, ground) => Use::Closed,
                    Rank::Amps if ground.is_nearer_to_another_wire(rect, idx, WELL_OFF) => {
                        Use::Closed
                    }
                    Rank::Amps => Use::Open,
                    _ => Use::Doubtful,
                };
            }
            (Of::Terminal(at, _), _) => {
                doubtful(&|rect| ground.is_nearer_to_another_terminal(rect, at))
            }
            _ => false,
        };
        if is_closed { Use::Closed } else { Use::Open }
    }
}

/// What a place is good for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Use {
    Open,
    /// Where there is no other: it stands as near to something else.
    Doubtful,
    Closed,
}

/// The search for places for all blocks of a rank.
struct Search<'s, 'a> {
    seats: &'s Seats<'a>,
    idxs: &'s [usize],
    times: f64,
    spots: Vec<Vec<Spot>>,
    /// What those places are good for that were looked at.
    uses: Vec<Vec<Option<Use>>>,
    /// Whether the places beside its wire were added to those of each.
    is_beside: Vec<bool>,
    taken: Vec<Option<Spot>>,
    /// How often each had to make way: it is the more reluctant to.
    pushed: Vec<f64>,
    /// Where each block of the sheet is among those searched for.
    nth: FxHashMap<usize, usize>,
}

impl<'s, 'a> Search<'s, 'a> {
    fn of(seats: &'s Seats<'a>, idxs: &'s [usize], times: f64) -> Self {
        let spots: Vec<Vec<Spot>> = idxs.iter().map(|idx| seats.all[*idx].spots(times)).collect();
        Self {
            seats,
            idxs,
            times,
            uses: spots.iter().map(|spots| vec![None; spots.len()]).collect(),
            spots,
            is_beside: vec![false; idxs.len()],
            taken: vec![None; idxs.len()],
            pushed: vec![1.0; idxs.len()],
            nth: idxs.iter().enumerate().map(|(nth, idx)| (*idx, nth)).collect(),
        }
    }

    /// A place for each; nothing where one finds none.
    fn found(mut self) -> Option<Vec<Spot>> {
        let mut todo: Vec<usize> = (0..self.idxs.len()).rev().collect();
        let mut left = ROUNDS * self.idxs.len();
        while let Some(nth) = todo.pop() {
            let (spot, pushed) = self.best(nth)?;
            left = left.checked_sub(pushed.len())?;
            for other in pushed {
                self.taken[other] = None;
                self.pushed[other] += 1.0;
                todo.insert(0, other);
            }
            self.taken[nth] = Some(spot);
        }
        self.taken.into_iter().collect()
    }

    /// The best place for one, with those that make way for it; off its wire and near to another only where it must.
    fn best(&mut self, nth: usize) -> Option<(Spot, Vec<usize>)> {
        if let Some(best) = self.best_of_use(nth, Use::Open) {
            return Some(best);
        }
        if !std::mem::replace(&mut self.is_beside[nth], true) {
            let beside = self.seats.all[self.idxs[nth]].spots_beside(self.times);
            self.uses[nth].resize(self.spots[nth].len() + beside.len(), None);
            self.spots[nth].extend(beside);
        }
        let open = self.best_of_use(nth, Use::Open);
        open.or_else(|| self.best_of_use(nth, Use::Doubtful))
    }

    /// The first place of that use at which nobody makes way, or else where those do that are the least reluctant.
    fn best_of_use(&mut self, nth: usize, wanted: Use) -> Option<(Spot, Vec<usize>)> {
        let mut best: Option<(f64, Spot, Vec<usize>)> = None;
        for spot_idx in 0..self.spots[nth].len() {
            let spot = self.spots[nth][spot_idx];
            if self.use_of(nth, spot_idx) != wanted {
                continue;
            }
            let pushed = self.in_the_way(nth, &spot);
            let cost = pushed.iter().map(|other| self.pushed[*other]).sum::<f64>();
            if pushed.is_empty() {
                return Some((spot, pushed));
            }
            if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, spot, pushed));
            }
        }
        best.map(|(_, spot, pushed)| (spot, pushed))
    }

    /// What a place is good for, with all that does not make way.
    fn use_of(&mut self, nth: usize, spot_idx: usize) -> Use {
        if let Some(known) = self.uses[nth][spot_idx] {
            return known;
        }
        let looks_left = &self.seats.looks_left;
        looks_left.set(looks_left.get().saturating_sub(1));
        let seat = &self.seats.all[self.idxs[nth]];
        let spot = &self.spots[nth][spot_idx];
        let mut others = seat.near.iter().filter(|(other, _)| !self.nth.contains_key(other));
        let meets_other_rank = others.any(|(other, room)| {
            self.seats.all[*other].at.is_some_and(|at| meets(spot, &at, *room))
        });
        let found = if meets_other_rank {
            Use::Closed
        } else {
            seat.use_of(spot, self.times, &self.seats.ground)
        };
        self.uses[nth][spot_idx] = Some(found);
        found
    }

    fn in_the_way(&self, nth: usize, spot: &Spot) -> Vec<usize> {
        let near = self.seats.all[self.idxs[nth]].near.iter();
        let same = near.filter_map(|(other, room)| Some((*self.nth.get(other)?, *room)));
        let met = same.filter(|(other, room)| {
            self.taken[*other].as_ref().is_some_and(|taken| meets(spot, taken, *room))
        });
        met.map(|(other, _)| other).collect()
    }
}

/// Whether two blocks are in each other's way, between which there was so little room as drawn.
fn meets(one: &Spot, other: &Spot, room: Option<f64>) -> bool {
    match room {
        // They cover each other as it is.
        Some(room) if room < 0.0 => false,
        Some(room) => one.rect.grown(room.min(APART) - 1e-6).meets(other.rect),
        None => {
            let crosses = |one: &Spot, other: &Spot| {
                one.line.is_some_and(|line| line.grown(APART).meets(other.rect))
            };
            one.rect.grown(APART).meets(other.rect) || crosses(one, other) || crosses(other, one)
        }
    }
}
