//! Running a wire by keys: from terminal to terminal with the arrows.

use loomwright_circuit::{Anchor, Box2, Car, Name, PartId, Point, WireId};
use loomwright_drawing::Subject;

use crate::action::Action;
use crate::texts::Board;
use crate::tool::{Scene, Source, Target, Tool, run};

/// A step of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Aim {
    /// Begins: at the selected part, or near the middle of the view.
    Begin,
    /// Begins with the start taken: a wire that is tapped, or an end of one.
    From(Source),
    /// Begins with a tap of the selected wire, in the middle of its longest stretch.
    Tap,
    /// Takes this terminal: the wire starts there, or ends there.
    At(PartId, Name),
    /// Goes to the next terminal that way.
    Go(Way),
    /// Takes the terminal that is aimed at.
    Take,
}

/// A way across the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Up.
    Up,
    /// Down.
    Down,
}

impl Way {
    /// How far a place lies that way, and how far beside it.
    fn measure(self, from: Point, to: Point) -> (f64, f64) {
        let by = to - from;
        match self {
            Self::Left => (-by.x, by.y.abs()),
            Self::Right => (by.x, by.y.abs()),
            Self::Up => (-by.y, by.x.abs()),
            Self::Down => (by.y, by.x.abs()),
        }
    }
}

/// What a step leads to; `middle` is the middle of the view, mm.
pub fn aim(tool: &Tool, scene: &Scene<'_>, middle: Point, step: &Aim) -> Vec<Action> {
    let (from, at) = match tool {
        Tool::Aiming { from, at } => (from.clone(), Some(at.clone())),
        _ => (None, None),
    };
    let aiming = |from, at| vec![Action::Tool(Tool::Aiming { from, at })];
    match step {
        Aim::Begin => match first(scene, middle) {
            Some(at) => aiming(None, at),
            None => {
                vec![Action::Refuse(Board::no_terminal().to_owned())]
            }
        },
        Aim::From(source) => begun(scene, source.clone(), middle),
        Aim::Tap => match middle_of_selected(scene) {
            Some((wire, at)) => begun(scene, Source::Wire(wire, at), middle),
            None => vec![Action::Refuse(Board::select_a_wire_to_tap().to_owned())],
        },
        Aim::Go(way) => match at.and_then(|at| next(scene, &at, middle, *way)) {
            Some(at) => aiming(from, at),
            None => Vec::new(),
        },
        Aim::At(part, name) => take(scene, from, (*part, name.clone())),
        Aim::Take => at.map_or_else(Vec::new, |at| take(scene, from, at)),
    }
}

/// A wire that has its start: the nearest terminal is aimed at.
fn begun(scene: &Scene<'_>, source: Source, middle: Point) -> Vec<Action> {
    let own_end = source.wire().and_then(|id| {
        let Source::End(_, is_to) = source else { return None };
        let wire = scene.car.wire(id)?;
        let end = if is_to { &wire.to } else { &wire.from };
        Some(scene.car.pos_on_sheet(&end.at)?.1)
    });
    let near = match source {
        Source::Wire(_, at) => at,
        _ => own_end.unwrap_or(middle),
    };
    match nearest(scene, near) {
        Some(at) => vec![Action::Tool(Tool::Aiming { from: Some(source), at })],
        None => vec![Action::Refuse(Board::no_terminal().to_owned())],
    }
}

/// The one selected wire, with the middle of its longest stretch.
pub fn middle_of_selected(scene: &Scene<'_>) -> Option<(WireId, Point)> {
    let id = scene.selection.only_wire()?;
    let route = scene.laid.routes.get(&id)?;
    let longest =
        route.windows(2).max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])))?;
    Some((id, (longest[0] + longest[1]) * 0.5))
}

fn take(scene: &Scene<'_>, from: Option<Source>, at: (PartId, Name)) -> Vec<Action> {
    let Some(from) = from else {
        let source = Source::Terminal(at.0, at.1.clone());
        return vec![Action::Tool(Tool::Aiming { from: Some(source), at })];
    };
    let place = place(scene, &at).unwrap_or_default();
    run::end(scene, &from, place, &Target::Terminal(at.0, at.1))
}

/// Place of a terminal on the sheet that is shown.
pub(super) fn place(scene: &Scene<'_>, at: &(PartId, Name)) -> Option<Point> {
    let found =
        scene.laid.terminals.iter().find(|(part, name, _)| (*part, &**name) == (at.0, &*at.1));
    found.map(|(.., place)| *place)
}

/// The terminal to begin at: a free one of the selected part, or the one nearest to what is selected, or to the
/// middle of the view.
fn first(scene: &Scene<'_>, middle: Point) -> Option<(PartId, Name)> {
    let selected = scene.selection.only_part();
    let of_selected = || scene.laid.terminals.iter().filter(|(part, ..)| Some(*part) == selected);
    let free = of_selected().find(|(part, name, _)| is_free(scene.car, *part, name));
    if let Some((part, name, _)) = free.or_else(|| of_selected().next()) {
        return Some((*part, name.to_string()));
    }
    nearest(scene, middle_of_selection(scene).unwrap_or(middle))
}

fn middle_of_selection(scene: &Scene<'_>) -> Option<Point> {
    let areas = scene.laid.items.iter().filter_map(|item| match item.subject {
        Subject::Part(id) if scene.selection.parts.contains(&id) => Some(item.bounds),
        Subject::Flag(id) if scene.selection.wires.contains(&id) => Some(item.bounds),
        _ => None,
    });
    areas.reduce(Box2::union).map(|area| area.centre())
}

fn nearest(scene: &Scene<'_>, middle: Point) -> Option<(PartId, Name)> {
    let near = scene
        .laid
        .terminals
        .iter()
        .min_by(|a, b| a.2.distance(middle).total_cmp(&b.2.distance(middle)))?;
    Some((near.0, near.1.to_string()))
}

fn is_free(car: &Car, part: PartId, name: &str) -> bool {
    let anchor = Anchor::terminal(part, name);
    !car.wires().values().any(|wire| wire.ends().iter().any(|end| end.at == anchor))
}

/// The terminal that lies next that way: near, and not far beside it. From another sheet, the nearest to the middle.
fn next(scene: &Scene<'_>, at: &(PartId, Name), middle: Point, way: Way) -> Option<(PartId, Name)> {
    let Some(here) = place(scene, at) else { return nearest(scene, middle) };
    let cost = |to: &Point| {
        let (along, beside) = way.measure(here, *to);
        (along > 0.5).then_some(along + 2.0 * beside)
    };
    let costs = scene.laid.terminals.iter().filter_map(|row| Some((cost(&row.2)?, row)));
    let (_, (part, name, _)) = costs.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((*part, name.to_string()))
}
