//! The search for one wire's way over the lattice: shortest by cost, with bends, crossings and neighbours priced.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use loomwright_circuit::Direction;

use super::grid::{ASIDE, BEND, BESIDE, CROSSING, DIRECTIONS, Grid, ON_TOP, SHORT, STEP, TOUCHING};

const START: u8 = 4;

/// An end of the way: a place, and which way the lead leaves it there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Goal {
    pub(super) place: usize,
    pub(super) leaves: Option<Direction>,
    /// Whether the lead may also leave to either side: where several share a terminal that has room there.
    pub(super) may_leave_aside: bool,
    /// Whether more leads share the terminal than it has sides.
    pub(super) is_crowded: bool,
}

impl Goal {
    /// What it costs to leave that way; nothing where it cannot be done.
    fn leaving(&self, direction: Direction) -> Option<u32> {
        match self.leaves {
            Some(leaves) if leaves == direction => Some(0),
            Some(leaves) if leaves == opposite(direction) => None,
            Some(_) => self.may_leave_aside.then_some(ASIDE),
            None => Some(0),
        }
    }
}

/// What a wire may do near its own ends.
#[derive(Debug, Default)]
pub(super) struct Exempt {
    /// Places that others should leave free, but this wire need not.
    pub(super) own: Vec<usize>,
    /// Places where it may lie on other wires of its terminal.
    pub(super) shared: Vec<usize>,
}

/// Working memory, kept from one search to the next.
#[derive(Debug, Default)]
pub(super) struct Search {
    cost: Vec<u32>,
    /// Direction in which the place before was entered.
    came: Vec<u8>,
    seen: Vec<u32>,
    turn: u32,
    queue: BinaryHeap<Reverse<(u32, u32, usize)>>,
    most_visits: usize,
    /// Ways looked at so far.
    pub(super) n_visits: usize,
}

impl Search {
    /// A search that gives up after so many ways looked at.
    pub(super) fn new(most_visits: usize) -> Self {
        Self { most_visits, ..Self::default() }
    }

    /// Corners of the cheapest way with its cost; nothing where none was found in bounds.
    pub(super) fn find(
        &mut self,
        grid: &Grid,
        from: Goal,
        to: Goal,
        exempt: &Exempt,
    ) -> Option<(Vec<usize>, u32)> {
        self.clear(grid.n_places() * 4);
        let way = Way { grid, from, to, exempt };
        for direction in DIRECTIONS {
            if let Some(leaving) = from.leaving(direction)
                && let Some((next, cost)) = way.step(from.place, direction, direction)
            {
                self.offer(&way, next, direction, START, leaving + cost);
            }
        }
        for _ in 0..self.most_visits {
            self.n_visits += 1;
            let Reverse((_, _, state)) = self.queue.pop()?;
            let (place, entered) = (state / 4, state % 4);
            if self.seen[state] != self.turn || self.came[state] & 8 != 0 {
                continue;
            }
            if place == to.place {
                return Some((self.corners(grid, from.place, state), self.cost[state]));
            }
            self.came[state] |= 8;
            let cost = self.cost[state];
            let came = u8::try_from(entered).unwrap_or(START);
            for turn in [0, 1, 3] {
                let direction = DIRECTIONS[(entered + turn) % 4];
                if let Some((next, more)) = way.step(place, DIRECTIONS[entered], direction) {
                    self.offer(&way, next, direction, came, cost + more);
                }
            }
        }
        None
    }

    /// What a way that is already known costs now.
    pub(super) fn price(
        grid: &Grid,
        from: Goal,
        to: Goal,
        exempt: &Exempt,
        corners: &[usize],
    ) -> u32 {
        let way = Way { grid, from, to, exempt };
        let mut cost = 0;
        let mut entered = None;
        for pair in corners.windows(2) {
            let direction = grid.direction(pair[0], pair[1]);
            let mut place = pair[0];
            while place != pair[1] {
                let before = entered.unwrap_or(direction);
                if entered.is_none() {
                    cost += from.leaving(direction).unwrap_or(0);
                }
                let Some((next, more)) = way.step(place, before, direction) else {
                    return u32::MAX;
                };
                cost += more;
                place = next;
                entered = Some(direction);
            }
        }
        cost
    }

    fn clear(&mut self, n_states: usize) {
        self.queue.clear();
        self.turn += 1;
        if self.cost.len() < n_states {
            // Zeroed memory that nothing touches costs nothing.
            self.cost = vec![0; n_states];
            self.came = vec![0; n_states];
            self.seen = vec![0; n_states];
        }
    }

    fn offer(&mut self, way: &Way<'_>, place: usize, direction: Direction, came: u8, cost: u32) {
        let state = place * 4 + direction as usize;
        if self.seen[state] == self.turn && self.cost[state] <= cost {
            return;
        }
        self.seen[state] = self.turn;
        self.cost[state] = cost;
        self.came[state] = came;
        let total = cost + way.at_least(place, direction);
        // Of equal ways the one that has come further goes first.
        self.queue.push(Reverse((total, u32::MAX - cost, state)));
    }

    fn corners(&self, grid: &Grid, start: usize, mut state: usize) -> Vec<usize> {
        let mut corners = vec![state / 4];
        loop {
            let (place, entered) = (state / 4, DIRECTIONS[state % 4]);
            let Some(before) = grid.next(place, opposite(entered)) else { break };
            let came = self.came[state] & 7;
            if came == START {
                corners.push(start);
                break;
            }
            if usize::from(came) != entered as usize {
                corners.push(before);
            }
            state = before * 4 + usize::from(came);
        }
        corners.reverse();
        corners
    }
}

struct Way<'a> {
    grid: &'a Grid,
    from: Goal,
    to: Goal,
    exempt: &'a Exempt,
}

impl Way<'_> {
    /// The place one step on, and what the step costs.
    fn step(&self, place: usize, entered: Direction, direction: Direction) -> Option<(usize, u32)> {
        let grid = self.grid;
        let next = grid.next(place, direction)?;
        let is_last = next == self.to.place;
        let mut cost = STEP;
        if is_last {
            cost += self.to.leaving(opposite(direction))?;
        }
        let is_shared = self.exempt.shared.contains(&next);
        if entered != direction {
            cost += BEND;
            if (is_last && self.to.leaves.is_some()) || self.is_first(place) {
                cost += SHORT;
            }
            if grid.is_used(place) && !self.exempt.shared.contains(&place) {
                cost += TOUCHING;
            }
        }
        if !self.exempt.own.contains(&next) {
            cost += grid.ground(next);
        }
        if !is_shared {
            if grid.is_corner(next) {
                cost += TOUCHING;
            } else if grid.is_crossed(next, direction) {
                cost += CROSSING;
            }
        }
        if grid.on_step(place, direction) > 0 && !(is_shared && self.exempt.shared.contains(&place))
        {
            cost += ON_TOP;
        } else if grid.beside_step(place, direction) {
            cost += BESIDE;
        }
        Some((next, cost))
    }

    fn is_first(&self, place: usize) -> bool {
        self.from
            .leaves
            .is_some_and(|leaves| self.grid.next(self.from.place, leaves) == Some(place))
    }

    /// A cost that no way from here can undercut.
    fn at_least(&self, place: usize, direction: Direction) -> u32 {
        let nx = self.grid.nx;
        let across = (place % nx).abs_diff(self.to.place % nx);
        let down = (place / nx).abs_diff(self.to.place / nx);
        u32::try_from(across + down).unwrap_or(u32::MAX).saturating_mul(STEP)
            + self.bends_at_least(place, direction) * BEND
    }

    fn bends_at_least(&self, place: usize, direction: Direction) -> u32 {
        if place == self.to.place {
            return 0;
        }
        let nx = self.grid.nx;
        let (x, y) = (place % nx, place / nx);
        let (goal_x, goal_y) = (self.to.place % nx, self.to.place / nx);
        let is_ahead = match direction {
            Direction::Up => goal_y < y && goal_x == x,
            Direction::Down => goal_y > y && goal_x == x,
            Direction::Left => goal_x < x && goal_y == y,
            Direction::Right => goal_x > x && goal_y == y,
        };
        let arrives = self.to.leaves.filter(|_| !self.to.may_leave_aside).map(opposite);
        match (is_ahead, arrives) {
            (true, None) => 0,
            (true, Some(arrives)) => u32::from(arrives != direction) * 2,
            (false, None) => 1,
            (false, Some(arrives)) => 1 + u32::from(arrives == direction),
        }
    }
}

pub(super) fn opposite(direction: Direction) -> Direction {
    match direction {
        Direction::Up => Direction::Down,
        Direction::Right => Direction::Left,
        Direction::Down => Direction::Up,
        Direction::Left => Direction::Right,
    }
}
