//! Where a sheet is parted: flags on the wires that cross the edge, and the outlines on the key.

use std::sync::Arc;

use loomwright_circuit::{Box2, Car, Point, WireId};
use loomwright_drawing::{
    Align, Face, Harm, Ink, Item, Overlap, Palette, Prim, Subject, Words, covered_by, flag_words,
    text_width, words,
};

use super::fit::Fit;
use crate::paint::{self, Mark, View};

/// Height of the capitals, mm on paper.
const LETTERS: f64 = 2.5;
/// Room around them, mm on paper.
const ROOM: f64 = 0.8;

/// Flags with number, letters and size on each wire that goes on in a neighbouring part, at the very edge. What they cover
/// stands in the overlap, so the neighbour shows it.
pub(super) fn flags(car: &Car, fit: &Fit, view: View, place: usize) -> Vec<EdgeFlag> {
    let (column, row) = (place % fit.columns, place / fit.columns);
    let window = view.window;
    let edge = |is_upright, at, inward| Edge { is_upright, at, inward };
    let edges = [
        (column > 0, edge(true, window.min.x, 1.0)),
        (column + 1 < fit.columns, edge(true, window.max.x, -1.0)),
        (row > 0, edge(false, window.min.y, 1.0)),
        (row + 1 < fit.rows, edge(false, window.max.y, -1.0)),
    ];
    let written = words(&fit.sheet);
    let page = Page { fit, window, written: &written };
    let mut cuts: Vec<Cut> = Vec::new();
    for (wire, route) in &fit.sheet.routes {
        let words = car.wire(*wire).map(|row| flag_words(row, car.vehicle().colours, true));
        for (_, edge) in edges.iter().filter(|(has_neighbour, _)| *has_neighbour) {
            cuts.extend(ways_in(route, *edge, window).into_iter().filter_map(|way| {
                let words = words.clone()?;
                let places = page.places(&way, &words);
                Some(Cut { wire: *wire, words, is_shared: page.is_shared(&way, *edge), places })
            }));
        }
    }
    // Wires with the least room choose first.
    cuts.sort_by_key(|cut| cut.places.len());
    let mut flags: Vec<EdgeFlag> = Vec::new();
    for cut in &cuts {
        flags.extend(page.flag(cut, &flags));
    }
    flags
}

/// The ways of a wire into the part, from each place at which it crosses an edge.
fn ways_in(route: &[Point], edge: Edge, window: Box2) -> Vec<Vec<Point>> {
    let mut ways = Vec::new();
    for (idx, pair) in route.windows(2).enumerate() {
        let along = |at: Point| if edge.is_upright { at.x } else { at.y };
        let [from, to] = [along(pair[0]), along(pair[1])];
        if !(from.min(to) < edge.at && edge.at <= from.max(to)) {
            continue;
        }
        let crossing = pair[0] + (pair[1] - pair[0]) * ((edge.at - from) / (to - from));
        if !window.grown(1e-6).contains(crossing) {
            continue;
        }
        let leads_in = (to - edge.at) * edge.inward > 0.0;
        let on: Vec<Point> = if leads_in {
            route[idx + 1..].to_vec()
        } else {
            route[..=idx].iter().rev().copied().collect()
        };
        ways.push(std::iter::once(crossing).chain(on).collect());
    }
    ways
}

/// A flag at an edge, mm on the sheet.
#[derive(Debug, Clone)]
pub(super) struct EdgeFlag {
    wire: WireId,
    item: Item,
}

/// An edge of a part.
#[derive(Debug, Clone, Copy)]
struct Edge {
    /// Runs up and down the page.
    is_upright: bool,
    /// Where, across its direction, mm on the sheet.
    at: f64,
    /// 1 where the part lies at greater places, else -1.
    inward: f64,
}

/// Room between a flag and the edge, or a corner of its wire, mm on paper.
const GAP: f64 = 1.0;
/// Places on a straight stretch stand so far apart, mm on paper, and there are no more of them, nor of all together.
const STEP: f64 = 2.5;
const MOST_STEPS: usize = 30;
const MOST_PLACES: usize = 60;
/// How far beside its wire a flag may stand, times the gap, the best first.
const BESIDE: [f64; 4] = [1.0, 3.0, 6.0, 10.0];

/// A wire that an edge cuts.
struct Cut {
    wire: WireId,
    /// What its flag says, and where that could stand.
    words: String,
    places: Vec<Place>,
    /// Whether the neighbour shows all that this page shows of it.
    is_shared: bool,
}

/// Where a flag could stand.
#[derive(Debug, Clone, Copy)]
struct Place {
    around: Box2,
    is_upward: bool,
    /// Where a thin line ties it to its wire, when it does not lie on it.
    tied_to: Option<Point>,
}

impl Place {
    /// On a wire from end to end, so wide to each side.
    fn along(ends: [Point; 2], across: Point) -> Option<Self> {
        let around = Box2::around(ends.into_iter().flat_map(|end| [end - across, end + across]))?;
        Some(Self { around, is_upward: across.y == 0.0, tied_to: None })
    }

    /// Close beside the wire, at one side and at the other.
    fn beside(&self, gap: f64) -> [Self; 2] {
        let Box2 { min, max } = self.around;
        let by = if self.is_upward {
            Point::new(max.x - min.x + gap, 0.0)
        } else {
            Point::new(0.0, max.y - min.y + gap)
        };
        [by, by * -1.0].map(|by| Self {
            around: Box2 { min: min + by, max: max + by },
            tied_to: Some(self.around.centre()),
            ..*self
        })
    }

    /// The line from the flag to its wire, with a dot there.
    fn tie(&self, scale: f64) -> Vec<Prim> {
        let Some(to) = self.tied_to else { return Vec::new() };
        let Box2 { min, max } = self.around;
        let from = Point::new(to.x.clamp(min.x, max.x), to.y.clamp(min.y, max.y));
        let width = 0.25 / scale;
        vec![
            Prim::Line { points: vec![from, to], width, ink: Ink::Ink, dash: None },
            Prim::Circle { centre: to, radius: 2.0 * width, fill: Some(Ink::Ink), edge: None },
        ]
    }
}

/// The part of a sheet that flags are put on.
struct Page<'a> {
    fit: &'a Fit,
    window: Box2,
    written: &'a [Words<'a>],
}

impl Page<'_> {
    /// The flag where it covers least, and of such places the nearest to the edge. None, where it would cover something
    /// and the wire is told elsewhere.
    fn flag(
        &self,
        Cut { wire, words, is_shared, places }: &Cut,
        others: &[EdgeFlag],
    ) -> Option<EdgeFlag> {
        let covers = |flag: &EdgeFlag| {
            let taken = others.iter().filter(|other| other.item.bounds.meets(flag.item.bounds));
            // Its own flag gives way to it.
            let covered = covered_by(&flag.item, &self.fit.sheet, self.written).into_iter();
            let is_bad = |overlap: &Overlap| {
                overlap.sort.harm() > Harm::Crowded && overlap.about[1] != flag.item.subject
            };
            taken.count() + covered.filter(is_bad).count()
        };
        let mut best: Option<(usize, EdgeFlag)> = None;
        for place in places {
            let flag = EdgeFlag { wire: *wire, item: item(*wire, words, *place, self.fit.scale) };
            let covers = covers(&flag);
            if best.as_ref().is_none_or(|(least, _)| covers < *least) {
                best = Some((covers, flag));
            }
            if covers == 0 {
                break;
            }
        }
        let (covers, flag) = best?;
        let is_told = || *is_shared || self.tells(*wire, others);
        (covers == 0 || !is_told()).then_some(flag)
    }

    /// Places for a flag along the way of its wire, the nearest to the edge first; at the edge even where the wire turns
    /// off at once.
    fn places(&self, way: &[Point], words: &str) -> Vec<Place> {
        let scale = self.fit.scale;
        let long = (text_width(Face::Narrow, LETTERS, words) + 2.0 * ROOM) / scale;
        let half = (LETTERS + 2.0 * ROOM) / scale / 2.0;
        let gap = GAP / scale;
        let mut places = Vec::new();
        for (idx, pair) in way.windows(2).enumerate() {
            let length = pair[0].distance(pair[1]).max(1e-9);
            let along = (pair[1] - pair[0]) * (1.0 / length);
            let across = Point::new(along.y.abs(), along.x.abs()) * half;
            let at = |away: f64| {
                let start = pair[0] + along * away;
                Place::along([start, start + along * long], across)
            };
            let steps = (0..MOST_STEPS).map(|step| gap + step as f64 * STEP / scale);
            let on_wire = steps.take_while(|away| away + long + gap <= length);
            let at_edge = (idx == 0 && gap + long + gap > length).then_some(gap);
            places.extend(at_edge.into_iter().chain(on_wire).filter_map(at));
        }
        // Beside it, tied to it, where it has no room on the wire.
        let beside: Vec<Place> = BESIDE
            .iter()
            .flat_map(|off| places.iter().flat_map(move |place| place.beside(off * gap)))
            .collect();
        places.truncate(MOST_PLACES);
        places.extend(beside);
        places
            .retain(|place| self.window.grown(1e-6).union(place.around) == self.window.grown(1e-6));
        places.truncate(4 * MOST_PLACES);
        places
    }

    /// Whether all that shows of a wire lies in the strip that the neighbour across the edge shows as well.
    fn is_shared(&self, way: &[Point], edge: Edge) -> bool {
        let Some(bounds) = self.fit.sheet.bounds else { return false };
        let [across, down] = self.fit.overlap(bounds);
        let strip = if edge.is_upright { across } else { down } / self.fit.scale;
        let shown = way.iter().take_while(|at| self.window.grown(1e-6).contains(**at));
        let along = |at: &Point| if edge.is_upright { at.x } else { at.y };
        let mut away = shown.map(|at| (along(at) - edge.at) * edge.inward);
        away.all(|away| away <= strip)
    }

    /// Whether a wire's own flag shows whole.
    fn tells(&self, wire: WireId, others: &[EdgeFlag]) -> bool {
        let is_shown = |item: &Arc<Item>| {
            item.subject == Subject::Flag(wire)
                && self.window.union(item.bounds) == self.window
                && !others.iter().any(|other| other.replaces(item))
        };
        self.fit.sheet.items.iter().any(is_shown) || others.iter().any(|other| other.wire == wire)
    }
}

fn item(wire: WireId, words: &str, place: Place, scale: f64) -> Item {
    let Place { around, is_upward, .. } = place;
    let Box2 { min, max } = around;
    let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
    let plate = [
        Prim::Area {
            points: corners.into(),
            fill: Some(Ink::Paper),
            edge: Some((Ink::Muted, 0.2 / scale)),
        },
        Prim::Text {
            at: around.centre(),
            text: words.to_owned(),
            height: LETTERS / scale,
            align: Align::Centre,
            ink: Ink::Ink,
            face: Face::Narrow,
            upward: is_upward,
        },
    ];
    Item {
        subject: Subject::Flag(wire),
        title: words.into(),
        bounds: place.tied_to.map_or(around, |to| around.union(Box2 { min: to, max: to })),
        prims: place.tie(scale).into_iter().chain(plate).collect(),
        letters: Arc::from([]),
    }
}

impl EdgeFlag {
    /// Whether an item is a flag of the same wire that this one would half cover.
    pub(super) fn replaces(&self, item: &Item) -> bool {
        item.subject == Subject::Flag(self.wire) && item.bounds.meets(self.item.bounds)
    }

    /// What is painted of it.
    pub(super) fn item(&self) -> Item {
        self.item.clone()
    }
}

/// A part's outline on the key, with its number.
pub(super) fn outline(window: Box2, view: View, number: usize, palette: Palette) -> Vec<Mark> {
    let on_sheet = |mm: f64| mm / view.scale;
    let Box2 { min, max } = window.grown(-on_sheet(0.8));
    let corners = vec![min, Point::new(max.x, min.y), max, Point::new(min.x, max.y), min];
    // In the corner, where it covers least.
    let middle = min + Point::new(on_sheet(7.0), on_sheet(7.0));
    let prims = [
        Prim::Line {
            points: corners,
            width: on_sheet(0.45),
            ink: Ink::Danger,
            dash: Some([on_sheet(3.0), on_sheet(1.6)]),
        },
        Prim::Circle {
            centre: middle,
            radius: on_sheet(4.5),
            fill: Some(Ink::Paper),
            edge: Some((Ink::Danger, on_sheet(0.5))),
        },
        Prim::Text {
            at: middle,
            text: number.to_string(),
            height: on_sheet(3.6),
            align: Align::Centre,
            ink: Ink::Danger,
            face: Face::Drawing,
            upward: false,
        },
    ];
    prims.iter().map(|prim| paint::mark(prim, view, palette)).collect()
}
