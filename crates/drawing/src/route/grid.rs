//! The lattice that wires are routed on, and what each of its places costs.

use loomwright_circuit::{Box2, Direction, Point};

use crate::number::floor;

/// Distance between places, mm.
pub(super) const PITCH: f64 = 2.5;
/// A sheet that needs more places than this is routed without looking for obstacles.
const MOST_PLACES: i64 = 6_000_000;

/// Costs in tenths of a step of 2.5 mm.
pub(super) const STEP: u32 = 10;
pub(super) const BEND: u32 = 50;
/// A bend nearer than 5 mm to a terminal.
pub(super) const SHORT: u32 = 45;
/// Leaving a shared terminal to the side.
pub(super) const ASIDE: u32 = 60;
pub(super) const CROSSING: u32 = 40;
/// Running on top of another wire, a step.
pub(super) const ON_TOP: u32 = 3_000;
/// Running 2.5 mm beside another wire, a step.
pub(super) const BESIDE: u32 = 14;
/// Turning on another wire's line, or running over its corner: it would read as a joint.
pub(super) const TOUCHING: u32 = 2_000;
const BODY: u16 = 4_000;
const NEAR_BODY: u16 = 12;
const LETTERING: u16 = 90;
const NUMBER: u16 = 60;
const STUB: u16 = 160;

/// A lattice over the sheet with ground costs and the wires laid so far.
#[derive(Debug)]
pub(crate) struct Grid {
    x0: i64,
    y0: i64,
    pub(super) nx: usize,
    pub(super) ny: usize,
    ground: Vec<u16>,
    /// Number of wires from a place to the one right of it, and to the one below.
    right: Vec<u8>,
    down: Vec<u8>,
    corners: Vec<u8>,
}

pub(super) const DIRECTIONS: [Direction; 4] =
    [Direction::Up, Direction::Right, Direction::Down, Direction::Left];

impl Grid {
    /// A lattice over `around`; nothing where that is larger than anyone's sheet.
    pub(crate) fn over(around: Box2) -> Option<Self> {
        let far = [around.min.x, around.min.y, around.max.x, around.max.y];
        if !far.iter().all(|mm| mm.abs() < 1e6) {
            return None;
        }
        let (x0, y0) = (index(around.min.x), index(around.min.y));
        let (nx, ny) = (index(around.max.x) - x0 + 1, index(around.max.y) - y0 + 1);
        let n_places = nx * ny;
        if n_places > MOST_PLACES {
            return None;
        }
        let (nx, ny) = (usize::try_from(nx).ok()?, usize::try_from(ny).ok()?);
        let n_places = nx * ny;
        Some(Self {
            x0,
            y0,
            nx,
            ny,
            ground: vec![0; n_places],
            right: vec![0; n_places],
            down: vec![0; n_places],
            corners: vec![0; n_places],
        })
    }

    pub(super) fn n_places(&self) -> usize {
        self.ground.len()
    }

    /// The place nearest to a point, brought inside the lattice.
    pub(crate) fn place(&self, point: Point) -> usize {
        let within = |at: i64, n: usize| usize::try_from(at.max(0)).map_or(0, |at| at.min(n - 1));
        let x = within(index(point.x) - self.x0, self.nx);
        let y = within(index(point.y) - self.y0, self.ny);
        y * self.nx + x
    }

    pub(crate) fn point(&self, place: usize) -> Point {
        let (x, y) = (place % self.nx, place / self.nx);
        Point::new((self.x0 as f64 + x as f64) * PITCH, (self.y0 as f64 + y as f64) * PITCH)
    }

    /// The next place that way; nothing at the edge.
    pub(super) fn next(&self, place: usize, direction: Direction) -> Option<usize> {
        match direction {
            Direction::Up => place.checked_sub(self.nx),
            Direction::Right => (place % self.nx + 1 < self.nx).then_some(place + 1),
            Direction::Down => Some(place + self.nx).filter(|next| *next < self.ground.len()),
            Direction::Left => (!place.is_multiple_of(self.nx)).then(|| place - 1),
        }
    }

    /// The direction from one place to another in its row or column.
    pub(super) fn direction(&self, from: usize, to: usize) -> Direction {
        match (from / self.nx == to / self.nx, from < to) {
            (true, true) => Direction::Right,
            (true, false) => Direction::Left,
            (false, true) => Direction::Down,
            (false, false) => Direction::Up,
        }
    }

    /// Marks a part: its body must not be crossed, and wires keep a little away.
    pub(crate) fn add_body(&mut self, body: Box2) {
        self.mark(body.grown(PITCH * 1.01), NEAR_BODY);
        self.mark(body.grown(0.01), BODY);
    }

    /// Marks the plain line from a symbol to one of its terminals.
    pub(crate) fn add_lead(&mut self, lead: Box2) {
        self.mark(lead.grown(0.01), BODY);
    }

    pub(crate) fn add_lettering(&mut self, rect: Box2) {
        self.mark(rect.grown(1.3), LETTERING);
    }

    /// Marks the room for the designation of a terminal.
    pub(crate) fn add_number(&mut self, rect: Box2) {
        self.mark(rect.grown(1.0), NUMBER);
    }

    /// Keeps the way out of a terminal free.
    pub(crate) fn add_stub(&mut self, at: Point, leaves: Direction) {
        let mut place = self.place(at);
        for _ in 0..2 {
            let Some(next) = self.next(place, leaves) else { return };
            place = next;
            self.ground[place] = self.ground[place].max(STUB);
        }
    }

    fn mark(&mut self, rect: Box2, cost: u16) {
        // Rounded inwards: only places inside the rectangle are marked.
        let low = |mm: f64, from: i64| usize::try_from((-floor(-mm / PITCH) - from).max(0));
        let high = |mm: f64, from: i64| usize::try_from(floor(mm / PITCH) - from);
        let (Ok(x_low), Ok(x_high)) = (low(rect.min.x, self.x0), high(rect.max.x, self.x0)) else {
            return;
        };
        let (Ok(y_low), Ok(y_high)) = (low(rect.min.y, self.y0), high(rect.max.y, self.y0)) else {
            return;
        };
        for y in y_low..=y_high.min(self.ny - 1) {
            for x in x_low..=x_high.min(self.nx - 1) {
                let ground = &mut self.ground[y * self.nx + x];
                *ground = (*ground).max(cost);
            }
        }
    }

    pub(super) fn ground(&self, place: usize) -> u32 {
        u32::from(self.ground[place])
    }

    pub(super) fn is_body(&self, place: usize) -> bool {
        self.ground[place] == BODY
    }

    /// Wires on the step from `place` that way.
    pub(super) fn on_step(&self, place: usize, direction: Direction) -> u8 {
        match direction {
            Direction::Right => self.right[place],
            Direction::Down => self.down[place],
            Direction::Left => self.next(place, Direction::Left).map_or(0, |next| self.right[next]),
            Direction::Up => self.next(place, Direction::Up).map_or(0, |next| self.down[next]),
        }
    }

    /// Wires 2.5 mm beside the step from `place` that way.
    pub(super) fn beside_step(&self, place: usize, direction: Direction) -> bool {
        let sides = match direction {
            Direction::Up | Direction::Down => [Direction::Left, Direction::Right],
            Direction::Left | Direction::Right => [Direction::Up, Direction::Down],
        };
        sides
            .into_iter()
            .filter_map(|side| self.next(place, side))
            .any(|beside| self.on_step(beside, direction) > 0)
    }

    pub(super) fn is_corner(&self, place: usize) -> bool {
        self.corners[place] > 0
    }

    /// Whether a wire runs through `place` across that way.
    pub(super) fn is_crossed(&self, place: usize, direction: Direction) -> bool {
        let sides = match direction {
            Direction::Up | Direction::Down => [Direction::Left, Direction::Right],
            Direction::Left | Direction::Right => [Direction::Up, Direction::Down],
        };
        sides.into_iter().any(|side| self.on_step(place, side) > 0)
    }

    /// Whether any wire touches `place`.
    pub(super) fn is_used(&self, place: usize) -> bool {
        DIRECTIONS.into_iter().any(|direction| self.on_step(place, direction) > 0)
    }

    /// Lays a wire through these corners.
    pub(crate) fn lay(&mut self, corners: &[usize]) {
        self.change(corners, |count| count.saturating_add(1));
    }

    /// Takes a wire up again.
    pub(crate) fn take_up(&mut self, corners: &[usize]) {
        self.change(corners, |count| count.saturating_sub(1));
    }

    fn change(&mut self, corners: &[usize], by: impl Fn(u8) -> u8) {
        for corner in corners.iter().skip(1).take(corners.len().saturating_sub(2)) {
            self.corners[*corner] = by(self.corners[*corner]);
        }
        for pair in corners.windows(2) {
            self.walk(pair[0], pair[1], |grid, place, direction| match direction {
                Direction::Right => grid.right[place] = by(grid.right[place]),
                Direction::Down => grid.down[place] = by(grid.down[place]),
                Direction::Left | Direction::Up => {}
            });
        }
    }

    /// Visits each step of a straight stretch, from its upper or left end.
    fn walk(&mut self, a: usize, b: usize, mut visit: impl FnMut(&mut Self, usize, Direction)) {
        let (start, end) = (a.min(b), a.max(b));
        let is_level = start / self.nx == end / self.nx;
        let (direction, stride) =
            if is_level { (Direction::Right, 1) } else { (Direction::Down, self.nx) };
        let mut place = start;
        // A stretch that is not straight on the lattice ends in the row of its end.
        while place + stride <= end {
            visit(self, place, direction);
            place += stride;
        }
    }
}

fn index(mm: f64) -> i64 {
    floor(mm / PITCH + 0.5)
}
