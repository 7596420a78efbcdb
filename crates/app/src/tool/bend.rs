//! Drawing a wire by hand: moving a stretch of its line, adding corners and taking them out.

mod line;

use loomwright_circuit::{Anchor, Edit, Point, Wire, WireId};
use loomwright_drawing::straightened;

use crate::action::{Action, BoardStep};
use crate::texts::Board;
use crate::tool::pick::{nearest_on_route, nearest_stretch};
use crate::tool::{Input, PITCH, Scene, Tool, Way};
use line::{bent, is_level, moved, split, without};

pub use line::corner_near;

/// A stretch of a wire's line in the hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// The wire.
    pub wire: WireId,
    /// Its line as it was, with a corner where it was cut, from its first end to its second.
    pub line: Vec<Point>,
    /// The stretch that moves: from this point of the line to the next.
    pub stretch: usize,
    /// How far it has come across its own direction, mm.
    pub by: f64,
    /// Who leads it.
    pub hold: Hold,
}

/// Who leads what is in the hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// The pointer, with the button held, from this place.
    Button(Point),
    /// The pointer, from this place; a click puts it down.
    Pointer(Point),
    /// Keys.
    Keys,
}

/// A step of bending by keys.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BendStep {
    /// Takes the longest stretch of the selected wire in hand, to be moved by keys.
    Begin,
    /// Goes that way: across the stretch moves it by so many mm, along it goes to the next stretch.
    Go(Way, f64),
    /// Cuts the stretch in half; the half behind the cut is in hand then.
    Split,
    /// Takes the stretch out, with its two corners.
    TakeOut,
    /// Puts it down.
    Take,
}

impl Bend {
    /// The line as it runs now.
    pub fn now(&self) -> Vec<Point> {
        bent(&self.line, self.stretch, self.by)
    }

    /// Whether the stretch runs level, and so moves up and down.
    pub fn is_level(&self) -> bool {
        self.line.get(self.stretch..).is_some_and(is_level)
    }

    /// Where the stretch lies now.
    pub fn stretch_now(&self) -> Option<[Point; 2]> {
        moved(&self.line, self.stretch, self.by)
    }

    /// How far the stretch comes with the pointer at a place, on the grid.
    fn led_to(&self, from: Point, at: Point) -> f64 {
        let Some(start) = self.line.get(self.stretch) else { return 0.0 };
        let to = at - from;
        let (here, by) = if self.is_level() { (start.y, to.y) } else { (start.x, to.x) };
        ((here + by) / PITCH).round() * PITCH - here
    }
}

/// The line of a wire on the sheet that is shown.
///
/// # Errors
/// Why it cannot be drawn by hand, as a sentence.
fn line_of(scene: &Scene<'_>, wire: WireId) -> Result<(Vec<Point>, String), String> {
    let row = scene.car.wire(wire).ok_or_else(|| Board::wire_gone().to_owned())?;
    let sheets = row.ends().map(|end| scene.car.pos_on_sheet(&end.at).map(|(sheet, _)| sheet));
    if sheets.iter().any(|sheet| *sheet != Some(scene.sheet)) {
        return Err(Board::wire_goes_on(&row.label));
    }
    let line = scene.laid.routes.get(&wire).filter(|line| line.len() > 1);
    line.map(|line| (line.to_vec(), row.label.clone()))
        .ok_or_else(|| Board::wire_has_no_line(&row.label))
}

/// Takes the stretch of a wire nearest to a place in hand; it is cut there where a corner is wanted.
pub fn begin(
    scene: &Scene<'_>,
    wire: WireId,
    (at, splits): (Point, bool),
    hold: Hold,
) -> Vec<Action> {
    let (mut line, _) = match line_of(scene, wire) {
        Ok(known) => known,
        Err(reason) => {
            return vec![Action::Tool(Tool::Rest), Action::Board(BoardStep::RefuseAt(at, reason))];
        }
    };
    let mut stretch = nearest_stretch(&line, at).unwrap_or_default();
    if splits && let Some(place) = nearest_on_route(&line, at, PITCH) {
        (line, stretch) = split(&line, stretch, place);
    }
    vec![Action::Tool(Tool::Bending(Bend { wire, line, stretch, by: 0.0, hold }))]
}

/// A stretch is in hand and led by the pointer.
pub(super) fn bending(scene: &Scene<'_>, bend: &Bend, input: Input) -> Vec<Action> {
    let (from, is_held) = match bend.hold {
        Hold::Button(from) => (from, true),
        Hold::Pointer(from) => (from, false),
        // The mouse takes over: what the keys did is put down.
        Hold::Keys => {
            return match input {
                Input::Press { .. } => put_down(scene, bend),
                Input::Move { .. } | Input::Release { .. } => Vec::new(),
            };
        }
    };
    let led = |at| Bend { by: bend.led_to(from, at), ..bend.clone() };
    match input {
        Input::Move { at } => vec![Action::Tool(Tool::Bending(led(at)))],
        Input::Press { at, .. } if !is_held => put_down(scene, &led(at)),
        Input::Release { at, .. } if is_held => put_down(scene, &led(at)),
        Input::Press { .. } | Input::Release { .. } => Vec::new(),
    }
}

fn put_down(scene: &Scene<'_>, bend: &Bend) -> Vec<Action> {
    let mut actions = vec![Action::Tool(Tool::Rest)];
    actions.extend(planned(scene, bend).map(|(label, edit)| Action::Edit(label, edit)));
    actions
}

/// The edit that leaves the wire as it runs now.
pub(super) fn planned(scene: &Scene<'_>, bend: &Bend) -> Option<(String, Edit)> {
    let line = bend.now();
    let row = scene.car.wire(bend.wire)?;
    (line != straightened(bend.line.clone()))
        .then(|| (Board::bend_wire(&row.label), Edit::SetWire(bend.wire, drawn(row, &line))))
}

/// The wire with the inner points of a line for its corners.
fn drawn(row: &Wire, line: &[Point]) -> Wire {
    let inner = line.get(1..line.len().saturating_sub(1)).unwrap_or_default();
    Wire { route: inner.to_vec(), ..row.clone() }
}

/// A step by keys.
pub fn bend_by_keys(tool: &Tool, scene: &Scene<'_>, step: BendStep) -> Vec<Action> {
    let Tool::Bending(bend) = tool else {
        return if step == BendStep::Begin { begin_by_keys(scene) } else { Vec::new() };
    };
    let taken = |bend| vec![Action::Tool(Tool::Bending(bend))];
    match step {
        BendStep::Begin => Vec::new(),
        BendStep::Take => put_down(scene, bend),
        BendStep::Go(way, mm) => {
            let is_across = bend.is_level() == matches!(way, Way::Up | Way::Down);
            let sign = if matches!(way, Way::Up | Way::Left) { -1.0 } else { 1.0 };
            if is_across {
                return taken(Bend { by: bend.by + sign * mm, ..bend.clone() });
            }
            taken(next_stretch(bend, sign))
        }
        BendStep::Split => {
            let bend = settled(bend);
            let Some([a, b]) = bend.line.get(bend.stretch..bend.stretch + 2) else {
                return Vec::new();
            };
            let middle = nearest_on_route(&[*a, *b], (*a + *b) * 0.5, PITCH).unwrap_or(*a);
            let mut line = bend.line.clone();
            line.insert(bend.stretch + 1, middle);
            taken(Bend { stretch: bend.stretch + 1, line, ..bend })
        }
        BendStep::TakeOut => match without(&bend.now(), settled(bend).stretch) {
            Some(line) => {
                let stretch = bend.stretch.saturating_sub(1).min(line.len() - 2);
                let actions = take_out(scene, bend.wire, &line);
                let after = Bend { line, stretch, by: 0.0, ..bend.clone() };
                actions.into_iter().chain(taken(after)).collect()
            }
            None => vec![Action::Refuse(Board::corner_is_needed().to_owned())],
        },
    }
}

fn take_out(scene: &Scene<'_>, wire: WireId, line: &[Point]) -> Vec<Action> {
    let Some(row) = scene.car.wire(wire) else { return Vec::new() };
    let edit = Edit::SetWire(wire, drawn(row, line));
    vec![Action::Edit(Board::take_corner_out(&row.label), edit)]
}

fn begin_by_keys(scene: &Scene<'_>) -> Vec<Action> {
    let Some(wire) = scene.selection.only_wire() else {
        return vec![Action::Refuse(Board::select_one_wire().to_owned())];
    };
    let (line, _) = match line_of(scene, wire) {
        Ok(known) => known,
        Err(reason) => return vec![Action::Refuse(reason)],
    };
    let length = |idx: &usize| line[*idx].distance(line[*idx + 1]);
    let longest = (0..line.len() - 1).max_by(|a, b| length(a).total_cmp(&length(b)));
    let stretch = longest.unwrap_or_default();
    vec![Action::Tool(Tool::Bending(Bend { wire, line, stretch, by: 0.0, hold: Hold::Keys }))]
}

/// The bend with what was moved so far as its line, and the stretch that was in hand found again.
fn settled(bend: &Bend) -> Bend {
    if bend.by == 0.0 {
        return bend.clone();
    }
    let line = bend.now();
    let middle = |line: &[Point], idx: usize| (line[idx] + line[idx + 1]) * 0.5;
    let mut meant = middle(&bend.line, bend.stretch);
    if bend.is_level() {
        meant.y += bend.by;
    } else {
        meant.x += bend.by;
    }
    let stretch = nearest_stretch(&line, meant).unwrap_or_default();
    Bend { line, stretch, by: 0.0, ..bend.clone() }
}

/// The next stretch that way along this one; the last one stays in hand where there is none.
fn next_stretch(bend: &Bend, sign: f64) -> Bend {
    let bend = settled(bend);
    let Some([a, b]) = bend.line.get(bend.stretch..bend.stretch + 2) else { return bend };
    let along = if bend.is_level() { b.x - a.x } else { b.y - a.y };
    let stretch = if along * sign > 0.0 {
        (bend.stretch + 1).min(bend.line.len() - 2)
    } else {
        bend.stretch.saturating_sub(1)
    };
    Bend { stretch, ..bend }
}

/// The corner of a wire at a place goes.
pub fn remove_corner(scene: &Scene<'_>, wire: WireId, at: Point) -> Vec<Action> {
    let (line, _) = match line_of(scene, wire) {
        Ok(known) => known,
        Err(reason) => return vec![Action::Board(BoardStep::RefuseAt(at, reason))],
    };
    let corner = corner_near(&line, at, f64::INFINITY);
    // Of the two stretches that meet there, the shorter one goes if it can.
    let mut stretches: Vec<usize> = corner.map_or_else(Vec::new, |idx| vec![idx - 1, idx]);
    stretches.sort_by(|a, b| {
        let length = |idx: usize| line[idx].distance(line[idx + 1]);
        length(*a).total_cmp(&length(*b))
    });
    match stretches.into_iter().find_map(|stretch| without(&line, stretch)) {
        Some(line) => take_out(scene, wire, &line),
        None => vec![Action::Board(BoardStep::RefuseAt(at, Board::corner_is_needed().to_owned()))],
    }
}

/// Whether the ends of a wire are both on the sheet that is shown, so that it can be drawn by hand.
pub fn can_be_bent(scene: &Scene<'_>, wire: WireId) -> bool {
    let is_here = |at: &Anchor| scene.car.pos_on_sheet(at).map(|(sheet, _)| sheet);
    scene
        .car
        .wire(wire)
        .is_some_and(|row| row.ends().iter().all(|end| is_here(&end.at) == Some(scene.sheet)))
}
