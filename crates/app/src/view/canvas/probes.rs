//! The meter's probes on the sheet: where they are drawn, taken up, and set down.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, vec2};
use loomwright_circuit::{Box2, Car, Point};
use loomwright_drawing::{Item, Legible, Sheet as Laid, Subject};

use crate::action::{Action, BenchStep};
use crate::painter::{Screen, legible, lettered};
use crate::state::State;
use crate::theme::Theme;
use crate::tool::{Scene, Target, pick};
use crate::trial::{Lead, Meter, Probe};
use crate::view::canvas::REACH_POINTS;

/// The probes as the canvas shows them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ProbesView {
    /// Those on this sheet.
    pub marks: Vec<ProbeMark>,
    /// The one in hand.
    pub hand: Option<Lead>,
    /// The one that a click on a terminal moves.
    pub next: Option<Lead>,
    /// Whether it is dragged.
    pub is_dragged: bool,
}

/// A probe that stands on the sheet that is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct ProbeMark {
    /// Which one.
    pub lead: Lead,
    /// What it stands on.
    pub probe: Probe,
    /// Where its tip is, mm.
    pub tip: Point,
    /// Which way it leans from there.
    pub along: Vec2,
}

/// Length of a probe on the screen, points, and how near its handle the pointer takes it.
const LENGTH: f32 = 34.0;
const REACH: f32 = 9.0;
/// Half the width of its handle, in screen points.
const HALF_WIDTH: f64 = 4.0;

pub(super) fn probes_view(meter: &Meter, laid: &Laid, state: &State) -> ProbesView {
    let scale = state.camera().scale;
    let screen = Screen::new(Rect::ZERO, state.camera()).larger(state.larger);
    let legible = legible(&screen, laid);
    let mut marks: Vec<ProbeMark> = Vec::new();
    for lead in [Lead::Red, Lead::Black] {
        let placed = meter.probe(lead).and_then(|probe| Some((probe, tip(probe, laid)?)));
        let Some((probe, tip)) = placed else { continue };
        let near =
            marks.first().filter(|other| other.tip.distance(tip) * scale < f64::from(LENGTH));
        let taken = near.map(|other| other.along);
        let along = free_way((lead, tip), taken, (laid, &legible), scale);
        marks.push(ProbeMark { lead, probe: probe.clone(), tip, along });
    }
    ProbesView { marks, hand: meter.hand, next: meter.next(), is_dragged: meter.is_dragged }
}

/// The way in which a probe lies over the fewest names, numbers and currents, where these are shown, then over the fewest symbols, and then over the
/// fewest wires, on which their amps are told; not over the other one beside it.
fn free_way(
    (lead, tip): (Lead, Point),
    taken: Option<Vec2>,
    (laid, legible): (&Laid, &Legible),
    scale: f64,
) -> Vec2 {
    let usual = leans(lead);
    let lying = |x: f32, y: f32| vec2(usual.x.signum() * x, usual.y.signum() * y);
    let ways = [usual, lying(0.92, 0.39), lying(0.26, 0.97)]
        .map(|way| [way, vec2(-way.x, way.y), vec2(way.x, -way.y), -way]);
    let covered = |along: &Vec2| {
        let at = |share: f32| {
            let by = *along * (LENGTH * share);
            tip + Point::new(f64::from(by.x), f64::from(by.y)) * (1.0 / scale)
        };
        // The handle from end to end; the tip is thin.
        let handle = [0.3, 0.45, 0.6, 0.75, 0.9, 1.0].map(at);
        let half = HALF_WIDTH / scale;
        let lies_on = |area: Box2| handle.iter().any(|at| area.grown(half).contains(*at));
        let weight = |item: &Item| match item.subject {
            // The line that ties a name to its symbol may be crossed.
            Subject::Label(_) | Subject::Flag(_) | Subject::Amps(_) => {
                4 * i32::from(lettered(legible, item).into_iter().any(lies_on))
            }
            // Its own terminal is at the edge of a symbol.
            Subject::Part(_) => 2 * i32::from(lies_on(item.bounds.grown(-half))),
            Subject::Wire(id) => {
                let route = laid.routes.get(&id).map_or(&[][..], |line| line);
                let stretches =
                    route.windows(2).filter_map(|ends| Box2::around([ends[0], ends[1]]));
                i32::from(stretches.into_iter().any(lies_on))
            }
            _ => 0,
        };
        let near = Box2::around(handle).unwrap_or(Box2 { min: tip, max: tip }).grown(half);
        // Letters may have moved aside.
        laid.items_in(near.grown(NEAR)).map(weight).sum::<i32>()
    };
    let free = ways.iter().flatten().filter(|along| Some(**along) != taken);
    free.min_by_key(|along| covered(along)).copied().unwrap_or(usual)
}

/// How far off items are looked at, mm.
const NEAR: f64 = 20.0;

/// Where the tip of a probe is; nothing where that is on another sheet.
fn tip(probe: &Probe, laid: &Laid) -> Option<Point> {
    match probe {
        Probe::Terminal(part, name) => {
            let here = laid.terminals.iter().find(|(id, known, _)| id == part && **known == **name);
            here.map(|(.., at)| *at)
        }
        Probe::Lug { wire, is_to } => {
            let route = laid.routes.get(wire).filter(|route| route.len() >= 2)?;
            let (end, next) = match is_to {
                true => (route[route.len() - 1], route[route.len() - 2]),
                false => (route[0], route[1]),
            };
            // A little way along the wire, so that it is seen to stand on that and not on the terminal.
            let length = end.distance(next).max(1e-6);
            Some(end + (next - end) * (ON_WIRE.min(0.5 * length) / length))
        }
    }
}

/// How far from its end a probe is drawn on a wire, mm.
const ON_WIRE: f64 = 3.0;

/// Which way a probe leans from its tip where nothing is in the way: the two of them apart, so that both are seen on one
/// terminal.
fn leans(lead: Lead) -> Vec2 {
    match lead {
        Lead::Red => vec2(0.62, -0.78),
        Lead::Black => vec2(-0.62, 0.78),
    }
}

/// Paints them, and the one in hand at the pointer.
pub(super) fn probes_ui(
    painter: &Painter,
    screen: &Screen,
    theme: &Theme,
    view: &ProbesView,
    (pointer, hover): (Option<Point>, Option<&Target>),
) {
    for ProbeMark { lead, tip, along, .. } in &view.marks {
        let is_in_hand = view.hand == Some(*lead);
        let at = screen.screen_from_sheet(*tip);
        painter.circle_stroke(at, 5.5, Stroke::new(1.8, colour(theme, *lead)));
        if !is_in_hand {
            needle(painter, at, (*along, LENGTH), (colour(theme, *lead), theme.paper));
        }
    }
    let pointed = view.is_dragged || view.shows_next(hover);
    if let (Some(lead), Some(at)) = (view.next.filter(|_| pointed), pointer) {
        let at = screen.screen_from_sheet(at);
        needle(painter, at, (leans(lead), LENGTH), (colour(theme, lead), theme.paper));
    }
}

fn colour(theme: &Theme, lead: Lead) -> Color32 {
    match lead {
        Lead::Red => theme.danger,
        Lead::Black => theme.ink,
    }
}

/// A probe: a thin tip and a handle; the red one bears a ring, so that it is told by its shape as well.
pub(crate) fn needle(
    painter: &Painter,
    tip: Pos2,
    (along, length): (Vec2, f32),
    (colour, paper): (Color32, Color32),
) {
    let across = vec2(-along.y, along.x);
    let half = (length * 0.11).clamp(2.0, 4.0);
    let collar = tip + along * (length * 0.38);
    let end = tip + along * length;
    painter.line_segment([tip, collar], Stroke::new(4.0, paper));
    painter.line_segment([tip, collar], Stroke::new(1.8, colour));
    let points = vec![
        collar - across * half,
        collar + across * half,
        end + across * half,
        end - across * half,
    ];
    painter.add(Shape::convex_polygon(points, colour, Stroke::new(1.0, paper)));
    let is_red = colour.r() > colour.b().saturating_add(60);
    if is_red {
        let ring = collar + along * (length * 0.2);
        let ends = [ring - across * half, ring + across * half];
        painter.line_segment(ends, Stroke::new(1.6, paper));
    }
}

/// What a probe would stand on at a place of the sheet.
fn stands_at(scene: &Scene<'_>, at: Point) -> Option<Probe> {
    match pick(scene, at) {
        Target::Terminal(part, name) => Some(Probe::Terminal(part, name)),
        Target::Part(part) => {
            let terminals = scene.laid.terminals.iter().filter(|(id, ..)| *id == part);
            let nearest = terminals
                .min_by(|one, other| one.2.distance(at).total_cmp(&other.2.distance(at)))?;
            Some(Probe::Terminal(part, nearest.1.to_string()))
        }
        Target::Loose(wire, is_to) | Target::Plug(wire, is_to) => Some(Probe::Lug { wire, is_to }),
        Target::Wire(wire) => {
            let route = scene.laid.routes.get(&wire)?;
            let (first, last) = (route.first()?, route.last()?);
            let is_nearer_to = last.distance(at) < first.distance(at);
            Some(Probe::Lug { wire, is_to: seen_end(scene.car, scene, wire, is_nearer_to) })
        }
        _ => None,
    }
}

/// Of a wire that goes on, on another sheet, the end that is here.
fn seen_end(car: &Car, scene: &Scene<'_>, wire: loomwright_circuit::WireId, is_to: bool) -> bool {
    let Some(row) = car.wire(wire) else { return is_to };
    let is_here = |at| car.pos_on_sheet(at).is_some_and(|(sheet, _)| sheet == scene.sheet);
    match (is_here(&row.from.at), is_here(&row.to.at)) {
        (true, false) => false,
        (false, true) => true,
        _ => is_to,
    }
}

impl ProbesView {
    /// The probe that a click on this moves, and where it then stands; nothing where a click means something else.
    pub(super) fn clicked(&self, target: Option<&Target>) -> Option<(Lead, Probe)> {
        let Some(Target::Terminal(part, name)) = target else { return None };
        Some((self.next?, Probe::Terminal(*part, name.clone())))
    }

    /// Whether the probe that a click moves is drawn at the pointer: not where one stands that was just set down there.
    fn shows_next(&self, target: Option<&Target>) -> bool {
        match self.clicked(target) {
            Some((_, probe)) => !self.marks.iter().any(|mark| mark.probe == probe),
            None => self.hand.is_some(),
        }
    }

    /// What a press at a place does to the probes; nothing where it means something else.
    pub(super) fn press(&mut self, scene: &Scene<'_>, at: Point) -> Option<Vec<Action>> {
        if self.hand.is_some() {
            let probe = stands_at(scene, at)?;
            self.hand = None;
            return Some(vec![Action::Bench(BenchStep::SetDown(probe))]);
        }
        // A scene's reach is so many points of the screen.
        let a_point = scene.reach / REACH_POINTS;
        let near = self.marks.iter().find(|mark| {
            let handle = mark.along * (LENGTH * 0.7);
            let handle = mark.tip + Point::new(f64::from(handle.x), f64::from(handle.y)) * a_point;
            handle.distance(at) <= f64::from(REACH) * a_point
        });
        let Some(ProbeMark { lead, .. }) = near else {
            let (lead, probe) = self.clicked(Some(&pick(scene, at)))?;
            return Some(vec![Action::Bench(BenchStep::Place(lead, probe))]);
        };
        let lead = *lead;
        (self.hand, self.is_dragged) = (Some(lead), true);
        Some(vec![Action::Bench(BenchStep::Drag(lead))])
    }

    /// What letting go at a place does.
    pub(super) fn release(&mut self, scene: &Scene<'_>, at: Point) -> Option<Action> {
        let lead = self.hand.filter(|_| self.is_dragged)?;
        self.is_dragged = false;
        let probe = stands_at(scene, at);
        let stood = self.marks.iter().find(|mark| mark.lead == lead).map(|mark| &mark.probe);
        // Let go where it was taken up: a click, after which it stays in hand.
        let step = match probe.filter(|probe| stood != Some(probe)) {
            Some(probe) => BenchStep::SetDown(probe),
            None => BenchStep::Take(lead),
        };
        Some(Action::Bench(step))
    }
}
